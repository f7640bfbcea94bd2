/** Panels that touch make one barrier, prepared once a room: joints, free ends, and which of them see each other. */
import { BAND_COUNT, type Bands, bands } from '../acoustics/bands.ts';
import { span, type Vec2 } from '../geometry.ts';
import { JOINED, type Panel } from '../scene/scene.ts';
import type { Bend, EdgeWave, Wavenumbers } from './edge-diffraction.ts';
import { BAND_SIZE, edgeEnergy, edgeWave, IM, newBend, newEdgeWave, RE } from './edge-diffraction.ts';
import { type Bounds, isBlocked, type PreparedPanel, preparePanel, reflectedPressure } from './panel.ts';

/** A free end, or a joint of two or more panels. */
export type BarrierNode = {
  readonly at: Vec2;
  /** Panels that meet here, as indices into the barrier's. */
  readonly panels: readonly number[];
  /** Unit directions of those panels from here. */
  readonly rays: readonly Vec2[];
  /** False where a wall leaves no way round. */
  readonly passable: boolean;
  /** Unit direction of the half-plane that bends the sound here: the panel, or the bisector of a joint; null where straight. */
  readonly solid: Vec2 | null;
  readonly rho: Bands;
};

export type Barrier = {
  readonly panels: readonly PreparedPanel[];
  readonly nodes: readonly BarrierNode[];
  /** Nodes at both ends of each panel. */
  readonly ends: readonly (readonly [number, number])[];
  /** False for a closed ring: it has no sides. Two panels back to back are a double one, no ring. */
  readonly open: boolean;
  /** Its straight parts as barriers of their own, for it never lets through more than one of them; none of a straight or closed one. */
  readonly parts: readonly Barrier[];
  /** sight[i·n + j]: 1 where nodes i and j see each other past the barrier and no other node. */
  readonly lineOfSight: Uint8Array;
};

/** Groups the panels of one room. What transmits everything in every band (R = 0) is no panel at all. */
export function barriersOf(panels: readonly Panel[], bounds: Bounds): Barrier[] {
  const real = panels.filter((panel) => panel.tau.some((tau) => tau < 1) && span(panel.a, panel.b) > 1e-6);
  const nodeOf = mergedEnds(real.flatMap((panel) => [panel.a, panel.b]));
  const left = new Set(real.keys());
  const barriers: Barrier[] = [];
  for (const first of real.keys()) {
    if (!left.delete(first)) continue;
    const members = [first];
    for (const member of members) {
      for (const other of [...left].filter((candidate) => shareNode(nodeOf, member, candidate))) {
        left.delete(other);
        members.push(other);
      }
    }
    barriers.push(barrierOf(members, { real, nodeOf, bounds }));
  }
  return barriers;
}

function shareNode(nodeOf: readonly number[], one: number, other: number): boolean {
  const mine = [nodeOf[2 * one], nodeOf[2 * one + 1]];
  return mine.includes(nodeOf[2 * other]) || mine.includes(nodeOf[2 * other + 1]);
}

/** For each end the first end that it touches, directly or through others. */
function mergedEnds(ends: readonly Vec2[]): number[] {
  const root = ends.map((_, i) => i);
  ends.forEach((end, i) => {
    for (let j = 0; j < i; j++) {
      if (span(end, ends[j] as Vec2) > JOINED || sameSheet(i, j)) continue;
      const [from, to] = [root[i], root[j]];
      for (let k = 0; k < root.length; k++) if (root[k] === from) root[k] = to as number;
    }
  });
  return root;
}

/** Both ends of one short panel never merge. */
const sameSheet = (i: number, j: number): boolean => i >> 1 === j >> 1;

type Grouping = {
  readonly real: readonly Panel[];
  readonly nodeOf: readonly number[];
  readonly bounds: Bounds;
};

