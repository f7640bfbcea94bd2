import { describe, expect, test } from 'vitest';
import { DYNAMICS } from '../../src/catalogue/catalogue.ts';
import { instrument, only, played } from './shipped-sources.ts';

describe('levels', () => {
  // Meyer, Acoustics and the Performance of Music, 5th ed., forte sound power levels (from memory).
  test.each([
    ['violin', 89],
    ['viola', 87],
    ['cello', 90],
    ['double-bass', 92],
    ['flute', 91],
    ['oboe', 93],
    ['clarinet', 93],
    ['bassoon', 93],
    ['horn', 102],
    ['trumpet', 101],
    ['trombone', 101],
    ['tuba', 104],
  ])('the %s gives %d dB of sound power at forte', (name, forte) => {
    expect(instrument(name).loudness).toMatchObject({ kind: 'power', steps: { f: forte } });
  });

  // SIMURRA, steps from mf to f: violin 82 to 88, clarinet 84 to 93, trombone 96 to 104.
  test.each([
    ['violin', 83],
    ['clarinet', 84],
    ['trombone', 93],
  ])('the %s at mf lies as far under forte as the compilation has it: %d dB', (name, mf) => {
    expect(instrument(name).loudness.steps.mf).toBe(mf);
  });

  // Weinzierl et al. 2018, Table I: softest and loudest single note.
  test('timpani span 60 to 108 dB, the harp stays within 54 to 91', () => {
    expect(instrument('timpani').loudness.steps).toMatchObject({ pp: 60, ff: 108 });
    const { pp, ff } = instrument('harp').loudness.steps;
    expect([pp >= 54, ff <= 91]).toEqual([true, true]);
  });

  test.each(played)('%s grows with every marking', (_, { loudness }) => {
    const levels = DYNAMICS.map((dynamic) => loudness.steps[dynamic]);
    expect(levels.every((level, i) => i === 0 || level > (levels[i - 1] ?? 0))).toBe(true);
  });

  test.each(played)('%s stays between a whisper and a full church organ', (_, { loudness }) => {
    expect(loudness.steps.pp).toBeGreaterThan(45);
    expect(loudness.steps.ff).toBeLessThan(115);
  });
});

describe('spectra', () => {
  // Rows as printed, dB re the sum. SHARC, BANK_A/B and KIT_M/KITS_H as in sources.yaml; ~ below the lowest note.
  test.each([
    ['violin', 'bowed', [null, null, -11.8, -7.3, -6.1, -4.0, -10.2, -21.8]], // SHARC
    ['cello', 'plucked', [-13.7, -5.7, -3.6, -6.5, -15.3, -25.0, -39.2, -57.3]], // SHARC
    ['double-bass', 'bowed', [-13.7, -4.0, -4.2, -9.5, -13.4, -17.2, -32.1, -41.3]], // SHARC
    ['flute', null, [null, null, -13.7, -4.6, -4.0, -6.8, -27.1, -37.3]], // SHARC
    ['bassoon', null, [-20.7, -17.0, -7.0, -1.4, -13.4, -25.2, -43.3, -52.8]], // SHARC
    ['horn', null, [-38.0, -21.4, -8.9, -1.8, -7.0, -22.1, -45.9, -62.5]], // SHARC
    ['trumpet', null, [null, null, -18.7, -9.5, -3.1, -4.8, -12.6, -31.1]], // SHARC
    ['tuba', null, [-19.4, -8.5, -2.1, -6.6, -20.6, -41.5, -62.8, -69.9]], // SHARC
    ['grand-piano', null, [-16.7, -7.2, -7.1, -6.2, -7.7, -8.1, -15.1, -25.7]], // BANK_A, BANK_B
    ['steel-string-guitar', null, [-19.1, -9.7, -6.2, -5.7, -7.3, -9.9, -12.1, -16.2]], // BANK_A, BANK_B
    ['alto-saxophone', null, [-37.3, -17.2, -10.3, -6.3, -4.6, -6.6, -10.9, -22.3]], // BANK_A, BANK_B
    ['guitar-amp', 'clean', [-27.5, -19.2, -7.3, -7.5, -7.0, -5.8, -9.1, -14.5]], // BANK_A, BANK_B
    ['bass-amp', 'fingered', [-6.3, -3.6, -5.6, -13.0, -22.5, -30.7, -32.6, null]], // BANK_A, BANK_B
    ['kick', 'sticks', [-2.3, -4.6, -13.5, -20.6, -26.3, -25.6, -25.1, -32.1]], // KIT_M, KITS_H
    ['snare', 'sticks', [-30.8, -8.6, -2.4, -9.2, -12.2, -14.3, -14.4, -15.8]], // KIT_M, KITS_H
    ['djembe', 'bass', [-4.3, -9.4, -12.6, -7.5, -6.7, -13.7, -17.1, -21.5]], // KITS_H
  ] as const)('the %s (%s) has the shares of the table, to its rounding', (name, way, row) => {
    const figures = way === null ? instrument(name) : only(instrument(name).playing, way);
    const decibels = [...figures.spectrum].map((share) => (share === 0 ? null : 10 * Math.log10(share)));
    row.forEach((printed, band) => {
      if (printed === null) expect(decibels[band]).toBeNull();
      else expect(Math.abs((decibels[band] ?? 0) - printed)).toBeLessThan(0.1);
    });
  });

  test.each(played)('the shares of %s sum to 1, none is negative', (_, { spectrum }) => {
    expect(spectrum.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12);
    expect([...spectrum].every((share) => share >= 0 && Number.isFinite(share))).toBe(true);
  });

  // Energy mean of printed rows, by hand at one band: thump -2.6, slap -27.5 dB at 63 Hz: 10 lg((0.5495 + 0.0018)/2) = -5.6.
  test('a cajon is thump and slap in equal parts', () => {
    expect(10 * Math.log10(instrument('cajon').spectrum[0] ?? 0)).toBeCloseTo(-5.6, 1);
  });
});
