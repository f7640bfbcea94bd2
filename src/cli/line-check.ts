import { Argument, type Command, Option } from 'commander';
import type { LineCheckOptions } from '../commands/line-check.ts';
import { EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { beyondFolder, helpEnds, planFile, stdinName } from './options.ts';

export function addLineCheck(parent: Command): void {
  const lineCheck = parent
    .command('line-check')
    .summary('levels measured on the day against the plan')
    .description('Levels measured on the day against the plan, and what would explain them.')
    .addArgument(planFile())
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
    const { lineCheck: run } = await import('../commands/line-check.ts');
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
