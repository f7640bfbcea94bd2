/** What sounds: players' instruments, kits, loudspeakers, sections; sources of the scene and the parts they play. */

import { energyOf } from '../acoustics/bands.ts';
import type { Axis, Instrument, InstrumentValues, Kit } from '../catalogue/catalogue.ts';
import { mirroredAxis, mirroredPlace } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import * as geo from '../geometry.ts';
import type { PlayedEntry, PlayerEntry, SectionEntry, SourceEntry, SourceKeys } from '../plan/players.ts';
import { lengthsIn } from '../plan/units.ts';
import type { Level } from '../plan/values.ts';
import { type Context, facingOf, type Notes, type ResolvedSource } from './context.ts';
import { type Body, inRoom, postureOf, type ResolvedPerson } from './people.ts';
import { floorOf, roomAt } from './room-places.ts';
import { type Part, type Source, type SourcePoint, strictest } from './scene.ts';
import { axisOf, coverOf, figuresOf, levelOnAxis, sourceAcoustics, toSource } from './source-acoustics.ts';

/** Everything that sounds, in the order of the plan: players first, then what stands by itself. */
export function resolvedSources(
  people: ReadonlyMap<string, ResolvedPerson>,
  context: Context,
): ResolvedSource[] {
  const { plan, notes } = context;
  const played = [...plan.players].flatMap(([name, player]) => {
    const who = people.get(name);
    return who ? playedSources(player, who, context) : [];
  });
  const fixed = [...plan.sources].flatMap(([name, entry]) => fixedSource(name, entry, context) ?? []);
  for (const [name, { player }] of plan.sources) {
    if (player && 'name' in player && !plan.players.has(player.name))
      notes.unknown(plan.players.keys(), player.name, 'player', ['sources', name, 'player']);
  }
  const sources = [...played, ...fixed];
  refuseUnknownRepeats(sources, notes);
  refuseSameCentre(sources, notes);
  return sources.map((source) => repeatedPart(source, sources));
}

/** A wedge that repeats a source belongs to that source's part. */
function repeatedPart(source: ResolvedSource, sources: readonly ResolvedSource[]): ResolvedSource {
  if (!source.repeats) return source;
  const original = sources.find((one) => one.name === source.partName || one.kit === source.partName);
  return original ? { ...source, partName: original.partName } : source;
}

function refuseUnknownRepeats(sources: readonly ResolvedSource[], notes: Notes): void {
  const originals = sources.filter(({ repeats }) => !repeats);
  const known = new Set(originals.flatMap(({ name, kit, partName }) => [name, kit ?? name, partName]));
  for (const { partName, path } of sources.filter(({ repeats }) => repeats)) {
    if (!known.has(partName)) notes.unknown(known, partName, 'source to repeat', [...path, 'repeats']);
  }
}

/** Two acoustic centres in one point: no two things fit there. */
function refuseSameCentre(sources: readonly ResolvedSource[], notes: Notes): void {
  const placed = sources.filter(({ points }) => points.length > 0);
  const centres = placed.map(({ points }) => geo.middleOf(points));
  placed.forEach(({ name, path }, i) => {
    const other = placed.find(
      (_, j) => j < i && geo.distance(centres[j] as geo.Vec3, centres[i] as geo.Vec3) < 0.01,
    );
    const message = `${name} is in the same place as ${other?.name}`;
    if (other) notes.misplaced([...path, 'at'], message, 'move one of them');
  });
}

/** The family of what sounds; a kit is percussion, whatever is in it. */
export const familyOf = ({ kit, instrument }: ResolvedSource, { families }: Context['catalogue']) =>
  kit === null ? (families.get(instrument ?? '') ?? null) : 'percussion';

/** Sources and parts of the scene; `players` are names of the scene's players. */
export function sourcesAndParts(
  resolved: readonly ResolvedSource[],
  players: readonly string[],
  catalogue: Context['catalogue'],
): { sources: Source[]; parts: Part[] } {
  const names = [...new Set(resolved.map(({ partName }) => partName))];
  const sources = resolved.map((source) => {
    const player = source.player === null ? -1 : players.indexOf(source.player);
    const family = familyOf(source, catalogue);
    return toSource(source, family, player < 0 ? null : player, names.indexOf(source.partName));
  });
  const parts = names.map((name): Part => {
    const members = resolved.flatMap((source, i) => (source.partName === name ? [i] : []));
    const first = resolved[members[0] ?? 0] as ResolvedSource;
    const { later } = strictest(members.map((i) => resolved[i]?.later ?? 'rebalance'));
    return { name, path: first.path, sources: members, later };
  });
  return { sources, parts };
}

