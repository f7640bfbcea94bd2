/** The plan in characters, against drawings made by hand: a column is 20 cm and a line 40 cm where no step is named. */
import { describe, expect, test } from 'vitest';
import { planView } from '../../src/format/plan-in-characters.ts';
import { lengthsIn, METRES } from '../../src/plan/units.ts';
import { sceneOf } from '../scene/resolved.ts';

const shown = async (plan: string, width = 80): Promise<string[]> =>
  planView(await sceneOf(plan), METRES, width);

/** The drawing without its indent. */
const drawn = (lines: readonly string[]): string[] => lines.map((line) => line.replace(/^ {2}/, ''));

const hall = (size: string) => `rooms: {hall: {size: ${size}, height: 3, reverberation: 0.5}}`;
const BOX = [
  '┌──────────┐', // 2.2 m are 11 columns on, 2 m are 5 lines on
  '│          │',
  '│          │',
  '│          │',
  '│          │',
  '└──────────┘',
];

test('a room is as many columns and lines as its size in 20 and 40 cm', async () => {
  expect(drawn(await shown(hall('[2.2, 2]'))).slice(0, 6)).toEqual(BOX);
});

test('walls that turn go with their corners', async () => {
  const ell =
    'rooms: {hall: {outline: [[0, 0], [2, 0], [2, 0.8], [1, 0.8], [1, 1.6], [0, 1.6]], height: 3, reverberation: 0.5}}';
  expect(drawn(await shown(ell)).slice(0, 5)).toEqual([
    '┌────┐',
    '│    │',
    '│    └────┐',
    '│         │',
    '└─────────┘',
  ]);
});

test('people, a loudspeaker, microphones, a baffle and a door stand where they are', async () => {
  const lines = await shown(`
rooms:
  hall: {size: [2.2, 2], height: 3, reverberation: 0.5}
  store: {size: [1, 2], origin: [2.2, 0], height: 3, reverberation: 0.5}
partitions:
  wall:
    between: [hall, store]
    wall: {reduction: 40}
    doors: [{at: [2.2, 0.8], width: 0.8, height: 2, leaf: {reduction: 25}}]
baffles: {screen: {from: [1, 0.4], to: [1.6, 0.4], height: 1.5, made-of: upholstered-baffle}}
players: {tuba: {at: [0.4, 1.6], facing: 90, plays: tuba}}
sources: {amp: {instrument: bass-amp, at: [2.8, 1.2, 0.4], facing: 0, level: 80 dB}}
mics:
  left-mic: {for: tuba, at: [1.4, 1.6, 1], aim: {bearing: 270}}
  low-mic: {for: tuba, at: [0.8, 1.2, 2.5], aim: {bearing: 0, tilt: -80}}
  pair: {for: all, at: [1.2, 0.8, 2], aim: {bearing: 45}, stereo: ortf}
`);
  expect(drawn(lines).slice(0, 6)).toEqual([
    '┌──────────┬────┐',
    '│ A    ←   │    │',
    '│   •      ▒  B │', // the door's upper end at 1.2 m, its lower at 0.4
    '│     ↗    ▒    │',
    '│    ━━━━  ▒    │',
    '└──────────┴────┘',
  ]);
  expect(lines.join(' ').replace(/\s+/g, ' ')).toContain(
    'A tuba, B amp. ↑ mic and its aim, • aimed steeply up or down, ━ baffle, ▒ closed door. ' +
      'One column is 20 cm, one line 40 cm.',
  );
});

describe('the scale', () => {
  test.each([
    { size: '[15, 9]', columns: 76, step: 20 }, // 15 / 0.2 = 75
    { size: '[16, 9]', columns: 65, step: 25 }, // 80 columns would be 20 cm, 64 are 25
    { size: '[4, 15]', columns: 17, step: 25 }, // in lines of 40 cm it would be 39 high, in 50 cm 31
    { size: '[50, 20]', columns: 64, step: 80 }, // 50 / 0.8 = 62.5, rounded up
  ])('of a room of $size m is $step cm to a column', async ({ size, columns, step }) => {
    const lines = await shown(hall(size));
    expect(drawn(lines)[0]?.length).toBe(columns);
    expect(lines.at(-1)).toContain(`column is ${step} cm, one line ${2 * step} cm`);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
  });

  test('that would be coarser than 2 m leaves a word instead', async () => {
    expect(await shown(hall('[200, 20]'))).toEqual(['  Too large for a view in characters.']);
  });

  test('uses a wider page', async () => {
    expect((await shown(hall('[16, 9]'), 120)).at(-1)).toContain('column is 20 cm');
  });
});

test('what would stand on something else is told in words', async () => {
  const lines = await shown(`${hall('[4, 4]')}
players:
  tuba: {at: [2, 2], facing: 0, plays: tuba}
  cornet: {at: [2.05, 1.805], facing: 0, plays: cornet}
mics: {close: {for: tuba, at: [2.02, 2.02, 2], aim: {bearing: 0}}}`);
  expect(lines.join(' ').replace(/\s+/g, ' ')).toContain(
    'A tuba. Not shown, too close to others: cornet. 1 mic not shown, too close to others.',
  );
});

test('without rooms it draws what stands there, with nothing at all nothing', async () => {
  const field = drawn(
    await shown(
      'players: {a: {at: [0, 0], facing: 0, plays: tuba}, b: {at: [2, 0], facing: 0, plays: tuba}}',
    ),
  );
  // 1 m round both: 20 columns and 5 lines, the players 1 m in from the left and from the top
  expect(field.slice(0, 4)).toEqual(['', '', '', '     A         B']);
  expect(await shown('title: nothing')).toEqual([]);
});

test('more people than letters are told in words', async () => {
  const many = Array.from(
    { length: 54 },
    (_, i) => `  p${i}: {at: [${i % 9}.5, ${Math.floor(i / 9)}.5], facing: 0, plays: tuba}`,
  );
  const text = (await shown(`${hall('[9, 6]')}\nplayers:\n${many.join('\n')}`)).join(' ');
  expect(text.replace(/\s+/g, ' ')).toContain('Not shown, too close to others: p52, p53.');
});

test('controls in names are written out', async () => {
  const scene = await sceneOf(`${hall('[4, 4]')}\nplayers: {tuba: {at: [2, 2], facing: 0, plays: tuba}}`);
  const players = scene.players.map((player) => ({ ...player, name: 'tu\u202eba\u001b[2J' }));
  expect(planView({ ...scene, players }, METRES, 80).join('\n')).toContain('A tu\\u{202e}ba\\u{1b}[2J');
});

test('a plan in feet has a scale of whole inches', async () => {
  // 88 in are 11 columns of 8 in, 80 in are 5 lines of 16 in; 720 in are 90 columns of 8 in, too many for 78, and 72 of 10 in
  const lines = planView(await sceneOf(hall('[88 in, 80 in]')), lengthsIn('ft'), 80);
  expect(drawn(lines).slice(0, BOX.length)).toEqual(BOX);
  expect(lines.at(-1)).toBe('  One column is 8 in, one line 1 ft 4 in.');
  const large = planView(await sceneOf(hall('[60 ft, 10 ft]')), lengthsIn('ft'), 80);
  expect(large.at(-1)).toBe('  One column is 10 in, one line 1 ft 8 in.');
});
