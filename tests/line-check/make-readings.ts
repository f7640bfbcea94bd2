/**
 * Writes the invented readings in fixtures/readings: what the model predicts for fixtures/brass-hall.yaml, levels and gains
 * made up, each reading off by 1 dB or so. Seeded: the same each time.
 *
 *     npx rolldown tests/line-check/make-readings.ts --platform node --format esm --dir node_modules/.cache/figures
 *     node node_modules/.cache/figures/make-readings.js
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { NOMINAL_BANDS } from '../../src/acoustics/bands.ts';
import { normal, predictScene } from '../../src/line-check/diagnose.ts';
import { cellAt, type Readings } from '../../src/line-check/readings.ts';
import type { PlanData } from '../../src/plan/plan.ts';
import { uniform } from '../../src/statistics.ts';
import { planOf, resolved } from './session.ts';
import { readingsFor } from './trials.ts';

const FOLDER = 'fixtures/readings';
const plan = await planOf(readFileSync('fixtures/brass-hall.yaml', 'utf8'));

/** Level on the desk's scale of a gain of 0, dB. */
const DESK = -90;
const NOISE = 32;

function written(day: PlanData, byBand: boolean, seed: number, says: string): string {
  const scene = resolved(day, 'dist/catalogue.json');
  if (!scene) throw new Error('the plan does not resolve');
  const readings = readingsFor(scene, byBand);
  const levels = predictScene(scene, readings);
  const next = uniform(seed);
  const louder = readings.rows.map(() => 3 * normal(next));
  const gains = readings.columns.map(() => DESK + 4 * normal(next));
  const read = (level: number, column: number) => {
    const energy = 10 ** (level / 10) + 10 ** ((byBand ? NOISE - 9 : NOISE) / 10);
    return (10 * Math.log10(energy) + (gains[column] ?? 0) + normal(next)).toFixed(1);
  };
  const line = (who: string, band: number, at: (column: number, layer: number) => number, layer: number) =>
    [
      who,
      ...(byBand ? [NOMINAL_BANDS[band]] : []),
      ...readings.columns.map((_, c) => read(at(c, layer), c)),
    ].join(',');
  const rows = readings.layers.flatMap((band, layer) => [
    ...readings.rows.map(({ name }, row) => ({
      row,
      text: line(
        name,
        band ?? 0,
        (column) => (levels[cellAt(readings, row, column, layer)] ?? 0) + (louder[row] ?? 0),
        layer,
      ),
    })),
    { row: readings.rows.length, text: line('noise', band ?? 0, () => Number.NEGATIVE_INFINITY, layer) },
  ]);
  const head = ['played', ...(byBand ? ['band'] : []), ...readings.columns.map(({ name }) => name)].join(',');
  const sorted = rows.map((one, i) => ({ ...one, i })).sort((a, b) => a.row - b.row || a.i - b.i);
  return `${[...remarks(readings, says), head, ...sorted.map(({ text }) => text)].join('\n')}\n`;
}

const remarks = ({ rows }: Readings, says: string): string[] => [
  '# Invented readings: no such band was ever recorded. Made by tests/line-check/make-readings.ts from what the model predicts',
  `# for fixtures/brass-hall.yaml, with levels of the ${rows.length} players and gains made up and 1 dB of noise. dB on a desk's meter.`,
  `# ${says}`,
];

const [name, entry] = ['solo-mic', plan.mics.get('solo-mic')] as const;
if (!entry) throw new Error(name);
const leftAtOmni = {
  ...plan,
  mics: new Map([...plan.mics, [name, { ...entry, pattern: { name: 'omni' } }]]),
};
writeFileSync(`${FOLDER}/brass-hall.csv`, written(plan, false, 1, 'All is as planned.'));
writeFileSync(`${FOLDER}/brass-hall-octaves.csv`, written(plan, true, 2, 'By octave; all is as planned.'));
writeFileSync(
  `${FOLDER}/brass-hall-omni.csv`,
  written(leftAtOmni, true, 3, 'By octave; solo-mic was left at omni.'),
);