/** The instrument that is a line alone. */
const LINE_ONLY = 'line-only';
/** What it radiates: nothing. */
const SILENT = { points: [], acoustics: null, cover: null, held: null } as const;

function fixedSource(name: string, entry: SourceEntry, context: Context): ResolvedSource | null {
  const path: Path = ['sources', name];
  const { at, instrument: called, player, section } = entry;
  const room = roomAt(context.places, at.x, at.y);
  if (room === null) {
    const message = `${name} is outside every room`;
    return context.notes.misplaced([...path, 'at'], message, 'move it into a room');
  }
  const isLine = called === LINE_ONLY;
  const who = { name, at: [at.x, at.y] as const, path };
  const facing = isLine && !entry.facing ? 0 : facingOf(entry.facing, who, context);
  const source = {
    ...{ name, path, facing, kit: null, later: entry.later, instrument: called ?? null },
    player: player ? ('name' in player ? player.name : name) : null,
    partName: entry.repeats ?? entry.part ?? name,
    repeats: entry.repeats !== undefined,
  };
  if (isLine) return { ...source, ...SILENT };
  const voice = voiceOf(entry, path, context);
  if (!voice) return null;
  const { figures, acoustics } = voice;
  const height = heightOf(name, entry, figures?.place.seated[2], context);
  const middle: geo.Vec3 = [at.x, at.y, floorOf(context.places, room) + height];
  const axis = geo.direction(facing, entry.tilt ?? figures?.axis.tilt ?? 0);
  return {
    ...source,
    points: pointsOf(name, entry, { at: middle, axis, room, facing }, context),
    acoustics: { ...acoustics, power: acoustics.power.map((power) => power * (section?.players ?? 1)) },
    cover: coverOf(entry.cover, [...path, 'cover'], context),
    held: figures,
  };
}

function heightOf(
  name: string,
  { at, instrument }: SourceEntry,
  usual: number | undefined,
  { plan, notes }: Context,
): number {
  if (at.z !== undefined) return at.z;
  const height = usual ?? 1;
  const why = usual === undefined ? 'as for most seated players' : `as for a ${instrument}`;
  const text = `${name} ${lengthsIn(plan.units).size(height)} above the floor, ${why}`;
  notes.assume('default', ['sources', name, 'at'], text);
  return height;
}

type Stand = Omit<SourcePoint, 'share'> & { readonly facing: number };

function pointsOf(
  name: string,
  { section }: SourceEntry,
  { at: middle, axis, room, facing }: Stand,
  { places, notes }: Context,
): SourcePoint[] {
  if (!section) return [{ at: middle, axis, room, share: 1 }];
  const points = sectionPoints(section, middle, facing);
  const corners = sectionCorners(section, middle, facing);
  const message = `${name} does not fit in the room`;
  if ([...corners, ...points].some(([x, y]) => roomAt(places, x, y) !== room))
    notes.misplaced(['sources', name, 'section'], message, 'make it narrower or turn it');
  return points.map((at) => ({ at, axis, room, share: 1 / points.length }));
}

const LEAST_POINTS = 4;
const MOST_POINTS = 12;

/**
 * Places of 4 to 12 points that stand for the section, from its middle: width square to the facing, rows going back from
 * the front, each `rise` higher than the one before.
 */
function sectionPoints(section: SectionEntry, middle: geo.Vec3, facing: number): geo.Vec3[] {
  const written = section.rows ?? rowsFor(section);
  const rows = Math.min(written, 3);
  const least = Math.ceil(LEAST_POINTS / rows);
  const columns = Math.max(
    least,
    Math.min(Math.floor(MOST_POINTS / rows), Math.ceil(section.players / rows)),
  );
  const [width, depth] = section.size;
  return Array.from({ length: rows * columns }, (_, i) => {
    const row = Math.floor(i / columns);
    const across = (((i % columns) + 0.5) / columns - 0.5) * width;
    const back = ((row + 0.5) / rows - 0.5) * depth;
    const height = (((row + 0.5) / rows) * written - 0.5) * section.rise;
    const flat = geo.add(
      geo.scale(geo.direction(facing + 90), across),
      geo.scale(geo.direction(facing), -back),
    );
    return geo.add(middle, [flat[0], flat[1], height]);
  });
}

