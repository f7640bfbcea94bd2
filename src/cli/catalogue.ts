import { Argument, type Command } from 'commander';
import type { CatalogueOptions } from '../commands/catalogue.ts';
import { EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { helpEnds, outputFile } from './options.ts';

export function addCatalogue(parent: Command): void {
  const catalogue = parent
    .command('catalogue')
    .summary('what a plan can name: instruments, materials, patterns and the rest')
    .description(
      'What a plan can name. Without a word: all kinds and names; a kind: a table of it; a name: every figure with its source.',
    )
    .addArgument(
      offering(new Argument('[kind]', 'instruments, kits, finishes ..., or the name itself'), {
        from: 'catalogue',
      }),
    )
    .addArgument(
      offering(new Argument('[name...]', 'a name, or words that its name and description must hold'), {
        from: 'catalogue',
      }),
    );
  catalogue.option('--json', 'as JSON (shape: shared/schemas/catalogue.schema.json)').addOption(outputFile());
  helpEnds(catalogue, `\nExample:\n  spillcheck catalogue finishes curtain-heavy\n\n${EXIT_CODES}`);
  catalogue.action(async (kind: string | undefined, names: readonly string[], options: CatalogueOptions) => {
    const { catalogue: run } = await import('../commands/catalogue.ts');
    process.exitCode = await run(kind === undefined ? [] : [kind, ...names], options);
  });
}
