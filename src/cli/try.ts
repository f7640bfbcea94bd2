import { type Command, Option } from 'commander';
import type { TryOptions } from '../commands/try-options.ts';
import { EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { beyondFolder, collect, helpEnds, planFile, stdinName } from './options.ts';

export function addTry(parent: Command): void {
  const tries = parent
    .command('try')
    .summary('vary any value of a plan over a range or list, a row of figures each')
    .description('Varies values of a plan: a row of figures for every combination, as they come.')
    .addArgument(planFile());
  tries
    .optionsGroup('What is tried:')
    .addOption(
      offering(
        new Option(
          '--each <path=values>',
          'an entry with 0..350/10, 10..50/5 cm or a list; ~ takes it out; may be repeated',
        )
          .default([], 'none')
          .argParser(collect),
        { from: 'paths' },
      ),
    )
    .option('--random <count>', 'so many combinations at random instead of all')
    .option('--seed <number>', 'of what is drawn', '1')
    .option('--slice <part/parts>', 'only one part of all rows, so that several can share the work', '1/1')
    .optionsGroup('What is shown:')
    .addOption(
      offering(
        new Option(
          '--show <column>',
          'worst-margin, shortfall, signal-to-bleed.MIC, ghost.PART, editable.PART, hears.A.B; may be repeated',
        )
          .default([], 'worst-margin, shortfall and signal-to-bleed of every mic')
          .argParser(collect),
        { from: 'columns' },
      ),
    )
    .option('--best <count>', 'only so many of the best rows, best first')
    .addOption(offering(new Option('--by <column>', 'by which column'), { from: 'columns' }))
    .optionsGroup('How:')
    .addOption(
      offering(new Option('--format <name>', 'csv or ndjson').default('csv'), {
        from: 'words',
        words: ['csv', 'ndjson'],
      }),
    )
    .option('--json', 'the same as --format ndjson (shape: shared/schemas/try.schema.json)')
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(
    tries,
    `\nExample:\n  spillcheck try session.yaml --each 'mics.vocal.aim.bearing=0..350/10' \\\n    --each 'mics.vocal.pattern=cardioid, figure-8' --best 5 --by worst-margin\n\n${EXIT_CODES}`,
  );
  tries.action(async (plan: string, options: TryOptions) => {
    const { tryValues } = await import('../commands/try.ts');
    process.exitCode = await tryValues(plan, options);
  });
}
