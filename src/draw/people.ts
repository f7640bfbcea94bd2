/** People, sources and mics. */
import { planeResponse } from '../acoustics/directivity.ts';
import { bearingOf, direction, dot, RADIANS, span, tiltOf } from '../geometry.ts';
import { micVerdict } from '../report/words.ts';
import type { Capsule, Mic, Player, Source, SourcePoint } from '../scene/scene.ts';
import { rounded } from '../statistics.ts';
import { type Canvas, closedLine, type Layer, nameOf, openLine, round, together } from './drawing.ts';
import { area, away, between, circle, line, named, type Point, pageAngle } from './svg.ts';

/** Radius of a body, m, and its smallest and largest drawn radius, mm. */
const BODY = 0.16;
const LEAST = 1.7;
const MOST = 3;
/** Distance of the drop's point and of the backrest, in radii. */
const TIP = 1.95;
const REST = 1.5;

export function people(canvas: Canvas): Layer {
  const radius = Math.min(MOST, Math.max(LEAST, BODY * canvas.perMetre));
  return together(canvas.scene.players.map((player) => personLayer(canvas, player, radius)));
}

function personLayer(canvas: Canvas, player: Player, radius: number): Layer {
  const at = canvas.place(player.at);
  const angle = pageAngle(player.facing);
  const svg = personMarks(at, angle, radius, player);
  return {
    svg: named(player.listener ? 'listener' : 'player', player.name, svg),
    keepOff: [
      closedLine(...drop(at, angle, radius)),
      ...(player.standing ? [] : [openLine(...backRest(at, angle, radius))]),
    ],
    names: [nameOf('player', player.name, [at], radius * REST)],
  };
}

export type Posture = Pick<Player, 'standing' | 'listener'>;

export function personMarks(at: Point, angle: number, radius: number, posture: Posture): string {
  const { standing, listener } = posture;
  const body = listener ? 'body listening' : standing ? 'body standing' : 'body seated';
  const rest = standing ? '' : line('rest', backRest(at, angle, radius));
  return area(body, drop(at, angle, radius)) + rest;
}

/** A circle with two tangents that meet at the point. */
function drop(at: Point, angle: number, radius: number): Point[] {
  const from = Math.acos(1 / TIP);
  const turn = (i: number) => angle + from + ((2 * Math.PI - 2 * from) * i) / 20;
  return [away(at, angle, TIP * radius), ...Array.from({ length: 21 }, (_, i) => away(at, turn(i), radius))];
}

function backRest(at: Point, angle: number, radius: number): Point[] {
  return Array.from({ length: 9 }, (_, i) => away(at, angle + Math.PI + ((i - 4) / 4) * 0.8, REST * radius));
}

/** An acoustic centre is a disc to scale with a tick along its axis. Smallest radius, and length of the tick, mm. */
const LEAST_SOURCE = 0.6;
const TICK = 1.5;
/** Width and depth of a cabinet, m, which the plan does not give, and the smallest drawn, mm. */
const CABINET = 0.4;
const LEAST_CABINET = 4.5;

export const sources = (canvas: Canvas): Layer =>
  together(canvas.scene.sources.map((source) => sourceLayer(canvas, source)));

function sourceLayer(canvas: Canvas, source: Source): Layer {
  const { points, name, kit } = source;
  const [first] = points;
  if (!first) return { svg: '', keepOff: [] };
  const discs = together(points.map((point) => disc(canvas, source, point)));
  const around = outlineOf(canvas, source, first);
  const field = around ? area(points.length > 1 ? 'section' : 'cabinet', around) : '';
  // a player's only instrument has the player's name, and pieces of a kit have the kit's
  const isNamed = kit === null && !canvas.scene.players.some((player) => player.name === name);
  const corners = around ?? [canvas.place(first.at)];
  const sides = corners.map((from, i) => between(from, corners[(i + 1) % corners.length] as Point, 0.5));
  return {
    svg: named('source', name, field + discs.svg),
    keepOff: [...discs.keepOff, ...(around ? [closedLine(...around)] : [])],
    names: isNamed ? [nameOf('source', name, [...sides, ...corners], LEAST_SOURCE)] : [],
  };
}

function disc(canvas: Canvas, { radius, points }: Source, { at, axis }: SourcePoint): Layer {
  const place = canvas.place(at);
  const drawn = points.length > 1 ? LEAST_SOURCE : Math.max(LEAST_SOURCE, radius * canvas.perMetre);
  const level = Math.cos(tiltOf(axis) * RADIANS);
  const angle = pageAngle(bearingOf(axis));
  const svg = circle('disc', place, drawn) + circle('centre', place, 0.3);
  const body = round(place, drawn);
  if (level < 0.3) return { svg, keepOff: [body] };
  const tick = [away(place, angle, drawn), away(place, angle, drawn + TICK * level)];
  return { svg: svg + line('axis', tick), keepOff: [body, openLine(...tick)] };
}

/** Corners of a loudspeaker or section; null for an instrument with a player. */
function outlineOf(canvas: Canvas, { points, path }: Source, { at, axis }: SourcePoint): Point[] | null {
  if (path[0] !== 'sources') return null;
  const facing = bearingOf(axis);
  if (points.length > 1) return fieldOf(canvas, points, facing);
  const size = Math.max(CABINET, LEAST_CABINET / canvas.perMetre);
  return cabinet(canvas.place(at), pageAngle(facing), size * canvas.perMetre);
}

/** Wider at the front, where the acoustic centre is. */
export function cabinet(front: Point, angle: number, size: number): Point[] {
  const corner = (forward: number, across: number): Point =>
    away(away(front, angle, forward * size), angle + Math.PI / 2, across * size);
  return [corner(0.15, -0.5), corner(0.15, 0.5), corner(-0.6, 0.32), corner(-0.6, -0.32)];
}

