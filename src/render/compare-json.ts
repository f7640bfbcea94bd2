/** Plans side by side as JSON, shape version 1: shared/schemas/compare.schema.json. Keys may be added within a version. */
import type { Comparison } from '../advise/compare.ts';
import type { ComparedRow, Reached } from '../advise/compared-row.ts';
import type { Worse } from '../advise/worse.ts';
import type { ToldReadings } from '../judge/told-readings.ts';
import { worseWords } from './compare-words.ts';
import { jsonText } from './json-text.ts';
import { basisShape, readingsShape } from './readings-json.ts';

/** `worse` is null where nobody asked whether anything got worse. */
export function compareJson(
  { plans, mics, parts, people, entries }: Comparison,
  worse: readonly Worse[] | null,
  readings: ToldReadings | null = null,
): string {
  const shape = {
    spillcheck: 1,
    command: 'compare',
    plans,
    mics: mics.map(rowShape),
    parts: parts.map(rowShape),
    people: people.map(rowShape),
    entries,
    worse: worse?.map(worseShape) ?? null,
    readings: readingsShape(readings),
  };
  return `${jsonText(shape, 2)}\n`;
}

const rowShape = ({ kind, about, reached, changes }: ComparedRow) => ({
  kind,
  about,
  unit: UNITS[kind],
  reached: reached.map((one) => one && reachedShape(one)),
  changes: changes.map(rounded),
});

const UNITS: Readonly<Record<ComparedRow['kind'], string | null>> = {
  'signal-to-bleed': 'dB',
  'three-to-one': 'ratio',
  ghost: 'dB',
  editable: 'dB',
  hears: 'dB',
  sees: null,
  session: 'min',
};

const reachedShape = ({ figure, verdict, words, basis }: Reached) => ({
  figure: rounded(figure),
  verdict,
  words,
  basis: basisShape(basis),
});

const worseShape = (worse: Worse) => ({
  kind: worse.kind,
  about: worse.about,
  plan: worse.plan,
  before: reachedShape(worse.before),
  after: worse.after && reachedShape(worse.after),
  sentence: worseWords(worse),
});

/** To 0.001; null for what is not there. */
function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}
