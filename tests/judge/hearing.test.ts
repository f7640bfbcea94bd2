import { describe, expect, test } from 'vitest';
import { type CueNeed, cueList, earTransfer, judgeHearing } from '../../src/judge/hearing.ts';
import type { Limits, Scene } from '../../src/scene/scene.ts';
import { boxRoom, plainLimits, sceneOf } from '../build-scene.ts';
import { bare, closed, freeLevel, passage, person, sounding } from './people.ts';

/*
 * The singer's ears are at the origin, her voice 0.2 m away at 80 dB of sound power; the horn is 2 m away. Twenty times 1/r²
 * apart, 20·lg(2/0.2) = 20 dB: a horn of 100 dB reaches her ear as loud as she does herself.
 */
const voice = sounding('singer', [0.2, 0, 0], 80, { player: 0, part: 0 });
const horn = (lw: number) => sounding('horn', [0, 2, 0], lw, { player: 1, part: 1 });
const singer = person('singer', [0, 0, 0]);
const hornist = person('horn', [0, 2.5, 0]);

const duo = (lw: number, rest: Partial<Scene> = {}): Scene =>
  sceneOf({ sources: [voice, horn(lw)], capsules: [], players: [singer, hornist], ...rest });
const hearing = (scene: Scene) => judgeHearing(scene, earTransfer(scene));
const rowsOf = (scene: Scene, player: string) => hearing(scene).rows.filter((row) => row.player === player);
const mustHear = (sources: readonly number[], whom = 'horn'): Limits => ({
  ...plainLimits,
  hear: [{ player: 0, whom, sources }],
});

describe('who hears whom', () => {
  test('is a matter of level over everything else at that ear, own sound included', () => {
    const [row, ...more] = rowsOf(duo(100), 'singer');
    expect(more).toEqual([]);
    expect(row?.whom).toBe('horn');
    expect(row?.ratio).toBeCloseTo(0, 3);
    expect(row?.level).toBeCloseTo(freeLevel(100, 2), 2);
  });

  // Common practice, no source: down to 8 dB under is heard, to 15 by straining.
  test.each([
    { under: 7.9, hears: 'hears' },
    { under: 8.1, hears: 'barely hears' },
    { under: 14.9, hears: 'barely hears' },
    { under: 15.1, hears: 'cannot hear' },
  ])('one $under dB under the rest: $hears', ({ under, hears }) => {
    expect(rowsOf(duo(100 - under), 'singer')[0]?.hears).toBe(hears);
  });

  test('weighs by ear: 63 Hz counts 26.2 dB less', () => {
    // A at 63 Hz is −26.2 dB in the table of IEC 61672-1.
    const low = { ...horn(100), power: horn(100).power.map((_, band) => (band === 0 ? 1e10 : 0)) };
    const [row] = rowsOf(
      sceneOf({ sources: [voice, low], capsules: [], players: [singer, hornist] }),
      'singer',
    );
    expect(row?.ratio).toBeCloseTo(-26.2, 1);
  });

  test('counts a third who plays along as part of the rest', () => {
    // A second horn as loud at her ear as she is: 1 against 2.
    const third = sounding('tuba', [0, -2, 0], 100, { player: 2, part: 2 });
    const players = [singer, hornist, person('tuba', [0, -3, 0])];
    const scene = sceneOf({ sources: [voice, horn(100), third], capsules: [], players });
    expect(rowsOf(scene, 'singer').map(({ whom }) => whom)).toEqual(['horn', 'tuba']);
    expect(rowsOf(scene, 'singer')[0]?.ratio).toBeCloseTo(-10 * Math.log10(2), 3);
  });

  test('is against the noise of the room where nothing else sounds', () => {
    const room = boxRoom(6, 5, 3, { noise: 70 });
    const far = { at: [5, 4, 1.2], axis: [0, 1, 0], room: 0, share: 1 } as const;
    const guest = person('guest', [1, 1, 1.2], { room: 0, listener: true });
    const source = { ...horn(90), player: null, points: [far] };
    const [row] = rowsOf(
      sceneOf({ sources: [source], capsules: [], players: [guest], rooms: [room] }),
      'guest',
    );
    expect((row?.level ?? 0) - (row?.ratio ?? 0)).toBeCloseTo(70, 9);
  });
});

describe('passages', () => {
  const tuba = sounding('tuba', [0, -2, 0], 100, { player: 2, part: 2 });
  const players = [singer, hornist, person('tuba', [0, -3, 0])];
  const sources = [voice, horn(100), tuba];
  const scene = (passages: Scene['passages']) => sceneOf({ sources, capsules: [], players, passages });

  test('the worst of those in which both sound is judged', () => {
    const both = scene([passage('verse', [true, true, false]), passage('all', [true, true, true])]);
    const [row] = rowsOf(both, 'singer');
    expect(row?.passage).toBe('all');
    expect(row?.ratio).toBeCloseTo(-10 * Math.log10(2), 3);
  });

  test('who never sounds together with him is left out', () => {
    const apart = scene([passage('verse', [true, false, true]), passage('solo', [false, true, false])]);
    expect(rowsOf(apart, 'singer').map(({ whom }) => whom)).toEqual(['tuba']);
    expect(rowsOf(apart, 'horn')).toEqual([]);
  });

  test('a listener hears in every passage of the other', () => {
    const guest = person('producer', [4, 0, 0], { listener: true });
    const solo = sceneOf({
      sources: [voice, horn(100)],
      capsules: [],
      players: [singer, hornist, guest],
      passages: [passage('solo', [false, true]), passage('duo', [true, true])],
    });
    expect(rowsOf(solo, 'producer').map(({ whom }) => whom)).toEqual(['singer', 'horn']);
    expect(rowsOf(solo, 'producer').every(({ listener }) => listener)).toBe(true);
  });
});

