import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec2, Vec3 } from '../../src/geometry.ts';
import type { Panel } from '../../src/scene/scene.ts';
import { newWorkspace, prepareBarriers } from '../../src/transfer/barrier-diffraction.ts';
import type { PathEnergy } from '../../src/transfer/path-energy.ts';
import { sized } from '../sized.ts';
import { panelFrom, pastBarriers } from '../transfer/panels.ts';

const C = 343.2;
const RUNS = { numRuns: sized(100, 400), seed: 20, endOnFailure: true };
/** Where what breaks a bound is rare: an interference in the upper octaves. */
const MANY = { ...RUNS, numRuns: sized(400, 6000) };

/** A point source and an omni mic: nothing but distance counts. */
const omni: PathEnergy = (into, _leave, _arrive, spread) => into.free.fill(1 / spread ** 2);

/** Levels in dB by band over the free direct sound, past panels in the open. */
function levels(panels: readonly Panel[], source: Vec3, mic: Vec3): number[] {
  const into = sameInAllBands(0);
  pastBarriers(into, prepareBarriers(panels, null, newWorkspace(C)), source, mic, omni);
  const free = 1 / Math.hypot(mic[0] - source[0], mic[1] - source[1], mic[2] - source[2]) ** 2;
  return [...into].map((energy) => 10 * Math.log10(energy / free));
}

/** Absolute levels: what a mic hears. */
function heard(panels: readonly Panel[], source: Vec3, mic: Vec3): number[] {
  const into = sameInAllBands(0);
  pastBarriers(into, prepareBarriers(panels, null, newWorkspace(C)), source, mic, omni);
  return [...into].map((energy) => 10 * Math.log10(energy));
}

const largest = (one: readonly number[], other: readonly number[]): number =>
  Math.max(...one.map((level, i) => Math.abs(level - (other[i] ?? Number.NaN))));

/** Even over the stretch: `fc.double` dwells on its ends, and points in line with panels are a case of their own. */
const span = (min: number, max: number) =>
  fc.noBias(fc.integer({ min: 0, max: 2 ** 30 })).map((i) => min + ((max - min) * (i + 0.5)) / 2 ** 30);
const place = fc.tuple(span(-3, 3), span(-3, 3), span(0.4, 2));
const foot = fc.tuple(span(-2.5, 2.5), span(-2.5, 2.5));
const faces = fc.record({ high: span(1, 2.2), loss: span(5, 35), alpha: span(0, 0.9) });
const sheet = fc
  .record({
    middle: foot,
    angle: span(0, Math.PI),
    width: span(0.6, 2.4),
    faces,
    gap: fc.constantFrom(0, 0, 0.15),
  })
  .map(({ middle, angle, width, faces: { high, loss, alpha }, gap }) => {
    const [x, y] = [(Math.cos(angle) * width) / 2, (Math.sin(angle) * width) / 2];
    const ends: [Vec2, Vec2] = [
      [middle[0] - x, middle[1] - y],
      [middle[0] + x, middle[1] + y],
    ];
    return panelFrom(ends, { low: gap, high, loss, alpha });
  });

/** A screen along x, a source before it, a mic behind it, and places beside its ends in or near its plane. */
const wide = fc
  .record({ width: span(0.6, 2.4), faces, gap: fc.constantFrom(0, 0, 0.15) })
  .map(({ width, faces: { high, loss, alpha }, gap }) => {
    const ends: [Vec2, Vec2] = [
      [-width / 2, 0],
      [width / 2, 0],
    ];
    return panelFrom(ends, { low: gap, high, loss, alpha });
  });
const standing = fc.tuple(span(-1, 1), span(0.2, 3), span(0.3, 1.6));
const listening = fc.tuple(span(-1, 1), span(-3, -0.2), span(0.3, 1.6));
const beside = fc.tuple(fc.oneof(span(-2.5, -0.21), span(0.21, 2.5)), span(-0.005, 0.005), span(0.3, 2));

function gapTo(panel: Panel, [x, y]: Vec3): number {
  const [dx, dy] = [panel.b[0] - panel.a[0], panel.b[1] - panel.a[1]];
  const part = ((x - panel.a[0]) * dx + (y - panel.a[1]) * dy) / (dx * dx + dy * dy);
  const held = Math.min(1, Math.max(0, part));
  return Math.hypot(x - panel.a[0] - held * dx, y - panel.a[1] - held * dy);
}

const inFrontOf = (panel: Panel, [x, y]: Vec3): number =>
  ((panel.b[0] - panel.a[0]) * (y - panel.a[1]) - (panel.b[1] - panel.a[1]) * (x - panel.a[0])) /
  Math.hypot(panel.b[0] - panel.a[0], panel.b[1] - panel.a[1]);
