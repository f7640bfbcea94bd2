import { describe, expect, test } from 'vitest';
import { exposure } from '../../src/judge/exposure.ts';
import { earTransfer } from '../../src/judge/hearing.ts';
import { lengthsIn } from '../../src/plan/units.ts';
import { exposure as exposureShown } from '../../src/report/people.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { plainLimits, sceneOf } from '../build-scene.ts';
import { exposed } from '../report/hand-made.ts';
import { bare, closed, passage, person, sounding } from './people.ts';
import { computed } from './why-plans.ts';

/*
 * Sound power such that 1 m from the ear it reads 91 dBA: 91 + 10·lg(4π). Another as loud at the ear makes 94 dBA, which
 * NIOSH allows for 1 h and OSHA for 480/2^(4/5) = 275.7 min.
 */
const LW = 91 + 10 * Math.log10(4 * Math.PI);
const own = sounding('horn', [1, 0, 0], LW, { player: 0 });
const tuba = sounding('tuba', [0, 1, 0], LW, { player: 1, part: 1 });
const players = [person('horn', [0, 0, 0]), person('tuba', [0, 50, 0])];
const sceneWith = (parts: Partial<Scene> = {}): Scene =>
  sceneOf({ sources: [own, tuba], capsules: [], players, ...parts });
const rowsOf = (scene: Scene) => exposure(scene, earTransfer(scene));
const SCOPE = { lengths: lengthsIn('m'), listAssumptions: false } as const;
const first = (parts: Partial<Scene> = {}) => rowsOf(sceneWith(parts))[0];

describe('exposure', () => {
  test('adds the own instrument and the others', () => {
    const row = first();
    expect(row?.level).toBeCloseTo(91 + 10 * Math.log10(2), 3);
    expect(row?.minutes).toBeCloseTo(480 / 2 ** ((91 + 10 * Math.log10(2) - 85) / 3), 1);
    expect(row?.minutesOsha).toBeCloseTo(480 / 2 ** ((91 + 10 * Math.log10(2) - 90) / 5), 1);
    expect(row).toMatchObject({ player: 'horn', cueLevel: null, margin: null, verdict: null, remark: null });
  });

  test('is averaged over passages as equally long: 91 dBA half of the time is 88', () => {
    const row = first({ passages: [passage('solo', [true, false]), passage('rest', [false, false])] });
    expect(row?.level).toBeCloseTo(91 - 10 * Math.log10(2), 3);
    expect(row?.loudest?.passage).toBe('solo');
    expect(row?.loudest?.level).toBeCloseTo(91, 3);
  });

  test('is less behind closed headphones, and what they play comes on top', () => {
    // 20 dB off 94 dBA leave 74; with 85 dBA over the phones 10·lg(10^8.5 + 10^7.4) = 85.33.
    const quiet = first({ players: [{ ...(players[0] as (typeof players)[0]), cue: closed }] });
    expect(quiet?.level).toBeCloseTo(71 + 10 * Math.log10(2), 2);
    const loud = first({
      players: [{ ...(players[0] as (typeof players)[0]), cue: { ...closed, level: 85 } }],
    });
    expect(loud?.level).toBeCloseTo(10 * Math.log10(10 ** 8.5 + 2 * 10 ** 7.1), 2);
    expect(loud).toMatchObject({ cueLevel: 85, remark: null });
  });

  test('knows no cue of one who wears nothing', () => {
    const row = first({
      players: [{ ...(players[0] as (typeof players)[0]), cue: { ...bare, level: 100 } }],
    });
    expect(row?.cueLevel).toBeNull();
    expect(row?.level).toBeCloseTo(91 + 10 * Math.log10(2), 3);
  });

  test('is nothing, without minutes, where nothing sounds', () => {
    const row = rowsOf(sceneOf({ sources: [], capsules: [], players }))[0];
    expect(row).toMatchObject({ level: null, minutes: null, minutesOsha: null, loudest: null });
  });
});

