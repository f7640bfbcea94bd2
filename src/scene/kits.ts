/** Kits: one word in the plan, several sources in the room; how the level of a kit is shared among its pieces. */

import { energyOf } from '../acoustics/bands.ts';
import { type Axis, type Kit, mirroredAxis, mirroredPlace } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import type { Vec3 } from '../geometry.ts';
import type { PlayedEntry, PlayerEntry, SourceKeys } from '../plan/players.ts';
import type { Level } from '../plan/values.ts';
import type { Context, ResolvedSource } from './context.ts';
import { inRoom, type ResolvedPerson } from './people.ts';
import { floorOf, roomAt } from './room-places.ts';
import { axisOf, coverOf, figuresOf, levelOnAxis, sourceAcoustics } from './source-acoustics.ts';

type KitInPlay = {
  readonly kit: Kit;
  readonly player: PlayerEntry;
  readonly played: PlayedEntry;
  readonly who: ResolvedPerson;
  readonly name: string;
  readonly path: Path;
};

type Piece = {
  readonly name: string;
  readonly instrument: string;
  readonly place: Vec3 | null;
  readonly axis: Axis;
  readonly keys: SourceKeys;
};

/** The pieces of a kit as sources named "drums.snare"; `parts` of the plan changes, adds or takes away pieces. */
export function kitSources(inPlay: KitInPlay, context: Context): ResolvedSource[] {
  const { kit, played, name, path } = inPlay;
  const { playing, level } = played;
  if (playing !== undefined && !kit.playing.includes(playing)) {
    const what = `way of playing the ${kit.name}`;
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
      const what = `piece of ${name} to take away`;
      return notes.unknown(kit.parts.keys(), piece, what, at) ?? [];
    }
    const instrument = keys.instrument ?? piece.replace(/[- ]?\d+$/, '');
    if (keys.at) return [{ name: piece, instrument, place: null, axis: { bearing: 0, tilt: 90 }, keys }];
    const message = `nothing says where the added piece ${piece} stands`;
    return notes.fault('MISSING', at, message, 'give it an `at`, with a height: at: [2, 3, 0.9]') ?? [];
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

function pointOf(
  piece: Piece,
  { who, player, name }: KitInPlay,
  { places, notes }: Context,
): { at: Vec3; room: number } | null {
  const { at } = piece.keys;
  const place = piece.place && (player.hands === 'left' ? mirroredPlace(piece.place) : piece.place);
  const home = place && inRoom(who.body, place);
  const [x, y] = at ? [at.x, at.y] : [home?.[0] ?? 0, home?.[1] ?? 0];
  const room = roomAt(places, x, y);
  if (room === null || room !== who.room) {
    const message = `${name}.${piece.name} would stand outside the room`;
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
    const message =
      'the pieces that have a level of their own leave nothing of that of the whole kit to share';
    const mend = 'give either the kit a level or all its pieces';
    context.notes.fault('BAD_RANGE', where, message, mend);
    return [...sources];
  }
  const factor = left / energy(free);
  const text = 'the reading is shared among the pieces as a kit at mf has it, each on its axis';
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
