/** Rooms: surfaces and their finishes, volume, what absorbs in them, and how long they were measured to ring. */
import { type Bands, bands, NOMINAL_BANDS, sameInAllBands } from '../acoustics/bands.ts';
import type { BandValues, Content } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import { corner, distanceToSegment, signedArea, span } from '../geometry.ts';
import type { ContentsEntry, PatchEntry, RoomEntry } from '../plan/rooms.ts';
import type { ByBand } from '../plan/schema.ts';
import { lengthsIn } from '../plan/units.ts';
import type { Finish } from '../plan/values.ts';
import type { Context, RoomPlace } from './context.ts';
import { finishAlpha, guessedAlpha } from './materials.ts';
import type { FacedElement, FacedPartition } from './partitions.ts';
import { flushWalls, TOUCH } from './room-places.ts';
import { type Panel, type Room, type Surface, type SurfaceElement, wallArea } from './scene.ts';

type Within = {
  /** Everyone who counts as a body. */
  readonly people: readonly { readonly room: number; readonly standing: boolean }[];
  /** Baffles among them add their faces. */
  readonly panels: readonly Panel[];
  /** They add their doors and windows. */
  readonly partitions: readonly FacedPartition[];
};

export const resolveRooms = (context: Context, within: Within): Room[] =>
  context.places.rooms.map((_, index) => roomOf(context, index, within));

function roomOf(context: Context, index: number, { people, panels, partitions }: Within): Room {
  const place = context.places.rooms[index] as RoomPlace;
  const entry = context.plan.rooms.get(place.name) as RoomEntry;
  const { name, path, outline, floor, ceiling, host } = place;
  noteIdleOutside(context, place, entry);
  return {
    ...{ name, path, outline, floor, ceiling, host },
    surfaces: roomSurfaces(context, index, partitions),
    volume: ownVolume(context, index),
    contents: sumOf([contentsArea(context, place, entry), ...boothShells(context, index, partitions)]),
    people: peopleArea(context, index, people),
    added: bafflesArea(index, panels),
    measured: measuredTime(context, path, entry),
    noise: entry.noise ?? null,
    booth: entry.booth,
    control: entry.control,
  };
}

function measuredTime({ notes }: Context, path: Path, entry: RoomEntry): Room['measured'] {
  const { reverberation } = entry;
  if (!reverberation) return null;
  const { seconds, measured, decay } = reverberation;
  const times = notes.byBand(seconds, 'linear', [...path, 'reverberation']);
  const parts = typeof decay === 'string' ? NOMINAL_BANDS.map((hertz) => [hertz, decay] as const) : decay;
  const earlyBands = NOMINAL_BANDS.map((hertz) => {
    const source = sourceOf(hertz, seconds);
    return parts.some(([octave, part]) => octave === source && part === 'early');
  });
  const named = entry.floor !== undefined && entry.ceiling !== undefined && entry.walls.every(Boolean);
  return { times, earlyBands, setUp: measured === 'set-up', named };
}

/** The octave whose value is taken for one: itself or the next below that is given, else the lowest. */
function sourceOf(hertz: number, seconds: ByBand): number {
  if (typeof seconds === 'number') return hertz;
  const given = seconds.points.map(([octave]) => octave);
  return given.findLast((octave) => octave <= hertz) ?? given[0] ?? hertz;
}

const LEAST_VOLUME = 0.1;

/** Less the booths standing in it; a room that they fill is a fault. */
function ownVolume({ places, notes }: Context, index: number): number {
  const { name, path, area, floor, ceiling } = places.rooms[index] as RoomPlace;
  const booths = places.rooms.filter((room) => room.host === index);
  const within = (booth: RoomPlace) =>
    booth.area * Math.max(0, Math.min(ceiling, booth.ceiling) - Math.max(floor, booth.floor));
  const volume = area * (ceiling - floor) - sum(booths.map(within));
  if (volume >= LEAST_VOLUME) return volume;
  const filled = booths.length > 0 ? `the booths in ${name} fill it` : `${name} is smaller than 0.1 m³`;
  notes.misplaced(path, filled, 'correct its size, in metres or with units');
  return LEAST_VOLUME;
}

/** Of the booths that stand in a room and whose partition toward it is whole. */
function boothShells(context: Context, host: number, partitions: readonly FacedPartition[]): Bands[] {
  return context.places.rooms.flatMap((room, booth) => {
    const isBetween = ({ rooms }: FacedPartition) => rooms.includes(booth) && rooms.includes(host);
    const shell = room.host === host ? partitions.find(isBetween) : undefined;
    return shell ? [shellAbsorption(shell, outsideAlpha(context, booth))] : [];
  });
}

