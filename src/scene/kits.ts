/** Kits as pieces; sharing a kit's level. */
import { energyOf } from '../acoustics/bands.ts';
import { type Axis, type Kit, mirroredAxis, mirroredPlace } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import type { Vec3 } from '../geometry.ts';
import type { PlayedEntry, PlayerEntry, SourceKeys } from '../plan/players.ts';
import type { Level } from '../plan/schema.ts';
import { assume, fault, notInCatalogue, type ResolvedSource, type Setting, unknownName } from './context.ts';
import { inRoom, type ResolvedPerson } from './people.ts';
import { axisOf, coverOf, figuresOf, levelOnAxis, sourceAcoustics } from './source-acoustics.ts';

// A kit as its pieces: one word in the plan, several voices in the room.
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

/** The pieces of a kit as voices named "drums.snare"; `parts` of the plan changes, adds or takes away pieces. */
export function kitVoices(inPlay: KitInPlay, setting: Setting): ResolvedSource[] {
  const { kit, played } = inPlay;
  const { playing } = played;
  if (playing !== undefined && !kit.playing.includes(playing)) {
    unknownName(kit.playing, playing, `way of playing the ${kit.name}`, {
      path: [...inPlay.path, 'playing'],
      notes: setting.notes,
    });
    return [];
  }
  const pieces = piecesOf(inPlay, setting);
  const voices = pieces.flatMap((piece) => pieceVoice(piece, inPlay, setting) ?? []);
  const { level } = played;
  if (!level) return voices;
  const held = pieces.filter(({ keys }) => keys.level !== undefined || keys.power !== undefined);
  const heldNames = new Set(held.map(({ name }) => `${inPlay.name}.${name}`));
  return broughtTo(voices, heldNames, { reading: level, path: inPlay.path }, setting);
}

function piecesOf(inPlay: KitInPlay, setting: Setting): Piece[] {
  const { kit, played } = inPlay;
  const { parts } = played;
  const own = [...kit.parts].flatMap(([name, { instrument, place, axis }]) => {
    const over = parts.get(name);
    if (over === null) return [];
    return [{ name, instrument: over?.instrument ?? instrument, place, axis, keys: over ?? NO_KEYS }];
  });
  const added = [...parts].flatMap(([name, over]) =>
    kit.parts.has(name) ? [] : (addedPiece(name, over, inPlay, setting) ?? []),
  );
  return [...own, ...added];
}

const NO_KEYS: SourceKeys = { fixed: false };

function addedPiece(
  name: string,
  over: SourceKeys | null,
  inPlay: KitInPlay,
  { notes }: Setting,
): Piece | null {
  const path = [...inPlay.path, 'parts', name];
  if (over === null) {
    unknownName(inPlay.kit.parts.keys(), name, `piece of ${inPlay.name} to take away`, { path, notes });
    return null;
  }
  const guess = name.replace(/[- ]?\d+$/, '');
  const instrument = over.instrument ?? guess;
  if (over.at) return { name, instrument, place: null, axis: { bearing: 0, tilt: 90 }, keys: over };
  fault(
    notes,
    'MISSING',
    path,
    `nothing says where the added piece ${name} stands`,
    'give it an `at`, with a height: at: [2, 3, 0.9]',
  );
  return null;
}

function pieceVoice(piece: Piece, inPlay: KitInPlay, setting: Setting): ResolvedSource | null {
  const { played, player, who } = inPlay;
  const path = played.parts.has(piece.name) ? [...inPlay.path, 'parts', piece.name] : inPlay.path;
  const context = { path, notes: setting.notes, air: setting.air };
  const instrument = setting.catalogue.instruments.get(piece.instrument);
  if (!instrument) {
    notInCatalogue([...setting.catalogue.instruments.values()], piece.instrument, 'instrument', {
      path,
      notes: setting.notes,
    });
    return null;
  }
  const keys = pieceKeys(piece, played);
  const way = keys.playing;
  // of what is said for the whole kit a piece takes what it knows; what is said of itself it must know
  const known = way !== undefined && (piece.keys.playing !== undefined || instrument.playing.has(way));
  const figures = known ? figuresOf(instrument, way, context) : instrument;
  if (!figures) return null;
  const sounding = sourceAcoustics(keys, figures, context);
  const point = pointOf(piece, inPlay, setting);
  if (!sounding || !point) return null;
  const name = `${inPlay.name}.${piece.name}`;
  const usual = player.hands === 'left' ? mirroredAxis(piece.axis) : piece.axis;
  const axis = axisOf(keys, usual, { name, path, at: point.at, body: who.body }, setting);
  return {
    name,
    path,
    instrument: piece.instrument,
    player: who.name,
    kit: inPlay.name,
    partName: keys.part ?? played.part ?? inPlay.name,
    repeats: false,
    later: keys.later ?? played.later,
    points: [{ ...point, axis, share: 1 }],
    facing: who.body.facing,
    sounding,
    cover: coverOf(keys.cover, [...path, 'cover'], setting),
    held: inPlay.kit,
    lineOnly: false,
  };
}

