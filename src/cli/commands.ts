/** Every command with its arguments and options; each loads only when it is called. */
import type { Command } from 'commander';
import type { CatalogueOptions, SchemaOptions, StartOptions } from '../commands/catalogue.ts';
import type { CheckOptions } from '../commands/check.ts';
import type { CompareOptions, TryOptions } from '../commands/compare.ts';
import type { DecayOptions } from '../commands/decay.ts';
import type { DrawCommandOptions, SheetOptions } from '../commands/draw.ts';
import type { ExplainOptions } from '../commands/explain.ts';
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
  force,
  input,
  json,
  listed,
  named,
  noWorse,
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
  description: 'A commented plan to start from, ready to report.',
  groups: {
    Content: [
      option('--room <kind>', 'room, with the players one would find in it')
        .choices(['living-room', 'hall', 'church', 'garage'] satisfies StartOptions['room'][])
        .default('living-room'),
    ],
    Output: [output(), force()],
  },
  examples: ['spillcheck start --room church -o concert.yaml'],
  run: async (options: StartOptions) => (await import('../commands/catalogue.ts')).start(options),
};

const entry = (name: string, about: string) => argument(name, about, { from: 'catalogue' });

const catalogue: CommandSpec = {
  name: 'catalogue',
  summary: 'instruments, materials, patterns and whatever else a plan can name',
  description: 'What a plan can name, every value with its source; search by any word.',
  takes: [
    entry('[kind]', 'everything of a kind: instruments, kits, finishes ...; all kinds if left out'),
    entry('[name...]', 'one entry in full, or words to search for, within a kind or in all'),
  ],
  groups: { Output: [json('catalogue'), output()] },
  examples: ['spillcheck catalogue finishes curtain'],
  run: async (kind: string | undefined, names: readonly string[], options: CatalogueOptions) =>
    (await import('../commands/catalogue.ts')).catalogue(kind === undefined ? [] : [kind, ...names], options),
};

const explain: CommandSpec = {
  name: 'explain',
  summary: 'what a key of a plan or an error code means, with an example',
  description: 'Keys of a plan and error codes: meaning, values, default and an example.',
  takes: [
    argument('[key...]', 'key such as mics.near, or code such as UNKNOWN_KEY (default: top keys)', {
      from: 'explained',
    }),
  ],
  groups: { Output: [json('explain'), output()] },
  examples: ['spillcheck explain mics.near', 'spillcheck explain UNKNOWN_KEY'],
  run: async (words: readonly string[], options: ExplainOptions) =>
    (await import('../commands/explain.ts')).explain(words, options),
};

const report: CommandSpec = {
  name: 'report',
  summary: "signal to bleed at every mic, what can't be fixed in the mix, what to do",
  description: "Signal to bleed at every mic, what can't be fixed in the mix, and what to do.",
  takes: [plan()],
  groups: {
    Display: [
      repeatable('--mic <name>', 'one mic, pair or DI in full', named('mics')),
      option('--passage <name>', 'one passage only', named('passages')),
      listed('--show <sections>', `sections in full: ${SECTIONS.join(', ')}`, SECTIONS),
      option('--all', 'everything, unabridged'),
      option('--octaves', 'add levels and RT60 by octave'),
      option('--assumptions', 'list values the plan does not give'),
      option('--tolerance', 'spread of each value and odds of passing (slow)'),
      option('--no-fixes', 'skip the search for fixes'),
    ],
    'Measured levels': [readings()],
    Delays: [
      positive('--ignore-below <dB>', "ignore mics where a part is this far below the mic's own source", 20),
      positive('--sample-rate <hz>', 'sample rate of delays in samples', 48000),
    ],
    Output: [
      json('report'),
      option('--html <file>', 'self-contained page with drawing; - for standard output', FILES).conflicts([
        'json',
        'output',
      ]),
      output(),
      watch(),
    ],
    Input: input(),
  },
  examples: ['spillcheck report session.yaml', 'spillcheck report session.yaml --mic vocal --octaves'],
  run: async (plan: string, options: ReportOptions) =>
    (await import('../commands/report.ts')).report(plan, options),
};