function noteIdleOutside({ notes }: Context, { name, path, host }: RoomPlace, { outside }: RoomEntry): void {
  if (!outside || host !== null) return;
  notes.caution([...path, 'outside'], `${name} is in no other room, so its outer finish has no effect`);
}

/** Part of a surface that is not its finish. */
type Piece = { readonly area: number; readonly alpha: Bands; readonly free: boolean };

/** Floor, ceiling, then walls. Without finishes at all (see `roomFinishes`) what does not stand open absorbs nothing. */
function roomSurfaces(context: Context, index: number, partitions: readonly FacedPartition[]): Surface[] {
  const place = context.places.rooms[index] as RoomPlace;
  const entry = context.plan.rooms.get(place.name) as RoomEntry;
  const areas = surfaceAreas(context.places.rooms, index);
  const elements = elementsByWall(context.places.rooms, index, partitions);
  const finishes = roomFinishes(context, entry, place.path);
  const left = areas.map((area, s) => area - areaOf(elements[s - 2] ?? []));
  const patches = patchPieces(context, place, entry, left);
  return areas.map((area, s) => {
    const doors = elements[s - 2] ?? [];
    const faced = doors.map((door) => (finishes || door.free ? door : { ...door, alpha: NOTHING }));
    const pieces = [...faced, ...(patches[s] ?? [])];
    return {
      ...surfaceOf(surfaceName(place, s), area, finishes?.[s] ?? NOTHING, pieces),
      elements: faced.map(elementOf),
    };
  });
}

const NOTHING = sameInAllBands(0);

const areaOf = (pieces: readonly { readonly area: number }[]): number => sum(pieces.map(({ area }) => area));

/** "floor", "ceiling", "left wall", "wall 3". */
function surfaceName({ wallNames }: RoomPlace, surface: number): string {
  if (surface < 2) return surface === 0 ? 'floor' : 'ceiling';
  const name = wallNames[surface - 2] ?? '';
  return /^\d+$/.test(name) ? `wall ${name}` : `${name} wall`;
}

const elementOf = ({ a, b, low, high, alpha, area }: FacedElement): SurfaceElement => ({
  a,
  b,
  low,
  high,
  alpha,
  area,
});

type Faces = Omit<Surface, 'elements'>;

function surfaceOf(name: string, area: number, finish: Bands, pieces: readonly Piece[]): Faces {
  const open = areaOf(pieces.filter(({ free }) => free));
  if (area <= 0) return { name, area: 0, alpha: finish, open: 0 };
  const rest = Math.max(0, area - areaOf(pieces));
  const alpha = bands((band) => {
    const absorbed = sum(pieces.map((piece) => piece.area * (piece.alpha[band] ?? 0)));
    return (rest * (finish[band] ?? 0) + absorbed) / area;
  });
  return { name, area, alpha, open };
}

/** Whole surfaces less what booths stand on, stand against, and reach up to. */
function surfaceAreas(rooms: readonly RoomPlace[], index: number): number[] {
  const { outline, area, floor, ceiling } = rooms[index] as RoomPlace;
  const booths = rooms.flatMap((booth, b) => (booth.host === index ? [{ ...booth, index: b }] : []));
  const under = booths.filter((booth) => ceiling - booth.ceiling <= TOUCH);
  const against = booths.flatMap((booth) => flushWalls(rooms, booth.index));
  const walls = outline.map((a, wall) => {
    const taken = against.filter(({ sides }) =>
      sides.some((side) => side.room === index && side.wall === wall),
    );
    return span(a, corner(outline, wall + 1)) * (ceiling - floor) - sum(taken.map(wallArea));
  });
  return [area - areaOf(booths), area - areaOf(under), ...walls].map((left) => Math.max(0, left));
}

/** Doors, windows and openings in each wall; those of a booth standing in the room are not in the room's own walls. */
function elementsByWall(
  rooms: readonly RoomPlace[],
  index: number,
  partitions: readonly FacedPartition[],
): FacedElement[][] {
  const place = rooms[index] as RoomPlace;
  const walls: FacedElement[][] = place.outline.map(() => []);
  for (const { rooms: pair, elements } of partitions) {
    const other = pair[0] === index ? pair[1] : pair[0];
    if (!pair.includes(index) || rooms[other]?.host === index) continue;
    for (const element of elements) walls[nearestWall(place, element)]?.push(element);
  }
  return walls;
}

