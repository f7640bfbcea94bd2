/** Bleed as lines from source to mic: heavier where louder, dashed by verdict. */

import { decibels, energyOf } from '../acoustics/bands.ts';
import { crossing, middleOf, seesWithin, span, type Vec2, type Vec3 } from '../geometry.ts';
import type { Role } from '../judge/signal-to-bleed.ts';
import { micsAsNamed } from '../judge/signal-to-bleed.ts';
import { type Verdict, verdictOf } from '../judge/verdict.ts';
import { inPassage } from '../report/words.ts';
import { type Capsule, OUTSIDE, type WallElement } from '../scene/scene.ts';
import { groupBy } from '../statistics.ts';
import { figure } from '../text.ts';
import type { Barrier, Group } from '../transfer/barrier.ts';
import { isBlocked, type PreparedPanel } from '../transfer/panel.ts';
import type { PreparedScene } from '../transfer/prepared-scene.ts';
import { type Bend, type Free, shortestPathOnPlan } from '../transfer/shortest-path.ts';
import { partitionBetween } from '../transfer/wall-crossing.ts';
import type { Canvas, Computed, Layer, Row } from './drawing.ts';
import { closedLine, nameOf, openLine, together } from './drawing.ts';
import { CAPSULE } from './people.ts';
import { area, away, between, line, named, type Point } from './svg.ts';

type BleedLine = {
  readonly row: Row;
  readonly stream: Stream;
  readonly kind: Verdict | 'own';
  /** dB that set the weight: re the mic's signal, or re the loudest there. */
  readonly weight: number;
  readonly label: string;
};

/** At so many dB below, a line is at its thinnest; at 0 dB at its heaviest. */
export const FAINTEST = -36;
const weightOf = (db: number): number => 0.3 + 1.2 * Math.min(1, Math.max(0, 1 - db / FAINTEST));

/** A line of a kind through points, as heavy as it is loud. */
export const pathMark = (kind: string, points: readonly Point[], db: number): string =>
  line(`path ${kind}`, points, { 'stroke-width': weightOf(db) });

export const bleedLines = (canvas: Canvas, lines: readonly BleedLine[]): Layer =>
  together(lines.map((one) => lineLayer(canvas, one)));

function lineLayer(canvas: Canvas, { row, stream, kind, weight, label }: BleedLine): Layer {
  const path = pathOnPlan(canvas.result.prepared, startOf(canvas, stream), endOf(canvas, row));
  const points = shortened(path.map(canvas.place));
  const barb = barbOn(points, weightOf(weight));
  const title = `${stream.name} into ${row.name}${inPassage(row.passage)}: ${label}`;
  const spots = SPOTS.map((part) => alongPath(points, part));
  return {
    svg: named('bleed', title, pathMark(kind, points, weight) + (barb ? area(`barb ${kind}`, barb) : '')),
    keepOff: [openLine(...points), ...(barb ? [closedLine(...barb)] : [])],
    names: [{ ...nameOf('level', label, spots, 0.8), noteKind: kind, listed: title }],
  };
}

/** The middle of a source, in the room of its first point. */
function startOf({ scene }: Canvas, { sources }: Stream): End {
  const points = sources.flatMap((index) => scene.sources[index]?.points ?? []);
  return { at: middleOf(points), room: points[0]?.room ?? OUTSIDE };
}

function endOf({ scene }: Canvas, row: Row): End {
  const isOf = ({ name, mic }: Capsule) => name === row.name || scene.mics[mic]?.name === row.name;
  return { at: row.at, room: scene.capsules.find(isOf)?.room ?? OUTSIDE };
}

/** Clear of the marks at both ends. */
function shortened(path: readonly Point[]): Point[] {
  const [start, second] = path as [Point, Point];
  const [end, last] = [...path].reverse() as [Point, Point];
  const trimmed = (from: Point, to: Point, by: number) =>
    between(from, to, Math.min(0.4, by / (span(from, to) || 1)));
  return [trimmed(start, second, 1), ...path.slice(1, -1), trimmed(end, last, CAPSULE + 0.5)];
}

/** An arrowhead on the last leg, if that is long enough. */
function barbOn(points: readonly Point[], weight: number): Point[] | null {
  const [last, before] = [...points].reverse() as [Point, Point];
  if (span(before, last) < 9) return null;
  const angle = Math.atan2(last[1] - before[1], last[0] - before[0]);
  const size = 1.6 + 1.5 * weight;
  const tip = between(before, last, 0.62);
  const tail = (turn: number, by: number) => away(tip, angle + turn, by);
  return [tip, tail(2.7, size), tail(Math.PI, size * 0.6), tail(-2.7, size)];
}

