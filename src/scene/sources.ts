/** What sounds: players' instruments, loudspeakers, sections; level and power. */
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
import {
  assume,
  bearingToward,
  fault,
  notInCatalogue,
  type ResolvedSource,
  type Setting,
  unknownName,
} from './context.ts';
import { kitVoices } from './kits.ts';
import { type Body, inRoom, postureOf, type ResolvedPerson } from './people.ts';
import { type Part, type Source, type SourcePoint, strictest } from './scene.ts';
import { axisOf, coverOf, figuresOf, sourceAcoustics, toSource } from './source-acoustics.ts';

// Everything that sounds: voices as sources of the scene, grouped in parts.
/** All voices in the order of the plan: players first, then what stands by itself. */
export function voicesOf(people: ReadonlyMap<string, ResolvedPerson>, setting: Setting): ResolvedSource[] {
  const { plan, notes } = setting;
  const played = [...plan.players].flatMap(([name, player]) => {
    const who = people.get(name);
    return who ? playedVoices(player, who, setting) : [];
  });
  const standing = [...plan.sources].flatMap(([name, entry]) => fixedSource(name, entry, setting) ?? []);
  for (const [name, { player }] of plan.sources) {
    if (player && 'name' in player && !plan.players.has(player.name)) {
      unknownName(plan.players.keys(), player.name, 'player', { path: ['sources', name, 'player'], notes });
    }
  }
  const voices = [...played, ...standing];
  refuseUnknownRepeats(voices, setting);
  refuseSameCentre(voices, setting);
  return voices.map((voice) => repeatedPart(voice, voices));
}

/** A wedge that repeats a source belongs to that source's part. */
function repeatedPart(voice: ResolvedSource, voices: readonly ResolvedSource[]): ResolvedSource {
  if (!voice.repeats) return voice;
  const original = voices.find((one) => one.name === voice.partName || one.kit === voice.partName);
  return original ? { ...voice, partName: original.partName } : voice;
}

function refuseUnknownRepeats(voices: readonly ResolvedSource[], { notes }: Setting): void {
  for (const voice of voices.filter(({ repeats }) => repeats)) {
    const others = voices
      .filter((one) => one !== voice && !one.repeats)
      .flatMap(({ name, kit, partName }) => [name, kit ?? name, partName]);
    if (!others.includes(voice.partName)) {
      unknownName(new Set(others), voice.partName, 'source to repeat', {
        path: [...voice.path, 'repeats'],
        notes,
      });
    }
  }
}

/** Two acoustic centres in one point: no two things fit there. */
function refuseSameCentre(voices: readonly ResolvedSource[], { notes }: Setting): void {
  const centres = voices.map(({ points }) => (points.length > 0 ? middleOf(points) : null));
  voices.forEach((voice, i) => {
    const centre = centres[i];
    const other = voices.find((_, j) => {
      const one = centres[j];
      return j < i && one && centre && distance(one, centre) < 0.01;
    });
    if (other)
      fault(
        notes,
        'BAD_PLACE',
        [...voice.path, 'at'],
        `${voice.name} is in the same point as ${other.name}`,
        'move one of them',
      );
  });
}

/** Sources and parts of the scene; `players` are the scene's players by name. */
export function sourcesOf(
  voices: readonly ResolvedSource[],
  players: readonly string[],
): { sources: Source[]; parts: Part[] } {
  const names = [...new Set(voices.map(({ partName }) => partName))];
  const sources = voices.map((voice) => {
    const player = voice.player === null ? -1 : players.indexOf(voice.player);
    return toSource(voice, player < 0 ? null : player, names.indexOf(voice.partName));
  });
  const parts = names.map((name): Part => {
    const members = voices.flatMap((voice, i) => (voice.partName === name ? [i] : []));
    const first = voices[members[0] ?? 0] as ResolvedSource;
    const { later } = strictest(members.map((i) => voices[i]?.later ?? 'rebalance'));
    return { name, path: first.path, sources: members, later };
  });
  return { sources, parts };
}

// Sources that stand by themselves: loudspeakers, organs, bells, sections, lines.

/** The instrument that is a line alone. */
const LINE_ONLY = 'line-only';

