/** What an engineer refuses on sight, and its neighbours that pass: common practice, no source. Plans are invented. */
import { describe, expect, test } from 'vitest';
import { add, direction, scale } from '../../src/geometry.ts';
import { widest } from '../../src/suggest/carrying.ts';
import { evaluatorOf, firstBaseline, tryFixes } from '../../src/suggest/evaluate.ts';
import { focusOf, objectiveFor } from '../../src/suggest/objective.ts';
import { refusal } from '../../src/suggest/places.ts';
import { fixesOf } from '../../src/suggest/search.ts';
import { catalogue, onBench } from './evaluator.ts';

/** A hall with a store behind a door of the given width at [6, 2]. */
const HOUSE = (door: string) => `spillcheck: 1
rooms:
  hall: {size: [6, 5], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
  store: {size: [4, 5], origin: [6, 0], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
partitions:
  party:
    between: [hall, store]
    wall: separate-gypsum-insulated
    doors: [{at: [6, 2], width: ${door}, height: 2, leaf: solid-core-sealed}]
`;

/** The plan with `was` in it, then with `now` at the same place. */
async function refused(plan: string, was: string, now: string): Promise<string | null> {
  const [before, after] = await Promise.all([was, now].map((one) => onBench(plan.replace('CHANGED', one))));
  if (!before || !after) throw new Error('no plan');
  return refusal(before, after.scene);
}

describe('through doors', () => {
  const someone = (plays: string) => `players: {someone: {CHANGED, plays: ${plays}}, other: {at: [1, 1]}}\n`;
  test.each([
    // a grand piano stays where it is tuned, whatever the door
    { plays: 'grand-piano', door: '80 cm', why: 'someone stays where it is' },
    { plays: 'grand-piano', door: '2 m', why: 'someone stays where it is' },
    // 0.8 m passes a person with a double bass, not two with timpani
    { plays: 'double-bass', door: '80 cm', why: null },
    { plays: 'double-bass', door: '70 cm', why: 'someone does not fit through a door of 70 cm' },
    { plays: 'timpani', door: '80 cm', why: 'someone does not fit through a door of 80 cm' },
    { plays: 'violin', door: '60 cm', why: null },
    { plays: 'violin', door: '50 cm', why: 'someone does not fit through a door of 50 cm' },
  ])('$plays, door $door: $why', async ({ plays, door, why }) => {
    const plan = HOUSE(door) + someone(plays);
    expect(await refused(plan, 'at: [3, 2], facing: 0', 'at: [8, 3], facing: 0')).toBe(why);
  });

  test('a grand piano is not turned about either', async () => {
    const plan = HOUSE('90 cm') + someone('grand-piano');
    expect(await refused(plan, 'at: [3, 2], facing: 0', 'at: [3, 2], facing: 30')).toBe(
      'someone stays where it is',
    );
  });

  test('the widest way is as wide as its narrowest door; a hatch is no door, a room without one has 80 cm', async () => {
    const { plan } = await onBench(`spillcheck: 1
rooms:
  a: {size: [4, 4], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
  b: {size: [4, 4], origin: [4, 0], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
  c: {size: [4, 4], origin: [8, 0], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
  d: {size: [4, 4], origin: [12, 0], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
partitions:
  ab: {between: [a, b], wall: separate-gypsum-insulated, openings: [{at: [4, 2], width: 1.2, height: 2}]}
  bc:
    between: [b, c]
    wall: separate-gypsum-insulated
    doors: [{at: [8, 1], width: 0.7, height: 2, leaf: solid-core-sealed}]
    openings: [{at: [8, 3], width: 1.5, height: 1, sill: 0.9}]
  cd: {between: [c, d], wall: separate-gypsum-insulated}
players: {one: {at: [1, 1], facing: 0, plays: violin}}
`);
    expect(widest(plan, 'a', 'b')).toBe(1.2);
    expect(widest(plan, 'a', 'c')).toBe(0.7);
    expect(widest(plan, 'a', 'd')).toBe(0.8);
  });
});

