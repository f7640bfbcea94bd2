/**
 * The colours as seen without red, green or blue cones: Machado, Oliveira and Fernandes 2009, matrices of full severity on
 * linear RGB, from memory. Distances ΔE*ab of CIE 1976 under D65, contrasts by WCAG 2, both from memory.
 */
import { describe, expect, test } from 'vitest';
import { paletteOf, style } from '../../src/draw/svg.ts';

type Triple = readonly [number, number, number];
type Matrix = readonly [Triple, Triple, Triple];

const EYES: Readonly<Record<string, Matrix>> = {
  'all cones': [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  'no red cones': [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  'no green cones': [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  'no blue cones': [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

const times = (matrix: Matrix, [x, y, z]: Triple): Triple =>
  matrix.map(([a, b, c]) => a * x + b * y + c * z) as unknown as Triple;

function linear(hex: string): Triple {
  return [1, 3, 5].map((from) => {
    const value = Number.parseInt(hex.slice(from, from + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  }) as unknown as Triple;
}

const seen = (eye: Matrix, hex: string): Triple =>
  times(eye, linear(hex)).map((value) => Math.min(1, Math.max(0, value))) as unknown as Triple;

const XYZ: Matrix = [
  [0.4124564, 0.3575761, 0.1804375],
  [0.2126729, 0.7151522, 0.072175],
  [0.0193339, 0.119192, 0.9503041],
];

function lab(rgb: Triple): Triple {
  const [x, y, z] = times(XYZ, rgb);
  const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const [fx, fy, fz] = [f(x / 0.95047), f(y), f(z / 1.08883)];
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

const apart = (a: Triple, b: Triple): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

function contrast(a: string, b: string): number {
  const [one = 0, other = 0] = [a, b].map((hex) => times(XYZ, linear(hex))[1] + 0.05).sort((x, y) => y - x);
  return one / other;
}

test('the ruler itself: black and white are 100 apart and 21 to 1, greys are seen as greys by every eye', () => {
  expect(apart(lab(linear('#000000')), lab(linear('#ffffff')))).toBeCloseTo(100, 1);
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 1);
  for (const eye of Object.values(EYES))
    for (const value of seen(eye, '#808080')) expect(value).toBeCloseTo(0.216, 2);
});

test('the ruler catches a red and a green of one lightness', () => {
  const eye = EYES['no green cones'] as Matrix;
  expect(apart(lab(seen(eye, '#c05050')), lab(seen(eye, '#7a7a30')))).toBeLessThan(24);
});

/** Those that tell things apart. */
const TELLING = ['ink', 'source', 'mic', 'baffle', 'short', 'marginal', 'clear'] as const;

describe.each(['light', 'dark'] as const)('the %s sheet', (sheet) => {
  const palette = paletteOf(sheet);

  test.each(Object.keys(EYES))('whatever tells something apart stays 24 apart, seen with %s', (name) => {
    const eye = EYES[name] as Matrix;
    for (const one of TELLING)
      for (const other of TELLING)
        if (one < other)
          expect(
            apart(lab(seen(eye, palette[one])), lab(seen(eye, palette[other]))),
            `${one} and ${other}`,
          ).toBeGreaterThan(24);
  });

  test('marks are at least 3 to 1 against the floor, text 4.5 to 1 against floor, paper and every shade', () => {
    for (const one of TELLING) expect(contrast(palette[one], palette.floor), one).toBeGreaterThan(3);
    for (const ground of [palette.floor, palette.paper]) {
      expect(contrast(palette.ink, ground)).toBeGreaterThan(4.5);
      expect(contrast(palette.faint, ground)).toBeGreaterThan(4.5);
    }
    for (const shade of palette.levels) expect(contrast(palette.ink, shade), shade).toBeGreaterThan(4.5);
  });

  test('shades go one way in lightness, whoever looks', () => {
    for (const eye of Object.values(EYES)) {
      const steps = palette.levels.map((shade) => lab(seen(eye, shade))[0]);
      const away = sheet === 'light' ? -1 : 1;
      steps.slice(1).forEach((step, i) => {
        expect((step - (steps[i] as number)) * away).toBeGreaterThan(1.5);
      });
    }
  });

  test('verdicts differ in their dashes too', () => {
    const css = style(palette);
    const dashes = ['short', 'marginal', 'clear', 'own'].map(
      (kind) =>
        new RegExp(`\\.path\\.${kind}\\{[^}]*?(?:stroke-dasharray:([^};]+))?\\}`).exec(css)?.[1] ?? 'solid',
    );
    expect(new Set(dashes).size).toBe(4);
  });
});
