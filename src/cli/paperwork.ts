import { Argument, type Command, Option } from 'commander';
import type { DrawCommandOptions, SheetOptions } from '../commands/draw.ts';
import type { LineCheckOptions } from '../commands/line-check.ts';
import {
  beyondFolder,
  EXIT_CODES,
  helpEnds,
  maybeWatched,
  offering,
  outputFile,
  planArgument,
  stdinName,
  type Watched,
  watch,
} from './options.ts';

export function addSheet(parent: Command): void {
  const sheet = parent
    .command('sheet')
    .summary('the load-in sheet: inputs, places by tape, headphones')
    .description('The load-in sheet: inputs, places by tape from two walls, doors, headphones.')
    .addArgument(planArgument());
  sheet
    .optionsGroup('Where to and how:')
    .addOption(
      new Option('--format <name>', 'what it is to be read in')
        .choices(['text', 'csv', 'html', 'json'])
        .default('text'),
    )
    .option('--json', 'the same as --format json (shape: shared/schemas/sheet.schema.json)')
    .addOption(outputFile())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(
    sheet,
    `\nExample:\n  spillcheck sheet session.yaml --format html -o load-in.html\n\n${EXIT_CODES}`,
  );
  sheet.action(async (plan: string, options: SheetOptions) => {
    const { sheet: run } = await import('../commands/draw.ts');
    process.exitCode = await run(plan, options);
  });
}

export function addLineCheck(parent: Command): void {
  const lineCheck = parent
    .command('line-check')
    .summary('levels measured on the day against the plan')
    .description('Levels measured on the day against the plan, and what would explain them.')
    .addArgument(planArgument())
    .addArgument(
      offering(new Argument('<readings...>', 'a table (CSV), or takes (WAVE files, or a folder of them)'), {
        from: 'files',
      }),
    );
  lineCheck
    .optionsGroup('Where to and how:')
    .addOption(
      offering(
        new Option(
          '-o, --output <file>',
          'write the plan with the measured levels; - puts it in place of the answer',
        ),
        { from: 'files' },
      ),
    )
    .option('--all', 'every reading that stands out, nothing shortened')
    .option('--json', 'as JSON (shape: shared/schemas/line-check.schema.json)')
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(
    lineCheck,
    `\n${READINGS}\nExample:\n  spillcheck line-check session.yaml readings.csv\n\n${EXIT_CODES}`,
  );
  lineCheck.action(async (plan: string, readings: readonly string[], options: LineCheckOptions) => {
    const { runLineCheck: run } = await import('../commands/line-check.ts');
    process.exitCode = await run(plan, readings, options);
  });
}

const READINGS = `Readings:
  Each player plays alone for some seconds; the level is noted at every
  microphone, after its filters.
  A table  first line: played, then microphones (a pair, or overheads.left);
           then a line for each who played (player, source, kit or part), and
           one called noise. dB on any scale, gaps empty or -; with a column
           band (63 to 8000 Hz), a line for each octave, which tells far more.
  Takes    player.wav with all microphones: channels by the plan's channel
           keys, else in the order of the plan, lines and both sides of a pair
           counted; or player/mic.wav. Called noise: nobody plays.
`;

const OCTAVES = ['63', '125', '250', '500', '1k', '2k', '4k', '8k'];

export function addDraw(parent: Command): void {
  const draw = parent
    .command('draw')
    .summary('the plan to scale, as SVG, with the worst bleed')
    .description('The plan to scale, as SVG: rooms, players, microphones and the loudest bleed.')
    .addArgument(planArgument());
  draw
    .optionsGroup('What is drawn:')
    .addOption(
      offering(
        new Option('--mic <name>', 'what this microphone, pair or capsule hears, from whom and how loud'),
        { from: 'plan', names: 'capsules' },
      ),
    )
    .addOption(
      offering(
        new Option(
          '--level <source>',
          'shade the floor by the level of a source, kit, part or player, 1.2 m up',
        ),
        { from: 'plan', names: 'sources' },
      ),
    )
    .addOption(
      offering(
        new Option('--band <octave>', `octave band whose patterns are drawn: ${OCTAVES.join(', ')}`).default(
          '1k',
        ),
        { from: 'words', words: OCTAVES },
      ),
    )
    .optionsGroup('How it looks:')
    .addOption(
      offering(
        new Option(
          '--paper <size>',
          'a4 or letter, lying or upright, whichever is finer; else as large as it needs',
        ),
        { from: 'words', words: ['a4', 'letter'] },
      ),
    )
    .option('--dark', 'light on dark')
    .optionsGroup('Where to:')
    .addOption(outputFile())
    .addOption(watch())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(draw, `\nExample:\n  spillcheck draw session.yaml --paper a4 -o session.svg\n\n${EXIT_CODES}`);
  draw.action(async (plan: string, options: DrawCommandOptions & Watched) => {
    const { runDraw: run } = await import('../commands/draw.ts');
    process.exitCode = await maybeWatched([plan], options, () => run(plan, options));
  });
}
