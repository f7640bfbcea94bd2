/** Drawn patterns against textbook patterns, A + B·cos θ with A of 1, 0.7, 0.5, 0.366, 0.25 and 0. */
import { describe, expect, test } from 'vitest';
import { centreOf, cornersOf, drawn, far, type Mark, marksIn, type Point, toldOf } from './drawn.ts';

const alone = (pattern: string, aim: string, more = ''): string => `spillcheck: 1
rooms: {hall: {size: [8, 6], height: 4}}
players: {tuba: {at: [1, 1], facing: 0, plays: tuba}}
mics: {m: {for: tuba, at: [4, 3, 2], aim: ${aim}, pattern: ${pattern}${more}}}
`;

async function curveOf(text: string, band = 4): Promise<{ at: Point; corners: Point[]; marks: Mark[] }> {
  const marks = marksIn(drawn(await toldOf(text), { band }), 'mic', 'm');
  const [curve] = marks.filter(({ kind }) => kind === 'pattern');
  const [dot] = marks.filter(({ kind }) => kind === 'capsule');
  return { at: centreOf(dot as Mark), corners: cornersOf(curve as Mark), marks };
}

/** Radius of the curve at a bearing: it has a corner at every third degree, clockwise from up the page. */
function radiusAt({ at, corners }: { at: Point; corners: readonly Point[] }, bearing: number): number {
  const corner = corners[bearing / 3] as Point;
  const turned = ((Math.atan2(corner[0] - at[0], at[1] - corner[1]) * 180) / Math.PI + 360) % 360;
  if (far(corner, at) > 1) expect(Math.abs(((turned - bearing + 540) % 360) - 180)).toBeLessThan(1);
  return far(corner, at);
}

const BEARINGS = Array.from({ length: 24 }, (_, i) => 15 * i);
const AIM = 120;
const cosine = (degrees: number): number => Math.cos((degrees * Math.PI) / 180);

describe('at 24 angles the radius is the response, without a null depth', () => {
  test.each([
    ['omni', 1],
    ['wide-cardioid', 0.7],
    ['cardioid', 0.5],
    ['supercardioid', 0.366],
    ['hypercardioid', 0.25],
    ['figure-8', 0],
  ] as const)('%s', async (pattern, a) => {
    const curve = await curveOf(alone(pattern, String(AIM), ', null-depth: textbook'));
    const whole = radiusAt(curve, AIM);
    expect(whole).toBeCloseTo(8, 1);
    for (const bearing of BEARINGS)
      expect(radiusAt(curve, bearing) / whole).toBeCloseTo(Math.abs(a + (1 - a) * cosine(bearing - AIM)), 2);
  });
});

test('a null of 20 dB is as deep as it is: a tenth of the radius, where the figure-8 looks past', async () => {
  const curve = await curveOf(alone('figure-8', String(AIM), ', null-depth: 20'));
  expect(radiusAt(curve, 210) / radiusAt(curve, AIM)).toBeCloseTo(0.1, 2);
});

test('looking 60° down, a cardioid takes half its cosine from the level: 0.75 ahead, 0.25 behind', async () => {
  const curve = await curveOf(alone('cardioid', '{bearing: 0, tilt: -60}', ', null-depth: textbook'));
  expect(radiusAt(curve, 0) / 8).toBeCloseTo(0.5 + 0.5 * 0.5, 2);
  expect(radiusAt(curve, 90) / 8).toBeCloseTo(0.5, 2);
  expect(radiusAt(curve, 180) / 8).toBeCloseTo(0.5 - 0.5 * 0.5, 2);
});

test('looking straight down it hears alike all round, and has a mark instead of a tick', async () => {
  const curve = await curveOf(alone('cardioid', '{bearing: 0, tilt: -90}', ', null-depth: textbook'));
  for (const bearing of BEARINGS) expect(radiusAt(curve, bearing) / 8).toBeCloseTo(0.5, 2);
  expect(curve.marks.filter(({ kind, tag }) => kind === 'aim' && tag === 'circle').length).toBe(1);
});

test('the tick along the aim ends at 0 dB', async () => {
  const { at, marks } = await curveOf(alone('hypercardioid', '90'));
  const [tick] = marks.filter(({ kind, tag }) => kind === 'aim' && tag === 'path');
  const tip = cornersOf(tick as Mark)[1] as Point;
  expect(tip[0] - at[0]).toBeCloseTo(8, 1);
  expect(tip[1]).toBeCloseTo(at[1], 1);
});

test('a pattern by band is drawn at the band asked for', async () => {
  const text = alone(
    '{A: {63: 1, 125: 1, 250: 1, 500: 1, 1000: 0.5, 2000: 0.5, 4000: 0.5, 8000: 0}}',
    '0',
    ', null-depth: textbook',
  );
  const behind = async (band: number) => radiusAt(await curveOf(text, band), 180) / 8;
  expect(await behind(0)).toBeCloseTo(1, 2);
  expect(await behind(4)).toBeCloseTo(0, 2);
  expect(await behind(7)).toBeCloseTo(1, 2);
});