const why: CommandSpec = {
  name: 'why',
  summary: 'every path from source to mic, step by step',
  description: 'Every path from a source to a mic, step by step, by octave.',
  takes: [plan()],
  groups: {
    Selection: [
      option(
        '--mic <name>',
        'mic, pair, capsule of a pair (overheads.left) or DI',
        named('capsules'),
      ).makeOptionMandatory(),
      option('--source <name>', 'source, kit, part or player', named('sources')).makeOptionMandatory(),
      option('--all', 'every path by octave, of every piece of a kit'),
    ],
    Output: [json('why'), output()],
    Input: input(),
  },
  examples: ['spillcheck why session.yaml --mic vocal --source drums.snare'],
  run: async (plan: string, options: WhyCommandOptions) =>
    (await import('../commands/report.ts')).why(plan, options),
};

const compare: CommandSpec = {
  name: 'compare',
  summary: 'plans side by side: what changes, and what causes it',
  description: 'Plans side by side: what changes, and the settings that cause it.',
  takes: [argument('<plan...>', 'two or more plan files (YAML); - for one from standard input', FILES)],
  groups: {
    Limits: noWorse('plan', 'one of the plans; exit 1 if another is worse'),
    'Measured levels': [
      readings('levels from a line check of the first plan, corrected for what the others change'),
    ],
    Display: [option('--all', 'include what does not change')],
    Output: [json('compare'), output()],
    Input: input(),
  },
  examples: ['spillcheck compare before.yaml after.yaml --no-worse-than before.yaml'],
  exitCodes: COMPARE_EXIT_CODES,
  run: async (plans: readonly string[], options: CompareOptions) =>
    (await import('../commands/compare.ts')).runCompare(plans, options),
};

const tries: CommandSpec = {
  name: 'try',
  summary: 'any value of a plan over a range or list, one row of results each',
  description: 'Any values of a plan over ranges or lists, one row of results per combination.',
  takes: [plan()],
  groups: {
    Parameters: [
      repeatable(
        '--each <path=values>',
        'a setting and its values: 0..350/10, 10..50/5 cm or a list; ~ removes the setting',
        { from: 'paths' },
      ),
      option('--random <count>', 'random sample of this many combinations instead of all'),
      option('--seed <number>', 'start of the random numbers').default('1'),
      option('--slice <part/parts>', 'one part of the rows, to split work').default('1/1'),
    ],
    Display: [
      repeatable(
        '--show <column>',
        'worst-margin, shortfall, signal-to-bleed.MIC, ghost.PART, isolation.PART, hears.A.B, direct-to-reverberant.MIC or balance.N, N as in limits; by default the margin, the shortfall and S/B at every mic',
        { from: 'columns' },
      ),
      option('--top <count>', 'only this many rows, best first'),
      option('--sort <column>', 'column that --top goes by', { from: 'columns' }),
    ],
    Output: [
      option('--format <name>', 'output format: csv or ndjson', words('csv', 'ndjson')).default('csv'),
      option('--json', 'same as --format ndjson (schema: shared/schemas/try.schema.json)'),
    ],
    Input: input(),
  },
  examples: [
    "spillcheck try session.yaml --each 'mics.vocal.aim.bearing=0..350/10' \\\n    --each 'mics.vocal.pattern=cardioid, figure-8' --top 5 --sort worst-margin",
  ],
  run: async (plan: string, options: TryOptions) =>
    (await import('../commands/compare.ts')).tryValues(plan, options),
};