function barrierOf(members: readonly number[], { real, nodeOf, bounds }: Grouping): Barrier {
  const roots = [...new Set(members.flatMap((m) => [nodeOf[2 * m] as number, nodeOf[2 * m + 1] as number]))];
  const places = roots.map((root) => middle(nodeOf, root, real));
  const ends = members.map((m): [number, number] => [
    roots.indexOf(nodeOf[2 * m] as number),
    roots.indexOf(nodeOf[2 * m + 1] as number),
  ]);
  const panels = members.map((m, i) =>
    closedUp(real[m] as Panel, places, ends[i] as [number, number], bounds),
  );
  const nodes = places.map((at, node) => nodeAt(at, node, panels, ends));
  const open = nodes.some((_, node) => new Set(ends.filter((pair) => pair.includes(node)).flat()).size === 2);
  const straight = open ? straightParts(nodes, ends) : [];
  return {
    panels,
    nodes,
    ends,
    open,
    parts:
      straight.length > 1
        ? straight.map((part) =>
            barrierOf(
              part.map((i) => members[i] as number),
              { real, nodeOf, bounds },
            ),
          )
        : [],
    lineOfSight: lineOfSight(panels, nodes, ends),
  };
}

/** Panels that go straight on from one to the next, as indices: joints of three and bent ones part them. */
function straightParts(
  nodes: readonly BarrierNode[],
  ends: readonly (readonly [number, number])[],
): number[][] {
  const left = new Set(ends.keys());
  const parts: number[][] = [];
  for (const first of ends.keys()) {
    if (!left.delete(first)) continue;
    const part = [first];
    for (const panel of part) {
      for (const node of ends[panel] as readonly [number, number]) {
        const { panels, solid } = nodes[node] as BarrierNode;
        const next = panels.find((other) => other !== panel);
        if (panels.length !== 2 || solid !== null || next === undefined || !left.delete(next)) continue;
        part.push(next);
      }
    }
    parts.push(part);
  }
  return parts;
}

function middle(nodeOf: readonly number[], root: number, real: readonly Panel[]): Vec2 {
  const ends = real.flatMap((panel) => [panel.a, panel.b]).filter((_, i) => nodeOf[i] === root);
  return [
    ends.reduce((sum, end) => sum + end[0], 0) / ends.length,
    ends.reduce((sum, end) => sum + end[1], 0) / ends.length,
  ];
}

/** The panel with its ends drawn to the joints, so that no sound slips through the crack. */
function closedUp(
  panel: Panel,
  places: readonly Vec2[],
  ends: readonly [number, number],
  bounds: Bounds,
): PreparedPanel {
  const [a, b] = [places[ends[0]] as Vec2, places[ends[1]] as Vec2];
  const moved = span(a, b) > 1e-6 ? { ...panel, a, b } : panel;
  return { ...preparePanel(moved, bounds), panel };
}

function nodeAt(
  at: Vec2,
  node: number,
  panels: readonly PreparedPanel[],
  ends: readonly (readonly [number, number])[],
): BarrierNode {
  const meeting = [...panels.keys()].filter((i) => ends[i]?.includes(node));
  const rays = meeting.map((i): Vec2 => {
    const { along } = panels[i] as PreparedPanel;
    return ends[i]?.[0] === node ? along : [-along[0], -along[1]];
  });
  const x = rays.reduce((sum, ray) => sum + ray[0], 0);
  const y = rays.reduce((sum, ray) => sum + ray[1], 0);
  const size = Math.hypot(x, y);
  const mean = bands(
    (band) => meeting.reduce((sum, i) => sum + (panels[i]?.alpha[band] as number), 0) / meeting.length,
  );
  return {
    at,
    panels: meeting,
    rays,
    passable: meeting.every((i) => (ends[i]?.[0] === node ? panels[i]?.edgeA : panels[i]?.edgeB)),
    solid: size > 0.01 ? [x / size, y / size] : null,
    rho: reflectedPressure(mean),
  };
}

function lineOfSight(
  panels: readonly PreparedPanel[],
  nodes: readonly BarrierNode[],
  ends: readonly (readonly [number, number])[],
): Uint8Array {
  const lineOfSight = new Uint8Array(nodes.length ** 2);
  nodes.forEach((from, i) => {
    nodes.forEach((to, j) => {
      const past = panels.filter((_, p) => !ends[p]?.includes(i) && !ends[p]?.includes(j));
      const stops = nodes.some(({ at }, k) => k !== i && k !== j && isOnThePath(at, from.at, to.at));
      const blocked = stops || past.some((panel) => isBlocked(panel, from.at, to.at));
      lineOfSight[i * nodes.length + j] = i !== j && !blocked ? 1 : 0;
    });
  });
  return lineOfSight;
}