describe('whom', () => {
  test('a person with two instruments is one, and so is a kit', () => {
    const guitar = sounding('guitar', [0.2, 0, -0.2], 70, { player: 0, part: 2 });
    const kit = ['drums.snare', 'drums.kick'].map((name, i) =>
      sounding(name, [0, 3, i * 0.2], 90, { player: 1, kit: 'drums', part: 3 }),
    );
    const players = [singer, person('drums', [0, 3.5, 0])];
    const scene = sceneOf({ sources: [voice, guitar, ...kit], capsules: [], players });
    expect(hearing(scene).rows.map(({ player, whom }) => [player, whom])).toEqual([
      ['singer', 'drums'],
      ['drums', 'singer'],
    ]);
    // Two drums of 90 dB nearly 3 m away against a voice at 0.2 m and a guitar.
    expect(rowsOf(scene, 'drums')[0]?.level).toBeCloseTo(
      10 *
        Math.log10(
          10 ** (freeLevel(80, Math.hypot(0.2, 3.5)) / 10) +
            10 ** (freeLevel(70, Math.hypot(0.2, 3.5, 0.2)) / 10),
        ),
      3,
    );
  });

  test('a loudspeaker that repeats someone counts as that person, for himself too', () => {
    // 100 dB at 2 m are as loud at her ear as her own 80 at 0.2 m: the horn stands against twice herself.
    const wedge = sounding('wedge', [2, 0, 0], 100, { repeats: true, part: 0 });
    const scene = sceneOf({ sources: [voice, horn(100), wedge], capsules: [], players: [singer, hornist] });
    expect(hearing(scene).rows.map(({ whom }) => whom)).toEqual(['horn', 'singer']);
    expect(rowsOf(scene, 'singer')[0]?.ratio).toBeCloseTo(-10 * Math.log10(2), 3);
  });

  test('what nobody here plays goes by its own name', () => {
    const organ = sounding('organ', [0, 5, 0], 90, { part: 2 });
    const scene = sceneOf({ sources: [voice, organ], capsules: [], players: [singer] });
    expect(rowsOf(scene, 'singer').map(({ whom }) => whom)).toEqual(['organ']);
  });
});

describe('headphones', () => {
  test('closed ones shut everyone out, however loud', () => {
    const [row] = rowsOf(duo(120, { players: [{ ...singer, cue: closed }, hornist] }), 'singer');
    expect(row).toMatchObject({ hears: 'cannot hear', remark: 'wears closed headphones' });
  });

  test('with one cup off one hears with one ear', () => {
    const cue = { ...bare, wearing: 'one-off' } as const;
    const [row] = rowsOf(duo(100, { players: [{ ...singer, cue }, hornist] }), 'singer');
    expect(row).toMatchObject({ hears: 'hears', remark: 'with one ear' });
  });

  test('open ones take as much off the one as off the other', () => {
    const cue = { ...bare, wearing: 'open', passes: bare.passes.map(() => 10 ** -0.2) } as const;
    const [row] = rowsOf(duo(100, { players: [{ ...singer, cue }, hornist] }), 'singer');
    expect(row?.ratio).toBeCloseTo(0, 2);
    expect(row?.level).toBeCloseTo(freeLevel(100, 2) - 2, 2);
  });
});

describe('whom one must hear', () => {
  const limitRow = (scene: Scene) => hearing(scene).limits[0];

  test.each([
    { lw: 100, margin: 8, verdict: 'clear' },
    { lw: 94, margin: 2, verdict: 'marginal' },
    { lw: 90, margin: -2, verdict: 'short' },
  ])('is $verdict with $margin dB over 8 dB under the rest', ({ lw, margin, verdict }) => {
    const row = limitRow(duo(lw, { limits: mustHear([1]) }));
    expect(row).toMatchObject({ player: 'singer', whom: 'horn', verdict, needsCue: margin < 0 });
    expect(row?.margin).toBeCloseTo(margin, 2);
  });

  test('is left to the headphones of who wears some and does not hear by air', () => {
    const players = [{ ...singer, cue: closed }, hornist];
    const row = limitRow(duo(120, { players, limits: mustHear([1]) }));
    expect(row).toMatchObject({ verdict: null, margin: null, needsCue: true });
  });

  test('is short without a margin where nothing of it gets there', () => {
    const silent = { ...horn(100), power: horn(100).power.map(() => 0) };
    const scene = sceneOf({
      sources: [voice, silent],
      capsules: [],
      players: [singer, hornist],
      limits: mustHear([1]),
    });
    expect(limitRow(scene)).toMatchObject({
      verdict: 'short',
      margin: null,
      remark: 'inaudible',
    });
  });

  test('holds in the other’s passages where the two never play together', () => {
    const passages = [passage('verse', [true, false]), passage('solo', [false, true])];
    const row = limitRow(duo(60, { passages, limits: mustHear([1]) }));
    expect(row).toMatchObject({ passage: 'solo', verdict: 'clear' });
  });

  test('is not judged where the other never sounds', () => {
    const row = limitRow(duo(90, { passages: [passage('verse', [true, false])], limits: mustHear([1]) }));
    expect(row).toMatchObject({
      verdict: null,
      needsCue: false,
      remark: 'silent in every passage; not judged',
    });
  });
});

