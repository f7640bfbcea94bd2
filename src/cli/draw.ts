import { type Command, Option } from 'commander';
import type { DrawOptions } from '../commands/draw.ts';
import { EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import { beyondFolder, helpEnds, outputFile, planFile, stdinName, watch } from './options.ts';
import { maybeWatched, type Watched } from './watched.ts';

const OCTAVES = ['63', '125', '250', '500', '1k', '2k', '4k', '8k'];

export function addDraw(parent: Command): void {
  const draw = parent
    .command('draw')
    .summary('the plan to scale, as SVG, with the worst bleed')
    .description('The plan to scale, as SVG: rooms, players, microphones and the loudest bleed.')
    .addArgument(planFile());
  draw
    .optionsGroup('What is drawn:')
    .addOption(
      offering(
        new Option('--mic <name>', 'what this microphone, pair or capsule hears, from whom and how loud'),
        { from: 'plan', names: 'capsules' },
      ),
    )
    .addOption(
      offering(
        new Option(
          '--level <source>',
          'shade the floor by the level of a source, kit, part or player, 1.2 m up',
        ),
        { from: 'plan', names: 'sources' },
      ),
    )
    .addOption(
      offering(
        new Option('--band <octave>', `octave band whose patterns are drawn: ${OCTAVES.join(', ')}`).default(
          '1k',
        ),
        { from: 'words', words: OCTAVES },
      ),
    )
    .optionsGroup('How it looks:')
    .addOption(
      offering(
        new Option(
          '--paper <size>',
          'a4 or letter, lying or upright, whichever is finer; else as large as it needs',
        ),
        { from: 'words', words: ['a4', 'letter'] },
      ),
    )
    .option('--dark', 'light on dark')
    .optionsGroup('Where to:')
    .addOption(outputFile())
    .addOption(watch())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(draw, `\nExample:\n  spillcheck draw session.yaml --paper a4 -o session.svg\n\n${EXIT_CODES}`);
  draw.action(async (plan: string, options: DrawOptions & Watched) => {
    const { draw: run } = await import('../commands/draw.ts');
    process.exitCode = await maybeWatched([plan], options, () => run(plan, options));
  });
}
