import { Argument, type Command, Option } from 'commander';
import type { CheckOptions } from '../commands/check.ts';
import { CHECK_EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { beyondFolder, collect, helpEnds, PLAN_OR_READINGS, readings, stdinName, watch } from './options.ts';
import { maybeWatched, type Watched } from './watched.ts';

export function addCheck(parent: Command): void {
  const check = parent
    .command('check')
    .summary('whether plans meet their limits')
    .description('Whether plans meet their limits, worst first.')
    .addArgument(
      offering(
        new Argument(
          '<plan...>',
          'plan files (YAML), patterns such as "plans/**/*.yaml", or - for standard input',
        ),
        { from: 'files' },
      ),
    );
  check
    .optionsGroup('What counts:')
    .option('--strict', 'a limit met by less than 3 dB counts as missed')
    .addOption(readings())
    .optionsGroup('How it is told:')
    .option('--all', 'what is clearly met is listed, too')
    .addOption(watch(PLAN_OR_READINGS))
    .addOption(beyondFolder())
    .addOption(stdinName())
    .optionsGroup('For build servers:')
    .addOption(
      offering(
        new Option('--format <name[=file]>', 'text, json, junit, sarif or annotations; may be repeated')
          .default([], 'text on standard output')
          .argParser(collect),
        { from: 'words', words: ['text', 'json', 'junit', 'sarif', 'annotations'] },
      ),
    )
    .option('--json', 'the same as --format json (shape: shared/schemas/check.schema.json)');
  helpEnds(check, `\nExample:\n  spillcheck check "plans/*.yaml" --strict\n\n${CHECK_EXIT_CODES}`);
  check.action(async (plans: readonly string[], options: CheckOptions & Watched) => {
    const { check: run } = await import('../commands/check.ts');
    process.exitCode = await maybeWatched(plans, options, () => run(plans, options));
  });
}