/** Corners of the floor it takes up. */
function sectionCorners({ size }: SectionEntry, middle: geo.Vec3, facing: number): geo.Vec3[] {
  const across = geo.scale(geo.direction(facing + 90), size[0] / 2);
  const back = geo.scale(geo.direction(facing), size[1] / 2);
  const ends = [geo.add(middle, across), geo.add(middle, geo.scale(across, -1))];
  return ends.flatMap((end) => [geo.add(end, back), geo.add(end, geo.scale(back, -1))]);
}

/** Rows of about a metre's depth where the plan does not say. */
function rowsFor({ players, size }: SectionEntry): number {
  return Math.max(1, Math.min(players, Math.round(size[1])));
}

function playedSources(player: PlayerEntry, who: ResolvedPerson, context: Context): ResolvedSource[] {
  return player.plays.flatMap((played) => {
    const name = played.name ?? who.name;
    const path = playedPath(played, player, who);
    if (played.instrument === undefined && played.spectrum === undefined && played.power === undefined) {
      const message = `${name} has no instrument`;
      return context.notes.fault('MISSING_KEY', path, message, 'add `instrument` from the catalogue') ?? [];
    }
    const kit = context.catalogue.kits.get(played.instrument ?? '');
    if (kit) return kitSources({ kit, player, played, who, name, path }, context);
    return playedSource(played, player, who, { name, path }, context) ?? [];
  });
}

function playedPath(played: PlayedEntry, player: PlayerEntry, who: ResolvedPerson): Path {
  if (played.name === null) return player.plays.length === 1 ? who.path : [...who.path, 'plays'];
  return [...who.path, 'plays', played.name];
}

function playedSource(
  keys: SourceKeys,
  player: PlayerEntry,
  who: ResolvedPerson,
  named: Named,
  context: Context,
): ResolvedSource | null {
  const { name, path } = named;
  const source = {
    ...{ name, path, instrument: keys.instrument ?? null, player: who.name, kit: null },
    ...{ partName: keys.part ?? name, repeats: false, later: keys.later, facing: who.body.facing },
  };
  if (keys.instrument === LINE_ONLY) return { ...source, ...SILENT };
  const voice = voiceOf(keys, path, context);
  if (!voice) return null;
  const { instrument, figures, acoustics } = voice;
  const stance = stanceOf(who.body, figures, player.hands === 'left' && (instrument?.mirrors ?? true));
  const place = keys.at
    ? ownPlace(keys.at, stance.centre[2], named, context)
    : heldPlace(stance.centre, who.room, named, context);
  if (!place) return null;
  const axis = axisOf(keys, stance.axis, { ...named, at: place.at, body: who.body }, context);
  return {
    ...source,
    points: [{ ...place, axis, share: 1 }],
    acoustics,
    cover: coverOf(keys.cover, [...path, 'cover'], context),
    held: figures,
  };
}

/** Instrument, values and acoustics of a source; null with an error where the catalogue lacks one or nothing says how loud it is. */
function voiceOf(keys: SourceKeys, path: Path, context: Context) {
  const instrument = instrumentOf(keys, path, context);
  if (keys.instrument !== undefined && !instrument) return null;
  const figures = instrument && figuresOf(instrument, keys.playing, path, context);
  if (instrument && !figures) return null;
  const acoustics = sourceAcoustics(keys, figures, path, context);
  return acoustics && { instrument, figures, acoustics };
}

/** Instrument of the catalogue; null with an error where it is absent, null without one where the plan names none. */
function instrumentOf(
  { instrument: name }: SourceKeys,
  path: Path,
  { catalogue, notes }: Context,
): Instrument | null {
  if (name === undefined) return null;
  const instrument = catalogue.instruments.get(name);
  if (instrument) return instrument;
  const known = [...catalogue.instruments.values(), ...catalogue.kits.values()];
  const key = path.at(-2) === 'players' ? 'plays' : 'instrument';
  return notes.notInCatalogue(known, name, 'instrument', [...path, key]);
}

