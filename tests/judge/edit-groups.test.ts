import { describe, expect, test } from 'vitest';
import { bands } from '../../src/acoustics/bands.ts';
import { editGroups } from '../../src/judge/edit-groups.ts';
import { computed, onALine } from './on-a-line.ts';

const cut = (scene: ReturnType<typeof onALine>) => editGroups(...computed(scene));

/** Parts on a line, each with its mic 1 m to the right of it: a part d metres off is at 20·lg(d) under the mic's own. */
function row(places: Readonly<Record<string, number>>, mics: Parameters<typeof onALine>[1] = {}) {
  const entries = Object.entries(places);
  return onALine(Object.fromEntries(entries.map(([name, at]) => [name, { at }])), {
    ...Object.fromEntries(entries.map(([name, at], i) => [`${name} mic`, { at: at + 1, for: [i] }])),
    ...mics,
  });
}

describe('parts hang together', () => {
  // 20·lg 9.9 = 19.9 and 20·lg 10.1 = 20.1 dB: the part to the right is nearer to its left neighbour's mic.
  test.each([
    { apart: 10.9, together: true },
    { apart: 11.1, together: false },
  ])('where a mic carries the other above −20 dB: $apart m apart', ({ apart, together }) => {
    expect(cut(row({ A: 0, B: apart })).groups).toHaveLength(together ? 1 : 0);
  });

  test('by way of a third: a chain is one group, and says so in a sentence', () => {
    // Neighbours in the chain 9 m apart (mic to the next 8 m, 18.1 dB), the ends 18 m (17 m, 24.6 dB).
    const { groups, free, sentence } = cut(row({ drums: 0, piano: 9, bass: 18, voice: 100 }));
    expect(groups.map(({ parts }) => parts)).toEqual([['drums', 'piano', 'bass']]);
    expect(groups[0]?.mics).toEqual(['drums mic', 'piano mic', 'bass mic']);
    expect(groups[0]?.couplings[0]).toMatchObject({ level: expect.closeTo(-20 * Math.log10(8), 9) });
    expect(free).toEqual(['voice']);
    expect(sentence).toBe('edit drums, piano and bass together; voice is independent');
  });

  test('where one mic or one line is for both', () => {
    const scene = row({ A: 0, B: 100 }, { keys: { at: null, for: [0, 1] } });
    expect(cut(scene).groups[0]?.couplings[0]).toEqual({
      between: ['A', 'B'],
      mic: 'keys',
      passage: null,
      level: null,
      shared: true,
    });
  });

  test('only in passages in which both sound', () => {
    const passages = [
      { name: 'one', path: [], sounds: [true, false] },
      { name: 'two', path: [], sounds: [false, true] },
    ];
    expect(cut({ ...row({ A: 0, B: 3 }), passages }).groups).toEqual([]);
  });

  test('through a third only in passages in which that one sounds', () => {
    // A and C, 19 m apart, are tied by B alone, 9.5 m from each (mic to the next 8.5 m, −18.6 dB, to the one before 10.5 m, −20.4 dB), who never plays with both.
    const passages = [
      { name: 'verse', path: [], sounds: [true, true, false] },
      { name: 'chorus', path: [], sounds: [false, true, true] },
      { name: 'end', path: [], sounds: [true, false, true] },
      { name: 'coda', path: [], sounds: [true, true, false] },
    ];
    const { groups, sentence } = cut({ ...row({ A: 0, B: 9.5, C: 19 }), passages });
    expect(groups.map(({ parts, passages: when }) => [parts, when])).toEqual([
      [
        ['A', 'B'],
        ['verse', 'coda'],
      ],
      [['B', 'C'], ['chorus']],
    ]);
    expect(sentence).toBe('edit A and B together in verse and coda; edit B and C together in chorus');
    expect(groups[0]?.couplings.map(({ mic, passage }) => [mic, passage])).toEqual([['A mic', 'verse']]);
  });

  test('not by a mic for both of whom only one plays', () => {
    const passages = [
      { name: 'one', path: [], sounds: [true, false] },
      { name: 'two', path: [], sounds: [false, true] },
    ];
    expect(cut({ ...row({ A: 0, B: 100 }, { both: { at: 50, for: [0, 1] } }), passages }).groups).toEqual([]);
  });

  test('also by what a wedge of theirs brings', () => {
    // A's wedge stands a metre from B's mic.
    const sources = { A: { at: 0 }, B: { at: 100 }, wedge: { at: 102, part: 0, repeats: true } };
    const mics = { 'A mic': { at: 1, for: [0] }, 'B mic': { at: 101, for: [1] } };
    expect(cut(onALine(sources, mics)).groups.map(({ parts }) => parts)).toEqual([['A', 'B']]);
  });
});