function fixedSource(name: string, entry: SourceEntry, setting: Setting): ResolvedSource | null {
  const path: Path = ['sources', name];
  const room = setting.roomAt(entry.at.x, entry.at.y);
  if (room === null) {
    fault(
      setting.notes,
      'BAD_PLACE',
      [...path, 'at'],
      `${name} stands outside every room`,
      'move the place into a room',
    );
    return null;
  }
  const facing = facingOf(name, entry, setting);
  const voice = {
    name,
    path,
    player: playerOf(name, entry),
    kit: null,
    partName: entry.repeats ?? entry.part ?? name,
    repeats: entry.repeats !== undefined,
    later: entry.later,
    facing,
  };
  if (entry.instrument === LINE_ONLY) {
    return {
      ...voice,
      instrument: LINE_ONLY,
      points: [],
      sounding: null,
      cover: null,
      held: null,
      lineOnly: true,
    };
  }
  const instrument = instrumentOf(entry, path, setting);
  if (entry.instrument !== undefined && !instrument) return null;
  const context = { path, notes: setting.notes, air: setting.air };
  const figures = instrument && figuresOf(instrument, entry.playing, context);
  if (instrument && !figures) return null;
  const sounding = sourceAcoustics(entry, figures, context);
  if (!sounding) return null;
  const middle: Vec3 = [
    entry.at.x,
    entry.at.y,
    setting.floorOf(room) + heightOf(name, entry, figures?.place.seated[2], setting),
  ];
  const axis = direction(facing, entry.tilt ?? figures?.axis.tilt ?? 0);
  const players = entry.section?.players ?? 1;
  return {
    ...voice,
    instrument: entry.instrument ?? null,
    points: pointsOf(name, entry, { middle, axis, facing, room }, setting),
    sounding: { ...sounding, power: sounding.power.map((w) => w * players) },
    cover: coverOf(entry.cover, [...path, 'cover'], setting),
    held: figures,
    lineOnly: false,
  };
}

function facingOf(name: string, entry: SourceEntry, setting: Setting): number {
  const path = ['sources', name];
  if (!entry.facing) {
    if (entry.instrument !== LINE_ONLY) {
      assume(setting.notes, 'guess', path, `${name} faces up the page, since no facing is given`);
    }
    return 0;
  }
  const looker = { name, at: [entry.at.x, entry.at.y] as const, path: [...path, 'facing'] };
  return bearingToward(entry.facing, looker, setting.plan, setting.notes) ?? 0;
}

function heightOf(name: string, entry: SourceEntry, usual: number | undefined, setting: Setting): number {
  if (entry.at.z !== undefined) return entry.at.z;
  const height = usual ?? 1;
  const why =
    usual === undefined
      ? 'as high as a seated player has most instruments'
      : `where a ${entry.instrument} speaks`;
  assume(
    setting.notes,
    'default',
    ['sources', name, 'at'],
    `${name} stands ${lengthsIn(setting.plan.units).size(height)} above the floor, ${why}`,
  );
  return height;
}

const playerOf = (name: string, { player }: SourceEntry): string | null =>
  player ? ('name' in player ? player.name : name) : null;

type Stand = { readonly middle: Vec3; readonly axis: Vec3; readonly facing: number; readonly room: number };