const side = (panel: Panel, point: Vec3): number => Math.sign(inFrontOf(panel, point));

/** Off the panels' planes, where it matters on which side one stands. */
const offPlane = (panels: readonly Panel[], ...points: Vec3[]): boolean =>
  panels.every((panel) => points.every((point) => Math.abs(inFrontOf(panel, point)) > 0.01));

const farEnough = (panels: readonly Panel[], source: Vec3, mic: Vec3): boolean =>
  Math.hypot(mic[0] - source[0], mic[1] - source[1], mic[2] - source[2]) > 0.5 &&
  panels.every((panel) => gapTo(panel, source) > 0.2 && gapTo(panel, mic) > 0.2);

const step = fc
  .tuple(span(-1, 1), span(-1, 1), span(-1, 1))
  .filter(([x, y, z]) => Math.hypot(x, y, z) > 0.1)
  .map(([x, y, z]): Vec3 => {
    const size = Math.hypot(x, y, z) / 0.01;
    return [x / size, y / size, z / size];
  });
const moved = (point: Vec3, by: Vec3): Vec3 => [point[0] + by[0], point[1] + by[1], point[2] + by[2]];

describe('small moves make small changes', () => {
  test('one screen, mic moved by 1 cm: 1.5 dB, across its plane 3 dB', () => {
    fc.assert(
      fc.property(sheet, place, place, step, (panel, source, mic, by) => {
        const to = moved(mic, by);
        fc.pre(farEnough([panel], source, mic) && farEnough([panel], source, to));
        const change = largest(heard([panel], source, mic), heard([panel], source, to));
        expect(change).toBeLessThan(side(panel, mic) === side(panel, to) ? 1.5 : 3);
      }),
      MANY,
    );
  });

  test('one screen, mic behind it moved by 1 cm: 1.5 dB', () => {
    fc.assert(
      fc.property(wide, standing, listening, step, (panel, source, mic, by) => {
        const to = moved(mic, by);
        fc.pre(farEnough([panel], source, mic) && farEnough([panel], source, to));
        expect(largest(heard([panel], source, mic), heard([panel], source, to))).toBeLessThan(1.5);
      }),
      MANY,
    );
  });

  test('one screen, mic moved by 1 cm through its plane beside it: 3 dB', () => {
    fc.assert(
      fc.property(wide, standing, beside, step, (panel, source, [away, off, high], by) => {
        const mic: Vec3 = [away < 0 ? panel.a[0] + away : panel.b[0] + away, off, high];
        const to = moved(mic, by);
        fc.pre(side(panel, mic) !== side(panel, to));
        fc.pre(farEnough([panel], source, mic) && farEnough([panel], source, to));
        expect(largest(heard([panel], source, mic), heard([panel], source, to))).toBeLessThan(3);
      }),
      MANY,
    );
  });

  test('one screen, one end moved by 1 cm: 1.5 dB, 3 dB where its plane sweeps over a point', () => {
    fc.assert(
      fc.property(sheet, place, place, step, (panel, source, mic, by) => {
        const other = { ...panel, b: [panel.b[0] + by[0], panel.b[1] + by[1]] as Vec2 };
        fc.pre(farEnough([panel], source, mic) && farEnough([other], source, mic));
        const swept = [source, mic].some((point) => side(panel, point) !== side(other, point));
        const change = largest(heard([panel], source, mic), heard([other], source, mic));
        expect(change).toBeLessThan(swept ? 3 : 1.5);
      }),
      MANY,
    );
  });

  test('three screens, source moved by 1 cm: 6 dB', () => {
    fc.assert(
      fc.property(fc.tuple(sheet, sheet, sheet), place, place, step, (panels, source, mic, by) => {
        const to = moved(source, by);
        fc.pre(farEnough(panels, source, mic) && farEnough(panels, to, mic));
        expect(largest(heard(panels, source, mic), heard(panels, to, mic))).toBeLessThan(6);
      }),
      RUNS,
    );
  });
});

