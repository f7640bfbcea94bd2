import { describe, expect, test } from 'vitest';
import { type CriterionKind, limitRows } from '../../src/judge/criteria.ts';
import { judge } from '../../src/judge/judge.ts';
import type { BalanceTarget, Limits, Scene } from '../../src/scene/scene.ts';
import { boxRoom, capsuleOf, micOf, plainLimits, pointSource, sceneOf } from '../build-scene.ts';
import { computed, onALine } from './on-a-line.ts';

/** An omni for all at the origin of a line in the open: what it picks up goes with 1/r². */
function before(places: Readonly<Record<string, number>>, rest: Partial<Scene> = {}): Scene {
  const sources = Object.fromEntries(Object.entries(places).map(([name, at]) => [name, { at }]));
  const everyone = Object.keys(places).map((_, i) => i);
  return onALine(sources, { main: { at: 0, for: everyone, purpose: 'all' } }, rest);
}

const target = (of: readonly number[], over: readonly number[], least: number): BalanceTarget => ({
  ...{ of, over, least, mic: 0, names: ['these', 'those'], path: ['limits', 'balance', 0] },
});
const limits = (more: Partial<Limits>): { limits: Limits } => ({ limits: { ...plainLimits, ...more } });
const rowOf = (scene: Scene, kind: CriterionKind) =>
  limitRows(judge(...computed(scene))).find((row) => row.kind === kind);
const passage = (name: string, sounds: readonly boolean[]) => ({ name, path: [], sounds });

describe('balance at a main mic', () => {
  // 2 m against 4 m: 20·lg 2 = 6.0206 dB.
  test.each([
    { least: 3, margin: 3.0206, verdict: 'clear' },
    { least: 5, margin: 1.0206, verdict: 'marginal' },
    { least: 9, margin: -2.9794, verdict: 'short' },
  ])('of 6.02 dB where $least are the least: $verdict', ({ least, margin, verdict }) => {
    const scene = before({ near: 2, far: -4 }, limits({ balance: [target([0], [1], least)] }));
    expect(rowOf(scene, 'balance')).toMatchObject({
      about: ['these', 'those', 'main'],
      path: ['limits', 'balance', 0],
      reached: expect.closeTo(6.0206, 4),
      margin: expect.closeTo(margin, 4),
      ...{ limit: least, passage: null, verdict },
    });
  });

  test('is all there is to judge where nobody has a mic of their own', () => {
    const scene = before({ near: 2, far: -4 }, limits({ balance: [target([0], [1], 3)] }));
    expect(limitRows(judge(...computed(scene))).map(({ kind }) => kind)).toEqual(['balance']);
  });

  test('sums each group, and counts in the passage in which it is least', () => {
    // 1/4 over 1/16 + 1/16 is 10·lg 2 in the tutti; over one of them 10·lg 4 in the verse; the others alone do not count.
    const passages = [
      passage('verse', [true, true, false]),
      passage('tutti', [true, true, true]),
      passage('end', [false, true, true]),
    ];
    const scene = before(
      { A: 2, B: -4, C: 4 },
      { passages, ...limits({ balance: [target([0], [1, 2], 0)] }) },
    );
    expect(rowOf(scene, 'balance')).toMatchObject({
      reached: expect.closeTo(10 * Math.log10(2), 6),
      passage: 'tutti',
    });
  });

  test('is not judged of groups that never sound together', () => {
    const passages = [passage('one', [true, false]), passage('two', [false, true])];
    const scene = before({ A: 2, B: -4 }, { passages, ...limits({ balance: [target([0], [1], 0)] }) });
    expect(rowOf(scene, 'balance')).toMatchObject({
      ...{ reached: null, margin: null, verdict: null },
      remark: 'never sound together; not judged',
    });
  });
});

describe('direct-to-reverberant ratio at a main mic', () => {
  const asked = (least: number) => limits({ directToReverberant: new Map([[0, least]]) });

  // As in main-pairs.test.ts: 30 m each way, α = 0.1, a critical distance of 3.45 m; 0 dB there and −6 dB at twice that.
  // Two sources as loud at both, of equal power: direct 1 + 1/4 against reverberation of 1 + 1: 10·lg(1.25/2) = −2.04 dB.
  test('is of all that sounds, and is judged; the early reflections scatter ours', () => {
    const [x, y, z] = [14, 13, 16];
    const sources = [3.454, 2 * 3.454].map((far, part) =>
      pointSource([x + (part === 0 ? far : -far), y, z], { room: 0, part, name: `part ${part}` }),
    );
    const scene = sceneOf({
      rooms: [boxRoom(30, 30, 30, { alpha: 0.1 })],
      sources,
      capsules: [capsuleOf([x, y, z], [-1, 0, 0], { room: 0 })],
      mics: [micOf('main', [0], [0, 1], { purpose: 'all' })],
      ...asked(-6),
    });
    const row = rowOf(scene, 'direct-to-reverberant');
    expect(Math.abs((row?.reached ?? 99) + 2.04)).toBeLessThan(1);
    expect(row).toMatchObject({ about: ['main'], limit: -6, verdict: 'clear' });
    expect(row?.margin).toBeCloseTo((row?.reached ?? 0) + 6, 9);
    expect(judge(...computed(scene)).mainPairs[0]?.directToRoom).toBe(row?.reached);
  });

  test('is met without a value in the open', () => {
    expect(rowOf(before({ A: 2 }, asked(0)), 'direct-to-reverberant')).toMatchObject({
      ...{ reached: null, margin: null, verdict: 'clear', remark: 'no reverberant sound' },
    });
  });
});

describe('sections at a main mic', () => {
  test('are parts of one family summed, loudest first; what has none is by itself', () => {
    const scene = before({ A: 2, B: -4, C: 4, own: 8 });
    const families = ['brass', 'strings', 'strings', null];
    const sources = scene.sources.map((source, i) => ({ ...source, family: families[i] ?? null }));
    const sections = judge(...computed({ ...scene, sources })).mainPairs[0]?.sections;
    // 1/4, 1/16 + 1/16, 1/64
    expect(sections?.map(({ section, parts }) => [section, parts])).toEqual([
      ['brass', ['A']],
      ['strings', ['B', 'C']],
      ['own', ['own']],
    ]);
    const levels = sections?.map(({ level }) => level ?? Number.NaN) ?? [];
    [0, 10 * Math.log10(0.5), 10 * Math.log10(1 / 16)].forEach((level, i) => {
      expect(levels[i]).toBeCloseTo(level, 6);
    });
  });
});