/** The rectangle of a section: its points are the middles of equal fields. */
function fieldOf(canvas: Canvas, points: readonly SourcePoint[], facing: number): Point[] {
  const [sin, cos] = [Math.sin(facing * RADIANS), Math.cos(facing * RADIANS)];
  const [back, front] = edges(points.map(({ at: [x, y] }) => x * sin + y * cos));
  const [low, high] = edges(points.map(({ at: [x, y] }) => x * cos - y * sin));
  const corner = (f: number, r: number) => canvas.place([f * sin + r * cos, f * cos - r * sin]);
  return [corner(front, low), corner(front, high), corner(back, high), corner(back, low)];
}

/** Ends of a row of equal fields, from their middles; a single one is a metre wide. */
function edges(middles: readonly number[]): [number, number] {
  const rows = [...new Set(middles.map((m) => rounded(m, 6)))].sort((a, b) => a - b);
  const [low = 0, next = low + 1] = rows;
  const half = (next - low) / 2;
  return [low - half, (rows.at(-1) ?? low) + half];
}

export const CAPSULE = 0.7;
/** Radius of 0 dB: for a mic shown alone, for others, and the least for close ones, mm. */
const ALONE = 14;
const WIDEST = 8;
const LEAST_MIC = 3.2;

/** `only` is the one mic drawn with its pattern, or null for all. */
export const mics = (canvas: Canvas, only: string | null): Layer =>
  together(canvas.scene.mics.filter(({ line: isLine }) => !isLine).map((mic) => micLayer(canvas, mic, only)));

function micLayer(canvas: Canvas, { name, capsules }: Mic, only: string | null): Layer {
  const { scene, report, place } = canvas;
  const ownView = only === null || only === name;
  const own = capsules.flatMap((index) => scene.capsules[index] ?? []);
  const zeroOf = (capsule: Capsule) => (ownView ? zeroAt(canvas, capsule, only) : null);
  const drawn = together(own.map((capsule) => capsuleLayer(canvas, capsule, zeroOf(capsule))));
  const places = own.map(({ at }) => place(at));
  const bar = places.length > 1 ? line('pair', places) : '';
  const middle = between(places[0] as Point, places.at(-1) as Point, 0.5);
  const row = ownView ? [...report.pairs, ...report.mics].find((one) => one.name === name) : undefined;
  const verdict = row ? { note: micVerdict(row), noteKind: row.verdict ?? 'faint' } : {};
  return {
    svg: named(ownView ? 'mic' : 'mic aside', name, bar + drawn.svg),
    keepOff: [...drawn.keepOff, openLine(...places)],
    names: [{ ...nameOf('mic', name, [middle, ...places], CAPSULE), ...verdict }],
  };
}

/** `zero` is the radius of 0 dB; null without a pattern. */
function capsuleLayer(canvas: Canvas, capsule: Capsule, zero: number | null): Layer {
  const at = canvas.place(capsule.at);
  const dot = circle('capsule', at, CAPSULE);
  if (zero === null) return { svg: dot, keepOff: [round(at, CAPSULE)] };
  const reach = (bearing: number) => zero * responseTo(capsule, bearing, canvas.band);
  const bearings = Array.from({ length: 360 / STEP }, (_, i) => i * STEP);
  const curve = bearings.map((bearing) => away(at, pageAngle(bearing), reach(bearing)));
  const aim = aimMark(capsule, at, zero);
  const keepOff = [closedLine(...curve), round(at, CAPSULE), ...aim.keepOff];
  return { svg: area('pattern', curve) + aim.svg + dot, keepOff };
}

/** Small enough that close mics do not hide each other; a mic shown alone is drawn large. */
function zeroAt({ scene, perMetre }: Canvas, capsule: Capsule, only: string | null): number {
  if (only !== null) return ALONE;
  const others = scene.capsules.filter(({ mic }) => mic !== capsule.mic);
  const nearest = Math.min(...others.map(({ at }) => span(at, capsule.at) * perMetre));
  return Math.max(LEAST_MIC, Math.min(WIDEST, 0.48 * nearest));
}

/** A tick to 0 dB on axis, shortened by tilt; a ring for a mic aimed steeply up, a ring with a cross for steeply down. */
function aimMark({ aim }: Capsule, at: Point, reach: number): Layer {
  const tilt = tiltOf(aim);
  return Math.abs(tilt) > 75
    ? upright(at, tilt > 0)
    : arrow(at, pageAngle(bearingOf(aim)), reach * Math.cos(tilt * RADIANS));
}

export function arrow(at: Point, angle: number, reach: number): Layer {
  const tip = away(at, angle, reach);
  const head = [away(tip, angle + 2.6, 1.1), tip, away(tip, angle - 2.6, 1.1)];
  return { svg: line('aim', [at, tip]) + line('aim', head), keepOff: [openLine(at, tip), openLine(...head)] };
}

function upright(at: Point, up: boolean): Layer {
  const cross = [Math.PI / 4, (3 * Math.PI) / 4].map((angle) =>
    line('aim', [away(at, angle, 1.5), away(at, angle + Math.PI, 1.5)]),
  );
  return { svg: circle('aim', at, 1.5) + (up ? '' : cross.join('')), keepOff: [round(at, 1.5)] };
}

/** Step of a drawn pattern, degrees. */
const STEP = 3;

/** Pressure re on axis for level sound from a bearing, in one band, far enough off to come as a plane wave. */
function responseTo(capsule: Capsule, bearing: number, band: number): number {
  const { pattern, nullFloor, aim } = capsule;
  const cos = dot(direction(bearing), aim);
  return Math.sqrt(Math.max(0, planeResponse(pattern, nullFloor, band, cos)));
}
