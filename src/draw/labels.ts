/** Placing of names: each tries many places around its mark, nearest first, and takes the cheapest free one; far ones get a leader. */
import { distanceToSegment, holds, orientation, span } from '../geometry.ts';
import type { Name, Shape } from './drawing.ts';
import type { Box, Point } from './svg.ts';
import { away, between, boxAround, boxAt, line, overlap, SIZES, text, textWidth, within } from './svg.ts';

/** Order of placing: least choice first. */
const ORDER = ['player', 'mic', 'source', 'baffle', 'level', 'wall', 'room', 'contour'];

type PlacedName = {
  readonly name: Name;
  readonly box: Box;
  /** From the mark to the name; null if they are close. */
  readonly leader: readonly [Point, Point] | null;
};

/** If space is short for all, mics go without their verdicts. */
export function placeNames(names: readonly Name[], shapes: readonly Shape[], frame: Box) {
  const whole = placeAll(names, clearance(shapes, frame));
  if (whole.missed.every(({ kind }) => kind === 'contour')) return whole;
  const bare = names.map((name) => (name.kind === 'mic' ? { ...name, note: null } : name));
  return placeAll(bare, clearance(shapes, frame));
}

/** `missed` are those that found no place in the frame. */
function placeAll(names: readonly Name[], clear: Clear) {
  const placed: PlacedName[] = [];
  const missed: Name[] = [];
  for (const name of names.toSorted((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind))) {
    const found = placeFor(name, clear);
    if (found) {
      placed.push(found);
      clear.take(found);
    } else missed.push(name);
  }
  return { placed, missed };
}

/** Distances from the mark's rim, mm; farther than `BESIDE` a name gets a leader. */
const RINGS = [0.5, 1.4, 2.4, ...Array.from({ length: 24 }, (_, i) => 3.5 + 1.3 * i + 0.06 * i * i)];
const BESIDE = 1.5;
/** Sixteenths of a circle: to the right first, then left, above, below, then between. */
const TURNS = [0, 8, 12, 4, 15, 1, 7, 9, 13, 11, 3, 5, 14, 2, 10, 6];
/** Costs besides the distance, mm: per later direction and anchor, for a leader, per line it crosses, for covering a soft line. */
const COST = { turn: 0.08, spot: 0.6, leader: 1, crossing: 2.5, soft: 3 } as const;

/** A room's name goes on the floor, a contour's level on its line; all others beside their mark. */
function placeFor(name: Name, clear: Clear): PlacedName | null {
  const lying = ['room', 'contour'].includes(name.kind) ? onPlace(name, clear) : null;
  return name.kind === 'contour' ? lying : (lying ?? aside(name, clear));
}

/** The first free place. */
function onPlace(name: Name, clear: Clear): PlacedName | null {
  const [width, height] = boxSize(name);
  const free = name.at.map((at) => boxAt(at, width, height)).filter(clear.isFree);
  const box = free.find((one) => !clear.isSoft(one)) ?? free[0];
  return box ? { name, box, leader: null } : null;
}

function aside(name: Name, clear: Clear): PlacedName | null {
  let best: { readonly cost: number; readonly place: PlacedName } | null = null;
  for (const ring of RINGS) {
    if (best && ring >= best.cost) break;
    for (const [spot, at] of name.at.entries()) {
      for (const [rank, turn] of TURNS.entries()) {
        const base = ring + rank * COST.turn + spot * COST.spot;
        if (best && base >= best.cost) break;
        const place = beside(name, at, (turn * Math.PI) / 8, ring);
        const cost = costOf(place, base, clear);
        if (cost !== null && (!best || cost < best.cost)) best = { cost, place };
      }
    }
  }
  return best?.place ?? null;
}

/** The name's box at a distance from the mark in a direction, its nearest side or corner toward the mark. */
function beside(name: Name, at: Point, angle: number, ring: number): PlacedName {
  const [width, height] = boxSize(name);
  const [x, y] = away(at, angle, name.reach + ring);
  const lean = (value: number): number => Math.min(1, Math.max(-1, value * 1.5));
  const middle: Point = [x + (lean(Math.cos(angle)) * width) / 2, y + (lean(Math.sin(angle)) * height) / 2];
  const box = boxAt(middle, width, height);
  const nearest = (value: number, low: number, high: number) => Math.min(high, Math.max(low, value));
  const end: Point = [nearest(at[0], box.left, box.right), nearest(at[1], box.top, box.bottom)];
  const start = away(at, Math.atan2(end[1] - at[1], end[0] - at[0]), name.reach);
  return { name, box, leader: span(start, end) > BESIDE ? [start, end] : null };
}

/** Null if the name would cover something, or its leader a name. */
function costOf({ box, leader }: PlacedName, base: number, clear: Clear): number | null {
  if (!clear.isFree(box)) return null;
  const beside = base + (clear.isSoft(box) ? COST.soft : 0);
  if (!leader) return beside;
  const crossings = clear.crossings(leader);
  return crossings === null ? null : beside + COST.leader + crossings * COST.crossing;
}

