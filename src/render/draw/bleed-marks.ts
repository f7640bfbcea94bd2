/** Bleed as lines from where it sounds to where it is heard: the heavier, the louder; dashed by what becomes of it. */
import { OUTSIDE } from '../../scene/scene.ts';
import type { BleedLine } from './bleed-lines.ts';
import { closedLine, type Layer, type Name, openLine, together } from './layer.ts';
import { area, mark, named, trace } from './mark.ts';
import { CAPSULE } from './mics.ts';
import { away, between, type Point, span } from './plane.ts';
import type { Sheet } from './sheet.ts';
import type { Row, Stream } from './streams.ts';
import { type End, wayOnPlan } from './way-on-plan.ts';

/** At so many dB below, a line is at its thinnest; at 0 dB at its heaviest. */
export const FAINTEST = -36;
const THIN = 0.3;
const HEAVY = 1.5;
export const weightOf = (db: number): number =>
  THIN + (HEAVY - THIN) * Math.min(1, Math.max(0, 1 - db / FAINTEST));

export const bleedLines = (sheet: Sheet, lines: readonly BleedLine[]): Layer =>
  together(lines.map((one) => lineLayer(sheet, one)));

function lineLayer(sheet: Sheet, { row, stream, kind, weight, label }: BleedLine): Layer {
  const way = wayOnPlan(sheet.result.stage, startOf(sheet, stream), endOf(sheet, row)).map(sheet.place);
  const points = shortened(way);
  const stroke = mark('path', { class: `way ${kind}`, d: trace(points), 'stroke-width': weightOf(weight) });
  const barb = barbOn(points, weightOf(weight));
  const title = `${stream.name} into ${row.name}: ${label}`;
  return {
    svg: named('bleed', title, barb ? stroke + area(`barb ${kind}`, barb) : stroke),
    keepOff: barb ? [openLine(...points), closedLine(...barb)] : [openLine(...points)],
    names: [{ ...nameOf(label, points, kind), listed: title }],
  };
}

/** The middle of what sounds, in the room of its first point. */
function startOf({ scene }: Sheet, { sources }: Stream): End {
  const points = sources.flatMap((index) => scene.sources[index]?.points ?? []);
  const mean = (axis: 0 | 1 | 2): number => points.reduce((sum, { at }) => sum + at[axis], 0) / points.length;
  return { at: [mean(0), mean(1), mean(2)], room: points[0]?.room ?? OUTSIDE };
}

function endOf({ scene }: Sheet, row: Row): End {
  const capsule = scene.capsules.find(
    ({ name, mic }) => name === row.name || scene.mics[mic]?.name === row.name,
  );
  return { at: row.at, room: capsule?.room ?? OUTSIDE };
}

/** Kept off the marks at both ends. */
function shortened(way: readonly Point[]): Point[] {
  const [start, second] = way as [Point, Point];
  const [end, last] = [...way].reverse() as [Point, Point];
  const trimmed = (from: Point, to: Point, by: number) =>
    between(from, to, Math.min(0.4, by / (span(from, to) || 1)));
  return [trimmed(start, second, 1), ...way.slice(1, -1), trimmed(end, last, CAPSULE + 0.5)];
}

const LEAST_FOR_BARB = 9;

/** A barb on the last stretch, where it is long enough to carry one. */
function barbOn(points: readonly Point[], weight: number): Point[] | null {
  const [last, before] = [...points].reverse() as [Point, Point];
  if (span(before, last) < LEAST_FOR_BARB) return null;
  const angle = Math.atan2(last[1] - before[1], last[0] - before[0]);
  const size = 1.6 + 1.5 * weight;
  const tip = between(before, last, 0.62);
  return [
    tip,
    away(tip, angle + 2.7, size),
    away(tip, angle + Math.PI, size * 0.6),
    away(tip, angle - 2.7, size),
  ];
}

/** Lines run together toward a microphone: their figures stand nearer to where they come from. */
const SPOTS = [0.4, 0.3, 0.22, 0.5, 0.15, 0.6, 0.7, 0.85];

function nameOf(text: string, points: readonly Point[], kind: string): Name {
  const at = SPOTS.map((part) => alongWay(points, part));
  return { text, note: null, noteKind: kind, kind: 'figure', at, reach: 0.8 };
}

function alongWay(points: readonly Point[], part: number): Point {
  const legs = points.slice(1).map((to, i) => span(points[i] as Point, to));
  let left = part * legs.reduce((sum, leg) => sum + leg, 0);
  for (const [i, leg] of legs.entries()) {
    if (left <= leg) return between(points[i] as Point, points[i + 1] as Point, leg > 0 ? left / leg : 0);
    left -= leg;
  }
  return points.at(-1) as Point;
}
