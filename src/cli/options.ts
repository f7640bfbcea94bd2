/** How a command is declared: its arguments, options in groups, the end of its help, and what a shell offers for each value. */
import { Argument, type Command, InvalidArgumentError, Option } from 'commander';
import type { NamesOffer } from '../commands/completion.ts';
import type { NameKind } from '../plan/names.ts';

/** What a shell may offer in place of a value: files, words, names of the plan or the catalogue. */
export type Offer =
  | { readonly from: 'files' }
  | { readonly from: 'words'; readonly words: readonly string[]; readonly list?: true }
  | NamesOffer;

/** Null where there is nothing to offer: a number, a title. */
export const offerOf = (it: (Argument | Option) & { readonly offer?: Offer }): Offer | null =>
  it.offer ?? (it.argChoices ? { from: 'words', words: it.argChoices } : null);

export const FILES: Offer = { from: 'files' };

export const words = (...all: readonly string[]): Offer => ({ from: 'words', words: all });
export const named = (names: NameKind): Offer => ({ from: 'plan', names });

/** Commander has no place for offers: they are put beside its own properties. */
const offering = <T extends Argument | Option>(it: T, offer: Offer | undefined): T =>
  offer ? Object.assign(it, { offer }) : it;

export const argument = (name: string, about: string, offer?: Offer): Argument =>
  offering(new Argument(name, about), offer);

export const option = (flags: string, about: string, offer?: Offer): Option =>
  offering(new Option(flags, about), offer);

/** An option that gathers values; `shown` says in the help what holds without it. */
export const repeatable = (flags: string, about: string, shown: string, offer?: Offer): Option =>
  gathering(option(flags, `${about}; may be repeated`, offer), shown, (value) => [value]);

/** The same for lists with commas. */
export const listed = (flags: string, about: string, shown: string, all: readonly string[]): Option =>
  gathering(option(flags, about, { from: 'words', words: all, list: true }), shown, (value) =>
    value.split(',').map((name) => name.trim()),
  );

const gathering = (it: Option, shown: string, read: (value: string) => readonly string[]): Option =>
  it.default([], shown).argParser((value, before: readonly string[]) => [...before, ...read(value)]);

/** An option that takes a number above 0. */
export const positive = (flags: string, about: string, usual: number): Option =>
  option(flags, about)
    .default(usual, `${usual}`)
    .argParser((text: string) => {
      const value = Number(text);
      if (Number.isFinite(value) && value > 0) return value;
      throw new InvalidArgumentError('It takes a number above 0.');
    });

// Commander keeps the group of an option with it: each command has its own.

/** The plan that most commands are about. */
export const plan = (): Argument => argument('<plan>', 'plan file (YAML), or - for standard input', FILES);

export function output(): Option {
  const about = 'write to a file, whole or not at all';
  return option('-o, --output <file>', about, FILES).default('-', 'standard output');
}

/** How plans are read. */
export function input(): Option[] {
  const [name, about] = ['standard input', 'what messages call a plan from standard input'];
  return [
    option('--beyond-folder', 'studios and tables of the plan may lie outside its folder, too'),
    option('--stdin-name <name>', about).default(name, name),
  ];
}

export const readings = (about = 'levels of the day to go by, as line-check takes them'): Option =>
  repeatable('--readings <file>', about, 'the plan alone', FILES);

export const watch = (saved = 'the plan, a file under it or readings are'): Option =>
  option('--watch', `run again whenever ${saved} saved; Ctrl-C ends`);

export const json = (schema: string): Option =>
  option('--json', `as JSON (shape: shared/schemas/${schema}.schema.json)`);

export type CommandSpec = {
  readonly name: string;
  readonly summary: string;
  readonly description: string;
  readonly takes?: readonly Argument[];
  readonly groups?: Readonly<Record<string, readonly Option[]>>;
  /** Goes before the example. */
  readonly notes?: string;
  readonly example: string;
  /** Where the exit codes are not those of most commands. */
  readonly exitCodes?: string;
  /** Loads the command; called with arguments, then options. Exit code. */
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
    .addHelpText('after', `${notes && `\n${notes}`}\nExample:\n  ${spec.example}\n\n${exitCodes}`)
    .action(async (...given) => {
      const once = () => run(...given);
      if (!command.opts().watch) process.exitCode = await once();
      else {
        const { againOnSave } = await import('../commands/pipeline.ts');
        process.exitCode = await againOnSave([given[0]].flat(), once);
      }
    });
}

/** What every help ends with: exit codes and the environment. */
const exitCodesOf = (one: string | null, done = 'done', refused = 'nothing was written'): string =>
  `Exit codes:
  0   ${done}
${one === null ? '' : `  1   ${one}\n`}  2   bad usage, plan or file; ${refused}
  70  a bug of ours
`;

const EXIT_CODES = exitCodesOf(null);
export const ALL_EXIT_CODES = exitCodesOf('a limit is missed (check), or something is worse (compare)');
export const COMPARE_EXIT_CODES = exitCodesOf('something is worse than in the plan of --no-worse-than');
export const CHECK_EXIT_CODES = exitCodesOf(
  'a limit is missed',
  'every limit of every plan is met',
  'the other plans are told of all the same',
);

export const ENVIRONMENT = `Environment:
  NO_COLOR, FORCE_COLOR  never or always colour; else only on a terminal
  COLUMNS                width of the page, 80 to 140
  SPILLCHECK_DEBUG=1     shows where a bug of ours happened`;
