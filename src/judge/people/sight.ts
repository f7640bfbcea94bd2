/** Who sees whom: a straight line from eyes to eyes, and what stands in it. */
import type { Scene } from '../../scene/scene.ts';
import type { Verdict } from '../verdict.ts';
import { panelsInSight } from './sight-past-panels.ts';
import { wallsInSight } from './sight-through-walls.ts';

export type SightRow = {
  readonly players: readonly [string, string];
  readonly sees: boolean;
  /** What hides them from each other, from the first on; empty where they see each other. */
  readonly hiddenBy: readonly string[];
};

export type SightLimitRow = SightRow & { readonly verdict: Verdict };

export type Sight = { readonly rows: readonly SightRow[]; readonly limits: readonly SightLimitRow[] };

/**
 * Every pair of people, listeners included. Heads turn, so that nobody's facing counts; bodies, stands and instruments hide
 * nothing.
 */
export function judgeSight(scene: Scene): Sight {
  const indices = scene.players.map((_, i) => i);
  return {
    rows: indices.flatMap((one) =>
      indices.slice(one + 1).flatMap((other) => sightOf(scene, one, other) ?? []),
    ),
    limits: scene.limits.seeEachOther.flatMap(([one, other]) => {
      const row = sightOf(scene, one, other);
      return row ? [{ ...row, verdict: row.sees ? ('clear' as const) : ('short' as const) }] : [];
    }),
  };
}

function sightOf(scene: Scene, one: number, other: number): SightRow | null {
  const [from, to] = [scene.players[one], scene.players[other]];
  if (!from || !to || from === to) return null;
  const met = [...panelsInSight(scene, from.eyes, to.eyes), ...wallsInSight(scene, from, to)];
  const hiddenBy = [...new Set(met.sort((a, b) => a.part - b.part).map(({ what }) => what))];
  return { players: [from.name, to.name], sees: hiddenBy.length === 0, hiddenBy };
}