function pointsOf(name: string, entry: SourceEntry, stand: Stand, setting: Setting): SourcePoint[] {
  const { middle, axis, facing, room } = stand;
  if (!entry.section) return [{ at: middle, axis, room, share: 1 }];
  const places = sectionPoints(entry.section, middle, facing);
  const corners = sectionCorners(entry.section, middle, facing);
  if ([...corners, ...places].some(([x, y]) => setting.roomAt(x, y) !== room)) {
    fault(
      setting.notes,
      'BAD_PLACE',
      ['sources', name, 'section'],
      `${name} does not fit into the room`,
      'make it narrower or turn it',
    );
  }
  return places.map((at) => ({ at, axis, room, share: 1 / places.length }));
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

/** Every voice of one player. */
function playedVoices(player: PlayerEntry, who: ResolvedPerson, setting: Setting): ResolvedSource[] {
  return player.plays.flatMap((played) => {
    const name = played.name ?? who.name;
    const path = playedPath(played, player, who);
    if (played.instrument === undefined && played.spectrum === undefined && played.power === undefined) {
      fault(
        setting.notes,
        'MISSING',
        path,
        `nothing says which instrument ${name} is`,
        'give an instrument of the catalogue',
      );
      return [];
    }
    const kit = setting.catalogue.kits.get(played.instrument ?? '');
    if (kit) return kitVoices({ kit, player, played, who, name, path }, setting);
    const voice = oneVoice(played, player, who, { name, path }, setting);
    return voice ? [voice] : [];
  });
}

function playedPath(played: PlayedEntry, player: PlayerEntry, who: ResolvedPerson): Path {
  if (played.name === null) return player.plays.length === 1 ? who.path : [...who.path, 'plays'];
  return [...who.path, 'plays', played.name];
}

type Named = { readonly name: string; readonly path: Path };

function oneVoice(
  keys: SourceKeys,
  player: PlayerEntry,
  who: ResolvedPerson,
  named: Named,
  setting: Setting,
): ResolvedSource | null {
  const { notes, air } = setting;
  const context = { path: named.path, notes, air };
  const instrument = instrumentOf(keys, named.path, setting);
  if (keys.instrument !== undefined && !instrument) return null;
  const figures = instrument && figuresOf(instrument, keys.playing, context);
  if (instrument && !figures) return null;
  const sounding = sourceAcoustics(keys, figures, context);
  if (!sounding) return null;
  const stance = stanceOf(who.body, figures, instrument, player.hands);
  const place = placeOf(keys, stance, named, setting, who.room);
  if (!place) return null;
  const axis = axisOf(keys, stance.axis, { ...named, at: place.at, body: who.body }, setting);
  return {
    name: named.name,
    path: named.path,
    instrument: keys.instrument ?? null,
    player: who.name,
    kit: null,
    partName: keys.part ?? named.name,
    repeats: false,
    later: keys.later,
    points: [{ at: place.at, axis, room: place.room, share: 1 }],
    facing: who.body.facing,
    sounding,
    cover: coverOf(keys.cover, [...named.path, 'cover'], setting),
    held: figures,
    lineOnly: false,
  };
}

/** Instrument of the catalogue; null with a fault where it is not there, null without one where the plan names none. */
function instrumentOf(keys: SourceKeys, path: Path, { catalogue, notes }: Setting): Instrument | null {
  if (keys.instrument === undefined) return null;
  const instrument = catalogue.instruments.get(keys.instrument);
  if (instrument) return instrument;
  const known = [...catalogue.instruments.values(), ...catalogue.kits.values()];
  const inKeys = path.at(-2) === 'players' ? 'plays' : 'instrument';
  notInCatalogue(known, keys.instrument, 'instrument', { path: [...path, inKeys], notes });
  return null;
}

type Stance = { readonly centre: Vec3; readonly axis: Axis };

/** Centre in the room and axis in the player's own terms, from his body and hands. */
function stanceOf(
  body: Body,
  figures: Figures | null,
  instrument: Instrument | null,
  hands: 'right' | 'left',
): Stance {
  const flips = hands === 'left' && (instrument?.mirrors ?? true);
  const place = figures
    ? postureOf(figures.place, body.standing)
    : ([0, 0.3, body.standing ? 1.4 : 1] as const);
  const axis: Axis = figures?.axis ?? { bearing: 0, tilt: 0 };
  return {
    centre: inRoom(body, flips ? mirroredPlace(place) : place),
    axis: flips ? mirroredAxis(axis) : axis,
  };
}

/** Where it speaks: its own `at`, at the instrument's height where that has none, or its place in the player's hands. */
function placeOf(
  keys: SourceKeys,
  stance: Stance,
  named: Named,
  setting: Setting,
  playersRoom: number,
): { at: Vec3; room: number } | null {
  if (!keys.at) {
    const room = setting.roomAt(stance.centre[0], stance.centre[1]);
    if (room === playersRoom) return { at: stance.centre, room };
    fault(
      setting.notes,
      'BAD_PLACE',
      named.path,
      `${named.name} would reach through a wall`,
      'move the player away from it',
    );
    return null;
  }
  const room = setting.roomAt(keys.at.x, keys.at.y);
  if (room === null) {
    fault(
      setting.notes,
      'BAD_PLACE',
      [...named.path, 'at'],
      `${named.name} stands outside every room`,
      'move it into a room',
    );
    return null;
  }
  if (keys.at.z === undefined) {
    assume(
      setting.notes,
      'default',
      [...named.path, 'at'],
      `${named.name} speaks at the height its player has it`,
    );
    return { at: [keys.at.x, keys.at.y, stance.centre[2]], room };
  }
  return { at: [keys.at.x, keys.at.y, setting.floorOf(room) + keys.at.z], room };
}
