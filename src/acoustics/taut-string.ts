/** The shortest way on the plan round a screen of several panels, on a given side of it: a taut string. */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { isBlocked, turn } from './plan-sight.ts';
import type { Screen, ScreenNode } from './screen.ts';

/** The string found, and working memory. */
export type TautString = {
  /** Nodes at which it bends, in order, and how many. */
  readonly bends: number[];
  count: number;
  length: number;
  readonly trail: number[];
  /** To which hand it bends at each node of the trail: 1 left, −1 right, 0 neither; along a panel the last bend holds. */
  readonly hands: number[];
};

export const newTautString = (): TautString => ({ bends: [], count: 0, length: 0, trail: [], hands: [] });

/** What to look for: the string turns by `angle` about `pivot`, a point of panel `held`; the sign tells the side. */
export type Sought = {
  readonly screen: Screen;
  readonly source: Vec3;
  readonly mic: Vec3;
  readonly pivot: Vec2;
  readonly held: number;
  /** The panel the sound was mirrored in, −1 for none: the string comes from behind it and goes through, never round its ends. */
  readonly mirror: number;
  readonly angle: number;
};

/** Finds the string; false where there is no such way. Screens have few joints, so trying every order is cheap. */
export function pullTaut(string: TautString, sought: Sought): boolean {
  string.length = Infinity;
  string.count = 0;
  reach(string, sought, 0, 0, 0);
  return string.count > 0;
}

/** Goes on from the last node of the trail (the source while it is empty), having come `gone` and turned `turned`. */
function reach(string: TautString, sought: Sought, depth: number, gone: number, turned: number): void {
  const { screen, source, mic, pivot } = sought;
  const here = depth > 0 ? (screen.nodes[string.trail[depth - 1] as number] as ScreenNode).at : source;
  const rest = flat(here, mic);
  if (gone + rest >= string.length) return;
  const total = turned + seenTurn(pivot, here, mic);
  if (
    depth > 0 &&
    Math.abs(total - sought.angle) < 1e-6 &&
    sees(sought, string.trail[depth - 1] as number, mic)
  ) {
    if (hugs(string, sought, depth, mic)) keep(string, depth, gone + rest);
  }
  for (let next = 0; next < screen.nodes.length; next++) {
    if (!canGo(string, sought, depth, next)) continue;
    const to = (screen.nodes[next] as ScreenNode).at;
    if (depth > 0 && !hugs(string, sought, depth, to)) continue;
    string.trail[depth] = next;
    reach(string, sought, depth + 1, gone + flat(here, to), turned + seenTurn(pivot, here, to));
  }
}

function keep(string: TautString, depth: number, length: number): void {
  string.length = length;
  string.count = depth;
  for (let i = 0; i < depth; i++) string.bends[i] = string.trail[i] as number;
}

function canGo(string: TautString, sought: Sought, depth: number, next: number): boolean {
  const { screen, mirror } = sought;
  const { passable, panels } = screen.nodes[next] as ScreenNode;
  if (!passable || panels.includes(mirror)) return false;
  for (let i = 0; i < depth; i++) if (string.trail[i] === next) return false;
  if (depth === 0) return sees(sought, next, sought.source);
  const last = string.trail[depth - 1] as number;
  const held = screen.ends[sought.held] as readonly [number, number];
  // Along the pivot's own panel one could be on either face, and a taut string never needs it.
  return (
    screen.sight[last * screen.nodes.length + next] === 1 && !(held.includes(last) && held.includes(next))
  );
}

function sees({ screen, mirror }: Sought, node: number, point: Vec3): boolean {
  const { at, panels } = screen.nodes[node] as ScreenNode;
  for (let i = 0; i < screen.panels.length; i++) {
    if (
      i !== mirror &&
      !panels.includes(i) &&
      isBlocked(screen.panels[i] as Screen['panels'][number], point, at)
    )
      return false;
  }
  return true;
}

/** A string pulled taut has every panel of a joint on the inner side of its bend, or it would run through the screen. */
function hugs(string: TautString, sought: Sought, depth: number, next: Vec2 | Vec3): boolean {
  const { nodes } = sought.screen;
  const { at, rays } = nodes[string.trail[depth - 1] as number] as ScreenNode;
  const last = depth > 1 ? (nodes[string.trail[depth - 2] as number] as ScreenNode).at : sought.source;
  const side = turn(at, last, next);
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
    depth > 1 && alongPanel(string, sought.screen, depth) ? (string.hands[depth - 2] as number) : 0;
  // Bending one way at one end of a panel and the other way at its other end, the string would run through it.
  if (hand * held < 0) return false;
  string.hands[depth - 1] = hand || held;
  return (hand >= 0 && low > -1e-9) || (hand <= 0 && high < 1e-9);
}

function alongPanel(string: TautString, screen: Screen, depth: number): boolean {
  const last = string.trail[depth - 2] as number;
  const here = string.trail[depth - 1] as number;
  return screen.ends.some((ends) => ends.includes(last) && ends.includes(here));
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
