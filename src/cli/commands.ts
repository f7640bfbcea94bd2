/** Every command with its arguments and options; each loads only when it is called. */
import type { Command } from 'commander';
import type { CatalogueOptions, SchemaOptions, StartOptions } from '../commands/catalogue.ts';
import type { CheckOptions } from '../commands/check.ts';
import type { CompareOptions, TryOptions } from '../commands/compare.ts';
import type { DrawCommandOptions, SheetOptions } from '../commands/draw.ts';
import type { LineCheckOptions } from '../commands/line-check.ts';
import type { ReportOptions, WhyCommandOptions } from '../commands/report.ts';
import type { SuggestCommandOptions } from '../commands/suggest.ts';
import { SECTIONS } from '../report/answer.ts';
import { candidates } from './complete.ts';
import {
  argument,
  CHECK_EXIT_CODES,
  COMPARE_EXIT_CODES,
  type CommandSpec,
  FILES,
  input,
  json,
  listed,
  named,
  option,
  output,
  plan,
  positive,
  readings,
  repeatable,
  watch,
  words,
} from './options.ts';

const start: CommandSpec = {
  name: 'start',
  summary: 'a commented plan to start from',
  description: 'A commented plan to start from, which can be reported at once.',
  groups: {
    'What it holds': [
      option('--room <kind>', 'the room, with players who would be in it')
        .choices(['living-room', 'hall', 'church', 'garage'] satisfies StartOptions['room'][])
        .default('living-room'),
    ],
    'Where to': [output(), option('--overwrite', 'even where the file is there already')],
  },
  example: 'spillcheck start --room church -o concert.yaml',
  run: async (options: StartOptions) => (await import('../commands/catalogue.ts')).start(options),
};

const entry = (name: string, about: string) => argument(name, about, { from: 'catalogue' });

const catalogue: CommandSpec = {
  name: 'catalogue',
  summary: 'what a plan can name: instruments, materials, patterns and the rest',
  description: 'What a plan can name, each figure with its source; finds entries by any word.',
  takes: [
    entry('[kind]', 'instruments, kits, finishes ...: all of that kind; none: all there is'),
    entry('[name...]', 'one of them, with every figure; or words to look for, with a kind or without'),
  ],
  groups: { 'Where to and how': [json('catalogue'), output()] },
  example: 'spillcheck catalogue finishes curtain',
  run: async (kind: string | undefined, names: readonly string[], options: CatalogueOptions) =>
    (await import('../commands/catalogue.ts')).catalogue(kind === undefined ? [] : [kind, ...names], options),
};

const report: CommandSpec = {
  name: 'report',
  summary: 'what cannot be fixed later, signal to bleed, who hears whom, pitfalls',
  description: 'What cannot be fixed later, signal to bleed of every mic, people and pitfalls.',
  takes: [plan()],
  groups: {
    'Judged by': [readings()],
    'How much is shown': [
      repeatable('--mic <name>', 'only this microphone, pair or line, in full', 'every one', named('mics')),
      option('--passage <name>', 'only this passage of the plan', named('passages')),
      listed('--show <sections>', `these in full: ${SECTIONS.join(', ')}`, 'the answers in brief', SECTIONS),
      option('--all', 'every section, microphone and bleeder, nothing shortened'),
      option('--bands', 'levels and reverberation by octave as well'),
      option('--assumptions', 'list what was assumed where the plan is silent'),
      option(
        '--tolerance',
        'how far figures may be off on the day, and how likely limits hold; takes a while',
      ),
      option('--no-moves', 'do not look for moves that better the plan'),
      option('--no-plan', 'leave the small plan in characters out'),
    ],
    Delays: [
      positive('--carried-within <dB>', 'a microphone counts that has a part so far under its own', 20),
      positive('--sample-rate <hz>', 'samples per second', 48000),
    ],
    'Where to and how': [
      json('report'),
      option(
        '--html <file>',
        'as one self-contained page with the drawing; - is standard output',
        FILES,
      ).conflicts(['json', 'output']),
      output(),
      watch(),
      ...input(),
    ],
  },
  example: 'spillcheck report session.yaml --mic vocal --bands',
  run: async (plan: string, options: ReportOptions) =>
    (await import('../commands/report.ts')).report(plan, options),
};

