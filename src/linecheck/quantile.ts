/** The value below which a share of all lie, linear between neighbours; NaN of none. */
export function quantile(values: readonly number[] | Float64Array, share: number): number {
  const sorted = Float64Array.from(values).sort();
  const place = share * (sorted.length - 1);
  const low = sorted[Math.floor(place)] ?? Number.NaN;
  const high = sorted[Math.ceil(place)] ?? Number.NaN;
  return low + (high - low) * (place - Math.floor(place));
}

export const median = (values: readonly number[] | Float64Array): number => quantile(values, 0.5);