/** Centre in the room and axis in the player's own terms, from body and hands; `mirrored` for a left-handed player. */
function stanceOf(
  body: Body,
  figures: InstrumentValues | null,
  mirrored: boolean,
): { readonly centre: geo.Vec3; readonly axis: Axis } {
  const place: geo.Vec3 = figures
    ? postureOf(figures.place, body.standing)
    : [0, 0.3, body.standing ? 1.4 : 1];
  const axis: Axis = figures?.axis ?? { bearing: 0, tilt: 0 };
  return mirrored
    ? { centre: inRoom(body, mirroredPlace(place)), axis: mirroredAxis(axis) }
    : { centre: inRoom(body, place), axis };
}

type Named = { readonly name: string; readonly path: Path };
type Place = { readonly at: geo.Vec3; readonly room: number };

/** In the player's hands. */
function heldPlace(
  centre: geo.Vec3,
  playersRoom: number,
  { name, path }: Named,
  { places, notes }: Context,
): Place | null {
  const room = roomAt(places, centre[0], centre[1]);
  if (room === playersRoom) return { at: centre, room };
  return notes.misplaced(path, `${name} would extend through a wall`, 'move the player away from it');
}

/** At its own `at`; as high as the player has it where that gives no height. */
function ownPlace(
  { x, y, z }: NonNullable<SourceKeys['at']>,
  usual: number,
  { name, path }: Named,
  { places, notes }: Context,
): Place | null {
  const room = roomAt(places, x, y);
  const where = [...path, 'at'];
  if (room === null) return notes.misplaced(where, `${name} is outside every room`, 'move it into a room');
  if (z !== undefined) return { at: [x, y, floorOf(places, room) + z], room };
  notes.assume('default', where, `${name} at the height its player holds it`);
  return { at: [x, y, usual], room };
}

type KitInPlay = Named & {
  readonly kit: Kit;
  readonly player: PlayerEntry;
  readonly played: PlayedEntry;
  readonly who: ResolvedPerson;
};

type Piece = {
  readonly name: string;
  readonly instrument: string;
  readonly place: geo.Vec3 | null;
  readonly axis: Axis;
  readonly keys: SourceKeys;
};

/** The pieces of a kit as sources named "drums.snare"; `parts` of the plan changes, adds or takes away pieces. */
function kitSources(inPlay: KitInPlay, context: Context): ResolvedSource[] {
  const { kit, played, name, path } = inPlay;
  const { playing, level } = played;
  if (playing !== undefined && !kit.playing.includes(playing)) {
    const what = `${kit.name} technique`;
    return context.notes.unknown(kit.playing, playing, what, [...path, 'playing']) ?? [];
  }
  const pieces = piecesOf(inPlay, context);
  const sources = pieces.flatMap((piece) => pieceSource(piece, inPlay, context) ?? []);
  if (!level) return sources;
  const held = pieces.filter(({ keys }) => keys.level !== undefined || keys.power !== undefined);
  return broughtTo(level, sources, new Set(held.map((piece) => `${name}.${piece.name}`)), path, context);
}

function piecesOf({ kit, played, name, path }: KitInPlay, { notes }: Context): Piece[] {
  const { parts } = played;
  const own = [...kit.parts].flatMap(([piece, { instrument, place, axis }]) => {
    const over = parts.get(piece);
    if (over === null) return [];
    return [{ name: piece, instrument: over?.instrument ?? instrument, place, axis, keys: over ?? NO_KEYS }];
  });
  const added = [...parts].flatMap(([piece, keys]): Piece[] => {
    if (kit.parts.has(piece)) return [];
    const at = [...path, 'parts', piece];
    if (keys === null) {
      const what = `piece of ${name} to remove`;
      return notes.unknown(kit.parts.keys(), piece, what, at) ?? [];
    }
    const instrument = keys.instrument ?? piece.replace(/[- ]?\d+$/, '');
    if (keys.at) return [{ name: piece, instrument, place: null, axis: { bearing: 0, tilt: 90 }, keys }];
    const message = `the added piece ${piece} has no position`;
    return notes.fault('MISSING_KEY', at, message, 'add `at` with a height, such as `at: [2, 3, 0.9]`') ?? [];
  });
  return [...own, ...added];
}

const NO_KEYS: SourceKeys = { fixed: false };

