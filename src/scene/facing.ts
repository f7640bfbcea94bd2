/** Facings and their targets: a bearing, or the bearing of what a name stands for. */
import type { Path } from '../finding.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Person } from '../plan/plan-players.ts';
import type { Facing } from '../plan/plan-values.ts';
import { unknownName } from './lookup.ts';
import { fault, type Notes } from './notes.ts';
import { bearingOf } from './vector.ts';

type Looker = { readonly name: string; readonly at: readonly [number, number]; readonly path: Path };

/** Bearing in degrees, or null with a fault where the target is not there or stands on the same spot. */
export function bearingToward(facing: Facing, who: Looker, plan: PlanData, notes: Notes): number | null {
  if ('bearing' in facing) return facing.bearing;
  const target = bodyPlace(plan, facing.target);
  if (!target) {
    unknownName(targetNames(plan), facing.target, 'player, source, baffle or microphone', {
      path: who.path,
      notes,
    });
    return null;
  }
  const dx = target[0] - who.at[0];
  const dy = target[1] - who.at[1];
  if (Math.hypot(dx, dy) >= 0.01) return bearingOf([dx, dy, 0]);
  fault(
    notes,
    'BAD_PLACE',
    who.path,
    `${who.name} stands where ${facing.target} is and cannot face it`,
    'give a bearing',
  );
  return null;
}

/** Where on the plan one looks to face a name: the body of a player, or of whoever plays it; else the thing itself. */
export function bodyPlace(plan: PlanData, name: string): readonly [number, number] | null {
  const person = plan.players.get(name) ?? plan.listeners.get(name) ?? playerOf(plan, name);
  if (person) return person.at;
  const source = plan.sources.get(name) ?? [...plan.sources.values()].find((one) => one.part === name);
  if (source) return [source.at.x, source.at.y];
  const baffle = plan.baffles.get(name);
  if (baffle) return [(baffle.from[0] + baffle.to[0]) / 2, (baffle.from[1] + baffle.to[1]) / 2];
  const mic = plan.mics.get(name);
  if (mic?.at) return [mic.at.x, mic.at.y];
  const first = mic?.for.kind === 'parts' ? mic.for.names[0] : undefined;
  return first === undefined || first === name ? null : bodyPlace(plan, first);
}

/** The player among whose instruments, kit pieces or parts the name is. */
function playerOf(plan: PlanData, name: string): Person | undefined {
  const kit = name.split('.')[0];
  return [...plan.players.entries()].find(([player, { plays }]) =>
    plays.some((one) => one.name === name || one.part === name || one.name === kit || player === kit),
  )?.[1];
}

export function targetNames(plan: PlanData): string[] {
  const played = [...plan.players.values()].flatMap(({ plays }) => plays.flatMap(({ name }) => name ?? []));
  const maps = [plan.players, plan.sources, plan.listeners, plan.baffles, plan.mics];
  return [...maps.flatMap((map) => [...map.keys()]), ...played];
}
