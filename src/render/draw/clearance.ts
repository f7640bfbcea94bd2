/** What of the page is still free for names, and what a leader would cross. */
import type { Shape } from './layer.ts';
import { type Box, between, boxAround, grown, overlap, type Point, span, within } from './plane.ts';

export type Leader = readonly [Point, Point];

export type Clear = {
  readonly isFree: (box: Box) => boolean;
  /** Whether a soft line runs through the box. */
  readonly isSoft: (box: Box) => boolean;
  /** Lines of the drawing that a leader crosses; null where it would cross a name or another leader. */
  readonly crossings: (leader: Leader) => number | null;
  readonly take: (box: Box, leader: Leader | null) => void;
};

type Piece = { readonly a: Point; readonly b: Point; readonly box: Box };

export function clearance(shapes: readonly Shape[], frame: Box): Clear {
  const hard = shapes.filter(({ soft }) => !soft);
  const pieces = hard.flatMap(piecesOf);
  const softPieces = shapes.filter(({ soft }) => soft).flatMap(piecesOf);
  const areas = hard.filter(({ closed }) => closed).map(({ points }) => ({ points, box: boxAround(points) }));
  const boxes: Box[] = [];
  const leaders: Piece[] = [];
  const isOn = (box: Box, piece: Piece) => overlap(box, grown(piece.box, 1e-6)) && meetsBox(box, piece);
  return {
    isFree: (box) =>
      within(box, frame) &&
      !boxes.some((other) => overlap(box, other)) &&
      !leaders.some((piece) => isOn(box, piece)) &&
      !pieces.some((piece) => isOn(box, piece)) &&
      !areas.some((area) => overlap(box, area.box) && holdsPoint(area.points, [box.left, box.top])),
    isSoft: (box) => softPieces.some((piece) => isOn(box, piece)),
    crossings: ([a, b]) => {
      const piece = { a, b, box: boxAround([a, b]) };
      if (boxes.some((box) => isOn(box, piece)) || leaders.some((other) => cross(piece, other))) return null;
      return pieces.filter((other) => cross(piece, other) || runsAlong(other, piece)).length;
    },
    take: (box, leader) => {
      boxes.push(box);
      if (leader) leaders.push({ a: leader[0], b: leader[1], box: boxAround(leader) });
    },
  };
}

function piecesOf({ points, closed }: Shape): Piece[] {
  const ends = closed ? [...points.slice(1), points[0] as Point] : points.slice(1);
  return ends.map((b, i) => {
    const a = points[i] as Point;
    return { a, b, box: boxAround([a, b]) };
  });
}

/** Liang and Barsky: what of the stretch lies between the box's four sides. */
export function meetsBox(box: Box, { a, b }: Pick<Piece, 'a' | 'b'>): boolean {
  let [from, to] = [0, 1];
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const sides = [
    [-dx, a[0] - box.left],
    [dx, box.right - a[0]],
    [-dy, a[1] - box.top],
    [dy, box.bottom - a[1]],
  ] as const;
  for (const [slope, room] of sides) {
    if (slope === 0 && room < 0) return false;
    if (slope < 0) from = Math.max(from, room / slope);
    if (slope > 0) to = Math.min(to, room / slope);
  }
  return from <= to;
}

function cross(p: Piece, q: Piece): boolean {
  if (!overlap(grown(p.box, 1e-6), grown(q.box, 1e-6))) return false;
  return turn(p.a, p.b, q.a) * turn(p.a, p.b, q.b) < 0 && turn(q.a, q.b, p.a) * turn(q.a, q.b, p.b) < 0;
}

/** Nearer than this to a line over half its length, a leader is lost on it, mm. */
const LOST = 0.7;

function runsAlong(line: Piece, leader: Piece): boolean {
  if (!overlap(line.box, grown(leader.box, LOST))) return false;
  return (
    [0.35, 0.65, 0.9].filter((part) => distanceTo(line, between(leader.a, leader.b, part)) < LOST).length > 1
  );
}

function distanceTo({ a, b }: Piece, p: Point): number {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const size = dx * dx + dy * dy;
  const part = size > 0 ? Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / size)) : 0;
  return span(p, between(a, b, part));
}

const turn = (a: Point, b: Point, c: Point): number =>
  (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

export function holdsPoint(points: readonly Point[], [x, y]: Point): boolean {
  let inside = false;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const [ax, ay] = points[i] as Point;
    const [bx, by] = points[j] as Point;
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
  }
  return inside;
}
