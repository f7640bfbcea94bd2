/** Shortest paths round obstacles: on the plan round ends and corners, in section over tops and under bottoms. */
import { orientation, span, type Vec2, type Vec3 } from '../geometry.ts';
import type { Panel } from '../scene/scene.ts';
import type { Barrier, BarrierNode } from './barrier.ts';
import { addBend, type BendChain, chainWave } from './combined-loss.ts';
import { horizontalEdgePath } from './diffraction-path.ts';
import { driftOf, type HalfAngle, setCoherence, setHalfAngle } from './edge-diffraction.ts';
import { isBlocked, type PreparedPanel } from './panel.ts';
import type { EdgePath, PanelWorkspace } from './panel-diffraction.ts';
import { setPoint } from './panel-view.ts';

// The shortest path from bend to bend on the plan: round edges and never runs through what is solid.
/** A free end of a barrier or an inner corner of the room. */
export type Bend = {
  readonly at: Vec2;
  /** A point just clear of it, where the line is drawn. */
  readonly past: Vec2;
  readonly panels: readonly PreparedPanel[];
  /** Directions of what is solid from here. */
  readonly rays: readonly Vec2[];
};

/** Whether nothing stands between two points but, it may be, some panels that end there. */
export type Free = (p: Vec2, q: Vec2, spared: readonly PreparedPanel[]) => boolean;
type Reached = { readonly gone: number; readonly trail: readonly Bend[]; readonly arrived: boolean };

/** The bends in order, or null where there is none. What a path may do at a bend depends on where it comes from. */
export function shortestPathOnPlan(
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
    const canGo = (next: Vec2, more: readonly PreparedPanel[]) =>
      (!here || liesRound(here, before, next)) && free(at, next, [...(here?.panels ?? []), ...more]);
    for (const next of bends)
      if (!trail.includes(next) && canGo(next.at, next.panels))
        open.push({ gone: gone + span(at, next.at), trail: [...trail, next], arrived: false });
    if (canGo(to, [])) open.push({ gone: gone + span(at, to), trail, arrived: true });
  }
  return null;
}

/** A shortest path has all that is solid on the inner side of its bend. */
function liesRound({ at, rays }: Bend, last: Vec2, next: Vec2): boolean {
  const back: Vec2 = [last[0] - at[0], last[1] - at[1]];
  const on: Vec2 = [next[0] - at[0], next[1] - at[1]];
  const hand = Math.sign(cross(back, on));
  return rays.every((ray) => cross(back, ray) * hand > -1e-9 && cross(ray, on) * hand > -1e-9);
}

const cross = (a: Vec2, b: Vec2): number => a[0] * b[1] - a[1] * b[0];

// Paths over the tops and under the bottoms of several panels that the straight line crosses.

/** Where the straight line crosses panels on the plan, in its order: share of its length, and which panel. */
export type Crossings = { count: number; readonly at: number[]; readonly panels: PreparedPanel[] };

/** Over the tops (or under the bottoms) of all panels crossed; a single one bends it as a panel alone does. */
export function horizontalEdgePaths(
  workspace: PanelWorkspace,
  below: boolean,
  ends: Ends,
  crossed: CrossedPanels,
): void {
  const { crossings, chain, hull } = crossed;
  const edgePath = workspace.horizontals[below ? 1 : 0];
  edgePath.there = true;
  for (let i = 0; i < crossings.count; i++) {
    const panel = crossings.panels[i] as PreparedPanel;
    if (!(below ? panel.edgeBottom : panel.edgeTop)) edgePath.there = false;
  }
  if (!edgePath.there) return;
  findHull(hull, crossings, below, ends);
  if (hull.length === 0) nearestEdgePath(workspace, edgePath, below, ends, crossings);
  else if (hull.length === 1)
    horizontalEdgePath(workspace, crossings.panels[hull[0] as number] as PreparedPanel, below, ...ends);
  else hullPath(workspace, edgePath, ends, { below, crossings, chain, hull });
}

type CrossedPanels = { readonly crossings: Crossings; readonly chain: BendChain; readonly hull: number[] };
const levelOf = (panel: PreparedPanel, below: boolean): number => (below ? panel.low : panel.high);