const suggest: CommandSpec = {
  name: 'suggest',
  summary: 'computed fixes, quickest wins first',
  description: 'Computed fixes, quickest wins first, with what each one costs.',
  takes: [plan()],
  groups: {
    Selection: [
      option('--for <mic>', 'fixes for this mic only', named('mics')),
      option('--for-part <part>', 'fixes for this part and its mics only', named('parts')),
      option('--combine <count>', 'combine up to this many fixes, 1 to 5').default('1'),
      option('--robust', 'rank by the result in 90% of runs within tolerance (slow)'),
      option('--schedule', 'a plan for the morning: all compatible fixes in order, what to bring'),
      option('--rooms', 'who goes where: players and amplifiers by rooms and booths (slow)'),
      repeatable('--minutes <kind=minutes>', 'minutes per kind of fix, such as swap-players=15'),
    ],
    'Measured levels': [readings()],
    Output: [
      option(
        '--apply <which>',
        'write the plan with a fix made: its number, or all compatible fixes',
        words('all'),
      ),
      option('--in-place', 'with --apply: edit the plan file'),
      option('--all', 'every fix, with all it improves and costs'),
      json('suggest'),
      output(),
    ],
    Input: input(),
  },
  examples: [
    'spillcheck suggest session.yaml --combine 2 --for vocal',
    'spillcheck suggest session.yaml --apply 1 -o fixed.yaml',
  ],
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
      'plan files (YAML), folders, patterns such as "plans/**/*.yaml", or - for standard input',
      FILES,
    ),
  ],
  groups: {
    Limits: [
      option('--strict', 'marginal (met by less than 3 dB) counts as missed'),
      ...noWorse(
        'folder',
        'judge each plan by what it was in this folder, git revision or file of --json, not by its limits',
      ),
    ],
    'Measured levels': [readings()],
    Display: [
      option('--all', 'list passing limits too'),
      option('--quiet', 'show only plans that fail'),
      watch(),
    ],
    Input: input(),
    'CI formats': [
      repeatable(
        '--format <name[=file]>',
        'text, json, junit, sarif or annotations; text if left out',
        words('text', 'json', 'junit', 'sarif', 'annotations'),
      ),
      option('--json', 'same as --format json (schema: shared/schemas/check.schema.json)'),
    ],
  },
  examples: [
    'spillcheck check "plans/*.yaml" --strict',
    'spillcheck check plans --no-worse-than stable --quiet',
  ],
  exitCodes: CHECK_EXIT_CODES,
  run: async (plans: readonly string[], options: CheckOptions) =>
    (await import('../commands/check.ts')).check(plans, options),
};

const draw: CommandSpec = {
  name: 'draw',
  summary: 'the plan to scale as SVG, with the worst bleed',
  description: 'The plan to scale as SVG: rooms, players, mics and the worst bleed.',
  takes: [plan()],
  groups: {
    Content: [
      option(
        '--mic <name>',
        'what this mic, pair or capsule picks up, from whom and how loud',
        named('capsules'),
      ),
      option(
        '--level <source>',
        'shade the floor by the level of a source, kit, part or player, 1.2 m up',
        named('sources'),
      ),
      option(
        '--band <octave>',
        'octave of the patterns drawn: 63, 125, 250, 500, 1k, 2k, 4k, 8k',
        words('63', '125', '250', '500', '1k', '2k', '4k', '8k'),
      ).default('1k'),
    ],
    Style: [
      option(
        '--paper <size>',
        'a4 or letter, landscape or portrait, whichever gives the larger scale; by default no page size',
        words('a4', 'letter'),
      ),
      option('--dark', 'light on dark'),
    ],
    Output: [output(), watch()],
    Input: input(),
  },
  examples: ['spillcheck draw session.yaml --paper a4 -o session.svg'],
  run: async (plan: string, options: DrawCommandOptions) =>
    (await import('../commands/draw.ts')).runDraw(plan, options),
};

const sheet: CommandSpec = {
  name: 'sheet',
  summary: 'the load-in sheet: inputs, positions by tape measure, headphones',
  description: 'The load-in sheet: inputs, positions from two walls, doors, headphones.',
  takes: [plan()],
  groups: {
    Output: [
      option('--format <name>', 'output format')
        .choices(['text', 'csv', 'html', 'json'] satisfies SheetOptions['format'][])
        .default('text'),
      option('--json', 'same as --format json (schema: shared/schemas/sheet.schema.json)'),
      output(),
    ],
    Input: input(),
  },
  examples: ['spillcheck sheet session.yaml --format html -o load-in.html'],
  run: async (plan: string, options: SheetOptions) =>
    (await import('../commands/draw.ts')).sheet(plan, options),
};