/** Lines converge on a mic: their labels are nearer to the source. */
const SPOTS = [0.4, 0.3, 0.22, 0.5, 0.15, 0.6, 0.7, 0.85];

function alongPath(points: readonly Point[], part: number): Point {
  const legs = points.slice(1).map((to, i) => span(points[i] as Point, to));
  let left = part * legs.reduce((sum, leg) => sum + leg, 0);
  for (const [i, leg] of legs.entries()) {
    if (left <= leg) return between(points[i] as Point, points[i + 1] as Point, leg > 0 ? left / leg : 0);
    left -= leg;
  }
  return points.at(-1) as Point;
}

type End = { readonly at: Vec3; readonly room: number };

/**
 * The path of sound to a mic on the plan, both ends included: straight, or the shortest path around obstacles. It crosses a
 * wall straight, unless an opening leads there.
 */
export function pathOnPlan(prepared: PreparedScene, source: End, mic: End): Vec2[] {
  if (source.room === mic.room) return withinRoom(prepared, source, mic);
  const { openings } = partitionBetween(prepared.scene, source, mic);
  const vias = openings.map((opening) => nearestPoint(opening, source.at, mic.at));
  const [via] = vias.sort((p, q) => detour(p, source.at, mic.at) - detour(q, source.at, mic.at));
  if (!via) return [flat(source.at), flat(mic.at)];
  const door: Vec3 = [via[0], via[1], (source.at[2] + mic.at[2]) / 2];
  const before = withinRoom(prepared, source, { at: door, room: source.room });
  return [...before.slice(0, -1), ...withinRoom(prepared, { at: door, room: mic.room }, mic)];
}

const flat = ([x, y]: Vec3): Vec2 => [x, y];
const detour = (via: Vec2, a: Vec3, b: Vec3): number => span(a, via) + span(via, b);

/** Where a path between the two meets the opening: straight through it, or past its nearer jamb, 5 cm off. */
function nearestPoint({ a, b }: WallElement, source: Vec3, mic: Vec3): Vec2 {
  const met = crossing(a, b, flat(source), flat(mic));
  const inset = Math.min(0.5, 0.05 / span(a, b));
  if (met) return between(a, b, Math.min(1 - inset, Math.max(inset, met[0])));
  const [one, other] = [between(a, b, inset), between(a, b, 1 - inset)];
  return detour(one, source, mic) <= detour(other, source, mic) ? one : other;
}

/** How far clear of an edge the line is drawn, m. */
const CLEAR = 0.06;

function withinRoom(prepared: PreparedScene, from: End, to: End): Vec2[] {
  const straight = [flat(from.at), flat(to.at)];
  const around = prepared.obstacles[from.room === OUTSIDE ? prepared.shapes.length : from.room];
  const barriers = (around?.barriers?.list ?? []).flatMap(mostly);
  const panels = barriers.flatMap((barrier) => barrier.panels);
  const outline = prepared.scene.rooms[from.room]?.outline ?? null;
  const inTheWay = panels.some((panel) => meets(panel, from.at, to.at));
  if (!inTheWay && (!outline || seesWithin(outline, flat(from.at), flat(to.at)))) return straight;
  const corners = (around?.corners?.list ?? []).map(
    ({ at, solid }): Bend => ({ at, past: beyond(at, solid), panels: [], rays: [solid] }),
  );
  const bends = [...barriers.flatMap(endsOf), ...corners];
  const free: Free = (p, q, spared) =>
    panels.every((panel) => spared.includes(panel) || !isBlocked(panel, p, q)) &&
    (!outline || seesWithin(outline, p, q));
  const trail = shortestPathOnPlan(flat(from.at), flat(to.at), bends, free);
  return trail ? [flat(from.at), ...trail.map(({ past }) => past), flat(to.at)] : straight;
}

/** The barriers of a group in the state that counts most. */
function mostly({ entries }: Group): Barrier[] {
  const most = Math.max(...entries.map(({ place }) => place.weight));
  const state = entries.find(({ place }) => place.weight === most)?.place.state;
  return entries.flatMap(({ barrier, whole, place }) =>
    barrier === whole && place.state === state ? [barrier] : [],
  );
}