/** Crossings that the path path over all of them touches. */
function findHull(hull: number[], crossings: Crossings, below: boolean, [source, mic]: Ends): void {
  const down = below ? -1 : 1;
  hull.length = 0;
  let place = 0;
  let height = source[2];
  let next = 0;
  while (next < crossings.count) {
    let steepest = (down * (mic[2] - height)) / (1 - place);
    let touched = -1;
    for (let i = next; i < crossings.count; i++) {
      const level = levelOf(crossings.panels[i] as PreparedPanel, below);
      const slope = (down * (level - height)) / Math.max((crossings.at[i] as number) - place, 1e-9);
      if (slope >= steepest) {
        steepest = slope;
        touched = i;
      }
    }
    if (touched < 0) return;
    hull.push(touched);
    place = crossings.at[touched] as number;
    height = levelOf(crossings.panels[touched] as PreparedPanel, below);
    next = touched + 1;
  }
}

/** The line is clear of every level edge: the one it passes at the least detour counts. */
function nearestEdgePath(
  workspace: PanelWorkspace,
  edgePath: EdgePath,
  below: boolean,
  ends: Ends,
  crossings: Crossings,
): void {
  let nearest = 0;
  let least = Infinity;
  for (let i = 0; i < crossings.count; i++) {
    horizontalEdgePath(workspace, crossings.panels[i] as PreparedPanel, below, ...ends);
    if (edgePath.detour < least) {
      least = edgePath.detour;
      nearest = i;
    }
  }
  horizontalEdgePath(workspace, crossings.panels[nearest] as PreparedPanel, below, ...ends);
}

/** Lengths and angles in the upright plane of the straight line. */
function hullPath(
  workspace: PanelWorkspace,
  edgePath: EdgePath,
  [source, mic]: Ends,
  crossed: CrossedPanels & { below: boolean },
): void {
  const { crossings, chain, hull, below } = crossed;
  const flat = span(source, mic);
  const place = (i: number): number =>
    i < 0 ? 0 : i < hull.length ? (crossings.at[hull[i] as number] as number) * flat : flat;
  const height = (i: number): number => {
    if (i < 0) return source[2];
    return i < hull.length ? levelOf(crossings.panels[hull[i] as number] as PreparedPanel, below) : mic[2];
  };
  const leg = (i: number): number => Math.hypot(place(i) - place(i - 1), height(i) - height(i - 1));
  let whole = 0;
  for (let i = 0; i <= hull.length; i++) whole += leg(i);
  const { bend } = chain;
  chain.count = 0;
  let gone = 0;
  for (let i = 0; i < hull.length; i++) {
    gone += leg(i);
    const down = below ? -1 : 1;
    bend.before = gone;
    bend.after = whole - gone;
    bend.whole = whole;
    setHalfAngle(bend.toSource, place(i) - place(i - 1), down * (height(i) - height(i - 1)));
    setHalfAngle(bend.toMic, place(i + 1) - place(i), down * (height(i) - height(i + 1)));
    addBend(chain, (crossings.panels[hull[i] as number] as PreparedPanel).rho, workspace.waves);
  }
  const end = hull.length - 1;
  const x = (mic[0] - source[0]) / flat;
  const y = (mic[1] - source[1]) / flat;
  setPoint(edgePath.first, source[0] + place(0) * x, source[1] + place(0) * y, height(0));
  setPoint(edgePath.last, source[0] + place(end) * x, source[1] + place(end) * y, height(end));
  finishPath(workspace, edgePath, chain, [source, mic], whole);
}

// Diffraction round a barrier of several panels along the path path on the plan.

type Ends = readonly [Vec3, Vec3];

