/** Sources that stand by themselves: loudspeakers, organs, bells, sections, lines. */

import type { Path } from '../finding.ts';
import { lengthsIn } from '../plan/lengths.ts';
import type { SourceEntry } from '../plan/plan-players.ts';
import { coverOf } from './cover-of.ts';
import { bearingToward } from './facing.ts';
import { assume, fault } from './notes.ts';
import { instrumentOf } from './played.ts';
import type { SourcePoint } from './scene.ts';
import { sectionCorners, sectionPoints } from './section.ts';
import type { Setting } from './setting.ts';
import { figuresOf, soundingOf } from './sounding.ts';
import { direction, type Vec3 } from './vector.ts';
import type { Voice } from './voice.ts';

/** The instrument that is a line alone. */
const LINE_ONLY = 'line-only';

export function standingVoice(name: string, entry: SourceEntry, setting: Setting): Voice | null {
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
  const sounding = soundingOf(entry, figures, context);
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
