/** What of an answer was measured on the day, as JSON: the same shape in every command. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Basis } from '../judge/basis.ts';
import type { ToldReadings } from '../judge/told-readings.ts';

export const basisShape = (basis: Basis | null): string | null => (basis === null ? null : NAMES[basis]);

const NAMES: Readonly<Record<Basis, string>> = {
  measured: 'measured',
  overall: 'measured-overall',
  levels: 'measured-levels',
  partly: 'partly-measured',
  predicted: 'predicted',
};

export function readingsShape(readings: ToldReadings | null) {
  if (!readings) return null;
  const { files, layers, weighting, measured, predicted, rms, aside, count } = readings;
  return {
    files,
    bands_hz: layers[0] === null ? null : layers.map((layer) => NOMINAL_BANDS[layer ?? 0] ?? null),
    weighting,
    readings: count,
    near_noise: readings.drowned,
    spare_readings: readings.spare,
    stand_out: aside,
    residual_rms_db: rounded(rms),
    levels: [
      ...measured.map(({ name, group, level, asOne }) => ({
        name,
        basis: 'measured',
        as_one: asOne,
        group,
        change_db: rounded(level.value),
        error_db: rounded(level.error),
      })),
      ...predicted.map((name) => ({
        name,
        basis: 'predicted',
        as_one: false,
        group: null,
        change_db: null,
        error_db: null,
      })),
    ],
  };
}

/** To 0.001. */
const rounded = (value: number): number => Math.round(value * 1000) / 1000 + 0;
