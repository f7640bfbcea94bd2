import { describe, expect, test } from 'vitest';
import { decibels } from '../../src/acoustics/bands.ts';
import { directivityOf, firstOrder, fitDirectivity } from '../../src/acoustics/directivity.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, pointSource, sceneOf } from '../build-scene.ts';
import { boxByHand } from './box-by-hand.ts';
import { expectStated, rms, worst } from './expect-stated.ts';
import { type Box, imageCount, imageSum, type Listener, type Speaker } from './image-sum.ts';
import { STATED } from './stated.ts';

const even = (alpha: number): Box['alpha'] => [alpha, alpha, alpha, alpha, alpha, alpha];
const ORDER = 60;

/** Order past which even absorption leaves a hundred-thousandth of the energy, or 60: 0.01 dB at 0.1. */
const orderFor = (alpha: number): number => Math.min(ORDER, Math.ceil(Math.log(1e-5) / Math.log(1 - alpha)));

describe('the image sum itself', () => {
  // Kuttruff, Room Acoustics, 6th ed., sec. 4.1: (2/3)(2i³ + 3i² + 4i) images up to order i.
  test.each([
    { order: 1, images: 6 },
    { order: 2, images: 24 },
    { order: 3, images: 62 },
    { order: 10, images: 1560 },
  ])('has $images images up to order $order', ({ order, images }) => {
    expect(imageCount(order)).toBe(images);
  });

  // By hand: floor and ceiling images 5 m off, 0.7/(4π·25) each; the side walls' images are further away.
  test('has floor and ceiling images of 0.002228 each in a 10 × 8 × 4 m room', () => {
    const to = { at: [6, 4, 2] as const };
    const onlyLevels: Box = { size: [10, 8, 4], alpha: [1, 1, 1, 1, 0.3, 0.3] };
    const reflected =
      imageSum(onlyLevels, { at: [3, 4, 2] }, to, 1) - imageSum(onlyLevels, { at: [3, 4, 2] }, to, 0);
    expect(reflected / 2).toBeCloseTo(0.002228169203, 10);
  });

  // Worked out apart from this code, dB re sound power: our reference list, im-03 and im-04.
  test.each([
    {
      room: '5 × 4 × 3',
      box: { size: [5, 4, 3], alpha: even(0.1) } as Box,
      from: [1.2, 1.1, 1.3] as Vec3,
      to: [3.5, 2.6, 1.7] as Vec3,
      levels: [-19.857, -15.0864, -12.2585, -10.4777, -6.244, -4.2835],
    },
    {
      room: '8 × 5 × 3',
      box: { size: [8, 5, 3], alpha: even(0.2) } as Box,
      from: [2, 2.5, 1.5] as Vec3,
      to: [6, 2.5, 1.5] as Vec3,
      levels: [-23.0333, -18.1926, -15.5857, -14.009, -10.8682, -10.3045],
    },
  ])('in a room of $room m grows with the order to $levels dB', ({ box, from, to, levels }) => {
    [0, 1, 2, 3, 10, 60].forEach((order, i) => {
      const level = decibels(imageSum(box, { at: from }, { at: to }, order));
      expect(Math.abs(level - (levels[i] ?? 0))).toBeLessThan(0.0005);
    });
  });
});

type Place = { readonly from: Vec3; readonly to: Vec3 };

/** Places given as shares of the room's sides, at heights of players and mics. */
const PLACES: readonly Place[] = [
  { from: [0.2, 0.25, 1.2], to: [0.7, 0.65, 1.5] },
  { from: [0.3, 0.7, 1.0], to: [0.8, 0.3, 1.8] },
  { from: [0.5, 0.4, 1.4], to: [0.15, 0.8, 1.1] },
  { from: [0.75, 0.2, 0.8], to: [0.35, 0.55, 2.0] },
  { from: [0.1, 0.1, 1.2], to: [0.9, 0.85, 1.6] },
  { from: [0.45, 0.6, 1.5], to: [0.6, 0.45, 1.3] },
];

const ROOMS: readonly Vec3[] = [
  [5, 4, 3],
  [8, 5, 3],
  [9, 7, 3.6],
];

const placed = ([x, y]: Vec3, [u, v, height]: Vec3): Vec3 => [u * x, v * y, height];

/** The same room as ours: floor, ceiling, then walls bottom (y = 0), right, top, left. */
function roomFor(box: Box) {
  const [x0, x1, y0, y1, z0, z1] = box.alpha;
  const alphas = [z0, z1, y0, x1, y1, x0];
  return boxRoom(...box.size, { alpha: (surface) => alphas[surface] ?? 0 });
}

type Ends = { readonly speaker: Speaker; readonly listener: Listener };

