import type { Command } from 'commander';
import type { SchemaOptions } from '../commands/schema.ts';
import { EXIT_CODES } from './help-words.ts';
import { helpEnds, outputFile } from './options.ts';

export function addSchema(parent: Command): void {
  const schema = parent
    .command('schema')
    .summary('the plan format as JSON Schema, for editors')
    .description('The plan format as JSON Schema: every key with meaning, units and an example.');
  schema.optionsGroup('Where to:').addOption(outputFile());
  helpEnds(
    schema,
    `\nExample:\n  spillcheck schema -o plan.schema.json\n\nThe first line of a plan then tells editors where it lies:\n  # yaml-language-server: $schema=plan.schema.json\n\n${EXIT_CODES}`,
  );
  schema.action(async (options: SchemaOptions) => {
    const { schema: run } = await import('../commands/schema.ts');
    process.exitCode = await run(options);
  });
}