const why: CommandSpec = {
  name: 'why',
  summary: 'every way of a source to a microphone, gain by gain',
  description: 'Why a source is as loud in a microphone as it is: every way of it, by octave.',
  takes: [plan()],
  groups: {
    'What is asked': [
      option(
        '--mic <name>',
        'microphone, pair, one capsule of it (overheads.left) or line',
        named('capsules'),
      ).makeOptionMandatory(),
      option('--source <name>', 'source, kit, part or player', named('sources')).makeOptionMandatory(),
      option('--all', 'every way by octave, and of every piece of a kit'),
    ],
    'Where to and how': [json('why'), output(), ...input()],
  },
  example: 'spillcheck why session.yaml --mic vocal --source drums.snare',
  run: async (plan: string, options: WhyCommandOptions) =>
    (await import('../commands/report.ts')).why(plan, options),
};

/** To commander an option that begins with --no- takes another back. */
const noWorseThan = Object.assign(
  option('--no-worse-than <plan>', 'one of them: exit 1, and why, where another is worse', FILES),
  { negate: false },
);

const compare: CommandSpec = {
  name: 'compare',
  summary: 'plans side by side: what changes, and what makes the change',
  description: 'Plans side by side: what changes, and the entries that make the change.',
  takes: [argument('<plan...>', 'two plan files (YAML) or more; - for one from standard input', FILES)],
  groups: {
    'What counts': [
      readings('levels of the day, read in the first plan; what others change about a level comes on top'),
      noWorseThan,
      option('--within <dB>', 'smaller losses than this are none').default('0.1'),
    ],
    'Where to and how': [
      option('--all', 'what does not change as well'),
      json('compare'),
      output(),
      ...input(),
    ],
  },
  example: 'spillcheck compare before.yaml after.yaml --no-worse-than before.yaml',
  exitCodes: COMPARE_EXIT_CODES,
  run: async (plans: readonly string[], options: CompareOptions) =>
    (await import('../commands/compare.ts')).runCompare(plans, options),
};

const tries: CommandSpec = {
  name: 'try',
  summary: 'vary any value of a plan over a range or list, a row of figures each',
  description: 'Varies values of a plan: a row of figures for every combination, as they come.',
  takes: [plan()],
  groups: {
    'What is tried': [
      repeatable(
        '--each <path=values>',
        'an entry with 0..350/10, 10..50/5 cm or a list; ~ takes it out',
        'none',
        { from: 'paths' },
      ),
      option('--random <count>', 'so many combinations at random instead of all'),
      option('--seed <number>', 'of what is drawn').default('1'),
      option('--slice <part/parts>', 'only one part of all rows, so that several can share the work').default(
        '1/1',
      ),
    ],
    'What is shown': [
      repeatable(
        '--show <column>',
        'worst-margin, shortfall, signal-to-bleed.MIC, ghost.PART, isolation.PART, hears.A.B',
        'worst-margin, shortfall and signal-to-bleed of every mic',
        { from: 'columns' },
      ),
      option('--best <count>', 'only so many of the best rows, best first'),
      option('--by <column>', 'by which column', { from: 'columns' }),
    ],
    How: [
      option('--format <name>', 'csv or ndjson', words('csv', 'ndjson')).default('csv'),
      option('--json', 'the same as --format ndjson (shape: shared/schemas/try.schema.json)'),
      ...input(),
    ],
  },
  example:
    "spillcheck try session.yaml --each 'mics.vocal.aim.bearing=0..350/10' \\\n    --each 'mics.vocal.pattern=cardioid, figure-8' --best 5 --by worst-margin",
  run: async (plan: string, options: TryOptions) =>
    (await import('../commands/compare.ts')).tryValues(plan, options),
};

