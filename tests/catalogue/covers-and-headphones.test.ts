import { describe, expect, test } from 'vitest';
import * as shipped from './shipped-sources.ts';

describe('covers and headphones', () => {
  // Limp sheet of 1 kg/m² with 500 Pa s/m at high frequency: 20 lg(1 + 500/824) = 4.1 dB.
  test('a duvet that breathes is limited by its flow resistance', () => {
    const duvet = shipped.covers.find(({ name }) => name === 'duvet');
    expect(duvet?.loss[7]).toBeCloseTo(20 * Math.log10(1 + 500 / 824), 1);
  });

  test('a cover never loses less with more of it', () => {
    const loss = (wanted: string) => shipped.covers.find(({ name }) => name === wanted)?.loss ?? [];
    const order = [loss('piano-lid-short-stick'), loss('piano-lid-closed')];
    expect([...(order[0] ?? [])].every((short, band) => short <= (order[1]?.[band] ?? 0))).toBe(true);
  });

  // LEAK: 65 dB below the ear at 1 ft (0.3048 m) counts as good; 20 lg(1/0.3048) = 10.3 dB less at 1 m: -75.3 dB.
  test('closed headphones leak a little more than good ones, open ones far more, in-ears hardly', () => {
    const leak = (wanted: string) => shipped.headphones.find(({ name }) => name === wanted)?.leak?.[4] ?? 0;
    expect(leak('closed')).toBeGreaterThan(-75.3);
    expect(leak('closed')).toBeLessThan(-65);
    expect(leak('open')).toBeGreaterThan(leak('closed') + 20);
    expect(leak('in-ear')).toBeLessThan(-75.3);
  });

  test('who wears closed or in-ear phones hears nobody by air', () => {
    const deaf = shipped.headphones.filter(({ hearsByAir }) => !hearsByAir).map(({ name }) => name);
    expect(deaf).toEqual(['closed', 'in-ear']);
  });
});
