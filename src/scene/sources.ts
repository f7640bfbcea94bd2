/** What sounds: players' instruments, kits, loudspeakers, sections; sources of the scene and the parts they play. */

import {
  type Axis,
  type Figures,
  type Instrument,
  mirroredAxis,
  mirroredPlace,
} from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import { add, direction, distance, middleOf, scale, type Vec3 } from '../geometry.ts';
import type { PlayedEntry, PlayerEntry, SectionEntry, SourceEntry, SourceKeys } from '../plan/players.ts';
import { lengthsIn } from '../plan/units.ts';
import { type Context, facingOf, type Notes, type ResolvedSource } from './context.ts';
import { kitSources } from './kits.ts';
import { type Body, inRoom, postureOf, type ResolvedPerson } from './people.ts';
import { floorOf, roomAt } from './room-places.ts';
import { type Part, type Source, type SourcePoint, strictest } from './scene.ts';
import { axisOf, coverOf, figuresOf, sourceAcoustics, toSource } from './source-acoustics.ts';

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
  const centres = placed.map(({ points }) => middleOf(points));
  placed.forEach(({ name, path }, i) => {
    const other = placed.find((_, j) => j < i && distance(centres[j] as Vec3, centres[i] as Vec3) < 0.01);
    const message = `${name} is in the same point as ${other?.name}`;
    if (other) notes.misplaced([...path, 'at'], message, 'move one of them');
  });
}

/** Sources and parts of the scene; `players` are names of the scene's players. */
export function sourcesAndParts(
  resolved: readonly ResolvedSource[],
  players: readonly string[],
): { sources: Source[]; parts: Part[] } {
  const names = [...new Set(resolved.map(({ partName }) => partName))];
  const sources = resolved.map((source) => {
    const player = source.player === null ? -1 : players.indexOf(source.player);
    return toSource(source, player < 0 ? null : player, names.indexOf(source.partName));
  });
  const parts = names.map((name): Part => {
    const members = resolved.flatMap((source, i) => (source.partName === name ? [i] : []));
    const first = resolved[members[0] ?? 0] as ResolvedSource;
    const { later } = strictest(members.map((i) => resolved[i]?.later ?? 'rebalance'));
    return { name, path: first.path, sources: members, later };
  });
  return { sources, parts };
}

// Fixed sources: loudspeakers, organs, bells, sections, lines.

/** The instrument that is a line alone. */
const LINE_ONLY = 'line-only';

function fixedSource(name: string, entry: SourceEntry, context: Context): ResolvedSource | null {
  const path: Path = ['sources', name];
  const { at, instrument: called, player, section } = entry;
  const room = roomAt(context.places, at.x, at.y);
  if (room === null) {
    const message = `${name} stands outside every room`;
    return context.notes.misplaced([...path, 'at'], message, 'move the place into a room');
  }
  const isLine = called === LINE_ONLY;
  const who = { name, at: [at.x, at.y] as const, path };
  const facing = isLine && !entry.facing ? 0 : (facingOf(entry.facing, who, context) ?? 0);
  const source = {
    ...{ name, path, facing, kit: null, later: entry.later, instrument: called ?? null },
    player: player ? ('name' in player ? player.name : name) : null,
    partName: entry.repeats ?? entry.part ?? name,
    repeats: entry.repeats !== undefined,
  };
  if (isLine) return { ...source, points: [], acoustics: null, cover: null, held: null };
  const instrument = instrumentOf(entry, path, context);
  if (called !== undefined && !instrument) return null;
  const figures = instrument && figuresOf(instrument, entry.playing, path, context);
  if (instrument && !figures) return null;
  const acoustics = sourceAcoustics(entry, figures, path, context);
  if (!acoustics) return null;
  const height = heightOf(name, entry, figures?.place.seated[2], context);
  const middle: Vec3 = [at.x, at.y, floorOf(context.places, room) + height];
  const axis = direction(facing, entry.tilt ?? figures?.axis.tilt ?? 0);
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
  const why =
    usual === undefined ? 'as high as a seated player has most instruments' : `where a ${instrument} speaks`;
  const text = `${name} stands ${lengthsIn(plan.units).size(height)} above the floor, ${why}`;
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
  const message = `${name} does not fit into the room`;
  if ([...corners, ...points].some(([x, y]) => roomAt(places, x, y) !== room))
    notes.misplaced(['sources', name, 'section'], message, 'make it narrower or turn it');
  return points.map((at) => ({ at, axis, room, share: 1 / points.length }));
}

