/** Completions of the word being typed. */
import type { Argument, Command, Option } from 'commander';
import type { Candidate, Lookup } from '../commands/completion.ts';
import { type Offer, offerOf } from './options.ts';

/** `words` as typed after the program's name. Null asks for a file name. */
export async function candidates(
  program: Command,
  words: readonly string[],
  lookup: Lookup,
): Promise<readonly Candidate[] | null> {
  const typed = typedSoFar(program, words.map(unquoted));
  if (!typed.awaited && !typed.onlyArguments && typed.word.startsWith('-')) return optionsOf(typed);
  if (!typed.awaited && typed.command === program) return commandsOf(program, typed);
  const it = typed.awaited ?? typed.argument;
  const offer = it && offerOf(it);
  return offer ? valuesOf(offer, typed, lookup) : [];
}

async function valuesOf(offer: Offer, typed: Typed, lookup: Lookup): Promise<readonly Candidate[] | null> {
  const { before, word, given } = typed;
  if (offer.from === 'files') return before === '' ? null : [];
  const known = offer.from === 'words' ? offer.words : await lookup(offer, given);
  // a list continues after its last comma with names not in it yet
  const listed = 'list' in offer && offer.list ? word.slice(0, word.lastIndexOf(',') + 1) : '';
  const taken = listed.split(',');
  const rest = known.filter((name) => !taken.includes(name)).map((name) => listed + name);
  return rest.filter((name) => name.startsWith(word)).map((name) => ({ word: before + name, about: '' }));
}

/** A command first, and one more after `help`. */
function commandsOf(program: Command, { given, word }: Typed): Candidate[] {
  if (given.length > 0 && given.join() !== 'help') return [];
  return program
    .createHelp()
    .visibleCommands(program)
    .filter((command) => command.name().startsWith(word))
    .map((command) => ({ word: command.name(), about: command.summary() || command.description() }));
}

/** Repeatable options are offered again. */
function optionsOf({ command, used, word }: Typed): Candidate[] {
  const options = command.createHelp().visibleOptions(command);
  const open = options.filter((option) => !used.has(option) || Array.isArray(option.defaultValue));
  return open.flatMap(({ short, long, description }) => {
    const name = long?.startsWith(word) ? long : short === word ? short : undefined;
    return name ? [{ word: name, about: description }] : [];
  });
}

/** A word without its quotes as POSIX shells read it, an open quote taken as closed. */
function unquoted(word: string): string {
  let plain = '';
  let quote = '';
  for (let i = 0; i < word.length; i++) {
    const char = word[i] ?? '';
    if (quote === '' && (char === '"' || char === "'")) quote = char;
    else if (char === quote) quote = '';
    else if (char === '\\' && quote !== "'") plain += word[++i] ?? '';
    else plain += char;
  }
  return plain;
}

/** A command line as typed so far. */
type Typed = {
  readonly command: Command;
  /** Arguments before the word being typed. */
  readonly given: readonly string[];
  /** Options before it. */
  readonly used: ReadonlySet<Option>;
  /** The option whose value is being typed; null for anything else. */
  readonly awaited: Option | null;
  readonly argument: Argument | null;
  /** Part of the word before the value: `--mic=`. */
  readonly before: string;
  readonly word: string;
  /** After `--` there are no more options. */
  readonly onlyArguments: boolean;
};

/** The last of `words` is being typed. */
function typedSoFar(program: Command, words: readonly string[]): Typed {
  let command = program;
  let awaited: Option | null = null;
  let onlyArguments = false;
  const given: string[] = [];
  const used = new Set<Option>();
  for (const word of words.slice(0, -1)) {
    const option = onlyArguments ? null : optionOf(command, word.split('=')[0] ?? '');
    const inner = given.length === 0 ? command.commands.find((one) => one.name() === word) : undefined;
    if (awaited) awaited = null;
    else if (word === '--' && !onlyArguments) onlyArguments = true;
    else if (option) {
      used.add(option);
      awaited = (option.required || option.optional) && !word.includes('=') ? option : null;
    } else if (inner && command === program) command = inner;
    else if (onlyArguments || !word.startsWith('-')) given.push(word);
  }
  const word = words.at(-1) ?? '';
  const [name = '', ...value] = word.split('=');
  const begun = onlyArguments || awaited || value.length === 0 ? null : optionOf(command, name);
  const typed = { command, given, used, onlyArguments, argument: argumentAt(command, given.length) };
  if (!begun) return { ...typed, awaited, before: '', word };
  return { ...typed, awaited: begun, before: `${name}=`, word: value.join('=') };
}

const optionOf = (command: Command, name: string): Option | null =>
  command.options.find(({ short, long }) => name !== '' && (name === short || name === long)) ?? null;

/** The last argument may be variadic. */
function argumentAt({ registeredArguments }: Command, count: number): Argument | null {
  const end = registeredArguments.at(-1);
  return registeredArguments[count] ?? (end?.variadic ? end : null);
}
