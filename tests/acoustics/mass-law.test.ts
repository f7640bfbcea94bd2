import { expect, test } from 'vitest';
import { FIELD_CORRECTION, massLaw, obliqueReduction } from '../../src/acoustics/room-acoustics.ts';

// Norton & Karczub 2003, problem on a brick wall: 110 mm, 231 kg/m², printed to 0.1 dB at 63 Hz. The band's exact
// mid-band is 63.1 Hz: 20 lg(63.096/63) = 0.013 dB more.
test('a brick wall of 231 kg/m² keeps 35.8 dB of sound from all sides at 63 Hz', () => {
  expect(obliqueReduction(63, 231) - FIELD_CORRECTION).toBeCloseTo(35.8, 1);
  expect(Math.abs((massLaw(231)[0] ?? 0) - 0.013 - 35.8)).toBeLessThan(0.05);
});

// Unit-test values of an open acoustics library (python-acoustics, test_building), recomputed from the formula.
test.each([
  { frequency: 200, mass: 10, angle: 0, impedance: 343 * 1.225, reduction: 23.5144 },
  { frequency: 150, mass: 16, angle: 20, impedance: 345 * 1.18, reduction: 24.8272 },
  { frequency: 200, mass: 16, angle: 20, impedance: 345 * 1.18, reduction: 27.3197 },
])('$mass kg/m² at $frequency Hz and $angle° keeps $reduction dB', (c) => {
  const cosine = Math.cos((c.angle * Math.PI) / 180);
  expect(obliqueReduction(c.frequency, c.mass, cosine, c.impedance)).toBeCloseTo(c.reduction, 3);
});

// Grozier's mass-law note, square incidence, 20 lg w + 20 lg f − 28 rounded; 1 lb/ft² = 4.8824 kg/m².
test.each([
  { frequency: 250, reduction: 20 },
  { frequency: 50, reduction: 6 },
])('a limp sheet of 1 lb/ft² keeps about $reduction dB at $frequency Hz', ({ frequency, reduction }) => {
  expect(Math.abs(obliqueReduction(frequency, 4.8824) - reduction)).toBeLessThan(0.7);
});

// From (πfm/ρc)² ≫ 1: twice the mass or one octave up is 20 lg 2 = 6.02 dB; a band step is 20 lg 10^0.3 = 6.00 dB.
test('for a heavy panel each doubling of mass is worth 6.02 dB and each octave 6.00 dB', () => {
  const [single, double] = [massLaw(200), massLaw(400)];
  for (let band = 0; band < 8; band++) {
    expect((double[band] ?? 0) - (single[band] ?? 0)).toBeCloseTo(6.02, 2);
    if (band > 0) expect((single[band] ?? 0) - (single[band - 1] ?? 0)).toBeCloseTo(6, 2);
  }
});

test('a panel without weight keeps nothing, and the field correction never turns loss into gain', () => {
  expect([...massLaw(0)]).toEqual(Array(8).fill(0));
  expect(Math.min(...massLaw(0.2))).toBe(0);
});

// Bies, Hansen & Howard 2017, Eq. (7.42): 4 dB for octaves, 1 dB less than the default.
test('the field correction can be chosen', () => {
  expect((massLaw(50, 4)[3] ?? 0) - (massLaw(50)[3] ?? 0)).toBeCloseTo(1, 9);
});
