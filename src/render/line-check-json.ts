/** `line-check --json`, shape version 1: shared/schemas/line-check.schema.json. Keys may be added within a version. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Cause, How } from '../linecheck/cause.ts';
import type { Suspect } from '../linecheck/diagnose.ts';
import type { Fitted } from '../linecheck/fit.ts';
import type { FittedRow, LineCheck, ReadingName } from '../linecheck/line-check.ts';
import type { Layer } from '../linecheck/readings.ts';
import { jsonText } from './json-text.ts';
import { causeWords } from './line-check-words.ts';

export function lineCheckJson(check: LineCheck): string {
  const { diagnosis } = check;
  const shape = {
    spillcheck: 1,
    command: 'line-check',
    title: check.title,
    bands_hz: check.layers[0] === null ? null : check.layers.map(hertz),
    weighting: check.weighting,
    diagnosis: {
      before_rms_db: rounded(diagnosis.before),
      beyond_tolerance: diagnosis.beyond,
      more_is_off: diagnosis.more,
      tried: diagnosis.tried,
      days: diagnosis.days,
      threshold: rounded(diagnosis.threshold),
      suspects: diagnosis.suspects.map(suspectShape),
    },
    sources: check.sources.map(fittedShape),
    channels: check.channels.map(fittedShape),
    groups: check.groups,
    signal_to_bleed: check.bleed.map((row) => ({
      mic: row.name,
      passage: row.passage,
      measured_db: rounded(row.measured),
      error_db: rounded(row.error),
      predicted_db: rounded(row.predicted),
      limit_db: row.limit,
      margin_db: rounded(row.margin),
      verdict: row.verdict,
      lacks: row.lacks,
    })),
    spare_readings: check.spare,
    residual_rms_db: rounded(check.rms),
    residuals: check.residuals.map((one) => ({
      ...nameShape(one),
      residual_db: rounded(one.residual),
      sigma_db: rounded(one.sigma),
      trust: rounded(one.trust),
    })),
    drowned: check.drowned.map(nameShape),
    unforeseen: check.unforeseen.map(nameShape),
    passed_over: check.passedOver,
    read_as_one: check.asOne,
  };
  return `${jsonText(shape, 2)}\n`;
}

const hertz = (layer: Layer): number | null => (layer === null ? null : (NOMINAL_BANDS[layer] ?? null));

const nameShape = ({ source, channel, layer }: ReadingName) => ({ source, channel, band_hz: hertz(layer) });

const fittedShape = ({ name, overall, byLayer, count }: FittedRow) => ({
  name,
  ...valueShape(overall),
  bands: byLayer.map(valueShape),
  heard: count,
});

const valueShape = (fitted: Fitted | null) => ({
  value_db: rounded(fitted?.value ?? null),
  error_db: rounded(fitted?.error ?? null),
});

const suspectShape = ({ cause, others, score, after }: Suspect) => ({
  ...causeShape(cause),
  sentence: causeWords(cause),
  score: rounded(score),
  after_rms_db: rounded(after),
  or: others.map(causeShape),
});

const causeShape = ({ kind, about, how }: Cause) => ({ kind, about, how: howShape(how) });

function howShape(how: How) {
  if (how === null) return null;
  if ('degrees' in how) return { degrees: how.degrees, toward: how.toward };
  return 'off' in how ? { off_db: rounded(how.off) } : how;
}

/** To 0.001; null for what is not there. */
function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}