const endsOf = ({ nodes, panels }: Barrier): Bend[] =>
  nodes.flatMap(({ at, solid, passable, rays, panels: meeting }) =>
    passable && solid
      ? [{ at, past: beyond(at, solid), panels: meeting.flatMap((i) => panels[i] ?? []), rays }]
      : [],
  );

const beyond = (at: Vec2, solid: Vec2): Vec2 => [at[0] - solid[0] * CLEAR, at[1] - solid[1] * CLEAR];

/** Whether the panel blocks the straight line, height included. */
function meets(panel: PreparedPanel, from: Vec3, to: Vec3): boolean {
  if (!isBlocked(panel, from, to)) return false;
  const part = crossing(flat(from), flat(to), panel.a, panel.b)?.[0] ?? 0;
  const height = from[2] + (to[2] - from[2]) * part;
  return height >= panel.low && height <= panel.high;
}

/** At most so many mics, worst first; for a clear one only bleed above this level, dB re signal. */
const MOST = 10;
const TELLING = -30;

/** The loudest bleed of each mic, smallest margins first. */
export function worstLines(computed: Computed): BleedLine[] {
  const lines = micsAsNamed(computed.report).flatMap((row) => {
    const worst = streamsAt(computed, row).find(({ role }) => role === 'bleed');
    if (!worst || worst.relative === null || row.verdict === null) return [];
    if (row.verdict === 'clear' && worst.relative < TELLING) return [];
    return [{ row, stream: worst, kind: row.verdict, weight: worst.relative, label: signed(worst.relative) }];
  });
  return lines.sort((a, b) => (a.row.margin ?? 0) - (b.row.margin ?? 0)).slice(0, MOST);
}

/** Everything that one mic picks up. */
export function allLines(computed: Computed, row: Row): BleedLine[] {
  const streams = streamsAt(computed, row);
  const loudest = Math.max(...streams.map(({ level }) => level));
  return streams.map((stream) => ({
    row,
    stream,
    kind: stream.role === 'signal' ? 'own' : aloneAgainst(row, stream),
    weight: stream.relative ?? stream.level - loudest,
    label: labelOf(stream),
  }));
}

function labelOf({ role, relative, level }: Stream): string {
  if (relative === null) return `${figure(level, 0)} dB`;
  return role === 'signal' ? `signal, ${figure(level, 0)} dB` : signed(relative);
}

/** The verdict if this were the only bleed. */
const aloneAgainst = ({ limit }: Row, { relative }: Stream): Verdict =>
  verdictOf(-(relative ?? Number.NEGATIVE_INFINITY) - (limit ?? 0));

const signed = (db: number): string => `${db >= 0.5 ? '+' : ''}${figure(db, 0).replace('-', '−')} dB`;

/** A player, a loudspeaker or a whole kit. */
type Stream = {
  readonly name: string;
  readonly role: Role;
  readonly sources: readonly number[];
  /** Level in the octaves the mic is judged in, after its filters, dB. */
  readonly level: number;
  /** The same re the mic's signal, dB; null where it has none. */
  readonly relative: number | null;
};

/** What a mic picks up, loudest first: signal and bleed in the passage it is judged in. */
function streamsAt({ scene }: Computed, row: Row): Stream[] {
  const heard = row.levels.flatMap((level, source) =>
    !COUNTED.includes(level.role) || level.judgedLevel === null
      ? []
      : [{ level, source, db: level.judgedLevel }],
  );
  const own = row.purpose === 'parts' ? sumOf(heard.filter(({ level }) => level.role === 'signal')) : null;
  const nameIn = (source: number) => scene.sources[source]?.kit ?? scene.sources[source]?.name;
  const streams = groupBy(heard, ({ level, source }) => `${level.role} ${nameIn(source)}`);
  return [...streams.values()]
    .map((mine): Stream => {
      const level = sumOf(mine) ?? Number.NEGATIVE_INFINITY;
      const first = mine[0] as (typeof mine)[number];
      const { role, source } = first.level;
      return {
        name: scene.sources[first.source]?.kit ?? source,
        role,
        sources: mine.map((one) => one.source),
        level,
        relative: own === null ? null : level - own,
      };
    })
    .sort((a, b) => b.level - a.level);
}

const COUNTED: readonly Role[] = ['signal', 'bleed'];

function sumOf(heard: readonly { readonly db: number }[]): number | null {
  const sum = heard.reduce((total, { db }) => total + energyOf(db), 0);
  return sum > 0 ? decibels(sum) : null;
}
