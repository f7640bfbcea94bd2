/** How a command is declared: arguments, grouped options, the end of its help, and completions of each value. */
import { Argument, type Command, type CommanderError, InvalidArgumentError, Option } from 'commander';
import type { NamesOffer } from '../commands/completion.ts';
import { type Finding, usageError } from '../finding.ts';
import type { NameKind } from '../plan/names.ts';

/** Completions of a value: files, words, names of the plan or the catalogue. */
export type Offer =
  | { readonly from: 'files' }
  | { readonly from: 'words'; readonly words: readonly string[]; readonly list?: true }
  | NamesOffer;

/** Null if there is nothing to complete, as for a number. */
export const offerOf = (it: (Argument | Option) & { readonly offer?: Offer }): Offer | null =>
  it.offer ?? (it.argChoices ? { from: 'words', words: it.argChoices } : null);

export const FILES: Offer = { from: 'files' };

export const words = (...all: readonly string[]): Offer => ({ from: 'words', words: all });
export const named = (names: NameKind): Offer => ({ from: 'plan', names });

/** Commander has no place for completions: they are added to its own properties. */
const offering = <T extends Argument | Option>(it: T, offer: Offer | undefined): T =>
  offer ? Object.assign(it, { offer }) : it;

export const argument = (name: string, about: string, offer?: Offer): Argument =>
  offering(new Argument(name, about), offer);

export const option = (flags: string, about: string, offer?: Offer): Option =>
  offering(new Option(flags, about), offer);

/** An option that collects values. */
export const repeatable = (flags: string, about: string, offer?: Offer): Option =>
  collecting(option(flags, `${about}; repeatable`, offer), (value) => [value]);

/** An option that collects comma-separated lists. */
export const listed = (flags: string, about: string, all: readonly string[]): Option =>
  collecting(option(flags, about, { from: 'words', words: all, list: true }), (value) =>
    value.split(',').map((name) => name.trim()),
  );

const collecting = (it: Option, read: (value: string) => readonly string[]): Option =>
  it.default([]).argParser((value, before: readonly string[]) => [...before, ...read(value)]);

/** An option with a positive number. */
export const positive = (flags: string, about: string, usual: number): Option =>
  option(flags, about)
    .default(usual, `${usual}`)
    .argParser((text: string) => {
      const value = Number(text);
      if (Number.isFinite(value) && value > 0) return value;
      throw new InvalidArgumentError('Write a number above 0.');
    });

/** Description of an option or argument with its values and default. */
export function aboutOf(it: Argument | Option): string {
  const { description, argChoices, defaultValue, defaultValueDescription = defaultValue } = it;
  const values = argChoices ? `: ${argChoices.join(', ')}` : '';
  const isShown = defaultValue !== undefined && !Array.isArray(defaultValue);
  return `${description}${values}${isShown ? ` (default: ${defaultValueDescription})` : ''}`;
}

// Functions, as Commander stores the group in the option: each command needs its own.

export const plan = (): Argument => argument('<plan>', 'plan file (YAML), or - for standard input', FILES);

export const output = (): Option =>
  option('-o, --output <file>', 'output file', FILES).default('-', 'standard output');

export const force = (): Option => option('--force', 'overwrite an existing file');

export const input = (): Option[] => [
  option('--allow-outside', "allow files outside the plan's folder"),
  option('--stdin-name <name>', 'name of a plan from standard input, with the folder of its studio').default(
    'standard input',
  ),
];

/** Commander takes an option that begins with --no- for the negation of another. */
export const noWorse = (value: string, about: string): Option[] => [
  Object.assign(option(`--no-worse-than <${value}>`, about, FILES), { negate: false }),
  option('--within <dB>', 'with --no-worse-than: ignore losses smaller than this').default('0.1'),
];

export const readings = (about = 'judge by levels from a line check'): Option =>
  repeatable('--readings <file>', about, FILES);

export const watch = (what = 'the plan or any file it uses'): Option =>
  option('--watch', `rerun when ${what} is saved`);

export const json = (schema: string): Option =>
  option('--json', `JSON (schema: shared/schemas/${schema}.schema.json)`);

export type CommandSpec = {
  readonly name: string;
  readonly summary: string;
  readonly description: string;
  readonly takes?: readonly Argument[];
  readonly groups?: Readonly<Record<string, readonly Option[]>>;
  /** Printed before the examples. */
  readonly notes?: string;
  readonly examples: readonly string[];
  /** Exit codes that differ from those of most commands. */
  readonly exitCodes?: string;
  /** Loads and runs the command, given its arguments, then its options. Returns the exit code. */
  readonly run: (...given: Parameters<Parameters<Command['action']>[0]>) => Promise<number>;
};

