/** Which limits are met as JSON, shape version 1: shared/schemas/check.schema.json. Keys may be added within a version. */
import {
  type Check,
  isMissed,
  outcomeOf,
  type Place,
  type PlacedFinding,
  type PlacedLimit,
} from '../../judge/limits/checked.ts';
import type { LimitKind } from '../../judge/limits/limit-row.ts';
import { jsonText } from '../json-text.ts';
import { basisShape, readingsShape } from '../readings-json.ts';
import { sentence } from './sentence.ts';

export function json({ plans, strict }: Check): string {
  const shape = {
    spillcheck: 1,
    command: 'check',
    strict,
    plans: plans.map((plan) => ({
      name: plan.name,
      title: plan.title,
      outcome: outcomeOf(plan, strict),
      limits: plan.limits.map((row) => limitShape(row, strict)),
      faults: plan.faults.map(faultShape),
      readings: readingsShape(plan.readings),
    })),
  };
  return `${jsonText(shape, 2)}\n`;
}

const limitShape = (row: PlacedLimit, strict: boolean) => ({
  kind: row.kind,
  about: row.about,
  reached: rounded(row.reached),
  limit: rounded(row.limit),
  unit: UNITS[row.kind],
  margin_db: rounded(row.margin),
  verdict: row.verdict,
  missed: isMissed(row, strict),
  basis: basisShape(row.basis),
  sentence: sentence(row),
  path: row.path,
  ...placeShape(row.place),
});

/** Of `reached` and `limit`; null where neither is ever there. */
const UNITS: Readonly<Record<LimitKind, string | null>> = {
  'signal-to-bleed': 'dB',
  'three-to-one': 'ratio',
  ghost: 'dB',
  editable: 'dB',
  'see-each-other': null,
  hear: 'dB',
  'session-length': 'min',
};

const faultShape = ({ code, message, mend, path, place }: PlacedFinding) => ({
  code,
  message,
  mend: mend ?? null,
  path,
  ...placeShape(place),
});

const placeShape = ({ file, line, column }: Place) => ({ file, line, column });

/** To 0.001; null for what is not there. */
function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}
