/** Partitions: the boundary each stands on, what it is made of, and what of it stands open. */
import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { compositeTransmission } from '../acoustics/room-acoustics.ts';
import type { Path } from '../finding.ts';
import { distanceToSegment, span } from '../geometry.ts';
import type { LeafEntry, OpeningEntry, PartitionEntry } from '../plan/rooms.ts';
import { type Lengths, lengthsIn } from '../plan/units.ts';
import type { Context, RoomPlace } from './context.ts';
import { type Made, madeOf, wallTau } from './materials.ts';
import type { WallPiece, WallSpot } from './room-places.ts';
import { boundary, FURTHEST_FROM_WALL, onWall, outerWalls, THICKEST_WALL, TOUCH } from './room-places.ts';
import { OUTSIDE, type Partition, type WallElement, wallArea } from './scene.ts';

export type FacedPartition = Omit<Partition, 'elements'> & { readonly elements: readonly FacedElement[] };

/** Every partition that is whole; rooms that touch without one are errors. */
export function resolvePartitions(context: Context): FacedPartition[] {
  const taken = new Map<string, string>();
  const partitions = [...context.plan.partitions].flatMap(([name, entry]) => {
    const rooms = roomsBetween(context, name, entry);
    if (!rooms) return [];
    const pair = pairKey(...rooms);
    const earlier = taken.get(pair);
    taken.set(pair, name);
    if (earlier === undefined) return partitionOf(context, name, rooms) ?? [];
    const message = `${entry.between.join(' and ')} are already separated by ${earlier}`;
    const path = ['partitions', name, 'between'];
    return context.notes.fault('BAD_NAME', path, message, 'write one partition per pair of rooms') ?? [];
  });
  noteBareBoundaries(context, taken);
  return partitions;
}

type Pair = readonly [number, number];

/** The two rooms, the outside last. */
function roomsBetween({ places, notes }: Context, name: string, { between }: PartitionEntry): Pair | null {
  const known = ['outside', ...places.rooms.map((room) => room.name)];
  const [first, second] = between.map((room, i) => {
    if (room === 'outside') return OUTSIDE;
    const index = places.rooms.findIndex((one) => one.name === room);
    if (index >= 0) return index;
    return notes.unknown(known, room, 'room', ['partitions', name, 'between', i]);
  });
  if (first == null || second == null || first === second) return null;
  return first === OUTSIDE ? [second, first] : [first, second];
}

function partitionOf(context: Context, name: string, rooms: Pair): FacedPartition | null {
  const path = ['partitions', name];
  const entry = context.plan.partitions.get(name) as PartitionEntry;
  const all = context.places.rooms;
  const pieces = rooms[1] === OUTSIDE ? outerWalls(all, rooms[0]) : boundary(all, rooms[0], rooms[1]);
  const roof = roofBetween(all, rooms);
  const elements = wallElements(context, entry, pieces, path);
  const wall = wallTau(context, entry.wall, [...path, 'wall']);
  const area = entry.area ?? pieces.reduce((sum, piece) => sum + wallArea(piece), roof?.area ?? 0);
  if (area <= 0) return refuseApart(context, entry, path);
  const held = elements.reduce((sum, element) => sum + element.area, 0);
  if (held > area + 1e-6) return refuseFull(context, entry, path, held);
  if (!wall) return null;
  const tau = compositeTransmission([{ area: Math.max(0, area - held), tau: wall }, ...elements]);
  const stretches = pieces.map(({ a, b, low, high }) => ({ a, b, low, high }));
  return { name, path, rooms, stretches, roof, area, wall, elements, tau };
}

/** Roof of a booth toward its host, unless the host's ceiling is as near as makes none. */
function roofBetween(rooms: readonly RoomPlace[], [i, j]: Pair) {
  const index = rooms[i]?.host === j ? i : j;
  const booth = rooms[index];
  if (!booth || booth.host === null || booth.host !== (index === i ? j : i)) return null;
  const under = (rooms[booth.host] as RoomPlace).ceiling - booth.ceiling;
  return under <= TOUCH ? null : { outline: booth.outline, height: booth.ceiling, area: booth.area };
}