export function addCommand(parent: Command, spec: CommandSpec): void {
  const { takes = [], groups = {}, notes = '', exitCodes = EXIT_CODES, run } = spec;
  const command = parent.command(spec.name).summary(spec.summary).description(spec.description);
  for (const one of takes) command.addArgument(one);
  for (const [title, options] of Object.entries(groups)) {
    command.optionsGroup(`${title}:`);
    for (const one of options) command.addOption(one);
  }
  command
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText('after', `${notes && `\n${notes}`}\n${examplesOf(spec.examples)}\n${exitCodes}`)
    .action(async (...given) => {
      const { recordingReads } = await import('../io/watch.ts');
      const once = () => recordingReads(() => run(...given));
      if (!command.opts().watch) process.exitCode = await once();
      else {
        const { againOnSave } = await import('../commands/pipeline.ts');
        const { readings = [] } = command.opts();
        process.exitCode = await againOnSave([given[0], readings].flat(), once);
      }
    });
}

export const examplesOf = (all: readonly string[]): string =>
  `${all.length > 1 ? 'Examples' : 'Example'}:\n${all.map((one) => `  ${one}\n`).join('')}`;

const exitCodesOf = (one: string | null, zero = 'success', refused = 'nothing written'): string =>
  `Exit codes:
  0   ${zero}
${one === null ? '' : `  1   ${one}\n`}  2   invalid usage, plan or file; ${refused}
  70  internal error (please report)
  130 interrupted (Ctrl-C)
`;

const EXIT_CODES = exitCodesOf(null);
export const ALL_EXIT_CODES = exitCodesOf('a limit is missed (check), or something is worse (compare)');
export const COMPARE_EXIT_CODES = exitCodesOf('something is worse than in the plan of --no-worse-than');
export const CHECK_EXIT_CODES = exitCodesOf(
  'a limit is missed, or a plan is worse than before',
  'every limit of every plan is met',
  'other plans still checked',
);

export const ENVIRONMENT = `Environment:
  NO_COLOR, FORCE_COLOR  colour never or always; by default only on a terminal
  COLUMNS                page width, 80 to 140
  SPILLCHECK_DEBUG=1     show where an internal error happened`;

/** What the argument parser says of a command line, with what to write instead. */
const MISUSES: readonly (readonly [said: RegExp, message: string, fix?: string])[] = [
  [/missing required argument '(.+s)'/, 'COMMAND needs $1'],
  [/missing required argument '(.+)'/, 'COMMAND needs a $1'],
  [/too many arguments for .* Expected (\d+ arguments?) but got (\d+)/, 'COMMAND takes $1, not $2'],
  [/option '(?:-\w, )?(--[\w-]+)(.*)' argument missing/, '$1 needs a value', 'write $1$2'],
  [/option '(?:-\w, )?(--[\w-]+).*' argument '(.*)' is invalid\. (.+?)\.?$/s, '$1 cannot be "$2"', '$3'],
  [/argument value '(.*)' is invalid for argument '(.+)'\. (.+?)\.?$/s, '$2 cannot be "$1"', '$3'],
  [/required option '(.+)' not specified/, 'COMMAND needs $1', 'add $1'],
  [/unknown (option|command) '(.+)'/, 'no $1 named "$2"', 'see HELP'],
];

/** A command line that the argument parser refuses, as any other error. */
export function misuse({ message }: CommanderError, command: Command): Finding {
  const usage = `${command.name()} ${command.usage().replace('[options]', '')}`.replaceAll(/ +/g, ' ').trim();
  const isTop = command.parent === null;
  const program = isTop ? '' : 'spillcheck ';
  const filled = (text: string) =>
    text
      .replace('COMMAND', command.name())
      .replace('HELP', `${program}${command.name()} --help`)
      .replace(/^Allowed choices are /, 'use one of ')
      .replace(/^Write/, 'write');
  const [, near] = /\(Did you mean (.+?)\?\)/.exec(message) ?? [];
  const plain = message.replace(/^error: /, '').replace(/\n\(Did you mean .*$/s, '');
  for (const [said, about, fix = `write ${program}${upperCased(usage)}`] of MISUSES) {
    const match = said.exec(plain);
    if (!match) continue;
    const put = (text: string) =>
      text.replace(/\$(\d)/g, (_, i: string) => upperCased(match[Number(i)] ?? ''));
    return usageError(put(filled(about)), near ? `did you mean ${near}?` : filled(put(fix)));
  }
  return usageError(plain, filled('see HELP'));
}

/** `<plan>` is PLAN, as in the examples. */
const upperCased = (usage: string): string =>
  usage.replace(/<(.+?)>/g, (_, name: string) => name.toUpperCase());
