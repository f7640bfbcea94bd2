/** What could stand in place of the word being typed. */
import type { Command, Option } from 'commander';
import type { Candidate, Lookup } from '../commands/completion.ts';
import { type Offer, offerOf } from './offers.ts';
import { type Typed, typedSoFar } from './typed.ts';
import { unquoted } from './unquote.ts';

/** `words` as they stand on the line, behind the program's name. Null asks for the name of a file. */
export async function candidates(
  program: Command,
  words: readonly string[],
  lookup: Lookup,
): Promise<readonly Candidate[] | null> {
  const typed = typedSoFar(program, words.map(unquoted));
  if (typed.asked.for === 'next' && !typed.onlyArguments && typed.word.startsWith('-'))
    return optionsOf(typed);
  if (typed.asked.for === 'next' && typed.command === program) return commandsOf(program, typed);
  const it = typed.asked.for === 'value' ? typed.asked.of : typed.argument;
  const offer = it && offerOf(it);
  return offer ? valuesOf(offer, typed, lookup) : [];
}

async function valuesOf(
  offer: Offer,
  { before, word, given }: Typed,
  lookup: Lookup,
): Promise<readonly Candidate[] | null> {
  if (offer.from === 'files') return before === '' ? null : [];
  const known = offer.from === 'words' ? offer.words : await lookup(offer, given);
  // a list goes on after its last comma with what is not in it
  const listed = 'list' in offer && offer.list ? word.slice(0, word.lastIndexOf(',') + 1) : '';
  const taken = listed.split(',');
  const rest = known.filter((name) => !taken.includes(name)).map((name) => listed + name);
  return rest.filter((name) => name.startsWith(word)).map((name) => ({ word: before + name, about: '' }));
}

/** First a command, `help` among them, and after that one more. */
function commandsOf(program: Command, { given, word }: Typed): Candidate[] {
  if (given.length > 0 && given.join() !== 'help') return [];
  return program
    .createHelp()
    .visibleCommands(program)
    .filter((command) => command.name().startsWith(word))
    .map((command) => ({ word: command.name(), about: command.summary() || command.description() }));
}

/** One that gathers values may be written again. */
function optionsOf({ command, used, word }: Typed): Candidate[] {
  const open = (option: Option) =>
    !option.hidden && (!used.has(option) || Array.isArray(option.defaultValue));
  return command
    .createHelp()
    .visibleOptions(command)
    .filter(open)
    .flatMap(({ short, long, description }) => {
      const name = long?.startsWith(word) ? long : short === word ? short : undefined;
      return name ? [{ word: name, about: description }] : [];
    });
}
