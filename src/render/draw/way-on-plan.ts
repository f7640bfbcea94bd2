/** How a source's sound gets to a microphone, as a line on the plan: straight, or the shortest way round what stands between. */

import type { ReadyPanel } from '../../acoustics/panel.ts';
import { isBlocked } from '../../acoustics/plan-sight.ts';
import type { Screen } from '../../acoustics/screen.ts';
import type { Stage } from '../../acoustics/stage.ts';
import { throughWall } from '../../acoustics/through-wall.ts';
import { crossing, seesWithin } from '../../scene/polygon.ts';
import { OUTSIDE, type WallElement } from '../../scene/scene.ts';
import type { Vec2, Vec3 } from '../../scene/vector.ts';
import { type Bend, type Free, shortestTrail } from './shortest-trail.ts';

export type End = { readonly at: Vec3; readonly room: number };

/** Corners of the way, both ends included. Through a wall it runs straight, through what stands open by way of it. */
export function wayOnPlan(stage: Stage, source: End, mic: End): Vec2[] {
  if (source.room === mic.room) return withinRoom(stage, source, mic);
  const { openings } = throughWall(stage.scene, source, mic);
  const vias = openings.map((opening) => nearestPoint(opening, source.at, mic.at));
  const [via] = vias.sort((p, q) => detour(p, source.at, mic.at) - detour(q, source.at, mic.at));
  if (!via) return [flat(source.at), flat(mic.at)];
  const door: Vec3 = [via[0], via[1], (source.at[2] + mic.at[2]) / 2];
  const before = withinRoom(stage, source, { at: door, room: source.room });
  return [...before.slice(0, -1), ...withinRoom(stage, { at: door, room: mic.room }, mic)];
}

const flat = ([x, y]: Vec3): Vec2 => [x, y];
type Planar = readonly [number, number] | Vec3;
const span = (a: Planar, b: Planar): number => Math.hypot(b[0] - a[0], b[1] - a[1]);
const detour = (via: Vec2, a: Vec3, b: Vec3): number => span(a, via) + span(via, b);

/** Where a way between the two meets the opening: straight through it, or past its nearer jamb, 5 cm off. */
function nearestPoint({ a, b }: WallElement, source: Vec3, mic: Vec3): Vec2 {
  const met = crossing(a, b, flat(source), flat(mic));
  const inset = Math.min(0.5, 0.05 / span(a, b));
  const part = (at: number): Vec2 => [a[0] + (b[0] - a[0]) * at, a[1] + (b[1] - a[1]) * at];
  if (met) return part(Math.min(1 - inset, Math.max(inset, met[0])));
  const [one, other] = [part(inset), part(1 - inset)];
  return detour(one, source, mic) <= detour(other, source, mic) ? one : other;
}

/** How far clear of an edge the line is drawn, m. */
const CLEAR = 0.06;

function withinRoom(stage: Stage, from: End, to: End): Vec2[] {
  const straight = [flat(from.at), flat(to.at)];
  const around = stage.surroundings[from.room === OUTSIDE ? stage.shapes.length : from.room];
  const screens = around?.screens?.list ?? [];
  const panels = screens.flatMap((screen) => screen.panels);
  const outline = stage.scene.rooms[from.room]?.outline ?? null;
  const inTheWay = panels.some((panel) => meets(panel, from.at, to.at));
  if (!inTheWay && (!outline || seesWithin(outline, flat(from.at), flat(to.at)))) return straight;
  const bends = [...screens.flatMap(endsOf), ...(around?.corners?.list ?? []).map(cornerBend)];
  const free: Free = (p, q, spared) =>
    panels.every((panel) => spared.includes(panel) || !isBlocked(panel, p, q)) &&
    (!outline || seesWithin(outline, p, q));
  const trail = shortestTrail(flat(from.at), flat(to.at), bends, free);
  return trail ? [flat(from.at), ...trail.map(({ past }) => past), flat(to.at)] : straight;
}

const endsOf = ({ nodes, panels }: Screen): Bend[] =>
  nodes.flatMap(({ at, solid, passable, rays, panels: meeting }) =>
    passable && solid
      ? [{ at, past: beyond(at, solid), panels: meeting.flatMap((i) => panels[i] ?? []), rays }]
      : [],
  );

const cornerBend = ({ at, solid }: { readonly at: Vec2; readonly solid: Vec2 }): Bend => ({
  at,
  past: beyond(at, solid),
  panels: [],
  rays: [solid],
});

const beyond = (at: Vec2, solid: Vec2): Vec2 => [at[0] - solid[0] * CLEAR, at[1] - solid[1] * CLEAR];

/** Whether the panel stands in the straight line in height as well. */
function meets(panel: ReadyPanel, from: Vec3, to: Vec3): boolean {
  if (!isBlocked(panel, from, to)) return false;
  const part = crossing(flat(from), flat(to), panel.a, panel.b)?.[0] ?? 0;
  const height = from[2] + (to[2] - from[2]) * part;
  return height >= panel.low && height <= panel.high;
}