describe('a screen is worth what it is', () => {
  test('R = 0 is no panel at all', () => {
    fc.assert(
      fc.property(sheet, sheet, place, place, (open, real, source, mic) => {
        fc.pre(farEnough([open, real], source, mic));
        const nothing = { ...open, tau: sameInAllBands(1) };
        expect(largest(levels([nothing, real], source, mic), levels([real], source, mic))).toBeLessThan(1e-9);
        expect(largest(levels([nothing], source, mic), new Array(8).fill(0))).toBeLessThan(1e-9);
      }),
      RUNS,
    );
  });

  test('between the two it never lifts an omni mic above the free direct sound', () => {
    fc.assert(
      fc.property(sheet, place, place, (panel, source, mic) => {
        fc.pre(farEnough([panel], source, mic));
        expect(Math.max(...levels([panel], source, mic))).toBeLessThan(1e-9);
      }),
      RUNS,
    );
  });

  test('source and mic may change places', () => {
    fc.assert(
      fc.property(fc.array(sheet, { minLength: 1, maxLength: 4 }), place, place, (panels, source, mic) => {
        fc.pre(farEnough(panels, source, mic) && offPlane(panels, source, mic));
        expect(largest(levels(panels, source, mic), levels(panels, mic, source))).toBeLessThan(1e-9);
      }),
      RUNS,
    );
  });

  test('the whole floor may be turned and moved', () => {
    fc.assert(
      fc.property(
        fc.array(sheet, { minLength: 1, maxLength: 4 }),
        place,
        place,
        span(0, 6.28),
        (panels, source, mic, by) => {
          fc.pre(farEnough(panels, source, mic) && offPlane(panels, source, mic));
          const [c, s] = [Math.cos(by), Math.sin(by)];
          const flat = ([x, y]: Vec2): Vec2 => [c * x - s * y + 4, s * x + c * y - 7];
          const spun = ([x, y, z]: Vec3): Vec3 => [...flat([x, y]), z];
          const others = panels.map((panel) => ({ ...panel, a: flat(panel.a), b: flat(panel.b) }));
          expect(largest(levels(panels, source, mic), levels(others, spun(source), spun(mic)))).toBeLessThan(
            1e-6,
          );
        },
      ),
      RUNS,
    );
  });

  test('a U of three panels shields at least as well as its front panel, in every octave', () => {
    fc.assert(
      fc.property(
        span(0.8, 2.4),
        span(0.3, 1.5),
        faces,
        place,
        place,
        (width, depth, { high, loss, alpha }, source, mic) => {
          const [a, b]: [Vec2, Vec2] = [
            [-width / 2, 0],
            [width / 2, 0],
          ];
          const front = panelFrom([a, b], { high, loss, alpha });
          const wings = [a, b].map((end) => panelFrom([end, [end[0], depth]], { high, loss, alpha }));
          const standing: Vec3 = [
            (source[0] / 3) * 0.4 * width,
            0.25 + ((source[1] + 3) / 6) * 0.6,
            Math.min(source[2], high),
          ];
          const listening: Vec3 = [(mic[0] / 3) * 0.5 * width, -0.4 - (mic[1] + 3) / 2, mic[2]];
          const all = [front, ...wings];
          fc.pre(farEnough(all, standing, listening));
          const alone = levels([front], standing, listening);
          levels(all, standing, listening).forEach((level, band) => {
            expect(level).toBeLessThan((alone[band] as number) + 1e-9);
          });
        },
      ),
      MANY,
    );
  });

  test('all this holds of panels that touch: changing places, turning, and 6 dB for 1 cm', () => {
    const chain = fc.tuple(
      foot,
      fc.array(fc.tuple(span(0.6, 1.6), span(-1.8, 1.8)), { minLength: 2, maxLength: 4 }),
      faces,
    );
    fc.assert(
      fc.property(chain, place, place, step, span(0, 6.28), ([start, bits, face], source, mic, by, spin) => {
        const panels = chained(start, bits, face);
        const to = moved(mic, by);
        fc.pre(
          farEnough(panels, source, mic) &&
            farEnough(panels, source, to) &&
            offPlane(panels, source, mic, to),
        );
        const straight = levels(panels, source, mic);
        expect(largest(straight, levels(panels, mic, source))).toBeLessThan(1e-6);
        const [c, s] = [Math.cos(spin), Math.sin(spin)];
        const flat = ([x, y]: Vec2): Vec2 => [c * x - s * y, s * x + c * y];
        const spun = ([x, y, z]: Vec3): Vec3 => [...flat([x, y]), z];
        const others = panels.map((panel) => ({ ...panel, a: flat(panel.a), b: flat(panel.b) }));
        expect(largest(straight, levels(others, spun(source), spun(mic)))).toBeLessThan(1e-6);
        expect(largest(heard(panels, source, mic), heard(panels, source, to))).toBeLessThan(6);
      }),
      RUNS,
    );
  });
});

/** Panels end to end, each turned against the last by an angle in radians. */
function chained(
  start: readonly [number, number],
  bits: readonly (readonly [number, number])[],
  face: { readonly high: number; readonly loss: number; readonly alpha: number },
): Panel[] {
  let at: Vec2 = [start[0], start[1]];
  let heading = 0;
  return bits.map(([width, bend]) => {
    heading += bend;
    const next: Vec2 = [at[0] + width * Math.cos(heading), at[1] + width * Math.sin(heading)];
    const panel = panelFrom([at, next], face);
    at = next;
    return panel;
  });
}