// A section as a grid of points: a choir, a desk of strings.

const LEAST_POINTS = 4;

const MOST_POINTS = 12;

/**
 * Places of 4 to 12 points that stand for the section, from its middle: width square to the facing, rows going back from
 * the front, each `rise` higher than the one before.
 */
function sectionPoints(section: SectionEntry, middle: Vec3, facing: number): Vec3[] {
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
    const flat = add(scale(direction(facing + 90), across), scale(direction(facing), -back));
    return add(middle, [flat[0], flat[1], height]);
  });
}

/** Corners of the floor it takes up. */
function sectionCorners({ size }: SectionEntry, middle: Vec3, facing: number): Vec3[] {
  const across = scale(direction(facing + 90), size[0] / 2);
  const back = scale(direction(facing), size[1] / 2);
  const ends = [add(middle, across), add(middle, scale(across, -1))];
  return ends.flatMap((end) => [add(end, back), add(end, scale(back, -1))]);
}

/** Rows of about a metre's depth where the plan does not say. */
function rowsFor({ players, size }: SectionEntry): number {
  return Math.max(1, Math.min(players, Math.round(size[1])));
}

// What players play: one instrument, several, a kit; where each speaks and whither.

function playedSources(player: PlayerEntry, who: ResolvedPerson, context: Context): ResolvedSource[] {
  return player.plays.flatMap((played) => {
    const name = played.name ?? who.name;
    const path = playedPath(played, player, who);
    if (played.instrument === undefined && played.spectrum === undefined && played.power === undefined) {
      const message = `nothing says which instrument ${name} is`;
      return context.notes.fault('MISSING', path, message, 'give an instrument of the catalogue') ?? [];
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
  const instrument = instrumentOf(keys, path, context);
  if (keys.instrument !== undefined && !instrument) return null;
  const figures = instrument && figuresOf(instrument, keys.playing, path, context);
  if (instrument && !figures) return null;
  const acoustics = sourceAcoustics(keys, figures, path, context);
  if (!acoustics) return null;
  const stance = stanceOf(who.body, figures, player.hands === 'left' && (instrument?.mirrors ?? true));
  const place = keys.at
    ? ownPlace(keys.at, stance.centre[2], named, context)
    : heldPlace(stance.centre, who.room, named, context);
  if (!place) return null;
  const axis = axisOf(keys, stance.axis, { ...named, at: place.at, body: who.body }, context);
  return {
    ...{ name, path, instrument: keys.instrument ?? null, player: who.name, kit: null },
    partName: keys.part ?? name,
    repeats: false,
    later: keys.later,
    points: [{ ...place, axis, share: 1 }],
    facing: who.body.facing,
    acoustics,
    cover: coverOf(keys.cover, [...path, 'cover'], context),
    held: figures,
  };
}

/** Instrument of the catalogue; null with a fault where it is not there, null without one where the plan names none. */
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
  figures: Figures | null,
  mirrored: boolean,
): { readonly centre: Vec3; readonly axis: Axis } {
  const place: Vec3 = figures ? postureOf(figures.place, body.standing) : [0, 0.3, body.standing ? 1.4 : 1];
  const axis: Axis = figures?.axis ?? { bearing: 0, tilt: 0 };
  return mirrored
    ? { centre: inRoom(body, mirroredPlace(place)), axis: mirroredAxis(axis) }
    : { centre: inRoom(body, place), axis };
}

type Named = { readonly name: string; readonly path: Path };

type Place = { readonly at: Vec3; readonly room: number };

/** In the player's hands. */
function heldPlace(
  centre: Vec3,
  playersRoom: number,
  { name, path }: Named,
  { places, notes }: Context,
): Place | null {
  const room = roomAt(places, centre[0], centre[1]);
  if (room === playersRoom) return { at: centre, room };
  return notes.misplaced(path, `${name} would reach through a wall`, 'move the player away from it');
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
  if (room === null)
    return notes.misplaced(where, `${name} stands outside every room`, 'move it into a room');
  if (z !== undefined) return { at: [x, y, floorOf(places, room) + z], room };
  notes.assume('default', where, `${name} speaks at the height its player has it`);
  return { at: [x, y, usual], room };
}
