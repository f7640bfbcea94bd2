/** Figures as a sentence has them. */

/** dB with one decimal, never "-0.0". */
export function inDb(value: number): string {
  const text = value.toFixed(1);
  return text === '-0.0' ? '0.0' : text;
}

export const inPercent = (fraction: number): string => `${Math.round(100 * fraction)}%`;

export const inMetres = (value: number): string =>
  value < 1 ? `${Math.round(100 * value)} cm` : `${value.toFixed(2)} m`;

/** "a, b and c". */
export function inWords(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}