/** Baseline below the middle of a line, in sizes; names are centred, so scripts written from the right fit too. */
const FOOT = 0.35;

export function nameMarks({ name, box, leader }: PlacedName): string {
  const middle = (box.left + box.right) / 2;
  const size = sizeOf(name.kind);
  const notePart = name.note === null ? 0 : SIZES.note * PITCH;
  const first = (box.top + box.bottom - notePart) / 2 + FOOT * size;
  const second = (box.top + box.bottom + size * PITCH) / 2 + FOOT * SIZES.note;
  const small = `label small ${name.noteKind}`;
  const own = written(name.kind === 'level' ? small : `label ${name.kind}`, name.text, [middle, first]);
  const note = name.note === null ? '' : written(small, name.note, [middle, second]);
  return `${leader ? line('leader', leader) : ''}${own}${note}\n`;
}

/** Letters of scripts written from right to left. */
const LEFTWARD = /^[^\p{L}]*[\p{sc=Hebr}\p{sc=Arab}\p{sc=Syrc}\p{sc=Thaa}\p{sc=Nkoo}\p{sc=Adlm}]/u;

const written = (kind: string, content: string, at: Point): string =>
  text(kind, content, at, LEFTWARD.test(content) ? { direction: 'rtl' } : {});

/** Line pitch over size, and air on each side of a name, mm. */
const PITCH = 1.22;
const AIR = 0.35;

function boxSize({ text, note, kind }: Name): readonly [number, number] {
  const size = sizeOf(kind);
  const noteWidth = note === null ? 0 : textWidth(note, SIZES.note);
  const height = size * PITCH + (note === null ? 0 : SIZES.note * PITCH);
  return [Math.max(textWidth(text, size), noteWidth) + 2 * AIR, height + 2 * AIR];
}

const sizeOf = (kind: Name['kind']): number =>
  ['level', 'wall', 'contour'].includes(kind) ? SIZES.note : SIZES.name;

type Piece = { readonly a: Point; readonly b: Point; readonly box: Box };
const pieceOf = (a: Point, b: Point): Piece => ({ a, b, box: boxAround([a, b]) });
type Clear = ReturnType<typeof clearance>;

/** Free space for names, and what a leader would cross. */
function clearance(shapes: readonly Shape[], frame: Box) {
  const hard = shapes.filter(({ soft }) => !soft);
  const pieces = hard.flatMap(piecesOf);
  const softPieces = shapes.filter(({ soft }) => soft).flatMap(piecesOf);
  const areas = hard.filter(({ closed }) => closed).map(({ points }) => ({ points, box: boxAround(points) }));
  const boxes: Box[] = [];
  const leaders: Piece[] = [];
  const isOn = (box: Box, piece: Piece) => overlap(box, piece.box, 1e-6) && meetsBox(box, piece);
  return {
    isFree: (box: Box): boolean =>
      within(box, frame) &&
      !boxes.some((other) => overlap(box, other)) &&
      !leaders.some((piece) => isOn(box, piece)) &&
      !pieces.some((piece) => isOn(box, piece)) &&
      !areas.some((area) => overlap(box, area.box) && holds(area.points, box.left, box.top)),
    /** Whether a soft line runs through the box. */
    isSoft: (box: Box): boolean => softPieces.some((piece) => isOn(box, piece)),
    /** Lines of the drawing that a leader crosses; null where it would cross a name or another leader. */
    crossings: (leader: readonly [Point, Point]): number | null => {
      const piece = pieceOf(...leader);
      if (boxes.some((box) => isOn(box, piece)) || leaders.some((other) => cross(piece, other))) return null;
      return pieces.filter((other) => cross(piece, other) || runsAlong(other, piece)).length;
    },
    take: ({ box, leader }: PlacedName): void => {
      boxes.push(box);
      if (leader) leaders.push(pieceOf(...leader));
    },
  };
}

function piecesOf({ points, closed }: Shape): Piece[] {
  const ends = closed ? [...points.slice(1), points[0] as Point] : points.slice(1);
  return ends.map((b, i) => pieceOf(points[i] as Point, b));
}

/** Liang and Barsky: the part of the line within the box's four sides. */
function meetsBox(box: Box, { a, b }: Piece): boolean {
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

const cross = (p: Piece, q: Piece): boolean =>
  overlap(p.box, q.box, 2e-6) &&
  orientation(p.a, p.b, q.a) * orientation(p.a, p.b, q.b) < 0 &&
  orientation(q.a, q.b, p.a) * orientation(q.a, q.b, p.b) < 0;

/** A leader closer than this to a line over half its length would be lost, mm. */
const LOST = 0.7;

function runsAlong({ a, b, box }: Piece, leader: Piece): boolean {
  if (!overlap(box, leader.box, LOST)) return false;
  const points = [0.35, 0.65, 0.9].map((part) => between(leader.a, leader.b, part));
  return points.filter((point) => distanceToSegment(point, a, b) < LOST).length > 1;
}
