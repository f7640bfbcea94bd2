import { type Command, Option } from 'commander';
import type { StartOptions } from '../commands/start.ts';
import { EXIT_CODES } from './help-words.ts';
import { helpEnds, outputFile } from './options.ts';

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
    const { start: run } = await import('../commands/start.ts');
    process.exitCode = await run(options);
  });
}