/**
 * Our energies by share, for one unit of power, at 1 kHz. Images that add as energies do not gather near the surfaces as waves do:
 * the field is taken w times higher, by hand.
 */
function ours(box: Box, { speaker, listener }: Ends, options: { q?: number; a?: number } = {}) {
  const { q = 1, a = 1 } = options;
  const axis = speaker.axis ?? ([0, 1, 0] as const);
  const directivity = directivityOf(
    () => q,
    () => null,
  );
  const scene = sceneOf({
    rooms: [roomFor(box)],
    sources: [pointSource(speaker.at, { room: 0, axis, directivity })],
    capsules: [capsuleOf(listener.at, listener.aim ?? [0, 1, 0], { room: 0, a })],
  });
  const result = transfer(scene);
  const share = (which: 'direct' | 'reflections' | 'room') => energyAt(result, 0, 0, 4, which) / 1e10;
  const firstHit = result.prepared.emitters[0]?.firstSurfaceAlphas[0]?.[4] ?? 0;
  const [direct, reflections] = [share('direct'), share('reflections')];
  const field = share('room') * boxByHand(box.size).w(4);
  return { total: direct + reflections + field, direct, reflections, field, firstHit };
}

/** Differences in dB of our total from the image sum, over all rooms and places. */
function differences(
  alphaOf: (room: Vec3) => Box['alpha'],
  options: { a?: number; order?: number } = {},
): number[] {
  const { a = 1, order = ORDER } = options;
  return ROOMS.flatMap((size) =>
    PLACES.map((place) => {
      const box = { size, alpha: alphaOf(size) };
      const aim: Vec3 = [0.6, 0.8, 0];
      const speaker = { at: placed(size, place.from) };
      const listener: Listener = {
        at: placed(size, place.to),
        ...(a < 1 ? { aim, response: (cos: number) => firstOrder(a, 0, cos, 0) } : {}),
      };
      return decibels(
        ours(box, { speaker, listener }, options).total / imageSum(box, speaker, listener, order),
      );
    }),
  );
}

const figures = (values: readonly number[]) => ({ rms: rms(values), worst: worst(values) });

describe('direct sound and first reflections', () => {
  const box: Box = { size: [8, 5, 3], alpha: [0.1, 0.6, 0.3, 0.2, 0.05, 0.7] };
  const fit = fitDirectivity(4, null);
  const gain = (cos: number) => 4 * (fit.b + (1 - fit.b) * Math.max(0, (1 + cos) / 2) ** fit.n);

  // Source of Q 4, hypercardioid mic, six walls all different: exact but for the gain that is read off a grid (0.001 dB).
  function offsAt({ from, to }: Place): number[] {
    const speaker: Speaker = { at: placed(box.size, from), axis: [0.6, 0.48, 0.64], gain };
    const response = (cos: number) => firstOrder(0.25, 0, cos, 0);
    const listener: Listener = { at: placed(box.size, to), aim: [-0.8, 0.36, 0.48], response };
    const got = ours(box, { speaker, listener }, { q: 4, a: 0.25 });
    return [
      decibels(got.direct / imageSum(box, speaker, listener, 0)),
      decibels((got.direct + got.reflections) / imageSum(box, speaker, listener, 1)),
    ];
  }

  test.each(PLACES)('from $from to $to are the image sum of orders 0 and 1', (place) => {
    expect(worst(offsAt(place))).toBeLessThan(0.001);
  });

  test('are as near as the page on the model says', () => {
    expectStated(STATED.oneTwo, { worst: worst(PLACES.flatMap(offsAt)) });
  });
});

describe('direct, first reflections and room against all images, even absorption', () => {
  const EVEN = [0.1, 0.2, 0.3, 0.5];
  const omni = EVEN.map((alpha) => ({
    alpha,
    found: differences(() => even(alpha), { order: orderFor(alpha) }),
  }));

  test('agree within 0.25 dB rms for 0.1 to 0.5', () => {
    const found = omni.flatMap((row) => row.found);
    expect(rms(found)).toBeLessThan(0.25);
    expectStated(STATED.omni, figures(found));
  });

  // 0.73 dB at worst: 0.5 everywhere, from corner to corner.
  test.each(omni)(
    'agree within 0.5 dB everywhere for $alpha (0.75 dB from corner to corner at 0.5)',
    (row) => {
      expect(worst(row.found)).toBeLessThan(row.alpha < 0.5 ? 0.5 : 0.75);
    },
  );

  // A field alike from everywhere flatters the back of a mic the less, the more the walls take: what is left comes from
  // where the source is. That the field falls with the distance makes up for most of it.
  test.each([
    { alpha: 0.1, mean: 0.2, most: 0.3, stated: STATED.cardioid10 },
    { alpha: 0.2, mean: 0.2, most: 0.3, stated: STATED.cardioid20 },
    { alpha: 0.3, mean: 0.25, most: 0.5, stated: STATED.cardioid30 },
    { alpha: 0.5, mean: 0.3, most: 0.7, stated: STATED.cardioid50 },
  ])('agree within $mean dB rms and $most dB at a cardioid, most of all from behind, for $alpha', (row) => {
    const found = differences(() => even(row.alpha), { a: 0.5, order: orderFor(row.alpha) });
    expect(rms(found)).toBeLessThan(row.mean);
    expect(worst(found)).toBeLessThan(row.most);
    expectStated(row.stated, figures(found));
  });
});