function refuseApart({ plan, notes }: Context, { between }: PartitionEntry, path: Path): null {
  const [first, second] = between;
  const outside = between.includes('outside');
  const message = outside
    ? `${first === 'outside' ? second : first} has no wall to the outside`
    : `${first} and ${second} share no wall: none face each other within ${lengthsIn(plan.units).close(THICKEST_WALL)}`;
  return notes.misplaced([...path, 'between'], message, 'give its `area`, or remove the partition');
}

function refuseFull({ notes }: Context, { area }: PartitionEntry, path: Path, held: number): null {
  const message = `doors, windows and openings of ${held.toFixed(2)} m² do not fit in this wall`;
  const where = area === undefined ? path : [...path, 'area'];
  return notes.fault('OUT_OF_RANGE', where, message, 'make them smaller, or correct the wall');
}

/** An element with the absorption of its face, and the area it takes of the wall: a leaf ajar without its slit. */
export type FacedElement = WallElement & { readonly alpha: Bands; readonly area: number };
/** An ajar door is open by this much over the leaf's height, m. */
export const SLIT = 0.05;

/** Those that fit; the others, and those that overlap an earlier one, are errors. */
function wallElements(
  context: Context,
  entry: PartitionEntry,
  pieces: readonly WallPiece[],
  path: Path,
): FacedElement[] {
  const placed: Placed[] = [];
  return writtenElements(entry, path).flatMap((written) => {
    const place = placeOf(context, written, pieces);
    if (!place) return [];
    const other = placed.find((earlier) => overlap(earlier, place));
    if (other) return refuse(context, written, `overlaps the ${other.written.name} in the same wall`) ?? [];
    placed.push(place);
    return facesOf(context, place);
  });
}

function writtenElements(entry: PartitionEntry, path: Path): Written[] {
  const list = (kind: Kind, entries: readonly OpeningEntry[]): Written[] =>
    entries.map((one, i) => ({
      kind,
      name: entries.length > 1 ? `${kind} ${i + 1}` : kind,
      entry: one,
      path: [...path, `${kind}s`, i],
    }));
  return [...list('door', entry.doors), ...list('window', entry.windows), ...list('opening', entry.openings)];
}

function facesOf(context: Context, place: Placed): FacedElement[] {
  const { kind, entry, path } = place.written;
  const { made: leaf, state = 'open' } = entry;
  if (state === 'open') return [freeElement(place, state, entry.width)];
  if (!leaf) throw new Error(`${path.join('.')}: neither open nor made of anything`);
  const made =
    kind === 'opening' ? null : madeOf(context, leaf, kind, [...path, kind === 'door' ? 'leaf' : 'glass']);
  if (!made) return [];
  if (state === 'closed') return [leafElement(place, made, 0)];
  const slit = Math.min(SLIT, entry.width);
  return [leafElement(place, made, slit), freeElement(place, state, slit)];
}

function leafElement(place: Placed, { tau, alpha }: Made, slit: number): FacedElement {
  const { width, height, state = 'closed' } = place.written.entry;
  return { ...elementOf(place, width), state, free: false, tau, alpha, area: (width - slit) * height };
}

function freeElement(place: Placed, state: WallElement['state'], width: number): FacedElement {
  const all = sameInAllBands(1);
  const { height } = place.written.entry;
  return { ...elementOf(place, width), state, free: true, tau: all, alpha: all, area: width * height };
}

function elementOf({ written, spot, low, high }: Placed, width: number) {
  const { kind, name } = written;
  return { kind, name, a: spot.point(-width / 2), b: spot.point(width / 2), low, high };
}

type Kind = WallElement['kind'];
/** As the plan lists it, with its name in messages: "door", or "door 2" of several. */
type Written = {
  readonly kind: Kind;
  readonly name: string;
  readonly entry: OpeningEntry & Partial<LeafEntry>;
  readonly path: Path;
};

type Placed = Pick<Partition['stretches'][number], 'low' | 'high'> & {
  readonly written: Written;
  readonly spot: WallSpot;
};

/** Sill of a window that gives none, m, where it fits. Common practice, no source. */
export const WINDOW_SILL = 0.9;
/** Drawings are rounded: what sticks out by less fits, m. */
const SLACK = 1e-3;

