/** Figures and verdicts in words. Nothing prints as NaN or null. */
import type { MicRow, Verdict } from '../judge/report.ts';

/** A fixed number of decimals, never "-0". */
export function figure(value: number, digits: number): string {
  if (!Number.isFinite(value)) return 'none';
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

export const figureOr = (value: number | null, digits: number, word: string): string =>
  value === null ? word : figure(value, digits);

/** A limit or a ratio as one would say it: 10, 9.5. */
export const round = (value: number): string => figure(value, 1).replace(/\.0$/, '');

export const percent = (fraction: number): string => `${figure(100 * fraction, 0)}%`;

/** The verdict with its deficit or reserve; the word alone where no margin can be given. */
export function verdictWords(verdict: Verdict, margin: number | null): string {
  if (margin === null) return verdict;
  const size = Math.abs(margin) < 0.05 ? 'less than 0.1 dB' : `${figure(Math.abs(margin), 1)} dB`;
  if (verdict === 'short') return `short by ${size}`;
  return verdict === 'marginal' ? `marginal, ${size} over` : `clear by ${size}`;
}

/** What a microphone's row says for a verdict, also where it has none. */
export function micVerdict(mic: MicRow): string {
  if (mic.purpose === 'all') return 'on everyone';
  if (mic.purpose === 'room') return 'room, unjudged';
  if (mic.verdict === null) return 'not judged';
  if (mic.margin !== null) return verdictWords(mic.verdict, mic.margin);
  return mic.verdict === 'clear' ? 'clear, no bleed' : 'short, no signal';
}

/** "250 Hz to 4 kHz" for octaves in a row, else each by name. */
export function octaves(nominal: readonly number[], all: readonly number[]): string {
  if (nominal.length === all.length) return 'all octaves';
  const start = all.indexOf(nominal[0] ?? 0);
  const inARow = nominal.every((hertz, i) => hertz === all[start + i]);
  const names = nominal.map(hertzName);
  return inARow && names.length > 1 ? `${names[0]} to ${names.at(-1)}` : names.join(', ');
}

export const hertzName = (hertz: number): string => (hertz < 1000 ? `${hertz} Hz` : `${hertz / 1000} kHz`);

export const counted = (count: number, one: string, several = `${one}s`): string =>
  `${count} ${count === 1 ? one : several}`;
