import { describe, expect, test } from 'vitest';
import { combOf } from '../../src/judge/timing.ts';

const amplitude = (levelDb: number) => 10 ** (levelDb / 20);

describe('the ripple of a sound and its copy', () => {
  // Peak 20·lg(1 + g), dip 20·lg(1 − g) with g = 10^(−D/20), worked out by hand to two digits: 5.53 + 19.27 and so on.
  test.each([
    { down: 1, ripple: 24.81 },
    { down: 3, ripple: 15.34 },
    { down: 6, ripple: 9.57 },
    { down: 9, ripple: 6.44 },
    { down: 10, ripple: 5.69 },
    { down: 12, ripple: 4.46 },
    { down: 20, ripple: 1.74 },
    { down: 25, ripple: 0.98 },
    { down: 30, ripple: 0.55 },
  ])('$down dB down is $ripple dB from peak to dip', ({ down, ripple }) => {
    for (const level of [-down, down]) {
      const comb = combOf(amplitude(level), 1e-3, false);
      expect(Math.abs(comb.ripple - ripple)).toBeLessThan(0.0051);
      expect(comb.over).toBe(false);
    }
  });

  // Three to one: g = 1/3, (4/3)/(2/3) = 2, 20·lg 2 = 6.02 dB.
  test('at three to one is 6.02 dB', () => {
    expect(combOf(1 / 3, 1e-3, false).ripple).toBeCloseTo(20 * Math.log10(2), 9);
  });

  // 30 dB from peak to dip: (1 + g)/(1 − g) = 10^1.5 = 31.62, g = 30.62/32.62 = 0.9387, 0.55 dB down.
  test.each([
    { down: 0, over: true },
    { down: 0.5, over: true },
    { down: 0.6, over: false },
  ])('$down dB down is over 30 dB: $over', ({ down, over }) => {
    const comb = combOf(amplitude(-down), 1e-3, false);
    expect(comb.over).toBe(over);
    expect(comb.ripple).toBeLessThanOrEqual(30);
  });

  // Everest and Pohlmann, Master Handbook of Acoustics, p. 197: a reflection whose way is 10.1 times the direct one is 20 dB
  // down, its comb negligible; 8 dB down is marginal, 1 dB strong.
  test('grows from a reflection 10.1 times as far over one 8 dB down to one 1 dB down', () => {
    const ripples = [1 / 10.1, amplitude(-8), amplitude(-1)].map((g) => combOf(g, 1e-3, false).ripple);
    expect(ripples[0]).toBeLessThan(2);
    expect(ripples[1]).toBeGreaterThan(6);
    expect(ripples[1]).toBeLessThan(9);
    expect(ripples[2]).toBeGreaterThan(20);
  });
});

describe('the notches', () => {
  // Everest and Pohlmann, p. 201: a delay of 1 ms has its first null at 500 Hz, the next 1000 Hz higher.
  test('of 1 ms lie at 500 and 1500 Hz', () => {
    const { notches } = combOf(1, 1e-3, false);
    expect(notches?.[0]).toBeCloseTo(500, 9);
    expect(notches?.[1]).toBeCloseTo(1500, 9);
  });

  // c/(2d) at c = 343 m/s.
  test.each([
    { metres: 0.05, first: 3430 },
    { metres: 0.17, first: 1008.8 },
    { metres: 0.343, first: 500 },
    { metres: 1, first: 171.5 },
    { metres: 5, first: 34.3 },
  ])('of a way $metres m longer begin at $first Hz', ({ metres, first }) => {
    for (const delay of [metres / 343, -metres / 343]) {
      expect(Math.abs((combOf(0.5, delay, false).notches?.[0] ?? 0) - first)).toBeLessThan(0.051);
    }
  });

  // Upside down, sum and difference change places: at 1/(2Δt) both now add, at 0 and 1/Δt they cancel.
  test('of 1 ms upside down lie at 0 and 1000 Hz', () => {
    const { notches } = combOf(1, 1e-3, true);
    expect(notches?.[0]).toBe(0);
    expect(notches?.[1]).toBeCloseTo(1000, 9);
  });

  test('are none without a delay', () => {
    expect(combOf(0.5, 0, false).notches).toBeNull();
    expect(combOf(0.5, 0, true).notches).toBeNull();
  });
});