/** Null, with a fault, where it does not fit. */
function placeOf(context: Context, written: Written, pieces: readonly WallPiece[]): Placed | null {
  const { at, width, height } = written.entry;
  const { size, spot: point } = lengthsIn(context.plan.units);
  const spot = onWall(pieces, at);
  if (!spot) return refuse(context, written, `at ${point(at)} ${missedBy(context, pieces, written)}`, 'at');
  const { piece, along, length } = spot;
  if (along - width / 2 < -SLACK || along + width / 2 > length + SLACK) {
    const ends = `${point(piece.a)} to ${point(piece.b)}`;
    const message = `${size(width)} wide at ${point(at)} extends past the end of its wall, ${ends}`;
    return refuse(context, written, message, 'at');
  }
  const low = piece.low + sillOf(context, written, piece);
  if (low + height > piece.high + SLACK) {
    const tall = size(piece.high - piece.low);
    return refuse(context, written, `extends past the top of its wall, ${tall} high`, 'height');
  }
  return { written, spot, low, high: low + height };
}

function refuse(context: Context, written: Written, message: string, key?: string): null {
  const path = key === undefined ? written.path : [...written.path, key];
  return context.notes.misplaced(path, `the ${written.name} ${message}`, 'correct its position or size');
}

function missedBy({ plan }: Context, pieces: readonly WallPiece[], { entry }: Written): string {
  if (pieces.length === 0) return 'has no position: the rooms share no wall';
  const away = Math.min(...pieces.map(({ a, b }) => distanceToSegment(entry.at, a, b)));
  const { apart, size } = lengthsIn(plan.units);
  const most = size(FURTHEST_FROM_WALL);
  return `is ${apart(away)} from the nearest wall the rooms share, limit ${most}`;
}

function sillOf(context: Context, { kind, entry, path }: Written, piece: WallPiece): number {
  if (entry.sill !== undefined) return entry.sill;
  if (kind !== 'window') return 0;
  const sill = Math.max(0, Math.min(WINDOW_SILL, piece.high - piece.low - entry.height));
  const { size } = lengthsIn(context.plan.units);
  context.notes.assume('default', path, `sill ${size(sill)} above the floor`);
  return sill;
}

function overlap(one: Placed, other: Placed): boolean {
  if (one.spot.piece !== other.spot.piece) return false;
  const between = Math.abs(one.spot.along - other.spot.along);
  const wide = (one.written.entry.width + other.written.entry.width) / 2;
  return between < wide - SLACK && Math.min(one.high, other.high) - Math.max(one.low, other.low) > SLACK;
}

/** A fault for each pair of rooms that touch and are not in `described`, by `pairKey`. */
function noteBareBoundaries(context: Context, described: ReadonlyMap<string, string>): void {
  const { rooms } = context.places;
  const lengths = lengthsIn(context.plan.units);
  rooms.forEach((second, j) => {
    for (let i = 0; i < j; i++) {
      const pieces = boundary(rooms, i, j);
      const first = rooms[i] as RoomPlace;
      if (pieces.length === 0 || described.has(pairKey(i, j))) continue;
      const fix = `add to partitions \`${first.name}-${second.name}: {between: [${first.name}, ${second.name}], wall: …}\``;
      context.notes.fault('MISSING_KEY', ['partitions'], messageFor(first, second, pieces, lengths), fix);
    }
  });
}

function messageFor(
  first: RoomPlace,
  second: RoomPlace,
  pieces: readonly WallPiece[],
  { size, spot }: Lengths,
): string {
  const inside = first.host !== second.host;
  if (inside) {
    const booth = first.area < second.area ? first : second;
    return `${booth.name} is inside ${booth === first ? second.name : first.name}, and no partition says what its walls are made of`;
  }
  const [longest] = [...pieces].sort((one, other) => span(other.a, other.b) - span(one.a, one.b));
  const { a, b } = longest as WallPiece;
  const where = `${size(span(a, b))} from ${spot(a)} to ${spot(b)}`;
  return `${first.name} and ${second.name} share a wall, ${where}, and no partition describes it`;
}

/** One key for two rooms, in whichever order. */
const pairKey = (i: number, j: number): string => `${Math.min(i, j)} ${Math.max(i, j)}`;
