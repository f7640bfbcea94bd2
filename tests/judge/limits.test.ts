import { describe, expect, test } from 'vitest';
import type { Criterion, CriterionKind } from '../../src/judge/criteria.ts';
import { limitRows } from '../../src/judge/criteria.ts';
import { judge } from '../../src/judge/judge.ts';
import type { Panel, Part, Scene } from '../../src/scene/scene.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { capsuleOf, micOf, none, plainLimits, sceneOf } from '../build-scene.ts';
import { onALine } from './on-a-line.ts';
import { closed, passage, person, sounding } from './people.ts';

const rowsOf = (scene: Scene, kind?: CriterionKind): Criterion[] => {
  const result = transfer(scene);
  const rows = limitRows(judge(scene, result));
  return rows.filter((row) => kind === undefined || row.kind === kind);
};

/*
 * A at 0 and B at 4 m, mics at 1 and 3 m, in a free field: each mic is 1 m from its own source and 3 m from the other, so
 * 20·lg 3 = 9.5424 dB signal to bleed; the mics are 2 m apart, a ratio of 2.
 */
const close = onALine(
  { A: { at: 0 }, B: { at: 4 } },
  { 'mic A': { at: 1, for: [0] }, 'mic B': { at: 3, for: [1], limit: 5 } },
);
const withLimits = (limits: Partial<Scene['limits']>, scene = close): Scene => ({
  ...scene,
  limits: { ...plainLimits, ...limits },
});

describe('signal to bleed', () => {
  test('is held against the limit of each microphone, at its entry in the plan', () => {
    expect(rowsOf(close)).toEqual([
      {
        kind: 'signal-to-bleed',
        about: ['mic A'],
        path: ['mics', 'mic A'],
        reached: expect.closeTo(9.5424, 4),
        limit: 10,
        margin: expect.closeTo(-0.4576, 4),
        passage: null,
        verdict: 'short',
        remark: 'test',
        basis: null,
      },
      expect.objectContaining({
        about: ['mic B'],
        limit: 5,
        margin: expect.closeTo(4.5424, 4),
        passage: null,
        verdict: 'clear',
      }),
    ]);
  });

  test('must be met by the worse channel of a pair, which counts once', () => {
    // 1 m and 2 m from A, 9 m and 8 m from B: 20·lg 9 = 19.0849 dB and 20·lg 4 = 12.0412 dB
    const pair = sceneOf({
      sources: [sounding('A', [0, 0, 0], 100, { part: 0 }), sounding('B', [10, 0, 0], 100, { part: 1 })],
      capsules: [
        capsuleOf([1, 0, 0], [0, 1, 0], { name: 'pair.left', mic: 0 }),
        capsuleOf([2, 0, 0], [0, 1, 0], { name: 'pair.right', mic: 0 }),
      ],
      mics: [micOf('pair', [0, 1], [0], { stereo: 'spaced', limit: 15 })],
    });
    expect(rowsOf(pair)).toMatchObject([
      {
        about: ['pair'],
        path: ['mics', 'pair'],
        limit: 15,
        reached: expect.closeTo(12.0412, 4),
        remark: expect.stringContaining('worse channel pair.right'),
      },
    ]);
  });

  test('names the passage it is worst in, and a limit that the plan itself sets', () => {
    const passages = [passage('verse', [true, false]), passage('chorus', [true, true])];
    const mics = close.mics.map((mic) => ({ ...mic, limitFrom: 'limits' }));
    const [first] = rowsOf({ ...close, passages, mics });
    expect(first).toMatchObject({ about: ['mic A'], remark: 'set in limits, worst in chorus' });
  });

  test('is not judged where the source never sounds, and stands last then', () => {
    const rows = rowsOf({ ...close, passages: [passage('solo', [false, true])] });
    expect(rows.map(({ about, verdict }) => [about[0], verdict])).toEqual([
      ['mic B', 'clear'],
      ['mic A', null],
    ]);
    expect(rows[1]?.remark).toContain('silent in every passage');
  });

  test.each([
    { what: 'no microphone', scene: onALine({ A: { at: 0 } }, {}) },
    {
      what: 'one for everyone only',
      scene: onALine({ A: { at: 0 } }, { main: { at: 1, for: [0], purpose: 'all' } }),
    },
    { what: 'a line only', scene: onALine({ A: { at: 0 } }, { di: { at: null, for: [0] } }) },
  ])('a plan with $what says that there is none to judge', ({ scene }) => {
    expect(rowsOf(scene)).toMatchObject(
      [
        {
          kind: 'signal-to-bleed',
          about: [],
          path: ['mics'],
          verdict: null,
          remark: /^no mic/,
        },
      ].map((row) => ({ ...row, remark: expect.stringMatching(row.remark) })),
    );
  });
});

test('the 3:1 rule is judged only where the plan says so: a ratio of 2 is 20·lg(2/3) = -3.5218 dB short', () => {
  expect(rowsOf(close, 'three-to-one')).toEqual([]);
  expect(rowsOf(withLimits({ threeToOne: 3 }), 'three-to-one')).toEqual([
    {
      kind: 'three-to-one',
      about: ['mic A', 'mic B'],
      path: ['limits', 'three-to-one'],
      reached: expect.closeTo(2, 9),
      limit: 3,
      margin: expect.closeTo(-3.5218, 4),
      passage: null,
      verdict: 'short',
      remark: null,
      basis: null,
    },
  ]);
});

