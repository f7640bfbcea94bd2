import { type Command, Option } from 'commander';
import type { SheetOptions } from '../commands/sheet.ts';
import { EXIT_CODES } from './help-words.ts';
import { beyondFolder, helpEnds, outputFile, planFile, stdinName } from './options.ts';

export function addSheet(parent: Command): void {
  const sheet = parent
    .command('sheet')
    .summary('the load-in sheet: inputs, places by tape, headphones')
    .description('The load-in sheet: inputs, places by tape from two walls, doors, headphones.')
    .addArgument(planFile());
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
    const { sheet: run } = await import('../commands/sheet.ts');
    process.exitCode = await run(plan, options);
  });
}
