/** Holds what a test finds to what the page on the model says. */
import { expect } from 'vitest';
import type { Stated } from './stated.ts';

type Figure = 'rms' | 'worst';

/** Fails unless what was found, rounded up, is what is stated: less would be as stale as more. */
export function expectStated<Row extends Stated>(
  row: Row,
  found: Readonly<Record<keyof Row & Figure, number>>,
) {
  for (const name of ['rms', 'worst'] as const) {
    const written = row[name];
    if (written === undefined) continue;
    const { value, digit } = numberOf(written);
    const is = (found as Readonly<Record<Figure, number>>)[name];
    const what = `${name} of ${row.cases}: found ${is}, stated ${written}`;
    expect.soft(is, what).toBeLessThanOrEqual(value * (1 + 1e-9));
    expect.soft(is, what).toBeGreaterThan(value - digit);
  }
}

/** A figure with its unit, and what its last digit is worth. */
function numberOf(written: string): { value: number; digit: number } {
  const [number = '', decimals = '', power = '0'] = /^\d+(?:\.(\d+))?(?:e(-?\d+))?/.exec(written) ?? [];
  return { value: Number(number), digit: 10 ** (Number(power) - decimals.length) };
}

export const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
export const worst = (values: readonly number[]): number => Math.max(...values.map(Math.abs));