describe('mics', () => {
  const one = (player: string, more = '') =>
    `${HOUSE('80 cm')}players:\n  one: {at: [3, 2.5], facing: 0, ${player}}\n  other: {at: [1, 4.4], facing: 180, plays: oboe}\nmics:\n  mic: {CHANGED}\n${more}`;
  const violin = one('plays: violin');
  test.each([
    // the violin is 15 cm left, 25 cm ahead and 1.2 m up of who faces up the page: [2.85, 2.75, 1.2]
    { what: 'above and in front', now: 'at: [2.9, 3, 1.6]', why: null },
    { what: "at the player's right", now: 'at: [3.2, 2.85, 1.1]', why: 'mic would be in the bow arm of one' },
    { what: 'at 15 cm', now: 'at: [2.85, 2.8, 1.34]', why: 'mic would be too near to one' },
    { what: 'where the other sits', now: 'at: [1.1, 4.5, 1.3]', why: 'mic would be where other is' },
  ])('a violin mic $what: $why', async ({ now, why }) => {
    expect(await refused(violin, 'for: one, at: [2.9, 3.2, 1.9]', `for: one, ${now}`)).toBe(why);
  });

  test('a left-handed player has the plucking hand on the left', async () => {
    // the guitar is 10 cm right, 30 cm ahead, 85 cm up, left-handed 10 cm left: the plucking hand is 5 to 35 cm beyond
    const right = { was: 'for: one, at: [3.1, 3.4, 1]', now: 'for: one, at: [3.3, 3, 0.9]' };
    const left = { was: 'for: one, at: [2.9, 3.4, 1]', now: 'for: one, at: [2.7, 3, 0.9]' };
    const guitar = (hands: string) => one(`plays: steel-string-guitar, hands: ${hands}`);
    expect(await refused(guitar('right'), right.was, right.now)).toMatch(/plucking hand/);
    expect(await refused(guitar('left'), left.was, left.now)).toMatch(/plucking hand/);
    expect(await refused(guitar('left'), right.was, right.now)).toBeNull();
  });

  const voice = one('standing: true, plays: singing-voice');
  test.each([
    { what: 'to 5 cm', now: 'near: {distance: 5 cm}', why: null },
    { what: 'to 3 cm', now: 'near: {distance: 3 cm}', why: 'mic would be too near to one' },
    {
      what: 'as a figure-8 to 10 cm',
      now: 'near: {distance: 10 cm}, pattern: figure-8',
      why: 'mic would be too near to one',
    },
    { what: 'as a figure-8 at 20 cm', now: 'near: {distance: 20 cm}, pattern: figure-8', why: null },
  ])('a voice mic $what: $why', async ({ now, why }) => {
    expect(await refused(voice, 'for: one, near: {distance: 20 cm}', `for: one, ${now}`)).toBe(why);
  });

  test('a mic far from a violin, and one for the room, are left there', async () => {
    // a close violin mic is at 60 cm at the most: twice that is on purpose
    expect(await refused(violin, 'for: one, at: [2.9, 4.2, 2]', 'for: one, at: [2.9, 3, 1.7]')).toBe(
      'mic is far from one on purpose',
    );
    expect(await refused(violin, 'for: room, at: [4.8, 0.5, 2]', 'for: room, at: [2.9, 3.2, 1.9]')).toBe(
      'mic is to hear everyone, not one',
    );
  });

  test('a stand stays out of the way of the door, whose leaf swings into the larger room', async () => {
    const near = 'for: one, at: [4, 3, 1.5]';
    expect(await refused(violin, near, 'for: one, at: [5.5, 2.1, 1.5]')).toBe(
      'something would be in the way',
    );
    expect(await refused(violin, near, 'for: one, at: [5.1, 2.1, 1.5]')).toBeNull();
    expect(await refused(violin, near, 'for: one, at: [5.5, 3.1, 1.5]')).toBeNull();
  });

  test('a pair keeps its direction', async () => {
    const pair = (bearing: number) =>
      `for: one, at: [3, 4, 1.6], stereo: {xy: 90}, aim: {bearing: ${bearing}, tilt: -20}`;
    expect(await refused(violin, pair(180), pair(190))).toBeNull();
    expect(await refused(violin, pair(180), pair(220))).toBe('mic would no longer cover what it is for');
    // both in one place: the pattern is the picture; a metre apart it is not
    const paired = (stereo: string, pattern: string) =>
      `for: one, at: [3, 4, 1.6], stereo: ${stereo}, aim: {bearing: 180, tilt: 0}, pattern: ${pattern}`;
    expect(await refused(violin, paired('{xy: 90}', 'cardioid'), paired('{xy: 90}', 'omni'))).toBe(
      'mic would no longer cover what it is for',
    );
    const spaced = '{spaced: 1}';
    expect(await refused(violin, paired(spaced, 'cardioid'), paired(spaced, 'omni'))).toBeNull();
  });
});