describe('the cue list', () => {
  const listOf = (scene: Scene) => cueList(scene, hearing(scene));

  const whom = (needs: readonly CueNeed[] | undefined) => needs?.map((one) => one.whom);

  test('carries whom he does not hear by air, by how much, and himself where the phones shut him out', () => {
    const players = [{ ...singer, cue: closed }, hornist];
    const [first, second] = listOf(duo(100, { players }));
    expect(first).toMatchObject({ player: 'singer', wearing: 'closed', hearsByAir: false, own: 'shut out' });
    expect([whom(first?.mustHave), whom(first?.niceToHave)]).toEqual([['horn'], []]);
    // 80 dB at 2.5 m and 100 dB at 0.5 m: 20 + 20·lg 5 = 34.0 dB under.
    expect(second).toMatchObject({
      ...{ player: 'horn', listener: false, wearing: 'none', niceToHave: [], own: null },
      mustHave: [{ whom: 'singer', passage: null, ratio: expect.closeTo(-34, 1), isDemanded: false }],
    });
  });

  test('says who would help though he is heard with strain', () => {
    const row = listOf(duo(90, { players: [{ ...singer, cue: { ...bare, wearing: 'open' } }, hornist] }))[0];
    expect(row).toMatchObject({ player: 'singer', mustHave: [], niceToHave: [{ whom: 'horn' }], own: null });
  });

  test('puts first whom the limits demand, and leaves out nobody else', () => {
    const tuba = sounding('tuba', [0, -2, 0], 100, { player: 2, part: 2 });
    const players = [{ ...singer, cue: closed }, hornist, person('tuba', [0, -3, 0])];
    const scene = sceneOf({
      sources: [voice, horn(100), tuba],
      capsules: [],
      players,
      limits: mustHear([2], 'tuba'),
    });
    expect(listOf(scene)[0]).toMatchObject({
      player: 'singer',
      mustHave: [
        { whom: 'tuba', isDemanded: true },
        { whom: 'horn', isDemanded: false },
      ],
    });
  });

  test.each([
    { what: 'in the room', room: 0, wears: { ...bare, wearing: 'open' as const }, own: null },
    { what: 'next door', room: 1, wears: { ...bare, wearing: 'open' as const }, own: 'elsewhere' },
    { what: 'next door, and no headphones', room: 1, wears: bare, own: 'elsewhere' },
    { what: 'next door, and closed headphones', room: 1, wears: closed, own: 'elsewhere' },
    { what: 'in the room, and closed headphones', room: 0, wears: closed, own: 'shut out' },
  ])('has the own part of one whose amplifier is $what: $own', ({ room, wears, own }) => {
    const rooms = [boxRoom(5, 5, 3), boxRoom(5, 5, 3, { name: 'next door' })];
    const amp = sounding('amp', [2, 2, 1], 90, {
      player: 0,
      points: [{ at: [2, 2, 1], axis: [0, 1, 0], room, share: 1 }],
    });
    const players = [person('bass', [1, 2, 1], { room: 0, cue: wears })];
    const [row] = listOf(sceneOf({ sources: [amp], capsules: [], players, rooms }));
    expect(row?.own ?? null).toBe(own);
  });

  test('has no row for a bare-eared listener without demands, nor for a player who hears all', () => {
    const guest = person('producer', [9, 0, 0], { listener: true });
    const even = sounding('horn', [0, 2, 0], 80, { player: 1, part: 1 });
    const players = [singer, person('horn', [0, 0, 0.5]), guest];
    const near = {
      ...voice,
      points: [{ at: [0, 2, 0.1], axis: [0, 1, 0], room: -1, share: 1 }],
    } as typeof voice;
    expect(listOf(sceneOf({ sources: [near, even], capsules: [], players }))).toEqual([]);
  });

  test('has a row for a listener with headphones', () => {
    const guest = person('producer', [9, 0, 0], { listener: true, cue: closed });
    const row = listOf(duo(100, { players: [singer, hornist, guest] })).find(
      (one) => one.player === 'producer',
    );
    expect(row?.own).toBeNull();
    expect(whom(row?.mustHave)).toEqual(['singer', 'horn']);
  });
});