describe('parts', () => {
  const placed = (wish: Part['later']): Scene => ({
    ...close,
    parts: close.parts.map((part) => ({ ...part, path: ['players', part.name], later: wish })),
  });

  test('a ghost is judged where the part is to be replaced: 20·lg(1/3) = -9.5424 dB where -25 dB is the most', () => {
    expect(rowsOf(placed('leave'), 'ghost')).toEqual([]);
    expect(rowsOf(placed('replace'), 'ghost')[0]).toEqual({
      kind: 'ghost',
      about: ['A'],
      path: ['players', 'A'],
      reached: expect.closeTo(-9.5424, 4),
      limit: -25,
      margin: expect.closeTo(-15.4576, 4),
      passage: null,
      verdict: 'short',
      remark: 'mostly mic B',
      basis: null,
    });
  });

  test('editing alone is judged where a limit asks for it, by the same 9.5424 dB', () => {
    expect(rowsOf(close, 'isolation')).toEqual([]);
    const [row, ...others] = rowsOf(
      withLimits({ isolation: new Map([[1, 8]]) }, placed('leave')),
      'isolation',
    );
    expect(others).toEqual([]);
    expect(row).toMatchObject({
      about: ['B'],
      path: ['players', 'B'],
      limit: 8,
      margin: expect.closeTo(1.5424, 4),
      passage: null,
      verdict: 'marginal',
      remark: 'at mic B',
    });
  });
});

describe('people', () => {
  // A 1 m and B 2 m from her ears: B is 20·lg 2 = 6.0206 dB under A, against a quiet room 60 dB further down
  const sources = [sounding('A', [1, 0, 1.2], 100), sounding('B', [-2, 0, 1.2], 100)];
  const people: Scene = {
    ...sceneOf({ sources, capsules: [] }),
    players: [person('anna', [0, 0, 1.2]), person('ben', [5, 0, 1.2])],
  };

  test('one hears what is at most 8 dB under all else: 6.0206 dB under it is 1.9794 dB over', () => {
    const ofAnna = ['A', 'B'].map((whom, i) => ({ player: 0, whom, sources: [i] }));
    const hear = [...ofAnna, { player: 1, whom: 'A', sources: [0] }];
    const rows = rowsOf(withLimits({ hear }, people), 'hear');
    expect(rows).toMatchObject([
      {
        about: ['anna', 'B'],
        path: ['limits', 'hear', 'anna', 1],
        limit: -8,
        margin: expect.closeTo(1.9794, 3),
        passage: null,
        verdict: 'marginal',
      },
      // A 4 m and B 7 m from ben's ears: 20·lg(7/4) = 4.8608 dB, 12.8608 dB over
      { about: ['ben', 'A'], path: ['limits', 'hear', 'ben', 0], margin: expect.closeTo(12.8608, 3) },
      { about: ['anna', 'A'], path: ['limits', 'hear', 'anna', 0], margin: expect.closeTo(14.0206, 3) },
    ]);
  });

  test('what the headphones must carry is not judged', () => {
    const players = [person('anna', [0, 0, 1.2], { cue: closed })];
    const hear = [{ player: 0, whom: 'B', sources: [1] }];
    const [row] = rowsOf(withLimits({ hear }, { ...people, players }), 'hear');
    expect(row).toMatchObject({ verdict: null, margin: null, remark: expect.stringContaining('headphones') });
  });

  test('a screen between their eyes keeps two from seeing each other; a miss without dB stands first', () => {
    const screen: Panel = {
      name: 'screen',
      path: [],
      room: -1,
      a: [2, -1],
      b: [2, 1],
      low: 0,
      high: 2,
      tau: none,
      alpha: none,
      windowFrom: Number.POSITIVE_INFINITY,
      booth: null,
    };
    const limits = { seeEachOther: [[0, 1]] as const, threeToOne: 3 };
    const [first] = rowsOf(
      withLimits(limits, { ...people, panels: [screen], capsules: close.capsules, mics: close.mics }),
    );
    expect(first).toMatchObject({
      kind: 'see-each-other',
      about: ['anna', 'ben'],
      path: ['limits', 'see-each-other'],
      verdict: 'short',
      margin: null,
      remark: 'blocked by screen',
    });
    expect(rowsOf(withLimits(limits, people), 'see-each-other')).toMatchObject([{ verdict: 'clear' }]);
  });

  test('a session is as long as ears should bear it: 89.01 dBA for 3 h', () => {
    // one source of 100 dB at 1 kHz, 1 m off: 100 − 10·lg 4π = 89.008 dBA; NIOSH 98-126: 480 min / 2^((89.008 − 85)/3) = 190.1 min
    // 180 min are allowed at 85 + 3·log2(480/180) = 89.245 dBA
    const alone = {
      ...people,
      sources: sources.slice(0, 1),
      passages: [passage('all', [true])],
      players: people.players.slice(0, 1),
    };
    const [row] = rowsOf(withLimits({ sessionLength: 3 * 3600 }, alone), 'session-length');
    expect(row).toMatchObject({
      about: ['anna'],
      path: ['limits', 'session-length'],
      reached: expect.closeTo(190.1, 1),
      limit: 180,
      margin: expect.closeTo(0.237, 3),
      passage: null,
      verdict: 'marginal',
      remark: expect.stringContaining('follow local rules'),
    });
  });
});