const lineCheck: CommandSpec = {
  name: 'line-check',
  summary: 'measured levels against the plan, and the likely fault',
  description: 'Measured levels against the plan: levels, gains, outliers and the likely fault.',
  takes: [
    plan(),
    argument('<readings...>', 'a table (CSV), or recordings (WAV files, or a folder of them)', FILES),
  ],
  groups: {
    Output: [
      option(
        '-o, --output <file>',
        'write the plan with the measured levels; - prints it instead of the answer',
        FILES,
      ),
      option('--all', 'every outlier, unabridged'),
      json('line-check'),
    ],
    Input: input(),
  },
  notes: `Readings:
  Each player plays alone for some seconds; the level is noted at every mic,
  after its filters.
  Table       first row: played, then mics (a pair, or overheads.left); then
              one row per player, source, kit or part, and one called noise.
              dB on any scale; empty or - where nothing was read. With a column
              band (63 to 8000 Hz), one row per octave: finds far more.
  Recordings  player.wav with all mics: channels by the plan's channel keys,
              else in the order of the plan, DIs and both sides of a pair
              counted; or player/mic.wav. One called noise: nobody plays.
`,
  examples: ['spillcheck line-check session.yaml readings.csv'],
  run: async (plan: string, files: readonly string[], options: LineCheckOptions) =>
    (await import('../commands/line-check.ts')).runLineCheck(plan, files, options),
};

const decay: CommandSpec = {
  name: 'decay',
  summary: 'decay times of a room from a recorded clap, balloon or impulse response',
  description: 'Decay times by octave (EDT, T20, T30) from recorded claps or balloons.',
  takes: [argument('<recording...>', 'recordings (WAV files), one channel or several', FILES)],
  groups: {
    Display: [
      option('--chart', 'picture of the decay in every octave'),
      option('--all', 'every clap, unabridged'),
    ],
    Output: [json('decay'), output(), watch('a recording')],
  },
  notes: `Recording:
  Leave a second of quiet, clap or burst a balloon, leave the sound time to
  die away; some claps at several places are averaged. Switch off automatic
  gain and noise reduction. Balloons are loud: protect your ears.
`,
  examples: ['spillcheck decay clap.wav --chart'],
  run: async (files: readonly string[], options: DecayOptions) =>
    (await import('../commands/decay.ts')).decay(files, options),
};

const schema: CommandSpec = {
  name: 'schema',
  summary: 'the plan format as JSON Schema, for editors',
  description: 'The plan format as JSON Schema: every key with meaning, units and an example.',
  groups: { Output: [output(), force()] },
  notes: `Point editors to it in the plan's first line:
  # yaml-language-server: $schema=plan.schema.json
`,
  examples: ['spillcheck schema -o plan.schema.json'],
  run: async (options: SchemaOptions) => (await import('../commands/catalogue.ts')).schema(options),
};

const SHELLS = ['bash', 'zsh', 'fish', 'words'] as const;

const completion = (program: Command): CommandSpec => ({
  name: 'completion',
  summary: 'completion for bash, zsh and fish',
  description: 'A script that completes commands, options and names of a plan in a shell.',
  takes: [
    argument('<shell>', 'the shell, or words to complete one line').choices(SHELLS),
    argument('[word...]', 'after words --: the command line without its first word, quotes included'),
  ],
  notes: `To keep it:
  bash  echo 'source <(spillcheck completion bash)' >> ~/.bashrc
  zsh   spillcheck completion zsh > a folder of $fpath, as _spillcheck
  fish  spillcheck completion fish > ~/.config/fish/completions/spillcheck.fish

Words:
  spillcheck completion words -- report plan.yaml --mic vo
  One line per candidate: the word, a tab, what it is. An empty word asks for
  a file.
`,
  examples: ['source <(spillcheck completion bash)'],
  run: async (shell: (typeof SHELLS)[number], typed: readonly string[]) => {
    const { completionScript, completionWords } = await import('../commands/completion.ts');
    if (shell !== 'words') return completionScript(shell);
    return completionWords((lookup) => candidates(program, typed, lookup));
  },
});

/** Commands by heading of the help, in its order. */
export const commandGroups = (program: Command): Readonly<Record<string, readonly CommandSpec[]>> => ({
  'Getting started': [start, explain, catalogue],
  Analysis: [report, why, compare, tries, suggest, check],
  'Paperwork and line check': [draw, sheet, lineCheck, decay],
  'Editors and shells': [schema, completion(program)],
});