/** What the whole kit says holds for each piece, but for its level: that is of all together. */
function pieceKeys(piece: Piece, played: PlayedEntry): SourceKeys {
  const { dynamic, playing, cover } = played;
  const shared = {
    ...(dynamic && { dynamic }),
    ...(playing !== undefined && { playing }),
    ...(cover && { cover }),
  };
  return { ...(played.level ? { dynamic: 'mf' as const } : {}), ...shared, ...piece.keys };
}

function pointOf(
  piece: Piece,
  { who, player, name }: KitInPlay,
  setting: Setting,
): { at: Vec3; room: number } | null {
  const { at } = piece.keys;
  const place = piece.place && (player.hands === 'left' ? mirroredPlace(piece.place) : piece.place);
  const home = place && inRoom(who.body, place);
  const [x, y] = at ? [at.x, at.y] : [home?.[0] ?? 0, home?.[1] ?? 0];
  const room = setting.roomAt(x, y);
  if (room === null || room !== who.room) {
    fault(
      setting.notes,
      'BAD_PLACE',
      who.path,
      `${name}.${piece.name} would stand outside the room`,
      'move the kit away from the wall',
    );
    return null;
  }
  const height = at?.z === undefined ? (home?.[2] ?? who.body.at[2] + 1) : setting.floorOf(room) + at.z;
  return { at: [x, y, height], room };
}

// A reading of a whole kit, shared among its pieces.

type Read = { readonly reading: Level; readonly path: Path };

/**
 * Scales the pieces alike so that the on-axis levels of all together read what the plan says of the whole kit. Those in `held`
 * have a level of their own and keep it: the others share what is left.
 */
function broughtTo(
  voices: readonly ResolvedSource[],
  held: ReadonlySet<string>,
  { reading, path }: Read,
  setting: Setting,
): ResolvedSource[] {
  const energy = (some: readonly ResolvedSource[]) =>
    some.reduce((sum, voice) => sum + energyOnAxis(voice, reading, setting), 0);
  const free = voices.filter(({ name }) => !held.has(name));
  const left = energyOf(reading.spl) - energy(voices.filter(({ name }) => held.has(name)));
  const where = [...path, 'level'];
  if (left <= 0 || free.length === 0) {
    const message =
      'the pieces that have a level of their own leave nothing of that of the whole kit to share';
    fault(setting.notes, 'BAD_RANGE', where, message, 'give either the kit a level or all its pieces');
    return [...voices];
  }
  const factor = left / energy(free);
  assume(
    setting.notes,
    'default',
    where,
    'the reading is shared among the pieces as a kit at mf has it, each on its axis',
  );
  return voices.map((voice) => (held.has(voice.name) ? voice : louder(voice, factor)));
}

function louder(voice: ResolvedSource, factor: number): ResolvedSource {
  const { sounding } = voice;
  return sounding
    ? { ...voice, sounding: { ...sounding, power: sounding.power.map((w) => w * factor) } }
    : voice;
}

function energyOnAxis({ sounding }: ResolvedSource, { at, weighting }: Level, { air }: Setting): number {
  if (!sounding) return 0;
  const { power, directivity, radius } = sounding;
  return energyOf(levelOnAxis(power, { q: directivity.q, radius, airLoss: air.loss }, at, weighting));
}
