/** What players play: one instrument, several, a kit; where each speaks and whither. */
import type { Path } from '../finding.ts';
import type { PlayedEntry, PlayerEntry, SourceKeys } from '../plan/plan-players.ts';
import { type Body, inRoom, postureOf } from './body.ts';
import { coverOf } from './cover-of.ts';
import { type Axis, type Figures, type Instrument, mirroredAxis, mirroredPlace } from './instrument.ts';
import { kitVoices } from './kit-voices.ts';
import { notInCatalogue } from './lookup.ts';
import { assume, fault } from './notes.ts';
import { axisOf } from './own-axis.ts';
import type { Someone } from './people.ts';
import type { Setting } from './setting.ts';
import { figuresOf, soundingOf } from './sounding.ts';
import type { Vec3 } from './vector.ts';
import type { Voice } from './voice.ts';

/** Every voice of one player. */
export function playedVoices(player: PlayerEntry, who: Someone, setting: Setting): Voice[] {
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

function playedPath(played: PlayedEntry, player: PlayerEntry, who: Someone): Path {
  if (played.name === null) return player.plays.length === 1 ? who.path : [...who.path, 'plays'];
  return [...who.path, 'plays', played.name];
}

type Named = { readonly name: string; readonly path: Path };

function oneVoice(
  keys: SourceKeys,
  player: PlayerEntry,
  who: Someone,
  named: Named,
  setting: Setting,
): Voice | null {
  const { notes, air } = setting;
  const context = { path: named.path, notes, air };
  const instrument = instrumentOf(keys, named.path, setting);
  if (keys.instrument !== undefined && !instrument) return null;
  const figures = instrument && figuresOf(instrument, keys.playing, context);
  if (instrument && !figures) return null;
  const sounding = soundingOf(keys, figures, context);
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
export function instrumentOf(keys: SourceKeys, path: Path, { catalogue, notes }: Setting): Instrument | null {
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
