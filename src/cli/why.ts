import { type Command, Option } from 'commander';
import type { WhyOptions } from '../commands/why.ts';
import { EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { beyondFolder, helpEnds, outputFile, planFile, stdinName } from './options.ts';

export function addWhy(parent: Command): void {
  const why = parent
    .command('why')
    .summary('every way of a source to a microphone, gain by gain')
    .description('Why a source is as loud in a microphone as it is: every way of it, by octave.')
    .addArgument(planFile());
  why
    .optionsGroup('What is asked:')
    .addOption(
      offering(
        new Option(
          '--mic <name>',
          'microphone, pair, one capsule of it (overheads.left) or line',
        ).makeOptionMandatory(),
        { from: 'plan', names: 'capsules' },
      ),
    )
    .addOption(
      offering(new Option('--source <name>', 'source, kit, part or player').makeOptionMandatory(), {
        from: 'plan',
        names: 'sources',
      }),
    )
    .option('--all', 'every way by octave, and of every piece of a kit')
    .optionsGroup('Where to and how:')
    .option('--json', 'as JSON (shape: shared/schemas/why.schema.json)')
    .addOption(outputFile())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(
    why,
    `\nExample:\n  spillcheck why session.yaml --mic vocal --source drums.snare\n\n${EXIT_CODES}`,
  );
  why.action(async (plan: string, options: WhyOptions) => {
    const { why: run } = await import('../commands/why.ts');
    process.exitCode = await run(plan, options);
  });
}
