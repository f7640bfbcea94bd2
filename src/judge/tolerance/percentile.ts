/** Percentiles of a sample. */

/**
 * The value below which the share `p` (0 to 1) of a sorted sample lies, linear between its values. Hyndman and Fan 1996,
 * definition 7. A sample may hold infinite values.
 */
export function percentile(sorted: Float64Array, p: number): number {
  const at = Math.min(1, Math.max(0, p)) * (sorted.length - 1);
  const low = sorted[Math.floor(at)] as number;
  const high = sorted[Math.ceil(at)] as number;
  const part = at - Math.floor(at);
  return part === 0 || low === high || !Number.isFinite(low) ? low : low + (high - low) * part;
}
