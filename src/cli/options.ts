/** Options shared by commands (moves to commands/options.ts). */
import { Argument, type Command, InvalidArgumentError, Option } from 'commander';
import type { NamesOffer } from '../commands/completion.ts';

/** The plan that most commands are about. */
export const planArgument = (): Argument =>
  offering(new Argument('<plan>', 'plan file (YAML), or - for standard input'), { from: 'files' });

export const outputFile = (): Option =>
  offering(
    new Option('-o, --output <file>', 'write to a file, whole or not at all').default('-', 'standard output'),
    { from: 'files' },
  );

export const stdinName = (): Option =>
  new Option('--stdin-name <name>', 'what messages call a plan from standard input').default(
    'standard input',
    'standard input',
  );

export const beyondFolder = (): Option =>
  new Option('--beyond-folder', 'studios and tables of the plan may lie outside its folder, too');

export const readings = (what = 'levels of the day to go by, as line-check takes them'): Option =>
  offering(
    new Option('--readings <file>', `${what}; may be repeated`)
      .default([], 'the plan alone')
      .argParser(collect),
    { from: 'files' },
  );

/** `saved`: what a command reads beside plans. */
export const watch = (saved = 'the plan or a file under it is'): Option =>
  new Option('--watch', `run again whenever ${saved} saved; Ctrl-C ends`);

export const PLAN_OR_READINGS = 'the plan, a file under it or readings are';

/** Every help ends alike: the help option in a group of its own, then an example and the exit codes. */
export function helpEnds(command: Command, text: string): void {
  command.optionsGroup('Help:').helpOption('-h, --help', 'show this help').addHelpText('after', text);
}

/** Reads a number above 0. */
export function positive(text: string): number {
  const value = Number(text);
  if (Number.isFinite(value) && value > 0) return value;
  throw new InvalidArgumentError('It takes a number above 0.');
}

/** Gathers an option that may be repeated; `collectAll` takes lists with commas as well. */
export const collect = (name: string, before: readonly string[]): string[] => [...before, name];

export const collectAll = (names: string, before: readonly string[]): string[] => [
  ...before,
  ...names.split(',').map((name) => name.trim()),
];
/** Commands that can run again on every save. */
export type Watched = { readonly watch?: true };

export async function maybeWatched<Code extends number>(
  plans: readonly string[],
  { watch }: Watched,
  run: () => Promise<Code>,
): Promise<Code | 0 | 2> {
  if (!watch) return run();
  const { againOnSave } = await import('../commands/pipeline.ts');
  return againOnSave(plans, run);
}

// What a shell may offer in place of a value: said where the option or argument is made, as commander has no place for it.

export type Offer =
  | { readonly from: 'files' }
  | { readonly from: 'words'; readonly words: readonly string[]; readonly list?: true }
  | NamesOffer;

const offers = new WeakMap<Argument | Option, Offer>();

/** The same option or argument, of which a shell is told. */
export function offering<T extends Argument | Option>(it: T, offer: Offer): T {
  offers.set(it, offer);
  return it;
}

/** Null where there is nothing to offer: a number, a title. */
export function offerOf(it: Argument | Option): Offer | null {
  const said = offers.get(it);
  if (said) return said;
  return it.argChoices ? { from: 'words', words: it.argChoices } : null;
}
/** What every help ends with: exit codes and the environment. */
const exitCodes = (lines: readonly string[]): string =>
  `Exit codes:\n${[...lines, '70  a bug of ours'].map((line) => `  ${line}\n`).join('')}`;

const REFUSED = '2   bad usage, plan or file; nothing was written';

export const EXIT_CODES = exitCodes(['0   done', REFUSED]);

export const ALL_EXIT_CODES = exitCodes([
  '0   done',
  '1   a limit is missed (check), or something is worse (compare)',
  REFUSED,
]);

export const CHECK_EXIT_CODES = exitCodes([
  '0   every limit of every plan is met',
  '1   a limit is missed',
  '2   bad usage, plan or file; the other plans are told of all the same',
]);

export const COMPARE_EXIT_CODES = `Exit codes:
  0   done
  1   something is worse than in the plan of --no-worse-than
  2   bad usage, plan or file; nothing was written
  70  a bug of ours
`;

export const FIRST_STEPS = `Example:
  spillcheck start -o plan.yaml && spillcheck report plan.yaml
`;

export const ENVIRONMENT = `Environment:
  NO_COLOR, FORCE_COLOR  never or always colour; else only on a terminal
  COLUMNS                width of the page, 80 to 140
  SPILLCHECK_DEBUG=1     shows where a bug of ours happened`;