const isOnThePath = (at: Vec2, from: Vec2, to: Vec2): boolean =>
  span(from, at) + span(at, to) < span(from, to) + 1e-9;

// The edge wave of a path that bends several times.

/** Working memory: what each bend along a path does. */
export type BendChain = {
  count: number;
  readonly bend: Bend;
  readonly waves: EdgeWave[];
  readonly places: Float64Array;
  readonly losses: Float64Array;
};

/** More bends than a path past a few panels can have; further ones are left out. */
const MOST = 16;

export const newBendChain = (): BendChain => ({
  count: 0,
  bend: newBend(),
  waves: Array.from({ length: MOST }, newEdgeWave),
  places: new Float64Array(MOST),
  losses: new Float64Array(MOST),
});

/** Adds the bend set in `chain.bend`, of which only the turn and the lengths before and after count. */
export function addBend(chain: BendChain, rho: Bands, waves: Wavenumbers): void {
  if (chain.count === MOST) return;
  chain.bend.straight = chain.bend.whole;
  edgeWave(chain.waves[chain.count] as EdgeWave, chain.bend, rho, waves);
  chain.places[chain.count++] = chain.bend.before;
}

/**
 * The path's wave over the free direct field: the deepest bend's, less g times the further ones' losses. `spread`, the
 * straight distance over the whole path, counts once. `flat` is the length along which the bends are placed.
 */
export function chainWave(into: EdgeWave, chain: BendChain, spread: number, flat: number): void {
  const { count, waves, losses } = chain;
  for (let band = 0; band < BAND_COUNT; band++) {
    const at = band * BAND_SIZE;
    for (let i = 0; count > 1 && i < count; i++)
      losses[i] = -10 * Math.log10(edgeEnergy(waves[i] as EdgeWave, at));
    const further = count > 1 ? 10 ** (-furtherLoss(losses, chain.places, count, flat) / 20) : 1;
    const greatest = waves[count > 1 ? greatestLoss(losses, count) : 0] as EdgeWave;
    into[at + RE] = spread * further * (greatest[at + RE] as number);
    into[at + IM] = spread * further * (greatest[at + IM] as number);
  }
}

// Several losses along one path: the deepest counts whole, each further one as far as it stands apart.

/** Index of the largest loss; the first of equals. */
export function greatestLoss(losses: Float64Array, count: number): number {
  let greatest = 0;
  for (let i = 1; i < count; i++) if ((losses[i] as number) > (losses[greatest] as number)) greatest = i;
  return greatest;
}

/**
 * Σ g·loss in dB over all but the deepest. `places` are their distances along a path of length `whole`;
 * `g = e(r0+e+r)/((r0+e)(e+r))`, e to the nearest deeper one, r0 and r before and after the two: the geometry factor of
 * double edges in ITU-R P.526; its use as a weight is ours.
 */
export function furtherLoss(
  losses: Float64Array,
  places: Float64Array,
  count: number,
  whole: number,
): number {
  const greatest = greatestLoss(losses, count);
  let sum = 0;
  for (let i = 0; i < count; i++) {
    if (i !== greatest)
      sum +=
        (losses[i] as number) *
        apartness(places[i] as number, nearestDeeper(losses, places, count, i), whole);
  }
  return sum;
}

function nearestDeeper(losses: Float64Array, places: Float64Array, count: number, of: number): number {
  const own = losses[of] as number;
  const here = places[of] as number;
  let nearest = Infinity;
  for (let i = 0; i < count; i++) {
    const loss = losses[i] as number;
    const deeper = loss > own || (loss === own && i < of);
    const place = places[i] as number;
    if (i !== of && deeper && Math.abs(place - here) < Math.abs(nearest - here)) nearest = place;
  }
  return nearest;
}

function apartness(one: number, other: number, whole: number): number {
  const between = Math.abs(one - other);
  const before = Math.min(one, other);
  const after = whole - Math.max(one, other);
  const under = (before + between) * (between + after);
  return under > 0 ? (between * whole) / under : 0;
}
