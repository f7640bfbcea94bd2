/** Options that several commands have, worded once. */
import { Argument, type Command, InvalidArgumentError, Option } from 'commander';
import { offering } from './offers.ts';

/** The plan that most commands are about. */
export const planFile = (): Argument =>
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
