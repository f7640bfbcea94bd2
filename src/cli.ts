/** From the command line to a command; every command loads only when it is called. */
import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import about from '../package.json' with { type: 'json' };
import type { CatalogueOptions } from './commands/catalogue.ts';
import type { CheckOptions } from './commands/check.ts';
import type { CompareOptions } from './commands/compare.ts';
import type { DrawOptions } from './commands/draw.ts';
import type { LineCheckOptions } from './commands/line-check.ts';
import type { ReportOptions } from './commands/report.ts';
import type { SheetOptions } from './commands/sheet.ts';
import type { SuggestOptions } from './commands/suggest-options.ts';
import type { TryOptions } from './commands/try-options.ts';
import type { WhyOptions } from './commands/why.ts';
import { say, tolerateClosedPipes } from './io/streams.ts';
import { SECTIONS } from './render/sections.ts';

const BAD_USAGE = 2;
const OUR_BUG = 70;

async function main(argv: readonly string[]): Promise<void> {
  tolerateClosedPipes();
  try {
    await program().parseAsync(argv);
  } catch (error) {
    process.exitCode = error instanceof CommanderError ? usageCode(error) : await bug(error);
  }
}

/** Asking for help or the version is no mistake; all else that commander refuses is. */
const usageCode = (error: CommanderError): number => (error.exitCode === 0 ? 0 : BAD_USAGE);

async function bug(error: unknown): Promise<number> {
  const [message, stack] = error instanceof Error ? [error.message, error.stack] : [String(error), undefined];
  const hint = 'please report it with your plan; SPILLCHECK_DEBUG=1 shows where';
  await say(`spillcheck: this is a bug of ours (${message.split('\n')[0]}); ${hint}\n`);
  if (process.env.SPILLCHECK_DEBUG === '1' && stack) await say(`${stack}\n`);
  return OUR_BUG;
}

function program(): Command {
  const command = new Command('spillcheck')
    .description('Works out, from a floor plan, how much of every player reaches every microphone.')
    .exitOverride()
    .version(about.version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'show this help, or that of a command')
    .showSuggestionAfterError()
    .addHelpText('after', `\n${ALL_EXIT_CODES}\n${ENVIRONMENT}`);
  command.commandsGroup('Judge a plan:');
  addReport(command);
  addWhy(command);
  addCheck(command);
  addCompare(command);
  addTry(command);
  addSuggest(command);
  command.commandsGroup('Put it on paper:');
  addDraw(command);
  addSheet(command);
  addLineCheck(command);
  command.commandsGroup('Look things up:');
  addCatalogue(command);
  command.commandsGroup('Help:').helpCommand('help [command]', 'show the help of a command');
  return command;
}

function addReport(parent: Command): void {
  const report = parent
    .command('report')
    .summary('what cannot be fixed later, signal to bleed, who hears whom, pitfalls')
    .description(
      'What cannot be fixed later, what hangs together, signal to bleed of every microphone, people and pitfalls.',
    )
    .argument('<plan>', 'plan file (YAML), or - for standard input');
  report
    .optionsGroup('How much is shown:')
    .addOption(
      new Option('--mic <name>', 'only this microphone, pair or line, in full; may be repeated')
        .default([], 'every one')
        .argParser(collect),
    )
    .option('--passage <name>', 'only this passage of the plan')
    .addOption(
      new Option('--show <sections>', `these in full: ${SECTIONS.join(', ')}`)
        .default([], 'the answers in brief')
        .argParser(collectAll),
    )
    .option('--all', 'every section, microphone and bleeder, nothing shortened')
    .option('--bands', 'levels and reverberation by octave as well')
    .option('--assumptions', 'list what was assumed where the plan is silent')
    .option('--tolerance', 'how far figures may be off on the day, and how likely limits hold; takes a while')
    .option('--no-plan', 'leave the small plan in characters out')
    .optionsGroup('Delays:')
    .addOption(
      new Option('--carried-within <dB>', 'a microphone counts that has a part so far under its own')
        .default(20, '20')
        .argParser(positive),
    )
    .addOption(
      new Option('--sample-rate <hz>', 'samples per second').default(48000, '48000').argParser(positive),
    )
    .optionsGroup('Where to and how:')
    .option('--json', 'as JSON (shape: shared/schemas/report.schema.json)')
    .addOption(
      new Option(
        '--html <file>',
        'as one self-contained page with the drawing; - is standard output',
      ).conflicts(['json', 'output']),
    )
    .option('-o, --output <file>', 'write to a file, whole or not at all; - is standard output', '-')
    .option('--watch', 'run again whenever the plan or a file under it is saved; Ctrl-C ends')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText('after', `\nExample:\n  spillcheck report session.yaml --mic vocal --bands\n\n${EXIT_CODES}`)
    .action(async (plan: string, options: ReportOptions & Watched) => {
      const { report: run } = await import('./commands/report.ts');
      process.exitCode = await maybeWatched([plan], options, () => run(plan, options));
    });
}

