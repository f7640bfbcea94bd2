/**
 * Rooms solved by the wave equation (wave-rooms.json: finite volumes, walls of real admittance, computed for this project), each as a
 * plan, and by how much the command's levels differ.
 */
import { readFileSync } from 'node:fs';
import { airLoss, energyLoss } from '../../src/acoustics/air.ts';
import { MID_BANDS, NOMINAL_BANDS } from '../../src/acoustics/bands.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { reported } from './command.ts';

type Box = readonly [low: Vec3, high: Vec3];
type Side = 'x0' | 'x1' | 'y0' | 'y1' | 'z0' | 'z1';

export type WaveScene = {
  readonly scene: string;
  readonly size_m: Vec3;
  readonly absorption: Readonly<Record<Side, number>>;
  readonly panels: readonly {
    /** 0: at an x, 1: at a y; `lo` and `hi` are along the other axis and in height. */
    readonly axis: 0 | 1;
    readonly at: number;
    readonly lo: readonly [number, number];
    readonly hi: readonly [number, number];
    readonly alpha?: number;
  }[];
  readonly source_m: Vec3;
  readonly receivers_m: readonly Vec3[];
  readonly octaves_hz: readonly number[];
  readonly level_db_re_free_field_at_1_m: readonly (readonly number[])[];
  readonly median_decay_s?: Readonly<Record<string, { readonly edt: number; readonly t20: number }>>;
  /** Of each mic its axis, 0 = x or 1 = y, the direction along it, and the A of A + (1 − A)·cos θ. */
  readonly aims?: readonly (readonly [axis: 0 | 1, direction: 1 | -1, a: number])[];
  readonly solid_m?: readonly Box[];
  readonly hollow_m?: readonly Box[];
  readonly note?: string;
};

const all: readonly WaveScene[] = JSON.parse(
  readFileSync(new URL('./wave-rooms.json', import.meta.url), 'utf8'),
).scenes;

/** Rooms, not panels in the open. */
export const WAVE_ROOMS = all.filter(({ note }) => note === undefined);

/** The scene of a name, once for each grid on which it was solved. */
export const sceneOf = (name: string): WaveScene[] => all.filter(({ scene }) => scene === name);

const range = (count: number): number[] => [...Array(count).keys()];
/** Loss of the air in dB/m at 20 °C and 50 %, which the scenes do not have. */
const LOSS = MID_BANDS.map((hertz) => airLoss(hertz, 20, 50));

/** A finish by octave, less by what the air of a plan absorbs: the scenes have none. */
function finish(alpha: number, perSurface: number): string {
  const values = NOMINAL_BANDS.map((hertz, band) => {
    return `${hertz}: ${(alpha - 4 * energyLoss(LOSS[band] ?? 0) * perSurface).toFixed(6)}`;
  });
  return `{${values.join(', ')}}`;
}

