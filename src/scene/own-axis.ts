/** Whither something speaks that a player holds or sits at. */
import type { Path } from '../finding.ts';
import type { SourceKeys } from '../plan/plan-players.ts';
import { axisInRoom, type Body } from './body.ts';
import { bearingToward } from './facing.ts';
import type { Axis } from './instrument.ts';
import type { Setting } from './setting.ts';
import { direction, type Vec3 } from './vector.ts';

type Held = { readonly name: string; readonly path: Path; readonly at: Vec3; readonly body: Body };

/** Along its usual axis in the player's hands; a `facing` or a `tilt` of its own goes before that. */
export function axisOf(keys: SourceKeys, usual: Axis, held: Held, { plan, notes }: Setting): Vec3 {
  const tilt = keys.tilt ?? usual.tilt;
  const looker = { name: held.name, at: [held.at[0], held.at[1]] as const, path: [...held.path, 'facing'] };
  const bearing = keys.facing ? bearingToward(keys.facing, looker, plan, notes) : null;
  return bearing === null ? axisInRoom(held.body, { ...usual, tilt }) : direction(bearing, tilt);
}