/** Round the upright edges at which a shortest path bends. */
export function shortestPathDiffraction(
  workspace: PanelWorkspace,
  edgePath: EdgePath,
  [source, mic]: Ends,
  round: ShortestPathRound,
): void {
  const { barrier, shortest, chain } = round;
  const { bend } = chain;
  const rise = mic[2] - source[2];
  const whole = Math.hypot(shortest.length, rise);
  chain.count = 0;
  let gone = 0;
  let last: Vec2 | Vec3 = source;
  for (let i = 0; i < shortest.count; i++) {
    const node = barrier.nodes[shortest.bends[i] as number] as BarrierNode;
    const next =
      i + 1 < shortest.count ? (barrier.nodes[shortest.bends[i + 1] as number] as BarrierNode).at : mic;
    gone += span(node.at, last);
    bend.before = gone;
    bend.after = shortest.length - gone;
    bend.whole = whole;
    setAngleAt(bend.toSource, node, last);
    setAngleAt(bend.toMic, node, next);
    addBend(chain, node.rho, workspace.waves);
    const height = source[2] + (rise * gone) / shortest.length;
    if (i === 0) setPoint(edgePath.first, node.at[0], node.at[1], height);
    setPoint(edgePath.last, node.at[0], node.at[1], height);
    last = node.at;
  }
  finishPath(workspace, edgePath, chain, [source, mic], whole);
}

type ShortestPathRound = {
  readonly barrier: Barrier;
  readonly shortest: ShortestPath;
  readonly chain: BendChain;
};

/** Angle from the half-plane at a node to a point. A joint in a straight line has none and takes the point's own side. */
function setAngleAt(into: HalfAngle, node: BarrierNode, point: Vec2 | Vec3): void {
  const { solid, at } = node;
  const x = point[0] - at[0];
  const y = point[1] - at[1];
  if (solid) setHalfAngle(into, Math.abs(solid[0] * y - solid[1] * x), solid[0] * x + solid[1] * y);
  else setHalfAngle(into, 1, 0);
}

/**
 * Ends a path whose bends are in the chain, and the first and last of them in place: its length, detour and wave.
 */
function finishPath(
  workspace: PanelWorkspace,
  edgePath: EdgePath,
  chain: BendChain,
  [source, mic]: Ends,
  whole: number,
): void {
  edgePath.there = true;
  edgePath.clear = false;
  edgePath.lift = 0;
  edgePath.length = whole;
  edgePath.detour = Math.max(0, whole - workspace.straight.length);
  setCoherence(edgePath.wave, 0, driftOf(source, edgePath.first, edgePath.last, mic), workspace.waves);
  chainWave(edgePath.wave, chain, workspace.straight.length / whole);
}

// The shortest path on the plan round a barrier of several panels, on a given side of it.

/** The path found, and working memory. */
export type ShortestPath = {
  /** Nodes at which it bends, in order, and how many. */
  readonly bends: number[];
  count: number;
  length: number;
  readonly trail: number[];
  /** To which hand it bends at each node of the trail: 1 left, −1 right, 0 neither; along a panel the last bend holds. */
  readonly hands: number[];
};

export const newShortestPath = (): ShortestPath => ({ bends: [], count: 0, length: 0, trail: [], hands: [] });

/** What to look for: the path turns by `angle` about `pivot`, a point of panel `held`; the sign tells the side. */
type Sought = {
  readonly barrier: Barrier;
  readonly source: Vec3;
  readonly mic: Vec3;
  readonly pivot: Vec2;
  readonly held: number;
  /** The panel the sound was mirrored in: the path comes from behind it and goes through, never round its ends. */
  readonly reflector: Panel | null;
  readonly angle: number;
};

/** Finds the path; false where there is none. Barriers have few joints, so trying every order is cheap. */
export function findShortestPath(shortest: ShortestPath, sought: Sought): boolean {
  shortest.length = Infinity;
  shortest.count = 0;
  reach(shortest, sought, 0, 0, 0);
  return shortest.count > 0;
}

/** Goes on from the last node of the trail (the source while it is empty), having come `gone` and turned `turned`. */
function reach(shortest: ShortestPath, sought: Sought, depth: number, gone: number, turned: number): void {
  const { barrier, source, mic, pivot } = sought;
  const here = depth > 0 ? (barrier.nodes[shortest.trail[depth - 1] as number] as BarrierNode).at : source;
  const rest = flat(here, mic);
  if (gone + rest >= shortest.length) return;
  const total = turned + seenTurn(pivot, here, mic);
  if (
    depth > 0 &&
    Math.abs(total - sought.angle) < 1e-6 &&
    sees(sought, shortest.trail[depth - 1] as number, mic) &&
    bendsRound(shortest, sought, depth, mic)
  )
    keep(shortest, depth, gone + rest);
  for (let next = 0; next < barrier.nodes.length; next++) {
    if (!canGo(shortest, sought, depth, next)) continue;
    const to = (barrier.nodes[next] as BarrierNode).at;
    if (depth > 0 && !bendsRound(shortest, sought, depth, to)) continue;
    shortest.trail[depth] = next;
    reach(shortest, sought, depth + 1, gone + flat(here, to), turned + seenTurn(pivot, here, to));
  }
}

