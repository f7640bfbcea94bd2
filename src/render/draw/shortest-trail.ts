/** The shortest way from bend to bend on the plan: a string that lies round edges and never runs through what is solid. */
import type { ReadyPanel } from '../../acoustics/panel.ts';
import type { Vec2 } from '../../scene/vector.ts';

/** A free end of a screen or an inner corner of the room. */
export type Bend = {
  readonly at: Vec2;
  /** A point just clear of it, where the line is drawn. */
  readonly past: Vec2;
  readonly panels: readonly ReadyPanel[];
  /** Directions of what is solid from here. */
  readonly rays: readonly Vec2[];
};

/** Whether nothing stands between two points but, it may be, some panels that end there. */
export type Free = (p: Vec2, q: Vec2, spared: readonly ReadyPanel[]) => boolean;

type Reached = { readonly gone: number; readonly trail: readonly Bend[]; readonly arrived: boolean };

/** The bends in order, or null where there is no way. What one may do at a bend hangs on where one comes from. */
export function shortestTrail(
  from: Vec2,
  to: Vec2,
  bends: readonly Bend[],
  free: Free,
): readonly Bend[] | null {
  const open: Reached[] = [{ gone: 0, trail: [], arrived: false }];
  const done = new Set<string>();
  while (open.length > 0) {
    open.sort((p, q) => p.gone - q.gone);
    const { gone, trail, arrived } = open.shift() as Reached;
    if (arrived) return trail;
    const here = trail.at(-1);
    const before = trail.at(-2)?.at ?? from;
    const state = `${bends.indexOf(here as Bend)} ${bends.indexOf(trail.at(-2) as Bend)}`;
    if (done.has(state)) continue;
    done.add(state);
    const at = here?.at ?? from;
    const canGo = (next: Vec2, more: readonly ReadyPanel[]) =>
      (!here || liesRound(here, before, next)) && free(at, next, [...(here?.panels ?? []), ...more]);
    for (const next of bends)
      if (!trail.includes(next) && canGo(next.at, next.panels))
        open.push({ gone: gone + span(at, next.at), trail: [...trail, next], arrived: false });
    if (canGo(to, [])) open.push({ gone: gone + span(at, to), trail, arrived: true });
  }
  return null;
}

const span = (a: Vec2, b: Vec2): number => Math.hypot(b[0] - a[0], b[1] - a[1]);

/** A taut string has all that is solid on the inner side of its bend. */
function liesRound({ at, rays }: Bend, last: Vec2, next: Vec2): boolean {
  const [back, on]: [Vec2, Vec2] = [
    [last[0] - at[0], last[1] - at[1]],
    [next[0] - at[0], next[1] - at[1]],
  ];
  const hand = Math.sign(cross(back, on));
  return rays.every((ray) => cross(back, ray) * hand > -1e-9 && cross(ray, on) * hand > -1e-9);
}

const cross = (a: Vec2, b: Vec2): number => a[0] * b[1] - a[1] * b[0];