/** Rooms of a scene as a plan writes them; `time` goes into each. */
function roomsOf({ size_m: size, absorption, solid_m: solid, hollow_m: hollow }: WaveScene, time: string) {
  const [width, depth, height] = size;
  const [low, high] = solid?.[0] ?? [];
  const room = (outline: readonly (readonly [number, number])[], walls: readonly Side[]) => {
    const area = Math.abs(
      outline.reduce((sum, [x, y], i) => {
        const [u, v] = outline[(i + 1) % outline.length] ?? [0, 0];
        return sum + (x * v - u * y) / 2;
      }, 0),
    );
    const round = outline.reduce((sum, [x, y], i) => {
      const [u, v] = outline[(i + 1) % outline.length] ?? [0, 0];
      return sum + Math.hypot(u - x, v - y);
    }, 0);
    const perSurface = (area * height) / (2 * area + round * height);
    const of = (side: Side) => finish(absorption[side], perSurface);
    return `{outline: ${JSON.stringify(outline)}, height: ${height}, floor: ${of('z0')}, ceiling: ${of('z1')},
    walls: [${walls.map(of).join(', ')}]${time}}`;
  };
  const box = (x0: number, x1: number) =>
    room(
      [
        [x0, 0],
        [x1, 0],
        [x1, depth],
        [x0, depth],
      ],
      ['y0', 'x1', 'y1', 'x0'],
    );
  if (!low || !high) return `rooms:\n  hall: ${box(0, width)}\n`;
  if (!hollow?.[0]) {
    // the solid is the upper right corner
    const corners = [
      [0, 0],
      [width, 0],
      [width, low[1]],
      [low[0], low[1]],
      [low[0], depth],
      [0, depth],
    ] as const;
    return `rooms:\n  hall: ${room(corners, ['y0', 'x1', 'y1', 'x1', 'y1', 'x0'])}\n`;
  }
  const [[, y0, z0], [, y1, z1]] = hollow[0];
  const at = [(low[0] + high[0]) / 2, (y0 + y1) / 2];
  return `rooms:
  hall: ${box(0, low[0])}
  beyond: ${box(high[0], width)}
partitions:
  wall:
    between: [hall, beyond]
    wall: {reduction: 90}
    openings: [{at: ${JSON.stringify(at)}, width: ${y1 - y0}, height: ${z1 - z0}, sill: ${z0}}]
`;
}

const POWERS = NOMINAL_BANDS.map((hertz) => `${hertz}: 100`).join(', ');

/** A source of 100 dB in every octave, an omnidirectional point, and a mic at every place. */
function planOf(scene: WaveScene, time = ''): string {
  const baffles = scene.panels.map(({ axis, at, lo, hi, alpha = 0 }, i) => {
    const end = (along: number) => JSON.stringify(axis === 0 ? [at, along] : [along, at]);
    return `  panel-${i}: {from: ${end(lo[0])}, to: ${end(hi[0])}, height: ${hi[1]}, gap: ${lo[1]}, made-of: {reduction: 90, absorption: ${alpha}}}\n`;
  });
  const mics = scene.receivers_m.map((at, i) => {
    const [axis, direction, a] = scene.aims?.[i] ?? [0, 1, 1];
    const aim = axis === 1 ? (direction > 0 ? 0 : 180) : direction > 0 ? 90 : 270;
    return `  mic-${i}: {for: point, at: ${JSON.stringify(at)}, pattern: {A: ${a}}, aim: ${aim}, null-depth: textbook}\n`;
  });
  return `spillcheck: 1
title: ${scene.scene}
${scene.note ? '' : roomsOf(scene, time)}sources:
  point: {at: ${JSON.stringify(scene.source_m)}, facing: 0, power: {${POWERS}}, radius: 1 mm, directivity: {Q: 1}}
mics:
${mics.join('')}${baffles.length > 0 ? `baffles:\n${baffles.join('')}` : ''}`;
}

/** What the command says a clap would show in the first room. */
export const clapIn = (scene: WaveScene) => reported(planOf(scene)).rooms[0]?.clap;

export type Difference = {
  readonly scene: string;
  readonly at: Vec3;
  readonly hertz: number;
  readonly db: number;
};

/** Computed less solved levels in dB, octave by octave and place by place; the air is taken back along the straight line. */
export function differences(scene: WaveScene, time = ''): Difference[] {
  const report = reported(planOf(scene, time));
  return range(scene.receivers_m.length).flatMap((place) => {
    const row = report.mics.find(({ name }) => name === `mic-${place}`)?.levels[0];
    return scene.octaves_hz.map((hertz, i) => {
      const band = NOMINAL_BANDS.indexOf(hertz as (typeof NOMINAL_BANDS)[number]);
      const level = (row?.bands_db[band] ?? Number.NaN) + (LOSS[band] ?? 0) * (row?.distance_m ?? 0);
      const solved = scene.level_db_re_free_field_at_1_m[place]?.[i] ?? Number.NaN;
      return {
        scene: scene.scene,
        at: scene.receivers_m[place] ?? [0, 0, 0],
        hertz,
        db: level - (100 - 10 * Math.log10(4 * Math.PI)) - solved,
      };
    });
  });
}
