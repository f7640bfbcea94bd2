import { type Command, Option } from 'commander';
import type { SuggestOptions } from '../commands/suggest-options.ts';
import { EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { beyondFolder, collect, helpEnds, outputFile, planFile, readings, stdinName } from './options.ts';

export function addSuggest(parent: Command): void {
  const suggest = parent
    .command('suggest')
    .summary('moves that better a plan, each computed, best for its effort first')
    .description('Moves that better a plan, each computed, best for its effort first.')
    .addArgument(planFile());
  suggest
    .optionsGroup('What is asked:')
    .addOption(readings())
    .addOption(
      offering(new Option('--for <mic>', 'only what betters this microphone'), {
        from: 'plan',
        names: 'mics',
      }),
    )
    .addOption(
      offering(new Option('--for-part <part>', 'only what betters this part and its microphones'), {
        from: 'plan',
        names: 'parts',
      }),
    )
    .option('--moves <count>', 'sets of up to so many moves, 1 to 5', '1')
    .option('--robust', 'rank by what holds on nine of ten days within the tolerance; takes a while')
    .addOption(
      new Option('--minutes <move=minutes>', 'what a kind of move takes; may be repeated')
        .default([], 'high-pass 0.5 to other-room 20')
        .argParser(collect),
    )
    .optionsGroup('Where to and how:')
    .addOption(
      offering(
        new Option(
          '--apply <which>',
          'write the plan with a suggestion made, by its number, or all that go together',
        ),
        { from: 'words', words: ['all'] },
      ),
    )
    .option('--in-place', 'with --apply: into the plan itself')
    .option('--all', 'every suggestion, with all it helps and costs')
    .option('--json', 'as JSON (shape: shared/schemas/suggest.schema.json)')
    .addOption(outputFile())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(suggest, `\nExample:\n  spillcheck suggest session.yaml --moves 2 --for vocal\n\n${EXIT_CODES}`);
  suggest.action(async (plan: string, options: SuggestOptions) => {
    const { suggest: run } = await import('../commands/suggest.ts');
    process.exitCode = await run(plan, options);
  });
}