function nearestWall({ outline }: RoomPlace, { a, b }: FacedElement): number {
  const away = outline.map((c, i) => {
    const d = corner(outline, i + 1);
    return distanceToSegment(a, c, d) + distanceToSegment(b, c, d);
  });
  return away.indexOf(Math.min(...away));
}

/** Patches of each surface; one larger than what is `left` of its surface is a fault. */
function patchPieces(context: Context, place: RoomPlace, { patches }: RoomEntry, left: number[]): Piece[][] {
  const pieces: Piece[][] = left.map(() => []);
  for (const [name, patch] of patches) {
    const path = [...place.path, 'patches', name];
    const surface = surfaceIndex(patch.on);
    const room = left[surface] ?? 0;
    const alpha = finishAlpha(context, patch.finish, [...path, 'finish']);
    if (patch.area > room + 1e-6) {
      const message = `${name} is larger than the free area of the ${surfaceName(place, surface)}, ${room.toFixed(2)} m²`;
      context.notes.fault('OUT_OF_RANGE', [...path, 'area'], message, 'give a smaller area');
    } else if (alpha) {
      left[surface] = room - patch.area;
      pieces[surface]?.push({ area: patch.area, alpha, free: false });
    }
  }
  return pieces;
}

const surfaceIndex = (on: PatchEntry['on']): number => (on === 'floor' ? 0 : on === 'ceiling' ? 1 : 2 + on);

/** What an ordinary room is taken to be made of. Common practice, no source. */
export const ASSUMED_FINISHES = {
  floor: 'wood-on-joists',
  ceiling: 'plaster',
  wall: 'plaster',
  outside: 'plaster',
} as const;

/**
 * Coefficients of floor, ceiling and each wall; null for a room with a measured time and no finish at all, whose surfaces
 * all take the mean of that time.
 */
function roomFinishes(context: Context, entry: RoomEntry, path: Path): readonly Bands[] | null {
  if (entry.reverberation && !hasFinish(entry)) return null;
  const read = readerOf(context);
  const guess = (kind: keyof typeof ASSUMED_FINISHES) => guessedAlpha(context, ASSUMED_FINISHES[kind], path);
  const floor = entry.floor ? read(entry.floor, [...path, 'floor']) : guess('floor');
  const ceiling = entry.ceiling ? read(entry.ceiling, [...path, 'ceiling']) : guess('ceiling');
  const walls = entry.walls.map((finish, i) =>
    finish ? read(finish, [...path, 'walls', wallKey(entry, i)]) : guess('wall'),
  );
  sayGuesses(context, entry, path);
  return [floor, ceiling, ...walls];
}

const hasFinish = ({ floor, ceiling, walls, patches }: RoomEntry): boolean =>
  floor !== undefined || ceiling !== undefined || walls.some((wall) => wall !== null) || patches.size > 0;

/** One finish written for several walls is read, and found wanting, once. Unknown ones count as 0: the scene is refused. */
function readerOf(context: Context) {
  const known = new Map<Finish, Bands>();
  return (finish: Finish, path: Path): Bands => {
    const alpha = known.get(finish) ?? finishAlpha(context, finish, path) ?? sameInAllBands(0);
    known.set(finish, alpha);
    return alpha;
  };
}

/** As the plan writes it: a name of a side, or a number along the outline. */
function wallKey({ wallNames }: RoomEntry, i: number): string | number {
  const name = wallNames[i] ?? '';
  return /^\d+$/.test(name) ? Number(name) : name;
}

function sayGuesses({ notes }: Context, entry: RoomEntry, path: Path): void {
  const say = (what: string, name: string) => notes.assume('assumed', path, `${what} of ${name}`);
  if (!entry.floor) say('floor', ASSUMED_FINISHES.floor);
  if (!entry.ceiling) say('ceiling', ASSUMED_FINISHES.ceiling);
  const bare = entry.wallNames.filter((_, i) => !entry.walls[i]);
  if (bare.length === 0) return;
  say(bare.length === entry.walls.length ? 'walls' : `walls ${bare.join(', ')}`, ASSUMED_FINISHES.wall);
}

/** Things counted by the piece or by the area they cover. */
function contentsArea(context: Context, place: RoomPlace, entry: RoomEntry): Bands {
  const { catalogue, notes } = context;
  const areas = [...entry.contents].flatMap(([name, amount]) => {
    const path = [...place.path, 'contents', name];
    const content = notes.lookUp(catalogue.materials.contents, name, 'room contents', path);
    return content ? (oneContent(context, content, amount, { path, floor: place.area }) ?? []) : [];
  });
  noteCrowded(context, place, entry);
  return sumOf(areas);
}

