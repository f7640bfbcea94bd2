/** Figures as a sentence has them. */
import type { Lengths } from '../../plan/lengths.ts';

/** dB with one decimal, never "-0.0". */
export function inDb(value: number): string {
  const text = value.toFixed(1);
  return text === '-0.0' ? '0.0' : text;
}

export const inPercent = (fraction: number): string => `${Math.round(100 * fraction)}%`;

/** "53 cm", "1.25 m"; "21 in", "4 ft 1 in". */
export const inLengths = ({ close, apart }: Lengths, metres: number): string =>
  metres < 1 ? close(metres) : apart(metres);

/** "a, b and c". */
export function inWords(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}