describe('headphones without a level', () => {
  const wearing = (dB: number, limits: Partial<Scene> = {}) =>
    first({
      players: [{ ...(players[0] as (typeof players)[0]), cue: closed }],
      sources: [sounding('horn', [1, 0, 0], dB + 10 * Math.log10(4 * Math.PI), { player: 0 })],
      ...limits,
    });
  const session = (hours: number) => ({ limits: { ...plainLimits, sessionLength: hours * 3600 } });

  test('leave the exposure unknown, however quiet it is behind them', () => {
    // 91 dBA less 20 dB
    expect(wearing(91)).toMatchObject({ isLeast: true, minutes: null, minutesOsha: null, verdict: null });
    expect(wearing(91)?.level).toBeCloseTo(71, 2);
    expect(wearing(91)?.remark).toMatch(/no level for the headphones/);
    expect(wearing(91, session(8))).toMatchObject({ minutes: null, margin: null, verdict: null });
  });

  test('do not hide what is over the dose without them: 91 dBA behind them are 2 h at most', () => {
    expect(wearing(111)?.minutes).toBeCloseTo(120, 0);
    expect(wearing(111, session(4))).toMatchObject({ isLeast: true, verdict: 'short' });
    expect(wearing(111, session(4))?.margin).toBeCloseTo(-3, 2);
    // an hour would be allowed without them; with them nobody knows
    expect(wearing(111, session(1))).toMatchObject({ margin: null, verdict: null });
  });

  test('are named beside the loud ones, and listed before whoever is known to be safe', () => {
    const loud = exposed('singer', 94, 60);
    const safe = exposed('flute', 70, 15360);
    const unknown = { ...exposed('drummer', 71, 0), minutes: null, isLeast: true };
    const shown = (detail: 'brief' | 'full') =>
      JSON.stringify(exposureShown({ exposure: [safe, unknown, loud] }, { ...SCOPE, detail }));
    expect(shown('brief')).toContain('Unknown for drummer');
    expect(shown('full')).toMatch(/singer.*60 min.*drummer.*unknown.*from 71\.0.*flute.*all day/);
  });
});

describe('the session', () => {
  const hours = (h: number): Partial<Scene> => ({
    sources: [own],
    limits: { ...plainLimits, sessionLength: h * 3600 },
  });
  // 91 dBA: 2 h are just allowed; half as long allows 3 dB more, twice as long 3 dB less.
  test.each([
    { h: 0.5, margin: 6, verdict: 'clear' },
    { h: 1.5, margin: 3 * Math.log2(2 / 1.5), verdict: 'marginal' },
    { h: 4, margin: -3, verdict: 'short' },
  ])('of $h h at 91 dBA: $verdict', ({ h, margin, verdict }) => {
    const row = first(hours(h));
    expect(row?.margin).toBeCloseTo(margin, 2);
    expect(row?.verdict).toBe(verdict);
  });
});

describe('a plan', () => {
  const text = (cue: string) => `spillcheck: 1
players:
  singer: {at: [0, 0], facing: 0, standing: true, plays: singing-voice, cue: ${cue}}
mics:
  voice: {for: singer, near: {distance: 20 cm}}
`;
  test('gives the level over headphones in dBA; others are turned into it as if alike in all octaves', async () => {
    const level = async (written: string) =>
      (await computed(text(`{wearing: in-ear, level: ${written}}`))).scene.players[0]?.cue.level;
    expect(await level('84 dBA')).toBeCloseTo(84, 9);
    // Eight octaves alike: Σ10^(A/10) over the table of IEC 61672-1 is 5.00 of 8, hence 2.04 dB less in dBA.
    const A = [-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1].map((gain) => 10 ** (gain / 10));
    expect(await level('84 dB')).toBeCloseTo(84 + 10 * Math.log10(A.reduce((a, b) => a + b) / 8), 1);
  });

  test('puts ears at 1.6 m for one who stands, and the phones’ figures on them', async () => {
    const { scene } = await computed(text('closed'));
    expect(scene.players[0]?.ears[2]).toBeCloseTo(1.6, 1);
    // the catalogue's closed cups hold off 22 dB at 1 kHz
    expect(scene.players[0]?.cue.passes[4]).toBeCloseTo(10 ** -2.2, 6);
    expect(scene.players[0]?.cue.hearsByAir).toBe(false);
  });
});