type Lined = {
  readonly against: string;
  readonly cases: string;
  readonly rms: string;
  readonly worst: string;
};

describe('direct, first reflections and room against all images, absorption on one or two surfaces', () => {
  test.each([
    { name: 'carpet alone', alpha: [0.05, 0.05, 0.05, 0.05, 0.6, 0.05], stated: STATED.carpet },
    {
      name: 'an absorbent ceiling alone',
      alpha: [0.05, 0.05, 0.05, 0.05, 0.05, 0.8],
      stated: STATED.ceiling,
    },
    { name: 'one wall lined', alpha: [0.05, 0.7, 0.05, 0.05, 0.05, 0.05], stated: STATED.wall },
    {
      name: 'carpet and an absorbent ceiling',
      alpha: [0.05, 0.05, 0.05, 0.05, 0.4, 0.8],
      stated: STATED.floorAndCeiling,
    },
    {
      name: 'a wall and the ceiling lined',
      alpha: [0.05, 0.05, 0.6, 0.05, 0.05, 0.8],
      stated: STATED.wallAndCeiling,
    },
  ] as { name: string; alpha: Box['alpha']; stated: Lined }[])(
    'agree within 1.8 dB rms and 2.7 dB with $name',
    ({ alpha, stated }) => {
      const found = differences(() => alpha);
      expect(rms(found)).toBeLessThan(1.8);
      expect(worst(found)).toBeLessThan(2.7);
      expectStated(stated, figures(found));
    },
  );
});

describe('what the room field leaves out has a sign', () => {
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

  test('floor or ceiling alone lined, it reads low: sound goes on between the bare walls', () => {
    const lined = (floor: number, ceiling: number): Box['alpha'] => [0.05, 0.05, 0.05, 0.05, floor, ceiling];
    for (const alpha of [lined(0.6, 0.05), lined(0.05, 0.8), lined(0.4, 0.8)])
      expect(mean(differences(() => alpha))).toBeLessThan(-0.3);
  });

  test('at a cardioid from behind it has none, since it falls with the distance', () => {
    expect(Math.abs(mean(differences(() => even(0.5), { a: 0.5, order: orderFor(0.5) })))).toBeLessThan(0.2);
  });
});

describe('a source of Q 4 that faces a wall lined with 0.9, all else 0.1', () => {
  const box: Box = { size: [8, 5, 3], alpha: [0.1, 0.9, 0.1, 0.1, 0.1, 0.1] };
  const fit = fitDirectivity(4, null);
  const gain = (cos: number) => 4 * (fit.b + (1 - fit.b) * Math.max(0, (1 + cos) / 2) ** fit.n);
  const listeners: readonly Vec3[] = [
    [2, 1.7, 1.2],
    [1, 3, 1.4],
  ];
  const cases = [0.7, 1, 1.5, 2].flatMap((off) => listeners.map((at) => ({ off, at })));

  /** Ours over all images in dB: as it is, and with nothing taken off at the first surface. */
  function against(off: number, at: Vec3): { with: number; without: number } {
    const speaker: Speaker = { at: [8 - off, 2.6, 1.5], axis: [1, 0, 0], gain };
    const got = ours(box, { speaker, listener: { at } }, { q: 4 });
    const all = imageSum(box, speaker, { at }, ORDER);
    const whole = got.direct + got.reflections + got.field / (1 - got.firstHit);
    return { with: decibels(got.total / all), without: decibels(whole / all) };
  }

  test.each(cases)('$off m before it is within 1.5 dB at $at', ({ off, at }) => {
    expect(Math.abs(against(off, at).with)).toBeLessThan(1.5);
  });

  test.each(cases)(
    '$off m before it would read 3.5 to 4.5 dB high at $at without the first-hit share',
    (row) => {
      const { without } = against(row.off, row.at);
      expect(without).toBeGreaterThan(3.5);
      expect(without).toBeLessThan(4.5);
    },
  );

  test('is as far off as the page on the model says', () => {
    const found = cases.map(({ off, at }) => against(off, at));
    expectStated(STATED.facing, { worst: worst(found.map((one) => one.with)) });
    expectStated(STATED.facingWithout, { worst: worst(found.map(({ without }) => without)) });
  });
});
