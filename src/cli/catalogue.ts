import { Argument, type Command } from 'commander';
import type { CatalogueOptions } from '../commands/catalogue.ts';
import { EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { helpEnds, outputFile } from './options.ts';

export function addCatalogue(parent: Command): void {
  const catalogue = parent
    .command('catalogue')
    .summary('what a plan can name: instruments, materials, patterns and the rest')
    .description('What a plan can name, each figure with its source; finds entries by any word.')
    .addArgument(
      offering(
        new Argument('[kind]', 'instruments, kits, finishes ...: all of that kind; none: all there is'),
        {
          from: 'catalogue',
        },
      ),
    )
    .addArgument(
      offering(
        new Argument(
          '[name...]',
          'one of them, with every figure; or words to look for, with a kind or without',
        ),
        {
          from: 'catalogue',
        },
      ),
    );
  catalogue
    .optionsGroup('Where to and how:')
    .option('--json', 'as JSON (shape: shared/schemas/catalogue.schema.json)')
    .addOption(outputFile());
  helpEnds(catalogue, `\nExample:\n  spillcheck catalogue finishes curtain\n\n${EXIT_CODES}`);
  catalogue.action(async (kind: string | undefined, names: readonly string[], options: CatalogueOptions) => {
    const { catalogue: run } = await import('../commands/catalogue.ts');
    process.exitCode = await run(kind === undefined ? [] : [kind, ...names], options);
  });
}