function addWhy(parent: Command): void {
  const why = parent
    .command('why')
    .summary('every way of a source to a microphone, gain by gain')
    .description(
      'Why a source is as loud in a microphone as it is: every way of it, gain by gain, by octave.',
    )
    .argument('<plan>', 'plan file (YAML), or - for standard input');
  why
    .optionsGroup('What is asked:')
    .requiredOption('--mic <name>', 'microphone, pair, one capsule of it (overheads.left) or line')
    .requiredOption('--source <name>', 'source, kit, part or player')
    .option('--all', 'every way by octave, and of every piece of a kit')
    .optionsGroup('Where to and how:')
    .option('--json', 'as JSON (shape: shared/schemas/why.schema.json)')
    .option('-o, --output <file>', 'write to a file, whole or not at all; - is standard output', '-')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText(
      'after',
      `\nExample:\n  spillcheck why session.yaml --mic vocal --source drums.snare\n\n${EXIT_CODES}`,
    )
    .action(async (plan: string, options: WhyOptions) => {
      const { why: run } = await import('./commands/why.ts');
      process.exitCode = await run(plan, options);
    });
}

function addCheck(parent: Command): void {
  const check = parent
    .command('check')
    .summary('whether plans meet their limits, for CI')
    .description('Whether plans meet their limits: worst first, for people and for machines.')
    .argument('<plan...>', 'plan files (YAML), patterns such as "plans/**/*.yaml", or - for standard input');
  check
    .optionsGroup('What counts:')
    .option('--strict', 'a limit met by less than 3 dB counts as missed')
    .optionsGroup('Where to and how:')
    .addOption(
      new Option('--format <name[=file]>', 'text, json, junit, sarif or annotations; may be repeated')
        .default([], 'text on standard output')
        .argParser(collect),
    )
    .option('--json', 'the same as --format json (shape: shared/schemas/check.schema.json)')
    .option('--all', 'text lists what is clearly met, too')
    .option('--watch', 'run again whenever the plan or a file under it is saved; Ctrl-C ends')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText(
      'after',
      `\nExample:\n  spillcheck check "plans/*.yaml" --format text --format junit=limits.xml\n\n${CHECK_EXIT_CODES}`,
    )
    .action(async (plans: readonly string[], options: CheckOptions & Watched) => {
      const { check: run } = await import('./commands/check.ts');
      process.exitCode = await maybeWatched(plans, options, () => run(plans, options));
    });
}

