import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { reported } from '../published/command.ts';
import { MODEL, pageOf } from './pages.ts';

/** The table of the example, each row by its number: eight figures. */
const rows = new Map(
  [...pageOf(MODEL).matchAll(/^\| (\d+) [^|]*\|(.*)\|$/gm)].map(([, number, cells = '']) => [
    Number(number),
    cells.split('|').map(Number),
  ]),
);
const row = (number: number): readonly number[] => {
  const found = rows.get(number);
  if (found?.length !== 8) throw new Error(`the page has no row ${number} of eight figures`);
  return found;
};

const lg = (value: number): number => 10 * Math.log10(value);
const energy = (level: number): number => 10 ** (level / 10);
const sum = (levels: readonly number[]): number => lg(levels.reduce((all, level) => all + energy(level), 0));

/** Worked out again here from the rows above it, with the equations as the page prints them and none of the program's code. */
const WAY = Math.hypot(1.5, 0.3);
const COSINE = 0.3 / WAY;
const RADIUS = 0.2;
const spreading = (r: number): number => lg(Math.log(1 + RADIUS ** 2 / r ** 2) / RADIUS ** 2);
const back = (band: number): number => energy(-(row(3)[band] ?? 0));

function cardioid(band: number, cos: number, r: number): number {
  const k = (2 * Math.PI * 1000 * 10 ** ((3 * (band - 4)) / 10)) / 343.2;
  const floor = energy(-25);
  const near = (0.5 * cos) ** 2 / (k * k * (r * r + RADIUS ** 2));
  return lg(floor + (1 - floor) * ((0.5 + 0.5 * cos) ** 2 + near));
}

/** dB per kilometre at 20 °C and 50 %, ISO 9613-1 worked out apart: as in the tests of air. */
const AIR = [0.123, 0.445, 1.318, 2.733, 4.665, 9.855, 29.419, 103.912];

const STEPS: Readonly<Record<number, (band: number) => number>> = {
  4: (band) =>
    82 +
    (row(1)[band] ?? 0) -
    lg(row(1).reduce((all, s, i) => all + energy(s) / (row(2)[i] ?? 1), 0)) -
    lg(4 * Math.PI),
  5: (band) => (row(2)[band] === 1 ? 0.5 : (1 - back(band)) / (1 / (row(2)[band] ?? 1) - back(band)) - 1),
  6: (band) => lg(back(band) + (1 - back(band)) * ((1 + COSINE) / 2) ** (row(5)[band] ?? 1)),
  7: (band) => -((AIR[band] ?? 0) * WAY) / 1000,
  8: (band) => cardioid(band, 1, 0.3),
  9: (band) => cardioid(band, COSINE, WAY),
  10: (band) => (row(4)[band] ?? 0) + 9.63 + (row(8)[band] ?? 0),
  11: (band) => (row(4)[band] ?? 0) - 3.73 + [6, 7, 9].reduce((all, step) => all + (row(step)[band] ?? 0), 0),
};

describe('the example worked by hand', () => {
  test('starts from the figures of the catalogue', () => {
    const guitar = parse(readFileSync('shared/catalogue/instruments/strings.yaml', 'utf8'))[
      'steel-string-guitar'
    ];
    expect([row(1), row(2), row(3)]).toEqual([
      guitar.spectrum,
      guitar.directivity.Q,
      guitar.directivity['front-to-back'],
    ]);
    expect([guitar.power.mf, guitar.radius]).toEqual([82, RADIUS]);
  });

  test('has the geometry right', () => {
    expect(WAY).toBeCloseTo(1.53, 2);
    expect((Math.acos(COSINE) * 180) / Math.PI).toBeCloseTo(78.7, 1);
    expect([spreading(0.3), spreading(WAY)].map((level) => level.toFixed(2))).toEqual(['9.63', '-3.73']);
  });

  // Each printed figure from printed ones: half a digit of its own, and what theirs leave.
  test.each(Object.keys(STEPS).map(Number))('has row %i right', (step) => {
    row(step).forEach((printed, band) => {
      expect(Math.abs(printed - (STEPS[step]?.(band) ?? Number.NaN)), `band ${band}`).toBeLessThan(0.0101);
    });
  });

  test('ends with the figures that it prints, and the command with the same', () => {
    expect([sum(row(10)).toFixed(1), sum(row(11)).toFixed(1)]).toEqual(['82.5', '63.1']);
    const { mics } = reported(readFileSync('fixtures/two-guitars.yaml', 'utf8'));
    const mic = mics.find(({ name }) => name === 'left-mic');
    expect((sum(row(10)) - sum(row(11))).toFixed(1)).toBe('19.4');
    expect(Math.abs((mic?.signal_to_bleed_db ?? 0) - (sum(row(10)) - sum(row(11))))).toBeLessThan(0.01);
  });
});
