import { describe, expect, test } from 'vitest';
import { BAND_COUNT, decibels, sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { OUTSIDE, type Panel, type Room } from '../../src/scene/scene.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, pointSource, sceneOf } from '../build-scene.ts';

/** The classical room formula with a screen: D = Σ 1/(3 + 10 N_i), R = A/(1 − ᾱ). Our reference `ba-08`. */
const D = [1, 2, 2].reduce((sum, n) => sum + 1 / (3 + 10 * n), 0);
function formulaLoss(distance: number, area: number, mean: number): number {
  const direct = 1 / (4 * Math.PI * distance ** 2);
  const field = (4 * (1 - mean)) / area;
  return decibels((direct + field) / (D * direct + field));
}

describe('an indoor screen by the room formula', () => {
  test('lets 0.164 of the direct sound past and is worth 7.9 dB in the open', () => {
    expect(D).toBeCloseTo(0.16388, 4);
    expect(-decibels(D)).toBeCloseTo(7.855, 3);
  });

  test.each([
    { distance: 3, area: 30, mean: 0.2, loss: 0.287 },
    { distance: 1.5, area: 60, mean: 0.35, loss: 2.046 },
  ])('is worth $loss dB at $distance m among $area m² of absorption', ({ distance, area, mean, loss }) => {
    expect(formulaLoss(distance, area, mean)).toBeCloseTo(loss, 3);
  });
});

/** 150 m² of surface at ᾱ = 0.2: A = 30 m². 2·7·5 + 24·h = 150. */
const live = boxRoom(7, 5, 10 / 3, { alpha: 0.2 });
/** 60/0.35 = 171.43 m² of surface at ᾱ = 0.35: A = 60 m². 2·8·5.5 + 27·h = 171.43. */
const dry = boxRoom(8, 5.5, (60 / 0.35 - 88) / 27, { alpha: 0.35 });

/** Heavy, hard, 1.2 m wide and 1.5 m high, half way between; its absorbing area is none, so that the field stays. */
function screenAt(x: number, y: number, room: number): Panel {
  return {
    name: 'screen',
    path: ['baffles', 'screen'],
    room,
    a: [x, y - 0.6],
    b: [x, y + 0.6],
    low: 0,
    high: 1.5,
    tau: sameInAllBands(1e-4),
    alpha: sameInAllBands(0),
    windowFrom: Infinity,
    booth: null,
  };
}

/** Mean over the octaves 500 Hz to 4 kHz of what the screen takes, dB. */
function screenLoss(room: Room | null, distance: number): number {
  const index = room ? 0 : OUTSIDE;
  const at = (x: number): Vec3 => [x, 2.2, 1];
  const [source, mic] = [at(2), at(2 + distance)];
  const scene = sceneOf({
    rooms: room ? [room] : [],
    sources: [pointSource(source, { room: index })],
    capsules: [capsuleOf(mic, [-1, 0, 0], { room: index })],
  });
  const bare = transfer(scene);
  const screened = transfer({ ...scene, panels: [screenAt(2 + distance / 2, 2.2, index)] });
  const losses = Array.from({ length: BAND_COUNT }, (_, band) =>
    decibels(energyAt(bare, 0, 0, band) / energyAt(screened, 0, 0, band)),
  );
  return losses.slice(3, 7).reduce((sum, loss) => sum + loss, 0) / 4;
}

/**
 * Detours at 3 m: 0.16 m over the top, 0.23 m round the sides, so N from 0.47 (500 Hz) to 5.4 (4 kHz) and by
 * 10 lg(3 + 20N) 11 to 20 dB an edge. Three such waves add 4.8 dB as energies, 9.5 dB all in step: at least 2 dB
 * stay at 500 Hz, and at 4 kHz no more than the best edge's 20 dB. At 1.5 m an edge takes 2 to 3 dB more.
 */
describe('the same screen in a scene of ours, 500 Hz to 4 kHz', () => {
  test.each([3, 1.5])('is worth several dB at %d m in the open', (distance) => {
    const loss = screenLoss(null, distance);
    expect(loss).toBeGreaterThan(5);
    expect(loss).toBeLessThan(20);
  });

  /**
   * By hand: direct 1/(4π·3²) = 0.0088, field from the second reflection on 4·0.8·0.8/30 = 0.0853, six images of
   * 0.8/(4πr²), r 3.6 to 7 m, together 0.0134. With all of the direct sound gone 0.4 dB; with all images too, 1.0 dB.
   */
  test('is worth less than 1 dB at 3 m in the live room', () => {
    const loss = screenLoss(live, 3);
    expect(loss).toBeGreaterThan(0.1);
    expect(loss).toBeLessThan(1);
  });

  /** By hand: direct 1/(4π·1.5²) = 0.0354, field 4·0.65²/60 = 0.0282, six images of 0.65/(4πr²) 0.0166: without the direct sound 2.5 dB. */
  test('is worth 1 to 4 dB at 1.5 m in the dry room, and far less than in the open', () => {
    const loss = screenLoss(dry, 1.5);
    expect(loss).toBeGreaterThan(1);
    expect(loss).toBeLessThan(4);
    expect(loss).toBeLessThan(screenLoss(null, 1.5) / 2);
    expect(loss).toBeGreaterThan(2 * screenLoss(live, 3));
  });
});
