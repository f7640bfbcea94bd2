/** Quantities against hand values. 1 ft = 0.3048 m and 1 in = 0.0254 m exactly (international yard and pound agreement, 1959). */
import { expect, test } from 'vitest';
import type { LengthUnit, Scalar } from '../../src/plan/document.ts';
import { DIMENSIONS, type Dimension, readQuantity, readUncommon, uncommon } from '../../src/plan/units.ts';

const WIDE = { min: -1e6, max: 1e6 };

function scalar(value: string | number | null, units: LengthUnit = 'm'): Scalar {
  const mark = { source: { name: 'plan.yaml', text: '' }, offset: 0 };
  return { kind: 'scalar', value, text: String(value ?? ''), units, mark, foreign: null };
}

test.each<[string | number, Dimension, number]>([
  [2.5, 'length', 2.5],
  ['2.5', 'length', 2.5],
  ['30 cm', 'length', 0.3],
  ['30cm', 'length', 0.3],
  ['6 ft', 'length', 1.8288], // 6 · 0.3048
  ["6'", 'length', 1.8288],
  ['6 in', 'length', 0.1524], // 6 · 0.0254
  ['6"', 'length', 0.1524],
  ['5 ft 3 in', 'length', 1.6002], // 5 · 0.3048 + 3 · 0.0254 = 1.524 + 0.0762
  ['5\'3"', 'length', 1.6002],
  ['5′ 3″', 'length', 1.6002],
  ['5ft3in', 'length', 1.6002],
  ['-5 ft 3 in', 'length', -1.6002],
  ['-0.5 m', 'length', -0.5],
  ['−0.5 m', 'length', -0.5],
  ['1e2 cm', 'length', 1],
  ['100 Hz', 'frequency', 100],
  ['1.2 kHz', 'frequency', 1200],
  ['30 deg', 'angle', 30],
  ['30°', 'angle', 30],
  ['20 dB', 'decibel', 20],
  [20, 'decibel', 20],
  ['20 %', 'ratio', 0.2],
  [0.2, 'ratio', 0.2],
  ['50 %', 'percent', 50],
  ['20 °C', 'temperature', 20],
  [6, 'area', 6],
  ['6 m2', 'area', 6],
  ['6 m²', 'area', 6],
  ['64 ft2', 'area', 5.94579456], // 64 · 0.09290304
  ['90 min', 'time', 5400],
  ['3 h', 'time', 10800],
  ['400 ms', 'time', 0.4],
])('%s as %s is %d', (written, dimension, value) => {
  const reading = readQuantity(scalar(written), dimension, WIDE);
  expect(reading.ok && reading.value).toBeCloseTo(value, 12);
});

test('a bare length counts in the unit of its file, and one that says its unit does not', () => {
  const inFeet = (value: string | number) => readQuantity(scalar(value, 'ft'), 'length', WIDE);
  expect(inFeet(10)).toEqual({ ok: true, value: 3.048 });
  expect(inFeet('10')).toEqual({ ok: true, value: 3.048 });
  expect(inFeet('10 m')).toEqual({ ok: true, value: 10 });
  expect(readQuantity(scalar(10, 'ft'), 'area', WIDE)).toEqual({ ok: true, value: 10 });
});

test.each<[string | number | null, Dimension, RegExp, RegExp]>([
  ['2,5', 'length', /is 2,5, which is not a number/, /write 2\.5/],
  ['2,5 m', 'length', /is 2,5 m, which is not a number/, /write 2\.5 m/],
  [Number.NaN, 'length', /finite/, /2\.5/],
  [Number.POSITIVE_INFINITY, 'length', /finite/, /2\.5/],
  ['1e400 m', 'length', /finite/, /2\.5/],
  ['', 'length', /is empty/, /2\.5/],
  ['long', 'length', /must be a length, got long/, /6 ft/],
  ['3 s', 'length', /3 s, which is not a length/, /6 ft/],
  ['94 dB', 'frequency', /94 dB, which is not a frequency/, /1\.2 kHz/],
  ['6 m', 'area', /6 m, which is not an area/, /64 ft2/],
  ['3 1/2 in', 'length', /must be a length/, /5 ft 3 in/],
])('%s is refused as %s, with a way out', (written, dimension, message, fix) => {
  const reading = readQuantity(scalar(written), dimension, WIDE);
  expect(reading).toMatchObject({ ok: false, code: 'BAD_VALUE' });
  expect(reading.ok || reading.message).toMatch(message);
  expect(reading.ok || reading.fix).toMatch(fix);
});

test('bounds are told in the unit of the file', () => {
  const far = readQuantity(scalar(1e308, 'ft'), 'length', { min: 0.1, max: 100 });
  // 0.1 / 0.3048 = 0.328, 100 / 0.3048 = 328.08
  expect(far).toMatchObject({
    ok: false,
    code: 'OUT_OF_RANGE',
    message: 'must be 0.328 to 328 ft, got 1e+308',
  });
});

test.each([
  ['2 yd', 'length', 1.8288], // 2 · 3 ft
  ['3 decimeter', 'length', 0.3],
  ['68 °F', 'temperature', 20], // (68 − 32) · 5/9
  ['293.15 K', 'temperature', 20],
  ['0.5 rad', 'angle', 28.64788975654116], // 0.5 · 180/π
  ['2 MHz', 'frequency', 2e6],
  ['1 acre', 'area', 4046.8564224], // 43560 ft² · 0.09290304; mathjs holds the survey acre, 4 ppm larger
  ['2 minutes', 'time', 120],
] as const)('%s, an uncommon unit of %s, is %d', async (text, dimension, value) => {
  const node = scalar(text);
  await readUncommon(node);
  const reading = readQuantity(node, dimension, { min: -1e9, max: 1e9 });
  expect(reading.ok && reading.value / value).toBeCloseTo(1, 5);
});

test('our table and the unit library agree', async () => {
  const spelling: Readonly<Record<string, string>> = {
    "'": 'ft',
    '"': 'in',
    'm²': 'm^2',
    'cm²': 'cm^2',
    'ft²': 'ft^2',
    ft2: 'ft^2',
    cm2: 'cm^2',
    m2: 'm^2',
    sqft: 'sqft',
    '°': 'deg',
    hz: 'Hz',
    HZ: 'Hz',
    khz: 'kHz',
    KHz: 'kHz',
    k: 'kHz',
    C: 'degC',
    '°C': 'degC',
    metre: 'm',
    metres: 'm',
  };
  const shared: Dimension[] = ['length', 'area', 'frequency', 'angle', 'temperature', 'time'];
  for (const dimension of shared) {
    for (const [unit, factor] of DIMENSIONS[dimension].units) {
      const known = await uncommon(`3 ${spelling[unit] ?? unit}`);
      expect([unit, known?.dimension]).toEqual([unit, dimension]);
      expect((known?.value ?? Number.NaN) / (3 * factor), unit).toBeCloseTo(1, 9);
    }
  }
});

test('what is no quantity is none in any unit', async () => {
  for (const text of ['3 cellos', 'import("fs")', '1 m; 2 m', '2nd violin', '5 __proto__', '5 constructor']) {
    expect(await uncommon(text)).toBeNull();
  }
});
