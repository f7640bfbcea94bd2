import { describe, expect, test } from 'vitest';
import { fitDirectivity, sphereMeans } from '../../src/acoustics/directivity.ts';
import { instrument, played } from './shipped-sources.ts';

describe('directivity', () => {
  const pairs = played.flatMap(([name, { directivity }]) =>
    directivity.frontToBack ? [[name, directivity.q, directivity.frontToBack] as const] : [],
  );

  test.each(pairs)('Q and front to back of %s exist together under the law', (_, q, frontToBack) => {
    expect([...q].map((factor, band) => fitDirectivity(factor, frontToBack[band] ?? 0).bent)).not.toContain(
      true,
    );
  });

  const tableOf = (name: string) => {
    const { table } = instrument(name).directivity;
    if (!table) throw new Error(`${name} has no table`);
    return table;
  };

  test.each(played)('no band of %s is louder off its axis', (_, { directivity: { table } }) => {
    if (table) expect(Math.max(...table.energy)).toBeLessThanOrEqual(10 ** 0.01);
  });

  // Q from the full 15-degree table of Monson et al. 2012; rows of 30 degrees may differ by a few per cent.
  test('a voice has the directivity factors of its table', () => {
    const printed = [1.41, 1.61, 1.5, 1.77, 2.81, 3.52, 4.87];
    const ours = printed.map((_, i) => 1 / (sphereMeans(tableOf('singing-voice'))[i + 1] as number));
    printed.forEach((q, i) => {
      expect(Math.abs(10 * Math.log10((ours[i] ?? 0) / q))).toBeLessThan(0.35);
    });
  });

  // Directivity indices printed with the tables: LS1948 (bells), MODEL_CAP (drivers), BRAS (measured boxes).
  test.each([
    ['trumpet', 5, 7.4],
    ['trumpet', 4, 3.3],
    ['trombone', 4, 6.3],
    ['horn', 4, 9.2],
    ['tuba', 3, 6.0],
    ['guitar-amp', 3, 4.3],
    ['bass-amp', 3, 5.2],
    ['small-loudspeaker', 4, 4.0],
    ['monitor-wedge', 3, 4.6],
  ])('the %s has, in band %d, an index of %d dB', (name, band, index) => {
    expect(Math.abs(-10 * Math.log10(sphereMeans(tableOf(name))[band] as number) - index)).toBeLessThan(0.7);
  });

  // Monson et al. 2012, Table I: -7.0 dB at 90 degrees in the 2 kHz octave.
  test('a voice is 7 dB softer at its side at 2 kHz', () => {
    const { rows, energy } = tableOf('speech');
    expect(10 * Math.log10(energy[((rows - 1) / 2) * 8 + 5] ?? 0)).toBeCloseTo(-7.0, 6);
  });
});