function pieceSource(piece: Piece, inPlay: KitInPlay, context: Context): ResolvedSource | null {
  const { kit, played, player, who } = inPlay;
  const path = played.parts.has(piece.name) ? [...inPlay.path, 'parts', piece.name] : inPlay.path;
  const { instruments } = context.catalogue;
  const instrument = context.notes.lookUp(instruments, piece.instrument, 'instrument', path);
  if (!instrument) return null;
  const keys = pieceKeys(piece, played);
  const way = keys.playing;
  // of what is said for the whole kit a piece takes what it knows; what is said of itself it must know
  const known = way !== undefined && (piece.keys.playing !== undefined || instrument.playing.has(way));
  const figures = known ? figuresOf(instrument, way, path, context) : instrument;
  if (!figures) return null;
  const acoustics = sourceAcoustics(keys, figures, path, context);
  const point = pointOf(piece, inPlay, context);
  if (!acoustics || !point) return null;
  const name = `${inPlay.name}.${piece.name}`;
  const usual = player.hands === 'left' ? mirroredAxis(piece.axis) : piece.axis;
  const axis = axisOf(keys, usual, { name, path, at: point.at, body: who.body }, context);
  return {
    ...{ name, path, instrument: piece.instrument, player: who.name, kit: inPlay.name },
    partName: keys.part ?? played.part ?? inPlay.name,
    repeats: false,
    later: keys.later ?? played.later,
    points: [{ ...point, axis, share: 1 }],
    facing: who.body.facing,
    acoustics,
    cover: coverOf(keys.cover, [...path, 'cover'], context),
    held: kit,
  };
}

/** What the whole kit says holds for each piece, but for its level: that is of all together. */
function pieceKeys(piece: Piece, { dynamic, playing, cover, level }: PlayedEntry): SourceKeys {
  return {
    ...(level && { dynamic: 'mf' }),
    ...(dynamic && { dynamic }),
    ...(playing !== undefined && { playing }),
    ...(cover && { cover }),
    ...piece.keys,
  };
}

function pointOf(piece: Piece, { who, player, name }: KitInPlay, { places, notes }: Context): Place | null {
  const { at } = piece.keys;
  const place = piece.place && (player.hands === 'left' ? mirroredPlace(piece.place) : piece.place);
  const home = place && inRoom(who.body, place);
  const [x, y] = at ? [at.x, at.y] : [home?.[0] ?? 0, home?.[1] ?? 0];
  const room = roomAt(places, x, y);
  if (room === null || room !== who.room) {
    const message = `${name}.${piece.name} would be outside the room`;
    return notes.misplaced(who.path, message, 'move the kit away from the wall');
  }
  const height = at?.z === undefined ? (home?.[2] ?? who.body.at[2] + 1) : floorOf(places, room) + at.z;
  return { at: [x, y, height], room };
}

/**
 * Scales the pieces alike so that the on-axis levels of all together read what the plan says of the whole kit. Those in `held`
 * have a level of their own and keep it: the others share what is left. `path` is the kit's.
 */
function broughtTo(
  reading: Level,
  sources: readonly ResolvedSource[],
  held: ReadonlySet<string>,
  path: Path,
  context: Context,
): ResolvedSource[] {
  const energy = (some: readonly ResolvedSource[]) =>
    some.reduce((sum, source) => sum + energyOnAxis(source, reading, context), 0);
  const free = sources.filter(({ name }) => !held.has(name));
  const left = energyOf(reading.spl) - energy(sources.filter(({ name }) => held.has(name)));
  const where = [...path, 'level'];
  if (left <= 0 || free.length === 0) {
    const message = 'pieces with their own level use up the level of the whole kit';
    const fix = 'give a level to the kit or to every piece, not both';
    context.notes.fault('OUT_OF_RANGE', where, message, fix);
    return [...sources];
  }
  const factor = left / energy(free);
  const text = 'level shared among the pieces as in a kit at mf, each on its axis';
  context.notes.assume('default', where, text);
  return sources.map((source) => (held.has(source.name) ? source : scaled(source, factor)));
}

/** A source with a multiple of its power. */
function scaled(source: ResolvedSource, factor: number): ResolvedSource {
  const { acoustics } = source;
  return acoustics
    ? { ...source, acoustics: { ...acoustics, power: acoustics.power.map((power) => power * factor) } }
    : source;
}

function energyOnAxis({ acoustics }: ResolvedSource, { at, weighting }: Level, { air }: Context): number {
  if (!acoustics) return 0;
  const { power, directivity, radius } = acoustics;
  return energyOf(levelOnAxis(power, { q: directivity.q, radius, airLoss: air.loss }, at, weighting));
}