function addCompare(parent: Command): void {
  const compare = parent
    .command('compare')
    .summary('plans side by side: what changes, and what makes the change')
    .description('Plans side by side: mics, parts and players that change, and the entries that differ.')
    .argument('<plan...>', 'two plan files (YAML) or more; - for one from standard input');
  compare
    .optionsGroup('What counts:')
    .addOption(noWorseThan())
    .option('--within <dB>', 'smaller losses than this are none', '0.1')
    .optionsGroup('Where to and how:')
    .option('--all', 'what does not change as well')
    .option('--json', 'as JSON (shape: shared/schemas/compare.schema.json)')
    .option('-o, --output <file>', 'write to a file, whole or not at all; - is standard output', '-')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText(
      'after',
      `\nExample:\n  spillcheck compare before.yaml after.yaml --no-worse-than before.yaml\n\n${COMPARE_EXIT_CODES}`,
    )
    .action(async (plans: readonly string[], options: CompareOptions) => {
      const { compare: run } = await import('./commands/compare.ts');
      process.exitCode = await run(plans, options);
    });
}

function addSheet(parent: Command): void {
  const sheet = parent
    .command('sheet')
    .summary('the load-in sheet: inputs, places by tape, headphones')
    .description(
      'The load-in sheet, for whoever sets up: input list, places by tape from two walls, baffles, covers, doors, headphones.',
    )
    .argument('<plan>', 'plan file (YAML), or - for standard input');
  sheet
    .addOption(
      new Option('--format <name>', 'what it is to be read in')
        .choices(['text', 'csv', 'html', 'json'])
        .default('text'),
    )
    .option('--json', 'the same as --format json (shape: shared/schemas/sheet.schema.json)')
    .option('-o, --output <file>', 'write to a file, whole or not at all; - is standard output', '-')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText(
      'after',
      `\nExample:\n  spillcheck sheet session.yaml --format html -o load-in.html\n\n${EXIT_CODES}`,
    )
    .action(async (plan: string, options: SheetOptions) => {
      const { sheet: run } = await import('./commands/sheet.ts');
      process.exitCode = await run(plan, options);
    });
}

function addTry(parent: Command): void {
  const tries = parent
    .command('try')
    .summary('vary any value of a plan over a range or list, a row of figures each')
    .description('Varies values of a plan and writes a row of figures for every combination, as they come.')
    .argument('<plan>', 'plan file (YAML), or - for standard input');
  tries
    .optionsGroup('What is tried:')
    .addOption(
      new Option(
        '--each <path=values>',
        'an entry with 0..350/10, 10..50/5 cm or a list; ~ takes it out; may be repeated',
      )
        .default([], 'none')
        .argParser(collect),
    )
    .option('--random <count>', 'so many combinations at random instead of all')
    .option('--seed <number>', 'of what is drawn', '1')
    .option('--slice <part/parts>', 'only one part of all rows, so that several can share the work', '1/1')
    .optionsGroup('What is shown:')
    .addOption(
      new Option(
        '--show <column>',
        'worst-margin, shortfall, signal-to-bleed.MIC, ghost.PART, editable.PART, hears.A.B; may be repeated',
      )
        .default([], 'worst-margin, shortfall and signal-to-bleed of every mic')
        .argParser(collect),
    )
    .option('--best <count>', 'only so many of the best rows, best first')
    .option('--by <column>', 'by which column')
    .optionsGroup('How:')
    .option('--format <name>', 'csv or ndjson', 'csv')
    .option('--json', 'the same as --format ndjson (shape: shared/schemas/try.schema.json)')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText(
      'after',
      `\nExample:\n  spillcheck try session.yaml --each 'mics.vocal.aim.bearing=0..350/10' \\\n    --each 'mics.vocal.pattern=cardioid, figure-8' --best 5 --by worst-margin\n\n${EXIT_CODES}`,
    )
    .action(async (plan: string, options: TryOptions) => {
      const { tryValues } = await import('./commands/try.ts');
      process.exitCode = await tryValues(plan, options);
    });
}

