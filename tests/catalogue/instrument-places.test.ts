import { describe, expect, test } from 'vitest';
import { mirroredAxis, mirroredPlace, type Postures } from '../../src/catalogue/catalogue.ts';
import { direction, type Vec3 } from '../../src/geometry.ts';
import { instrument, played } from './shipped-sources.ts';

describe('places', () => {
  const axis = (name: string): Vec3 => direction(instrument(name).axis.bearing, instrument(name).axis.tilt);

  // Bearing β and tilt t: right cos t sin β, ahead cos t cos β, up sin t.
  test.each([
    ['violin', [0.557, 0.321, 0.766], 'cos 50° sin 60°, cos 50° cos 60°, sin 50°: up and to the right'],
    ['horn', [0.492, -0.853, -0.174], 'cos 10° sin 150°, cos 10° cos 150°, -sin 10°: backward'],
    ['grand-piano', [0.94, 0, 0.342], "cos 20°, 0, sin 20°: to the pianist's right"],
    ['tuba', [0, 0.259, 0.966], '0, cos 75°, sin 75°: bell up'],
  ])('the %s speaks along %j: %s', (name, expected) => {
    axis(name).forEach((part, i) => {
      expect(part).toBeCloseTo(expected[i] ?? 0, 3);
    });
  });

  test('one stands 40 cm taller than one sits', () => {
    const height = ({ seated, standing }: Postures) => standing[2] - seated[2];
    expect(height(instrument('cornet').ears)).toBeCloseTo(0.4, 9);
    expect(instrument('cornet').ears.seated[2]).toBe(1.2);
    expect(height(instrument('singing-voice').place)).toBeCloseTo(0.4, 9);
  });

  test.each(played)('%s is within reach, above the floor and below the roof', (name, { place, closest }) => {
    for (const [right, ahead, up] of [place.seated, place.standing]) {
      expect(Math.hypot(right, ahead)).toBeLessThan(name === 'grand-piano' ? 1.3 : 1.1);
      expect(up).toBeGreaterThan(0);
      expect(up).toBeLessThanOrEqual(3);
    }
    expect(closest).toBeLessThanOrEqual(1);
  });

  // Equal temperament, A4 = 440 Hz: f = 440·2^((n − 69)/12), n the MIDI number of the written-out lowest note.
  test.each([
    ['violin', 55], // G3
    ['cello', 36], // C2
    ['double-bass', 28], // E1
    ['trumpet', 52], // E3
    ['tuba', 28], // E1
    ['grand-piano', 21], // A0
    ['alto-saxophone', 49], // D flat 3
    ['steel-string-guitar', 40], // E2
  ])('the lowest note of the %s is number %d', (name, note) => {
    expect(Math.abs(instrument(name).lowestNote - 440 * 2 ** ((note - 69) / 12))).toBeLessThan(0.01);
  });

  test('left-handed: to the right becomes to the left, the rest stays', () => {
    expect(mirroredPlace([-0.5, 0.45, 0.9])).toEqual([0.5, 0.45, 0.9]);
    expect(mirroredPlace([0, 1, 2])).toEqual([0, 1, 2]);
    expect(mirroredAxis({ bearing: 10, tilt: 20 })).toEqual({ bearing: 350, tilt: 20 });
    expect(mirroredAxis({ bearing: 0, tilt: 90 })).toEqual({ bearing: 0, tilt: 90 });
    expect(instrument('violin').mirrors).toBe(false);
    expect(instrument('hi-hat').mirrors).toBe(true);
  });
});