const suggest: CommandSpec = {
  name: 'suggest',
  summary: 'moves that better a plan, each computed, best for its effort first',
  description: 'Moves that better a plan, each computed, best for its effort first.',
  takes: [plan()],
  groups: {
    'What is asked': [
      readings(),
      option('--for <mic>', 'only what betters this microphone', named('mics')),
      option('--for-part <part>', 'only what betters this part and its microphones', named('parts')),
      option('--moves <count>', 'sets of up to so many moves, 1 to 5').default('1'),
      option('--robust', 'rank by what holds on nine of ten days within the tolerance; takes a while'),
      repeatable('--minutes <move=minutes>', 'what a kind of move takes', 'high-pass 0.5 to other-room 20'),
    ],
    'Where to and how': [
      option(
        '--apply <which>',
        'write the plan with a suggestion made, by its number, or all that go together',
        words('all'),
      ),
      option('--in-place', 'with --apply: into the plan itself'),
      option('--all', 'every suggestion, with all it helps and costs'),
      json('suggest'),
      output(),
      ...input(),
    ],
  },
  example: 'spillcheck suggest session.yaml --moves 2 --for vocal',
  run: async (plan: string, options: SuggestCommandOptions) =>
    (await import('../commands/suggest.ts')).suggest(plan, options),
};

const check: CommandSpec = {
  name: 'check',
  summary: 'whether plans meet their limits',
  description: 'Whether plans meet their limits, worst first.',
  takes: [
    argument(
      '<plan...>',
      'plan files (YAML), patterns such as "plans/**/*.yaml", or - for standard input',
      FILES,
    ),
  ],
  groups: {
    'What counts': [option('--strict', 'a limit met by less than 3 dB counts as missed'), readings()],
    'How it is told': [option('--all', 'what is clearly met is listed, too'), watch(), ...input()],
    'For build servers': [
      repeatable(
        '--format <name[=file]>',
        'text, json, junit, sarif or annotations',
        'text on standard output',
        words('text', 'json', 'junit', 'sarif', 'annotations'),
      ),
      option('--json', 'the same as --format json (shape: shared/schemas/check.schema.json)'),
    ],
  },
  example: 'spillcheck check "plans/*.yaml" --strict',
  exitCodes: CHECK_EXIT_CODES,
  run: async (plans: readonly string[], options: CheckOptions) =>
    (await import('../commands/check.ts')).check(plans, options),
};

const draw: CommandSpec = {
  name: 'draw',
  summary: 'the plan to scale, as SVG, with the worst bleed',
  description: 'The plan to scale, as SVG: rooms, players, microphones and the loudest bleed.',
  takes: [plan()],
  groups: {
    'What is drawn': [
      option(
        '--mic <name>',
        'what this microphone, pair or capsule hears, from whom and how loud',
        named('capsules'),
      ),
      option(
        '--level <source>',
        'shade the floor by the level of a source, kit, part or player, 1.2 m up',
        named('sources'),
      ),
      option(
        '--band <octave>',
        'octave band whose patterns are drawn: 63, 125, 250, 500, 1k, 2k, 4k, 8k',
        words('63', '125', '250', '500', '1k', '2k', '4k', '8k'),
      ).default('1k'),
    ],
    'How it looks': [
      option(
        '--paper <size>',
        'a4 or letter, lying or upright, whichever is finer; else as large as it needs',
        words('a4', 'letter'),
      ),
      option('--dark', 'light on dark'),
    ],
    'Where to': [output(), watch('the plan or a file under it is'), ...input()],
  },
  example: 'spillcheck draw session.yaml --paper a4 -o session.svg',
  run: async (plan: string, options: DrawCommandOptions) =>
    (await import('../commands/draw.ts')).runDraw(plan, options),
};

