/** Levels as they were measured, written into plans: the plan then predicts what was read. */
import { describe, expect, test } from 'vitest';
import { allBands } from '../../src/acoustics/bands.ts';
import { predictScene } from '../../src/line-check/diagnose.ts';
import { lineCheck } from '../../src/line-check/line-check.ts';
import { fittedLevels, writeLevels } from '../../src/line-check/measured-levels.ts';
import { cellAt } from '../../src/line-check/readings.ts';
import { uniform } from '../../src/statistics.ts';
import { planOf, resolved } from './session.ts';
import { readingsFor } from './trials.ts';

const PLAN = `spillcheck: 1
# an invented plan with every way of saying how loud something is
rooms:
  hall: {size: [12, 9], height: 4, reverberation: 0.8}
players:
  tuba: {at: [2, 4], facing: 0, plays: tuba, level: 90 dBA at 2 m}   # measured once
  cornet: {at: [4, 4], facing: 0, plays: cornet, dynamic: f}
  singer:
    at: [6, 4]
    facing: 0
    plays:
      voice: {instrument: singing-voice, level: {spl: 82, weighting: A}}
      guitar: steel-string-guitar
  drums: {at: [8, 4], facing: 0, plays: drum-kit, parts: {snare: {level: 100 dB}}}
  bones: {at: [10, 4], facing: 0, plays: drum-kit, level: 96 dB}
sources:
  bell: {at: [3, 7, 1], facing: 0, spectrum: 0, power: 90}
mics:
  a: {for: tuba, at: [2, 5, 1.2]}
  b: {for: drums, at: [8, 5, 1.2]}
  c: {for: all, at: [6, 7, 2], aim: 180}
`;

const OFF = [3, -2, 5, 0, -6, 1];
const NAMES = ['tuba', 'cornet', 'singer', 'drums', 'bones', 'bell'];

/** A row for each player, or for each piece of `kit` instead of its player. */
async function measured(text: string, kit?: string) {
  const plan = await planOf(text);
  const scene = resolved(plan);
  if (!scene) throw new Error('the plan does not resolve');
  const whole = readingsFor(scene, false);
  const pieces = scene.sources.flatMap((one, i) =>
    one.kit === kit ? [{ name: one.name, sources: [i] }] : [],
  );
  const rows = [...whole.rows.filter(({ name }) => name !== kit), ...pieces];
  const readings = { ...whole, rows, levels: new Float64Array(rows.length * whole.columns.length) };
  const levels = predictScene(scene, readings);
  for (const row of readings.rows.keys())
    for (const column of readings.columns.keys())
      readings.levels[cellAt(readings, row, column, 0)] =
        (levels[cellAt(readings, row, column, 0)] ?? 0) + (OFF[row] ?? row / 2) - 70;
  const check = lineCheck(scene, readings, { plan, resolve: (one) => resolved(one) }, uniform(1));
  return { scene, check, ...fittedLevels(scene, plan, readings.rows, check) };
}

describe('a plan with measured levels', async () => {
  const { scene, check, levels, kept } = await measured(PLAN);
  const written = writeLevels(PLAN, levels);
  const after = resolved(await planOf(written.text));

  /** Median of 3, −2, 5, 0, −6, 1 is 0.5. */
  test('has levels found to the last tenth, about their median', () => {
    expect(check.sources.map(({ name }) => name)).toEqual(NAMES);
    for (const [i, one] of check.sources.entries())
      expect(one.overall?.value).toBeCloseTo((OFF[i] ?? 0) - 0.5, 3);
  });

  test('has every source, piece by piece, as much louder as it was measured', () => {
    for (const [i, source] of scene.sources.entries()) {
      const player = source.player === null ? 'bell' : scene.players[source.player]?.name;
      const wanted = player === 'bell' ? 0 : (OFF[NAMES.indexOf(player ?? '')] ?? 0) - 0.5;
      const rise =
        10 * Math.log10(allBands(after?.sources[i]?.power ?? source.power) / allBands(source.power));
      // written to a tenth of a decibel; what of a kit is left to share is the difference of two such figures
      expect(Math.abs(rise - wanted), source.name).toBeLessThan(0.2);
    }
  });

  test('leaves a power by octave as it is, and says so', () => expect(kept).toEqual(['bell']));

  test('keeps every other line byte for byte, and units and distances as they were', () => {
    expect(written.left).toEqual([]);
    const [old, now] = [PLAN.split('\n'), written.text.split('\n')];
    expect(now).toHaveLength(old.length);
    const changed = now.filter((line, i) => line !== old[i]);
    expect(changed).toHaveLength(6);
    expect(changed[0]).toBe(
      '  tuba: {at: [2, 4], facing: 0, plays: tuba, level: 92.5 dBA at 2 m}   # measured once',
    );
    expect(changed[2]).toBe('      voice: {instrument: singing-voice, level: 86.5 dBA at 1 m}');
    expect(changed[3]).toMatch(/^ {6}guitar: \{instrument: steel-string-guitar, level: [\d.]+ dB at 1 m\}$/);
    expect(changed[5]).toMatch(/level: 89\.5 dB at 1 m\}$/);
  });
});

test.each(['drums', 'bones'])(
  'pieces of %s that were measured one by one get levels of their own',
  async (kit) => {
    const { scene, check, levels } = await measured(PLAN, kit);
    const after = resolved(await planOf(writeLevels(PLAN, levels).text));
    for (const [i, source] of scene.sources.entries()) {
      if (source.kit !== kit) continue;
      const wanted = check.sources.find(({ name }) => name === source.name)?.overall?.value ?? Number.NaN;
      const rise =
        10 * Math.log10(allBands(after?.sources[i]?.power ?? source.power) / allBands(source.power));
      expect(Math.abs(rise - wanted), source.name).toBeLessThan(0.2);
    }
  },
);
