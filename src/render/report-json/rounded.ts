/** To 0.001; null for what is not there or has no end. */
export function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}

/** Seconds as milliseconds. */
export const inMs = (seconds: number): number | null => rounded(1000 * seconds);