const sheet: CommandSpec = {
  name: 'sheet',
  summary: 'the load-in sheet: inputs, places by tape, headphones',
  description: 'The load-in sheet: inputs, places by tape from two walls, doors, headphones.',
  takes: [plan()],
  groups: {
    'Where to and how': [
      option('--format <name>', 'what it is to be read in')
        .choices(['text', 'csv', 'html', 'json'] satisfies SheetOptions['format'][])
        .default('text'),
      option('--json', 'the same as --format json (shape: shared/schemas/sheet.schema.json)'),
      output(),
      ...input(),
    ],
  },
  example: 'spillcheck sheet session.yaml --format html -o load-in.html',
  run: async (plan: string, options: SheetOptions) =>
    (await import('../commands/draw.ts')).sheet(plan, options),
};

const lineCheck: CommandSpec = {
  name: 'line-check',
  summary: 'levels measured on the day against the plan',
  description: 'Levels measured on the day against the plan, and what would explain them.',
  takes: [
    plan(),
    argument('<readings...>', 'a table (CSV), or takes (WAVE files, or a folder of them)', FILES),
  ],
  groups: {
    'Where to and how': [
      option(
        '-o, --output <file>',
        'write the plan with the measured levels; - puts it in place of the answer',
        FILES,
      ),
      option('--all', 'every reading that stands out, nothing shortened'),
      json('line-check'),
      ...input(),
    ],
  },
  notes: `Readings:
  Each player plays alone for some seconds; the level is noted at every
  microphone, after its filters.
  A table  first line: played, then microphones (a pair, or overheads.left);
           then a line for each who played (player, source, kit or part), and
           one called noise. dB on any scale, gaps empty or -; with a column
           band (63 to 8000 Hz), a line for each octave, which tells far more.
  Takes    player.wav with all microphones: channels by the plan's channel
           keys, else in the order of the plan, lines and both sides of a pair
           counted; or player/mic.wav. Called noise: nobody plays.
`,
  example: 'spillcheck line-check session.yaml readings.csv',
  run: async (plan: string, files: readonly string[], options: LineCheckOptions) =>
    (await import('../commands/line-check.ts')).runLineCheck(plan, files, options),
};

const schema: CommandSpec = {
  name: 'schema',
  summary: 'the plan format as JSON Schema, for editors',
  description: 'The plan format as JSON Schema: every key with meaning, units and an example.',
  groups: { 'Where to': [output()] },
  example: `spillcheck schema -o plan.schema.json

The first line of a plan then tells editors where it lies:
  # yaml-language-server: $schema=plan.schema.json`,
  run: async (options: SchemaOptions) => (await import('../commands/catalogue.ts')).schema(options),
};

const SHELLS = ['bash', 'zsh', 'fish', 'words'] as const;

const completion = (program: Command): CommandSpec => ({
  name: 'completion',
  summary: 'a script with which bash, zsh or fish complete what you type',
  description: 'A script with which a shell completes commands, options and names of a plan.',
  takes: [
    argument('<shell>', 'the shell, or words: what could stand in place of the last word').choices(SHELLS),
    argument('[word...]', 'after words --: a command line without its first word, quotes and all'),
  ],
  notes: `To keep it:
  bash  echo 'source <(spillcheck completion bash)' >> ~/.bashrc
  zsh   spillcheck completion zsh > a folder of $fpath, as _spillcheck
  fish  spillcheck completion fish > ~/.config/fish/completions/spillcheck.fish

Words:
  spillcheck completion words -- report plan.yaml --mic vo
  A line for each: the word, a tab, what it is. An empty word asks for a file.
`,
  example: 'source <(spillcheck completion bash)',
  run: async (shell: (typeof SHELLS)[number], typed: readonly string[]) => {
    const { completionScript, completionWords } = await import('../commands/completion.ts');
    if (shell !== 'words') return completionScript(shell);
    return completionWords((lookup) => candidates(program, typed, lookup));
  },
});

/** By the headings of the help, in its order. */
export const commandGroups = (program: Command): Readonly<Record<string, readonly CommandSpec[]>> => ({
  Begin: [start, catalogue],
  'Judge a plan': [report, why, compare, tries, suggest, check],
  'Put it on paper, and hold it against the day': [draw, sheet, lineCheck],
  'In an editor and a shell': [schema, completion(program)],
});