function keep(shortest: ShortestPath, depth: number, length: number): void {
  shortest.length = length;
  shortest.count = depth;
  for (let i = 0; i < depth; i++) shortest.bends[i] = shortest.trail[i] as number;
}

function canGo(shortest: ShortestPath, sought: Sought, depth: number, next: number): boolean {
  const { barrier, reflector } = sought;
  const { passable, panels } = barrier.nodes[next] as BarrierNode;
  if (!passable || panels.some((i) => barrier.panels[i]?.panel === reflector)) return false;
  for (let i = 0; i < depth; i++) if (shortest.trail[i] === next) return false;
  if (depth === 0) return sees(sought, next, sought.source);
  const last = shortest.trail[depth - 1] as number;
  const held = barrier.ends[sought.held] as readonly [number, number];
  // Along the pivot's own panel one could be on either face, and a shortest path never needs it.
  return (
    barrier.lineOfSight[last * barrier.nodes.length + next] === 1 &&
    !(held.includes(last) && held.includes(next))
  );
}

function sees({ barrier, reflector }: Sought, node: number, point: Vec3): boolean {
  const { at, panels } = barrier.nodes[node] as BarrierNode;
  for (let i = 0; i < barrier.panels.length; i++) {
    const panel = barrier.panels[i] as PreparedPanel;
    if (panel.panel !== reflector && !panels.includes(i) && isBlocked(panel, point, at)) return false;
  }
  return true;
}

/** A shortest path has every panel of a joint on the inner side of its bend, or it would run through the barrier. */
function bendsRound(shortest: ShortestPath, sought: Sought, depth: number, next: Vec2 | Vec3): boolean {
  const { nodes } = sought.barrier;
  const { at, rays } = nodes[shortest.trail[depth - 1] as number] as BarrierNode;
  const last = depth > 1 ? (nodes[shortest.trail[depth - 2] as number] as BarrierNode).at : sought.source;
  const side = orientation(at, last, next);
  const small = 1e-9 * flat(at, last) * flat(at, next);
  let low = 0;
  let high = 0;
  for (const ray of rays) {
    const fromLast = (last[0] - at[0]) * ray[1] - (last[1] - at[1]) * ray[0];
    const toNext = ray[0] * (next[1] - at[1]) - ray[1] * (next[0] - at[0]);
    low = Math.min(low, fromLast / flat(at, last), toNext / flat(at, next));
    high = Math.max(high, fromLast / flat(at, last), toNext / flat(at, next));
  }
  const hand = Math.abs(side) <= small ? 0 : Math.sign(side);
  const held =
    depth > 1 && alongPanel(shortest, sought.barrier, depth) ? (shortest.hands[depth - 2] as number) : 0;
  // Bending one way at one end of a panel and the other way at its other end, the path would run through it.
  if (hand * held < 0) return false;
  shortest.hands[depth - 1] = hand || held;
  return (hand >= 0 && low > -1e-9) || (hand <= 0 && high < 1e-9);
}

function alongPanel(shortest: ShortestPath, barrier: Barrier, depth: number): boolean {
  const last = shortest.trail[depth - 2] as number;
  const here = shortest.trail[depth - 1] as number;
  return barrier.ends.some((ends) => ends.includes(last) && ends.includes(here));
}

/** Plain root: `Math.hypot` is several times slower, and this is in the innermost loop. */
const flat = (a: Vec2 | Vec3, b: Vec2 | Vec3): number => Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2);

/** Angle by which the view from the pivot turns as one goes from one point to the other. */
export function seenTurn(pivot: Vec2, from: Vec2 | Vec3, to: Vec2 | Vec3): number {
  const x0 = from[0] - pivot[0];
  const y0 = from[1] - pivot[1];
  const x1 = to[0] - pivot[0];
  const y1 = to[1] - pivot[1];
  return Math.atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1);
}
