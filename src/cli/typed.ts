/** A command line as far as it has been typed, held against the commands there are. */
import type { Argument, Command, Option } from 'commander';

export type Typed = {
  readonly command: Command;
  /** Values of arguments before the word being typed. */
  readonly given: readonly string[];
  /** Options written before it. */
  readonly used: ReadonlySet<Option>;
  /** What the word being typed is for: a value, or whatever may come next. */
  readonly asked: { readonly for: 'value'; readonly of: Option | Argument } | { readonly for: 'next' };
  readonly argument: Argument | null;
  /** What stands in the word before the value: `--mic=`. */
  readonly before: string;
  readonly word: string;
  /** After `--` there are no options any more. */
  readonly onlyArguments: boolean;
};

/** `words` are those after the program's name; the last is the one being typed. */
export function typedSoFar(program: Command, words: readonly string[]): Typed {
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
      awaited = takesValue(option) && !word.includes('=') ? option : null;
    } else if (inner && command === program) command = inner;
    else if (onlyArguments || !word.startsWith('-')) given.push(word);
  }
  return {
    command,
    given,
    used,
    onlyArguments,
    ...last(command, words.at(-1) ?? '', awaited, given, onlyArguments),
  };
}

type Last = Pick<Typed, 'asked' | 'argument' | 'before' | 'word'>;

function last(
  command: Command,
  word: string,
  awaited: Option | null,
  given: readonly string[],
  onlyArguments: boolean,
): Last {
  const argument = argumentAt(command, given.length);
  if (awaited) return { asked: { for: 'value', of: awaited }, argument, before: '', word };
  const [name = '', ...value] = word.split('=');
  const option = onlyArguments ? null : optionOf(command, name);
  if (!option || value.length === 0) return { asked: { for: 'next' }, argument, before: '', word };
  return { asked: { for: 'value', of: option }, argument, before: `${name}=`, word: value.join('=') };
}

export const takesValue = (option: Option): boolean => option.required || option.optional;

const optionOf = (command: Command, name: string): Option | null =>
  command.options.find(({ short, long }) => name !== '' && (name === short || name === long)) ?? null;

/** The last argument may take any number. */
function argumentAt({ registeredArguments }: Command, count: number): Argument | null {
  const end = registeredArguments.at(-1);
  return registeredArguments[count] ?? (end?.variadic ? end : null);
}
