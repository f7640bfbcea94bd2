/** Where a microphone stands: at a place, or near its source. */

import type { Path } from '../finding.ts';
import { lengthsIn } from '../plan/lengths.ts';
import type { MicEntry, NearEntry } from '../plan/plan-mics.ts';
import { assume, fault } from './notes.ts';
import type { Setting } from './setting.ts';
import { add, bearingOf, direction, distance, scale, tiltOf, type Vec3 } from './vector.ts';
import { middleOf, type Voice } from './voice.ts';

/** Steeper than this an axis gives no direction on the plan, degrees. */
const STEEP = 60;

export type Placed = { readonly at: Vec3; readonly room: number };

/** Null with a fault where the place is missing, outside the rooms, or cannot be. `own` are the voices it is for. */
export function micPlace(
  entry: MicEntry,
  own: readonly Voice[],
  path: Path,
  setting: Setting,
): Placed | null {
  const { apart, close } = lengthsIn(setting.plan.units);
  const at = entry.near
    ? nearPlace(entry.near, own, [...path, 'near'], setting)
    : typedPlace(entry, own, path, setting);
  if (!at) return null;
  const room = setting.roomAt(at[0], at[1]);
  const where = [...path, entry.near ? 'near' : 'at'];
  if (room === null && entry.near) {
    const away = `${apart(entry.near.distance)} from its source`;
    const mend = 'bring it closer; a bare number counts in the units of the plan: 25 cm says its own';
    fault(setting.notes, 'BAD_PLACE', where, `this microphone, ${away}, stands outside every room`, mend);
    return null;
  }
  if (room === null) {
    fault(
      setting.notes,
      'BAD_PLACE',
      where,
      'this microphone stands outside every room',
      'move it into a room',
    );
    return null;
  }
  if (at[2] < setting.floorOf(room) - 1e-9 || at[2] > setting.ceilingOf(room) + 1e-9) {
    const height = apart(at[2] - setting.floorOf(room));
    fault(
      setting.notes,
      'BAD_PLACE',
      where,
      `this microphone would hang ${height} above the floor, outside the room`,
    );
    return null;
  }
  const struck = own.flatMap(({ points }) => points).some((point) => distance(point.at, at) < 0.005);
  if (struck) {
    fault(
      setting.notes,
      'BAD_PLACE',
      where,
      'this microphone stands in the very centre of its source',
      `move it at least ${close(0.01)} away`,
    );
    return null;
  }
  return { at, room };
}

function typedPlace(entry: MicEntry, own: readonly Voice[], path: Path, setting: Setting): Vec3 | null {
  if (!entry.at) {
    fault(
      setting.notes,
      'MISSING',
      path,
      'nothing says where this microphone stands',
      'give it `at: [x, y, z]` or `near: {distance: 20 cm}`',
    );
    return null;
  }
  const { x, y, z } = entry.at;
  const room = setting.roomAt(x, y) ?? -1;
  if (z !== undefined) return [x, y, setting.floorOf(room) + z];
  const first = own.find(({ points }) => points.length > 0);
  if (!first) {
    fault(
      setting.notes,
      'MISSING',
      [...path, 'at'],
      'nothing says how high this microphone stands',
      'give a third number, the height',
    );
    return null;
  }
  assume(setting.notes, 'default', [...path, 'at'], `stands as high as ${first.name}`);
  return [x, y, middleOf(first.points)[2]];
}

/**
 * Near the source: `distance` straight from its acoustic centre; on its axis in space, or, with a height, at that elevation
 * in the axis's direction on the plan; `angle` turns it on the plan to the player's own side.
 */
function nearPlace(near: NearEntry, own: readonly Voice[], path: Path, setting: Setting): Vec3 | null {
  const points = own.flatMap((voice) => voice.points);
  const first = own.find((voice) => voice.points.length > 0);
  if (!first) {
    fault(
      setting.notes,
      'BAD_PLACE',
      path,
      'a microphone for everyone is near nobody in particular',
      'give it `at: [x, y, z]`',
    );
    return null;
  }
  const centre = middleOf(own.length === 1 ? first.points : points);
  const axis = own.length === 1 ? (first.points[0]?.axis ?? [0, 1, 0]) : direction(first.facing);
  const turn = near.side === 'left' ? -near.angle : near.angle;
  const rise = riseOf(near, centre, first, setting);
  if (rise === null)
    return add(centre, scale(direction(bearingOf(axis) + turn, tiltOf(axis)), near.distance));
  if (Math.abs(rise) > near.distance) {
    const { apart } = lengthsIn(setting.plan.units);
    const message = `${apart(Math.abs(rise))} ${rise < 0 ? 'below' : 'above'} the source is further than the distance of ${apart(near.distance)}`;
    fault(
      setting.notes,
      'BAD_PLACE',
      path,
      message,
      'the distance is straight from the acoustic centre: make it greater, or the height smaller',
    );
    return null;
  }
  const bearing = Math.abs(tiltOf(axis)) > STEEP ? first.facing : bearingOf(axis);
  const flat = Math.sqrt(near.distance ** 2 - rise ** 2);
  return add(centre, add(scale(direction(bearing + turn), flat), [0, 0, rise]));
}

/** Height above the acoustic centre, or null where the plan gives none. */
function riseOf(near: NearEntry, centre: Vec3, first: Voice, setting: Setting): number | null {
  if (near.height !== undefined)
    return setting.floorOf(first.points[0]?.room ?? -1) + near.height - centre[2];
  if (near.above !== undefined) return near.above;
  return near.below === undefined ? null : -near.below;
}