test('mics for everyone bind nobody, and are named', () => {
  const answer = cut(row({ A: 0, B: 100 }, { main: { at: 50, for: [0, 1], purpose: 'all' } }));
  expect(answer.groups).toEqual([]);
  expect(answer.everyone).toEqual(['main']);
  expect(answer.sentence).toBe(
    'A and B are independent; main picks up everyone, so an edit there affects every part',
  );
});

describe('the carried part counts in its own octaves', () => {
  const spectrum = (level: (band: number) => number) => bands((band) => 10 ** (10 + level(band) / 10));
  /** A's mic gets B from 10 m, 20 dB under what it would give at 1 m. */
  const scene = (a: (band: number) => number, b: (band: number) => number) =>
    onALine(
      { A: { at: 0, power: spectrum(a) }, B: { at: 11, power: spectrum(b) } },
      { 'A mic': { at: 1, for: [0] } },
    );

  test('a bass that is −26 dB of a bright sound in all is −11 dB of it in the bass’s octaves', () => {
    // A: 0 dB at 63 Hz and 15 dB at 1 kHz. B at A's mic: −20 + 9 = −11 dB at 63 Hz. Over 63 Hz alone −11 dB.
    const a = (band: number) => [0, -99, -99, -99, 15][band] ?? -99;
    const b = (band: number) => (band === 0 ? 9 : -99);
    expect(cut(scene(a, b)).groups[0]?.couplings[0]?.level).toBeCloseTo(-11, 6);
  });

  test('an octave 21 dB under the carried part’s strongest is none of its own', () => {
    // B at A's mic: −25 dB at 63 Hz, −46 dB at 1 kHz. In 63 Hz, where A has 0 dB, −25 dB: free. At 1 kHz A has −40 dB, where
    // B would be 6 dB under it.
    const a = (band: number) => [0, -99, -99, -99, -40][band] ?? -99;
    const b = (band: number) => [-5, -99, -99, -99, -26][band] ?? -99;
    expect(cut(scene(a, b)).groups).toEqual([]);
  });

  test('alone in its octaves it binds without a figure, until it is 40 dB under all of the wanted sound', () => {
    const silent = Number.NEGATIVE_INFINITY;
    const a = (band: number) => (band === 4 ? 0 : silent);
    const bass = (level: number) => (band: number) => (band === 0 ? level : silent);
    expect(cut(scene(a, bass(-19))).groups[0]?.couplings[0]?.level).toBeNull();
    expect(cut(scene(a, bass(-21))).groups).toEqual([]);
  });
});

test('a part without a mic of its own still binds the mics that carry it, and is never called free', () => {
  const mics = { 'A mic': { at: 1, for: [0] }, 'B mic': { at: 9, for: [1] } };
  const guided = cut(onALine({ A: { at: 0 }, B: { at: 10 }, guide: { at: 5 } }, mics));
  expect(guided.groups.map(({ parts }) => parts)).toEqual([['A', 'B', 'guide']]);
  const apart = cut(onALine({ A: { at: 0 }, guide: { at: 50 } }, { 'A mic': { at: 1, for: [0] } }));
  expect(apart).toMatchObject({ groups: [], free: ['A'] });
});
