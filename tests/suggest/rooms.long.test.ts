/** Beyond 5,000 assignments: six players, a hall and four booths, which are alike. Players and rooms are invented. */
import { expect, test } from 'vitest';
import { finished } from '../../src/steps.ts';
import { assigning } from '../../src/suggest/rooms.ts';
import { onBench } from './evaluator.ts';

test('a stated search fills every booth, which is best for six who drown each other', async () => {
  const booths = [0, 1, 2, 3].map(
    (i) =>
      `  booth-${i}: {size: [2, 2], origin: [${10 + 3 * i}, 0], height: 2.5, floor: carpet-heavy, ceiling: acoustic-tile, walls: plaster}\n`,
  );
  const six = [0, 1, 2, 3, 4, 5];
  const players = six.map(
    (i) => `  p${i}: {at: [${1 + 1.2 * i}, ${2 + (i % 2)}], facing: 0, plays: violin}\n`,
  );
  const mics = six.map((i) => `  m${i}: {for: p${i}, near: {distance: 40 cm}}\n`);
  const table = finished(
    assigning(
      await onBench(`spillcheck: 1
rooms:
  hall: {size: [9, 5], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
${booths.join('')}players:
${players.join('')}mics:
${mics.join('')}limits: {signal-to-bleed: 20 dB}
`),
    ),
  );
  // five rooms for each of six, less all as they are: 5⁶ − 1
  expect(table).toMatchObject({ possible: 15_624, every: false });
  const rooms = table?.best[0]?.moves.map(({ to }) => to).sort();
  expect(rooms).toEqual(['booth-0', 'booth-1', 'booth-2', 'booth-3']);
});