function addDraw(parent: Command): void {
  const draw = parent
    .command('draw')
    .summary('the plan to scale, as SVG, with the worst bleed')
    .description(
      'The plan to scale, as SVG: rooms, players, the shape of every microphone, and the loudest bleed into each.',
    )
    .argument('<plan>', 'plan file (YAML), or - for standard input');
  draw
    .optionsGroup('What is drawn:')
    .option('--mic <name>', 'what this microphone, pair or capsule hears, from whom and how loud')
    .option('--level <source>', 'shade the floor by the level of a source, kit, part or player, 1.2 m up')
    .option(
      '--band <octave>',
      'octave band whose patterns are drawn: 63, 125, 250, 500, 1k, 2k, 4k, 8k',
      '1k',
    )
    .optionsGroup('How it looks:')
    .option('--paper <size>', 'a4 or letter, lying or upright, whichever is finer; else as large as it needs')
    .option('--dark', 'light on dark')
    .optionsGroup('Where to:')
    .option('-o, --output <file>', 'write to a file, whole or not at all; - is standard output', '-')
    .option('--watch', 'run again whenever the plan or a file under it is saved; Ctrl-C ends')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText(
      'after',
      `\nExample:\n  spillcheck draw session.yaml --paper a4 -o session.svg\n\n${EXIT_CODES}`,
    )
    .action(async (plan: string, options: DrawOptions & Watched) => {
      const { draw: run } = await import('./commands/draw.ts');
      process.exitCode = await maybeWatched([plan], options, () => run(plan, options));
    });
}

function addLineCheck(parent: Command): void {
  const lineCheck = parent
    .command('line-check')
    .summary('levels measured on the day against the plan')
    .description(
      'Levels measured on the day against the plan: what was fitted, what does not fit, and what would explain it.',
    )
    .argument('<plan>', 'plan file (YAML), or - for standard input')
    .argument('<readings...>', 'a table (CSV), or takes (WAVE files, or a folder of them)');
  lineCheck
    .optionsGroup('Where to and how:')
    .option(
      '-o, --output <file>',
      'write the plan with the measured levels; - puts it in place of the answer',
    )
    .option('--all', 'every reading that stands out, nothing shortened')
    .option('--json', 'as JSON (shape: shared/schemas/line-check.schema.json)')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText(
      'after',
      `\n${READINGS}\nExample:\n  spillcheck line-check session.yaml readings.csv\n\n${EXIT_CODES}`,
    )
    .action(async (plan: string, readings: readonly string[], options: LineCheckOptions) => {
      const { lineCheck: run } = await import('./commands/line-check.ts');
      process.exitCode = await run(plan, readings, options);
    });
}

const READINGS = `Readings:
  Each player plays alone for some seconds; the level is noted at every microphone, after its filters.
  A table   first line: played, then microphones (a pair, or overheads.left); then a line for each who played
            (player, source, kit or part), and one called noise. dB on any scale, gaps empty or -; with a column
            band (63 to 8000 Hz), a line for each octave, which tells far more.
  Takes     player.wav with all microphones: channels by the plan's channel keys, else in the order of the plan,
            lines and both sides of a pair counted; or player/mic.wav. Called noise: nobody plays.
`;

function addSuggest(parent: Command): void {
  const suggest = parent
    .command('suggest')
    .summary('moves that better a plan, each computed, best for its effort first')
    .description('Moves that better a plan, each computed with the whole model, best for its effort first.')
    .argument('<plan>', 'plan file (YAML), or - for standard input');
  suggest
    .optionsGroup('What is asked:')
    .option('--for <mic>', 'only what betters this microphone')
    .option('--for-part <part>', 'only what betters this part and its microphones')
    .option('--moves <count>', 'sets of up to so many moves, 1 to 5', '1')
    .option('--robust', 'rank by what holds on nine of ten days within the tolerance; takes a while')
    .addOption(
      new Option('--minutes <move=minutes>', 'what a kind of move takes; may be repeated')
        .default([], 'high-pass 0.5 to other-room 20')
        .argParser(collect),
    )
    .optionsGroup('Where to and how:')
    .option(
      '--apply <which>',
      'write the plan with a suggestion made, by its number, or all that go together',
    )
    .option('--in-place', 'with --apply: into the plan itself')
    .option('--all', 'every suggestion, with all it helps and costs')
    .option('--json', 'as JSON (shape: shared/schemas/suggest.schema.json)')
    .option('-o, --output <file>', 'write to a file, whole or not at all; - is standard output', '-')
    .option('--stdin-name <name>', 'what messages call a plan from standard input', 'standard input')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText(
      'after',
      `\nExample:\n  spillcheck suggest session.yaml --moves 2 --for vocal\n\n${EXIT_CODES}`,
    )
    .action(async (plan: string, options: SuggestOptions) => {
      const { suggest: run } = await import('./commands/suggest.ts');
      process.exitCode = await run(plan, options);
    });
}

