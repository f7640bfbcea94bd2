/** One name's place: the cheapest of many about its mark at which it lies on nothing. */
import type { Clear } from './clearance.ts';
import type { Name } from './layer.ts';
import { boxSize, type PlacedName } from './name-box.ts';
import { away, type Box, boxAt, type Point, span } from './plane.ts';

/** Distances from the mark's rim, mm; farther than `BESIDE` a name gets a leader. */
const RINGS = [0.5, 1.4, 2.4, ...Array.from({ length: 24 }, (_, i) => 3.5 + 1.3 * i + 0.06 * i * i)];
const BESIDE = 1.5;
/** Sixteenths of a circle: to the right first, then left, above, below, then between. */
const TURNS = [0, 8, 12, 4, 15, 1, 7, 9, 13, 11, 3, 5, 14, 2, 10, 6];
/** What is paid beside the distance, mm: for each later direction and place, for a leader, for what it crosses. */
const TURN_COST = 0.08;
const SPOT_COST = 0.6;
const LEADER_COST = 1;
const CROSSING_COST = 2.5;
const SOFT_COST = 3;

/** A room's name lies on the floor, a contour's figure on its line; all others stand beside their mark. */
export function placeFor(name: Name, clear: Clear): PlacedName | null {
  if (name.kind === 'contour') return onPlace(name, clear);
  return (name.kind === 'room' ? onPlace(name, clear) : null) ?? aside(name, clear);
}

/** The first place that is free. */
function onPlace(name: Name, clear: Clear): PlacedName | null {
  const [width, height] = boxSize(name);
  const free = name.at.map((at) => boxAt(at, width, height)).filter(clear.isFree);
  const box = free.find((one) => !clear.isSoft(one)) ?? free[0];
  return box ? { name, box, leader: null } : null;
}

function aside(name: Name, clear: Clear): PlacedName | null {
  const size = boxSize(name);
  let best: { readonly cost: number; readonly place: PlacedName } | null = null;
  for (const ring of RINGS) {
    if (best && ring >= best.cost) break;
    for (const [spot, at] of name.at.entries()) {
      for (const [rank, turn] of TURNS.entries()) {
        const base = ring + rank * TURN_COST + spot * SPOT_COST;
        if (best && base >= best.cost) break;
        const place = beside(name, at, { ring, turn, size });
        const cost = costOf(place, base, clear);
        if (cost !== null && (!best || cost < best.cost)) best = { cost, place };
      }
    }
  }
  return best?.place ?? null;
}

type Try = { readonly ring: number; readonly turn: number; readonly size: readonly [number, number] };

/** The name's box so far from the mark in a direction, its nearest side or corner toward it. */
function beside(name: Name, at: Point, { ring, turn, size: [width, height] }: Try): PlacedName {
  const angle = (turn * Math.PI) / 8;
  const near = away(at, angle, name.reach + ring);
  const lean = (value: number): number => Math.min(1, Math.max(-1, value * 1.5));
  const middle: Point = [
    near[0] + (lean(Math.cos(angle)) * width) / 2,
    near[1] + (lean(Math.sin(angle)) * height) / 2,
  ];
  const box = boxAt(middle, width, height);
  const end = nearestOn(box, at);
  const start = away(at, Math.atan2(end[1] - at[1], end[0] - at[0]), name.reach);
  return { name, box, leader: span(start, end) > BESIDE ? [start, end] : null };
}

const nearestOn = ({ left, right, top, bottom }: Box, [x, y]: Point): Point => [
  Math.min(right, Math.max(left, x)),
  Math.min(bottom, Math.max(top, y)),
];

/** Null where the name would lie on something, or its leader on a name. */
function costOf({ box, leader }: PlacedName, base: number, clear: Clear): number | null {
  if (!clear.isFree(box)) return null;
  const beside = base + (clear.isSoft(box) ? SOFT_COST : 0);
  if (!leader) return beside;
  const crossings = clear.crossings(leader);
  return crossings === null ? null : beside + LEADER_COST + crossings * CROSSING_COST;
}
