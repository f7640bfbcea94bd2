/** Fitted levels of sources as one figure each: octaves weighed by the power that the plan gives them. */
import type { Scene } from '../scene/scene.ts';
import type { Fit, Fitted } from './fit.ts';
import type { Readings } from './readings.ts';

/** By row, dB against the plan; null where nothing was read. */
export function overallLevels({ sources }: Scene, { rows, layers }: Readings, fit: Fit): (Fitted | null)[] {
  return rows.map((row, i) => {
    const parts = layers.flatMap((band, layer) => {
      const fitted = fit.layers[layer]?.sources[i];
      const power = row.sources.reduce((sum, source) => sum + powerIn(sources[source]?.power, band), 0);
      return fitted && power > 0 ? [{ ...fitted, power }] : [];
    });
    const before = parts.reduce((sum, { power }) => sum + power, 0);
    const after = parts.map(({ power, value }) => power * 10 ** (value / 10));
    const sum = after.reduce((all, one) => all + one, 0);
    if (before <= 0) return null;
    const variance = parts.reduce(
      (all, { error }, k) => all + (((after[k] as number) / sum) * error) ** 2,
      0,
    );
    return { value: 10 * Math.log10(sum / before), error: Math.sqrt(variance) };
  });
}

const powerIn = (power: Float64Array | undefined, band: number | null): number =>
  band === null ? (power?.reduce((sum, one) => sum + one, 0) ?? 0) : (power?.[band] ?? 0);

/** By column: the mean gain of its octaves, each as sure as it is. Null where nothing was read. */
export function overallGains({ columns, layers }: Readings, fit: Fit): (Fitted | null)[] {
  return columns.map((_, i) => {
    const parts = layers.flatMap((__, layer) => fit.layers[layer]?.gains[i] ?? []);
    const weights = parts.map(({ error }) => 1 / Math.max(0.01, error) ** 2);
    const all = weights.reduce((sum, one) => sum + one, 0);
    if (parts.length === 0) return null;
    const value = parts.reduce((sum, one, k) => sum + one.value * (weights[k] as number), 0) / all;
    return { value, error: Math.sqrt(1 / all) };
  });
}