describe('people', () => {
  const quartet = `${HOUSE('80 cm')}players:
  second: {CHANGED, plays: violin}
  first: {at: [2, 2], facing: 60, plays: violin}
listeners: {conductor: {at: [3, 4], facing: 180}}
LIMITS`;
  const facing = (limits: string, was: string, now: string) =>
    refused(quartet.replace('LIMITS', limits), `at: [3, 2], facing: ${was}`, `at: [3, 2], facing: ${now}`);
  test('nobody is turned from the conductor, from whom they face by name, or from whom they must see', async () => {
    expect(await facing('', '0', '30')).toBeNull();
    expect(await facing('', '0', '90')).toBe('second would turn away from conductor');
    expect(await facing('', 'first', '0')).toBe('second would turn away from first');
    expect(await facing('', '90', '180')).toBeNull();
    const see = 'limits: {see-each-other: [[first, second]]}\n';
    expect(await facing(see, '240', '150')).toBe('second would turn away from first');
  });

  test('nor from the table', async () => {
    const plan = `${HOUSE('80 cm')}players: {reader: {at: [3, 2], CHANGED, plays: speech}, other: {at: [1, 4], facing: 180, plays: oboe}}
baffles: {table: {from: [2.6, 3], to: [3.4, 3], height: 0.8, made-of: upholstered-baffle}}
`;
    expect(await refused(plan, 'facing: table', 'facing: 30')).toBeNull();
    expect(await refused(plan, 'facing: table', 'facing: 90')).toBe('reader would turn away from table');
  });

  test('a wedge stays with its singer', async () => {
    const plan = `${HOUSE('80 cm')}players: {singer: {at: [3, 2], facing: 0, plays: singing-voice}, oboe: {at: [1, 4], facing: 180, plays: oboe}}
sources: {wedge: {instrument: monitor-wedge, repeats: singer, facing: singer, level: 80 dBA at 1 m, CHANGED}}
`;
    expect(await refused(plan, 'at: [3, 3, 0.2]', 'at: [3.5, 3, 0.2]')).toBeNull();
    expect(await refused(plan, 'at: [3, 3, 0.2]', 'at: [8, 3, 0.2]')).toBe(
      'wedge would be away from singer, who listens to it',
    );
  });
});

test.each([...catalogue.instruments.keys()])(
  '%s: a mic on its axis as near as a stand comes is clear of it',
  (name) => {
    const { keepClear, axis, closest, furthest } = catalogue.instruments.get(name) ?? {};
    if (!keepClear || !axis || !closest || !furthest) throw new Error(name);
    expect(furthest).toBeGreaterThan(closest);
    for (const far of [closest, furthest]) {
      const at = scale(direction(axis.bearing, axis.tilt), far);
      for (const [a, b] of keepClear.values())
        expect(at.every((one, k) => one > (a[k] ?? 0) && one < (b[k] ?? 0))).toBe(false);
    }
    for (const [a, b] of keepClear.values())
      expect(add(b, scale(a, -1)).every((side) => side > 0)).toBe(true);
  },
);

/**
 * Without a room, at 1 kHz and up, the level of a point source falls by 20·lg 2 = 6.0 dB a doubling of the distance. Only what
 * distance gains may count: the boost of a cardioid near a low voice is more than that.
 */
test('a mic brought from 20 to 10 cm is credited with distance alone, not with proximity', async () => {
  const base = await onBench(`spillcheck: 1
players:
  low: {at: [0, 0], facing: 0, standing: true, spectrum: {63: 0, 125: 0}, level: 80 dB at 1 m}
  other: {at: [6, 0], facing: 0, standing: true, spectrum: {63: 0, 125: 0}, level: 100 dB at 1 m}
mics: {mic: {for: low, near: {distance: 20 cm}, pattern: cardioid}}
limits: {weighting: Z, signal-to-bleed: {mic: 60 dB}}
`);
  const first = firstBaseline(evaluatorOf(base));
  const objective = objectiveFor(base.scene, first.margins);
  const fix = fixesOf(base, focusOf(base.scene, base.result, first.margins, objective)).find(
    ({ kind, edits }) =>
      kind === 'closer' && edits.some(({ value }) => value?.kind === 'scalar' && value.text === '10 cm'),
  );
  const tried = fix && tryFixes(first, [fix]);
  const gain = (tried?.judged.rows[0]?.margin ?? 0) - (first.margins.rows[0]?.margin ?? 0);
  expect(gain).toBeGreaterThan(5.5);
  expect(gain).toBeLessThan(6.5);
});
