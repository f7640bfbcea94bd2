/** Paper, scale and measuring bar. A4 is ISO 216, Letter ANSI Y14.1. */
import { describe, expect, test } from 'vitest';
import { drawn, far, fixture, marksOf, type Point, placing, scaleOf, toldOf } from './drawn.ts';
import { HOUSE } from './plans.ts';

const room = (x: number, y: number, units = 'm'): string =>
  `spillcheck: 1\nunits: ${units}\nrooms: {hall: {size: [${x}, ${y}], height: 9}}\n`;

const sizeOf = (svg: string): string =>
  /^<svg [^>]*width="([^"]+)" height="([^"]+)"/.exec(svg)?.slice(1).join(' ') ?? '';

describe('paper', () => {
  test('is A4 or Letter, lying for a wide plan and upright for a deep one', async () => {
    expect(sizeOf(drawn(await toldOf(room(12, 6)), { paper: 'a4' }))).toBe('297mm 210mm');
    expect(sizeOf(drawn(await toldOf(room(6, 14)), { paper: 'a4' }))).toBe('210mm 297mm');
    expect(sizeOf(drawn(await toldOf(room(12, 6)), { paper: 'letter' }))).toBe('279.4mm 215.9mm');
    expect(sizeOf(drawn(await toldOf(room(6, 14)), { paper: 'letter' }))).toBe('215.9mm 279.4mm');
  });

  test.each(['a4', 'letter'] as const)('everything drawn lies within %s', async (paper) => {
    for (const told of [await fixture('brass-hall'), await fixture('church-choir'), await toldOf(HOUSE)]) {
      const svg = drawn(told, { paper });
      const [width = 0, height = 0] = sizeOf(svg).split(' ').map(Number.parseFloat);
      for (const [, x, y] of svg.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)) {
        expect(Number(x) > 4 && Number(x) < width - 4 && Number(y) > 4 && Number(y) < height - 4).toBe(true);
      }
    }
  });

  test('without it the page is as large as the plan needs', async () => {
    const svg = drawn(await toldOf(room(12, 6)));
    const at = placing(svg, 'hall', [0, 0]);
    const [width = 0, height = 0] = sizeOf(svg).split(' ').map(Number.parseFloat);
    expect(at(0, 0)[0]).toBeGreaterThan(10);
    expect(at(12, 0)[0]).toBeLessThan(width - 60);
    expect(at(0, 0)[1]).toBeLessThan(height - 10);
  });
});

describe('scale', () => {
  test('the floor is as large as the stated scale makes it', async () => {
    for (const [x, y] of [
      [2, 2],
      [7, 5],
      [30, 20],
      [120, 80],
    ] as const) {
      const svg = drawn(await toldOf(room(x, y)), { paper: 'a4' });
      const floor = marksOf(svg).find(({ kind }) => kind === 'floor')?.of.d ?? '';
      const xs = [...floor.matchAll(/[ML](-?[\d.]+) /g)].map(([, one]) => Number(one));
      expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo((x * 1000) / scaleOf(svg), 1);
    }
  });

  test('is the finest that fits: of a lying A4, margins, key and names leave 197 mm', async () => {
    // 297 − 9 left − 9 right − 56 key − 6 between − 2·10 for names; 5.9 m are 196.7 mm at 1:30, 6 m are 200
    expect(scaleOf(drawn(await toldOf(room(5.9, 4)), { paper: 'a4' }))).toBe(30);
    expect(scaleOf(drawn(await toldOf(room(6, 4)), { paper: 'a4' }))).toBe(40);
  });

  test('for feet it is one of whole parts of an inch to the foot', async () => {
    expect([12, 24, 32, 48, 64, 96, 128]).toContain(
      scaleOf(drawn(await toldOf(room(30, 20, 'ft')), { paper: 'letter' })),
    );
  });
});

describe('the bar', () => {
  test.each([
    ['m', 1],
    ['ft', 0.3048],
  ] as const)('measures %s of the drawing', async (units, metres) => {
    const svg = drawn(await toldOf(room(20, 16, units)));
    const [, length] =
      new RegExp(`>([\\d.]+) ${units}</text>`).exec(svg.slice(svg.indexOf('<g class="key">'))) ?? [];
    const fields = [...svg.matchAll(/<rect class="bar-\w+" x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"/g)];
    const drawnLength = fields.reduce((sum, [, , , width]) => sum + Number(width), 0);
    const at = placing(svg, 'hall', [0, 0]);
    const oneUnit = far(at(0, 0), at(metres, 0) as Point);
    expect(drawnLength).toBeCloseTo(Number(length) * oneUnit, 0);
    expect(Math.abs(drawnLength - Number(length) * oneUnit)).toBeLessThan(0.1);
  });
});
