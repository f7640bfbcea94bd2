import { describe, expect, test } from 'vitest';
import { levelAllowedFor, NIOSH, OSHA, safeMinutes } from '../../src/judge/exposure.ts';
import { shippedCatalogue } from '../../src/shipped.ts';

describe('NIOSH (1998), publication 98-126: 85 dBA for 8 h, 3 dB exchange', () => {
  test.each([
    { level: 85, minutes: 480 },
    { level: 88, minutes: 240 },
    { level: 91, minutes: 120 },
    { level: 94, minutes: 60 },
    { level: 97, minutes: 30 },
    { level: 100, minutes: 15 },
    { level: 103, minutes: 7.5 },
    { level: 106, minutes: 3.75 },
    { level: 109, minutes: 1.88 },
  ])('$level dBA: $minutes min', ({ level, minutes }) => {
    expect(safeMinutes(NIOSH, level)).toBeCloseTo(minutes, 1);
    expect(levelAllowedFor(NIOSH, minutes)).toBeCloseTo(level, 1);
  });

  // SCENIHR (2008), Potential health risks of exposure to noise from personal music players, table 3 (upper action value).
  test.each([
    { level: 88, hours: 4 },
    { level: 91, hours: 2 },
    { level: 94, hours: 1 },
    { level: 97, hours: 0.5 },
    { level: 100, hours: 0.25 },
  ])('is as much as 85 dBA over 8 h: $level dBA for $hours h', ({ level, hours }) => {
    expect(safeMinutes(NIOSH, level) / 60).toBeCloseTo(hours, 6);
  });

  // Presley (2007), Percussive Notes, table 1: 94 dBA for 1 h is a dose of 100 %, 91 dBA for 8 h one of 400 %.
  test.each([
    { level: 94, hours: 1, dose: 1 },
    { level: 91, hours: 8, dose: 4 },
  ])('$level dBA for $hours h is a dose of $dose', ({ level, hours, dose }) => {
    expect((hours * 60) / safeMinutes(NIOSH, level)).toBeCloseTo(dose, 6);
  });
});

describe('OSHA, 29 CFR 1910.95 appendix A, table G-16a: 90 dBA for 8 h, 5 dB exchange', () => {
  test.each([
    { level: 80, hours: 32 },
    { level: 85, hours: 16 },
    { level: 90, hours: 8 },
    { level: 91, hours: 7.0 },
    { level: 92, hours: 6.1 },
    { level: 95, hours: 4 },
    { level: 97, hours: 3.0 },
    { level: 100, hours: 2 },
    { level: 102, hours: 1.5 },
    { level: 105, hours: 1 },
    { level: 110, hours: 0.5 },
    { level: 115, hours: 0.25 },
  ])('$level dBA: $hours h', ({ level, hours }) => {
    expect(Math.abs(safeMinutes(OSHA, level) / 60 - hours)).toBeLessThanOrEqual(0.05);
  });

  test('92 dBA for 8 h is a dose of 132 %', () => {
    expect(480 / safeMinutes(OSHA, 92)).toBeCloseTo(1.32, 2);
  });
});

/*
 * ISO 9612, from memory: where nobody stands the microphone is 1.55 m (± 7.5 cm) above the ground for one who stands, 0.80 m
 * (± 5 cm) above the seat for one who sits; a chair is taken as 0.40 to 0.48 m high.
 */
describe('ears', () => {
  const { ears } = shippedCatalogue().posture;
  test('of one who stands are where a dosimetry standard puts them', () => {
    expect(Math.abs(ears.standing[2] - 1.55)).toBeLessThanOrEqual(0.075);
  });
  test('of one who sits too', () => {
    expect(ears.seated[2]).toBeGreaterThanOrEqual(0.8 - 0.05 + 0.4);
    expect(ears.seated[2]).toBeLessThanOrEqual(0.8 + 0.05 + 0.48);
  });
});