function addCatalogue(parent: Command): void {
  const catalogue = parent
    .command('catalogue')
    .summary('what a plan can name: instruments, materials, patterns and the rest')
    .description(
      'What a plan can name. Without a word: all kinds and names; a kind: a table of it; a name: every figure with its source.',
    )
    .argument('[kind]', 'instruments, kits, finishes ..., or the name itself')
    .argument('[name...]', 'a name, or words that its name and description must hold');
  catalogue
    .option('--json', 'as JSON (shape: shared/schemas/catalogue.schema.json)')
    .option('-o, --output <file>', 'write to a file, whole or not at all; - is standard output', '-')
    .optionsGroup('Help:')
    .helpOption('-h, --help', 'show this help')
    .addHelpText('after', `\nExample:\n  spillcheck catalogue finishes curtain-heavy\n\n${EXIT_CODES}`)
    .action(async (kind: string | undefined, names: readonly string[], options: CatalogueOptions) => {
      const { catalogue: run } = await import('./commands/catalogue.ts');
      process.exitCode = await run(kind === undefined ? [] : [kind, ...names], options);
    });
}

/** To commander an option that begins with --no- takes another back. */
function noWorseThan(): Option {
  const option = new Option('--no-worse-than <plan>', 'one of them: exit 1, and why, where another is worse');
  option.negate = false;
  return option;
}

type Watched = { readonly watch?: true };

async function maybeWatched<Code extends number>(
  plans: readonly string[],
  { watch }: Watched,
  run: () => Promise<Code>,
): Promise<Code | 0 | 2> {
  if (!watch) return run();
  const { againOnSave } = await import('./commands/again-on-save.ts');
  return againOnSave(plans, run);
}

function positive(text: string): number {
  const value = Number(text);
  if (Number.isFinite(value) && value > 0) return value;
  throw new InvalidArgumentError('It takes a number above 0.');
}

const collect = (name: string, before: readonly string[]): string[] => [...before, name];
const collectAll = (names: string, before: readonly string[]): string[] => [
  ...before,
  ...names.split(',').map((name) => name.trim()),
];

const exitCodes = (lines: readonly string[]): string =>
  `Exit codes:\n${[...lines, '70  a bug of ours'].map((line) => `  ${line}\n`).join('')}`;

const REFUSED = '2   bad usage, plan or file; nothing was written';
const EXIT_CODES = exitCodes(['0   done', REFUSED]);
const ALL_EXIT_CODES = exitCodes(['0   done', '1   a limit is missed; from check alone', REFUSED]);
const CHECK_EXIT_CODES = exitCodes([
  '0   every limit of every plan is met',
  '1   a limit is missed',
  '2   bad usage, plan or file; the other plans are told of all the same',
]);

const COMPARE_EXIT_CODES = `Exit codes:
  0   done
  1   something is worse than in the plan of --no-worse-than
  2   bad usage, plan or file; nothing was written
  70  a bug of ours
`;

const ENVIRONMENT = `Environment:
  NO_COLOR, FORCE_COLOR  never or always colour; else only on a terminal
  COLUMNS                width of the page, 80 to 140
  SPILLCHECK_DEBUG=1     shows where a bug of ours happened`;

await main(process.argv);
