/** What sounds: every acoustic centre as a disc of its own size with a tick along its axis, loudspeakers as cabinets, sections as fields. */
import type { Source, SourcePoint } from '../../scene/scene.ts';
import type { Vec3 } from '../../scene/vector.ts';
import { bearingOf, tiltOf } from '../../scene/vector.ts';
import {
  closedLine,
  emptyLayer,
  type Layer,
  type Name,
  openLine,
  round,
  type Shape,
  together,
} from './layer.ts';
import { area, circle, line, named } from './mark.ts';
import { away, between, type Point, pageAngle } from './plane.ts';
import type { Sheet } from './sheet.ts';

/** Least radius of a disc, and length of the tick from its rim, mm. */
const LEAST = 0.6;
const TICK = 1.5;
/** A cabinet's width and depth, m, and the least they are drawn with, mm. The plan does not give its size. */
const CABINET = 0.4;
const LEAST_CABINET = 4.5;

export const sources = (sheet: Sheet): Layer =>
  together(sheet.scene.sources.map((source) => sourceLayer(sheet, source)));

function sourceLayer(sheet: Sheet, source: Source): Layer {
  const { points, name } = source;
  const [first] = points;
  if (!first) return emptyLayer;
  const discs = points.map((point) => disc(sheet, source, point));
  const around = outlineOf(sheet, source, first);
  const field = around ? area(points.length > 1 ? 'section' : 'cabinet', around) : '';
  const shapes: Shape[] = discs.flatMap(({ shapes: own }) => own);
  return {
    svg: named('source', name, field + discs.map(({ svg }) => svg).join('')),
    keepOff: around ? [...shapes, closedLine(...around)] : shapes,
    names: hasOwnName(sheet, source) ? [nameOf(name, around ?? [discs[0]?.at ?? [0, 0]])] : [],
  };
}

/** A player and his one instrument share a name, and the pieces of a kit are known by the kit. */
const hasOwnName = ({ scene }: Sheet, { name, kit }: Source): boolean =>
  kit === null && !scene.players.some((player) => player.name === name);

/** Beside the middle of any side, then at a corner. */
function nameOf(text: string, around: readonly Point[]): Name {
  const sides = around.map((from, i) => between(from, around[(i + 1) % around.length] as Point, 0.5));
  return { text, note: null, noteKind: '', kind: 'source', at: [...sides, ...around], reach: LEAST };
}

function disc(sheet: Sheet, { radius, points }: Source, { at, axis }: SourcePoint) {
  const place = sheet.place(at);
  const drawn = points.length > 1 ? LEAST : Math.max(LEAST, radius * sheet.perMetre);
  const level = Math.cos((tiltOf(axis) * Math.PI) / 180);
  const angle = pageAngle(bearingOf(axis));
  const tick = level < 0.3 ? [] : [away(place, angle, drawn), away(place, angle, drawn + TICK * level)];
  const svg = circle('disc', place, drawn) + circle('centre', place, 0.3);
  return {
    at: place,
    svg: tick.length > 0 ? svg + line('axis', tick) : svg,
    shapes: tick.length > 0 ? [round(place, drawn), openLine(...tick)] : [round(place, drawn)],
  };
}

/** Corners of a loudspeaker or of a section's floor; null for what a player holds. */
function outlineOf(sheet: Sheet, { points, path }: Source, { at, axis }: SourcePoint): Point[] | null {
  if (path[0] !== 'sources') return null;
  const facing = bearingOf(axis);
  if (points.length > 1) return fieldOf(sheet, points, facing);
  const size = Math.max(CABINET, LEAST_CABINET / sheet.perMetre);
  return cabinet(sheet.place(at), pageAngle(facing), size * sheet.perMetre);
}

/** Wider at its front, where the acoustic centre is. */
export function cabinet(front: Point, angle: number, size: number): Point[] {
  const corner = (forward: number, across: number): Point =>
    away(away(front, angle, forward * size), angle + Math.PI / 2, across * size);
  return [corner(0.15, -0.5), corner(0.15, 0.5), corner(-0.6, 0.32), corner(-0.6, -0.32)];
}

/** The rectangle of a section: its points stand in the middles of equal fields. */
function fieldOf(sheet: Sheet, points: readonly SourcePoint[], facing: number): Point[] {
  const turn = (facing * Math.PI) / 180;
  const forward = ({ at: [x, y] }: { at: Vec3 }) => x * Math.sin(turn) + y * Math.cos(turn);
  const right = ({ at: [x, y] }: { at: Vec3 }) => x * Math.cos(turn) - y * Math.sin(turn);
  const [back, front] = edges(points.map(forward));
  const [low, high] = edges(points.map(right));
  return [
    [front, low],
    [front, high],
    [back, high],
    [back, low],
  ].map(([f = 0, r = 0]) =>
    sheet.place([f * Math.sin(turn) + r * Math.cos(turn), f * Math.cos(turn) - r * Math.sin(turn)]),
  );
}

/** Ends of a row of equal fields, by the middles that lie in it; one alone is a metre wide. */
function edges(middles: readonly number[]): [number, number] {
  const rows = [...new Set(middles.map((m) => Math.round(m * 1e6) / 1e6))].sort((a, b) => a - b);
  const [low = 0, next = low + 1] = rows;
  const half = (next - low) / 2;
  return [low - half, (rows.at(-1) ?? low) + half];
}