/** Contents stand beside each other: by area they cover no more than the floor, and pieces need some of it, too. */
function noteCrowded(
  { plan, catalogue, notes }: Context,
  { name: room, path, area }: RoomPlace,
  { contents }: RoomEntry,
): void {
  const covered = sum([...contents.values()].map((amount) => ('area' in amount ? amount.area : 0)));
  const pieces = [...contents].map(([name, amount]) => {
    const footprint = catalogue.materials.contents.get(name)?.footprint?.value ?? 0;
    return 'count' in amount ? amount.count * footprint : 0;
  });
  const needed = covered + sum(pieces);
  if (needed <= area + 1e-6) return;
  const where = [...path, 'contents'];
  const { area: say } = lengthsIn(plan.units);
  if (covered <= area + 1e-6) {
    const message = `contents of ${room} need ${say(needed)}, more than its floor of ${say(area)}`;
    notes.caution(where, message, 'check the counts and the size of the room');
  } else if (contents.size > 1) {
    notes.fault(
      'OUT_OF_RANGE',
      where,
      `cover ${say(covered)} of a floor of ${say(area)}`,
      'give smaller areas',
    );
  }
}

function oneContent(
  context: Context,
  content: Content,
  amount: ContentsEntry,
  { path, floor }: { readonly path: Path; readonly floor: number },
): Bands | null {
  const counted = 'count' in amount;
  const figure = counted ? content.each : content.perArea;
  if (!figure) {
    const message = counted
      ? `${content.name} needs an area, not a count`
      : `${content.name} needs a count, not an area`;
    const fix = counted ? 'write an area, such as 6 m2' : 'write a count, such as 2';
    return context.notes.fault('WRONG_TYPE', path, message, fix);
  }
  if (!counted && amount.area > floor + 1e-6) {
    const message = `${content.name} covers more than the floor, ${floor.toFixed(2)} m²`;
    return context.notes.fault('OUT_OF_RANGE', path, message, 'give a smaller area');
  }
  return times(context, content.name, path, figure, counted ? amount.count : amount.area);
}

/** Everyone in the room, seated or standing. */
function peopleArea(context: Context, index: number, people: Within['people']): Bands {
  const here = people.filter(({ room }) => room === index);
  const path = context.places.rooms[index]?.path ?? [];
  const areas = (['person-seated', 'person-standing'] as const).flatMap((name) => {
    const count = here.filter(({ standing }) => standing === (name === 'person-standing')).length;
    const each = context.catalogue.materials.contents.get(name)?.each;
    if (!each) throw new Error(`catalogue: no ${name}`);
    return count > 0 ? [times(context, name, path, each, count)] : [];
  });
  return sumOf(areas);
}

/** Both faces of every baffle in the room: 2·w·h·α. */
function bafflesArea(index: number, panels: readonly Panel[]): Bands {
  const own = panels.filter(({ room, booth }) => room === index && booth === null);
  return sumOf(own.map((panel) => panel.alpha.map((share) => 2 * wallArea(panel) * share)));
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
const sumOf = (areas: readonly Bands[]): Bands => bands((band) => sum(areas.map((area) => area[band] ?? 0)));

/** A value of the catalogue times an area or a count. */
function times({ notes }: Context, name: string, path: Path, figure: BandValues, by: number): Bands {
  return notes.figure(figure, name, path).map((value) => by * value);
}

/** Absorption coefficient of a booth's outside; an unknown finish is a fault where the booth's own room is read. */
export function outsideAlpha(context: Context, booth: number): Bands {
  const { name, path } = context.places.rooms[booth] as RoomPlace;
  const written = context.plan.rooms.get(name)?.outside;
  if (!written) {
    context.notes.assumeOnce('assumed', path, `${ASSUMED_FINISHES.outside} on the outside of ${name}`);
    return guessedAlpha(context, ASSUMED_FINISHES.outside, path);
  }
  return (
    finishAlpha(context, written, [...path, 'outside']) ??
    guessedAlpha(context, ASSUMED_FINISHES.outside, path)
  );
}

/**
 * Absorption area that a booth's shell brings into its host, m² by band: walls and roof in the outer finish, leaves and panes
 * in their own. What stands open brings none: the power balance follows that sound into the booth.
 */
function shellAbsorption({ stretches, roof, elements }: FacedPartition, outside: Bands): Bands {
  const whole = sum(stretches.map(wallArea)) + (roof ? signedArea(roof.outline) : 0);
  const bare = { area: Math.max(0, whole - areaOf(elements)), alpha: outside };
  const faces = [bare, ...elements.filter(({ free }) => !free)];
  return sumOf(faces.map(({ area, alpha }) => alpha.map((share) => area * share)));
}
