import { Argument, type Command, Option } from 'commander';
import type { CatalogueOptions, SchemaOptions, StartOptions } from '../commands/catalogue.ts';
import { candidates } from './complete.ts';
import { EXIT_CODES, helpEnds, offering, outputFile } from './options.ts';

const ROOMS: readonly StartOptions['room'][] = ['living-room', 'hall', 'church', 'garage'];

export function addStart(parent: Command): void {
  const start = parent
    .command('start')
    .summary('a commented plan to start from')
    .description('A commented plan to start from, which can be reported at once.');
  start
    .optionsGroup('What it holds:')
    .addOption(
      new Option('--room <kind>', 'the room, with players who would be in it')
        .choices(ROOMS)
        .default('living-room'),
    )
    .optionsGroup('Where to:')
    .addOption(outputFile())
    .option('--overwrite', 'even where the file is there already');
  helpEnds(start, `\nExample:\n  spillcheck start --room church -o concert.yaml\n\n${EXIT_CODES}`);
  start.action(async (options: StartOptions) => {
    const { start: run } = await import('../commands/catalogue.ts');
    process.exitCode = await run(options);
  });
}

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
    const { schema: run } = await import('../commands/catalogue.ts');
    process.exitCode = await run(options);
  });
}

export function addCompletion(parent: Command): void {
  const completion = parent
    .command('completion')
    .summary('a script with which bash, zsh or fish complete what you type')
    .description('A script with which a shell completes commands, options and names of a plan.')
    .addArgument(
      new Argument('<shell>', 'the shell, or words: what could stand in place of the last word').choices([
        'bash',
        'zsh',
        'fish',
        'words',
      ]),
    )
    .argument('[word...]', 'after words --: a command line without its first word, quotes and all');
  helpEnds(
    completion,
    `\n${SCRIPTS}\n${WORDS}\nExample:\n  source <(spillcheck completion bash)\n\n${EXIT_CODES}`,
  );
  completion.action(async (shell: 'bash' | 'zsh' | 'fish' | 'words', words: readonly string[]) => {
    const { completionScript, completionWords } = await import('../commands/completion.ts');
    process.exitCode =
      shell === 'words'
        ? await completionWords((lookup) => candidates(parent, words, lookup))
        : await completionScript(shell);
  });
}

const SCRIPTS = `To keep it:
  bash  echo 'source <(spillcheck completion bash)' >> ~/.bashrc
  zsh   spillcheck completion zsh > a folder of $fpath, as _spillcheck
  fish  spillcheck completion fish > ~/.config/fish/completions/spillcheck.fish
`;

const WORDS = `Words:
  spillcheck completion words -- report plan.yaml --mic vo
  A line for each: the word, a tab, what it is. An empty word asks for a file.
`;

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
