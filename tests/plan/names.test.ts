/** Names: what they may be made of, and who shares a space. */
import { expect, test } from 'vitest';
import { nameFault } from '../../src/plan/names.ts';
import { read } from './plans.ts';

test.each([
  'tuba',
  'screen-1',
  'Flügel',
  '東京',
  'trompete 🎺',
  'a<b',
  'R&B',
  'x_y',
  '1st horn',
  '2nd-violin',
  '12-string',
  '👩‍🎤',
  'rooms',
])('%s is a good name', (name) => expect(nameFault(name)).toBeNull());

test.each([
  '12',
  '-3',
  '1e3',
  '6 ft',
  '6ft',
  '5\'3"',
  '20 %',
  '88 dBA',
  '100 Hz',
  '2,5',
  '0x1F',
  '.inf',
  '30 deg',
  '1 rad',
  '',
  '  ',
  ' tuba',
  'tuba ',
  'a.b',
  'a[0]',
  'a(b)',
  '{a}',
  'a\u0007b',
  'a\nb',
  'a\u202eb',
  'true',
  'null',
  '~',
  'all',
  'room',
  'outside',
  'x'.repeat(101),
])('%j is no name', (name) => expect(nameFault(name)?.fix).toBeTruthy());

test('a unit that only the library knows makes a target of a mic no name', async () => {
  const { findings } = await read('spillcheck: 1\nplayers: {a: {at: [0, 0], facing: 1 turn}}\n');
  expect(findings).toEqual([]);
});

const twoOf = (text: string) =>
  read(`spillcheck: 1\n${text}`).then(({ findings }) => findings.map(({ code, path }) => [code, path]));

test('players, instruments, sources and listeners share one set of names', async () => {
  expect(await twoOf('players: {a: {at: [0, 0]}}\nlisteners: {a: {at: [1, 0]}}\n')).toEqual([
    ['BAD_NAME', ['listeners', 'a']],
  ]);
  expect(
    await twoOf(
      'players: {a: {at: [0, 0], plays: {b: {instrument: x}, c: {instrument: x}}}}\nsources: {b: {at: [1, 0], instrument: x}}\n',
    ),
  ).toEqual([['BAD_NAME', ['players', 'a', 'plays', 'b']]]);
  expect(
    await twoOf(
      'players: {a: {at: [0, 0], plays: {c: {instrument: x}}}, b: {at: [2, 0], plays: {c: {instrument: x}}}}\n',
    ),
  ).toEqual([['BAD_NAME', ['players', 'b', 'plays', 'c']]]);
});

test('a player and his only instrument go by one name, but not one of two', async () => {
  expect(await twoOf('players: {a: {at: [0, 0], plays: {a: {instrument: x}}}}\n')).toEqual([]);
  expect(
    await twoOf('players: {a: {at: [0, 0], plays: {a: {instrument: x}, b: {instrument: x}}}}\n'),
  ).toEqual([['BAD_NAME', ['players', 'a', 'plays', 'a']]]);
});

test('mics, baffles and rooms have a space each', async () => {
  const text =
    'players: {a: {at: [0, 0], plays: x}}\nrooms: {a: {size: [3, 3], height: 3}}\nbaffles: {a: {from: [0, 0], to: [1, 0], height: 1, made-of: x}}\nmics: {a: {for: a, at: [0, 1]}}\n';
  expect(await twoOf(text)).toEqual([]);
});
