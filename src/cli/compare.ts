import { Argument, type Command, Option } from 'commander';
import type { CompareOptions } from '../commands/compare.ts';
import { COMPARE_EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { beyondFolder, helpEnds, outputFile, readings, stdinName } from './options.ts';

export function addCompare(parent: Command): void {
  const compare = parent
    .command('compare')
    .summary('plans side by side: what changes, and what makes the change')
    .description('Plans side by side: what changes, and the entries that make the change.')
    .addArgument(
      offering(new Argument('<plan...>', 'two plan files (YAML) or more; - for one from standard input'), {
        from: 'files',
      }),
    );
  compare
    .optionsGroup('What counts:')
    .addOption(
      readings('levels of the day, read in the first plan; what others change about a level comes on top'),
    )
    .addOption(noWorseThan())
    .option('--within <dB>', 'smaller losses than this are none', '0.1')
    .optionsGroup('Where to and how:')
    .option('--all', 'what does not change as well')
    .option('--json', 'as JSON (shape: shared/schemas/compare.schema.json)')
    .addOption(outputFile())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(
    compare,
    `\nExample:\n  spillcheck compare before.yaml after.yaml --no-worse-than before.yaml\n\n${COMPARE_EXIT_CODES}`,
  );
  compare.action(async (plans: readonly string[], options: CompareOptions) => {
    const { compare: run } = await import('../commands/compare.ts');
    process.exitCode = await run(plans, options);
  });
}

/** To commander an option that begins with --no- takes another back. */
function noWorseThan(): Option {
  const option = new Option('--no-worse-than <plan>', 'one of them: exit 1, and why, where another is worse');
  option.negate = false;
  return offering(option, { from: 'files' });
}
