/** Panels that touch make one barrier, prepared once a room: joints, free ends, and which of them see each other. */
import { type Bands, bands } from '../acoustics/bands.ts';
import { span, type Vec2 } from '../geometry.ts';
import type { Panel } from '../scene/scene.ts';
import type { Place } from './combined-loss.ts';
import { type Gap, gapsBetween, type Joint, shutEdges, statesOf } from './gaps.ts';
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
  /** Nothing goes round it, only through. */
  readonly sealed: boolean;
  /** Its straight parts as barriers of their own, for it never lets through more than one of them; none of a straight or closed one. */
  readonly parts: readonly Barrier[];
  /** sight[i·n + j]: 1 where nodes i and j see each other past the barrier and no other node. */
  readonly lineOfSight: Uint8Array;
};

/** Panels near each other: the barriers they make in each state of their gaps, each followed by its straight parts. */
export type Group = { readonly panels: readonly Panel[]; readonly entries: readonly GroupEntry[] };
export type GroupEntry = {
  readonly barrier: Barrier;
  /** The barrier itself, or what it is a straight part of. */
  readonly whole: Barrier;
  readonly place: Place;
};

/** Groups the panels of one room. What transmits everything in every band (R = 0) is no panel at all. */
export function groupsOf(panels: readonly Panel[], bounds: Bounds): Group[] {
  const real = panels.filter((panel) => panel.tau.some((tau) => tau < 1) && span(panel.a, panel.b) > 1e-6);
  const gaps = gapsBetween(real, bounds);
  const joints = gaps.filter((gap) => gap.kind === 'joint');
  const left = new Set(real);
  const groups: Group[] = [];
  for (const first of real) {
    if (!left.delete(first)) continue;
    const members = [first];
    for (const member of members) {
      for (const { end, to } of joints) {
        const other = end.panel === member ? to.panel : to.panel === member ? end.panel : null;
        if (other && left.delete(other)) members.push(other);
      }
    }
    const own = gaps.filter(({ end }) => members.includes(end.panel));
    const entries = statesOf(own).flatMap(({ weight, shut }, state) =>
      barriersWith(members, shut, bounds).flatMap((whole, index) => {
        const { sealed } = whole;
        const single = members.length === 1 && weight === 1 && !sealed;
        const place = { group: groups.length, state, barrier: index, weight, sealed, single };
        return [whole, ...whole.parts].map((barrier) => ({ barrier, whole, place }));
      }),
    );
    groups.push({ panels: members, entries });
  }
  return groups;
}

/** A panel, or a piece of one that another's end meets in its middle, and the nodes at its ends. */
type Piece = { readonly panel: PreparedPanel; readonly ends: readonly [number, number] };

/** The barriers that panels make with these of their gaps shut. */
function barriersWith(members: readonly Panel[], shut: readonly Gap[], bounds: Bounds): Barrier[] {
  const joints = shut.filter((gap) => gap.kind === 'joint');
  const stops = members.map((panel) => stopsOn(panel, joints));
  const { nodeOf, places } = mergedStops(stops.flat(), joints);
  const pieces = members.flatMap((panel, m) =>
    (stops[m] as Stop[]).slice(1).map((to, i): Piece => {
      const from = (stops[m] as Stop[])[i] as Stop;
      const ends: [number, number] = [nodeOf.get(from) as number, nodeOf.get(to) as number];
      return {
        panel: closedUp(
          panel,
          [from, to],
          ends.map((node) => places[node] as Vec2),
          shut,
          bounds,
        ),
        ends,
      };
    }),
  );
  const left = new Set(pieces);
  return pieces.flatMap((first) => {
    if (!left.delete(first)) return [];
    const part = [first];
    for (const piece of part)
      for (const other of [...left].filter(({ ends }) => ends.some((node) => piece.ends.includes(node)))) {
        left.delete(other);
        part.push(other);
      }
    return [barrierOf(part, places)];
  });
}

/** A place along a panel where it ends or another meets it. */
type Stop = { readonly panel: Panel; readonly share: number; readonly at: Vec2 };

function stopsOn(panel: Panel, joints: readonly Joint[]): Stop[] {
  const met = joints.flatMap(({ to }) =>
    to.panel === panel && to.share > 0 && to.share < 1 ? [to.share] : [],
  );
  const shares = [0, ...new Set(met.sort((p, q) => p - q)), 1];
  return shares.map((share) => ({
    panel,
    share,
    at: [panel.a[0] + share * (panel.b[0] - panel.a[0]), panel.a[1] + share * (panel.b[1] - panel.a[1])],
  }));
}

/** Stops that shut joints draw together, directly or through others, with the place of each such node. */
function mergedStops(
  stops: readonly Stop[],
  joints: readonly Joint[],
): { readonly nodeOf: ReadonlyMap<Stop, number>; readonly places: readonly Vec2[] } {
  const root = stops.map((_, i) => i);
  const find = ({ panel, share }: Joint['to']) =>
    stops.findIndex((stop) => stop.panel === panel && stop.share === share);
  for (const { end, to } of joints) {
    const [from, into] = [root[find(end)], root[find(to)]];
    for (let k = 0; k < root.length; k++) if (root[k] === from) root[k] = into as number;
  }
  const roots = [...new Set(root)];
  const places = roots.map((one): Vec2 => {
    const here = stops.filter((_, i) => root[i] === one);
    // an end that meets the middle of a panel is drawn to it, ends among themselves to their mean
    const within = here.filter(({ share }) => share > 0 && share < 1);
    return meanPlace(within.length > 0 ? within : here);
  });
  return { nodeOf: new Map(stops.map((stop, i) => [stop, roots.indexOf(root[i] as number)])), places };
}

const meanPlace = (stops: readonly Stop[]): Vec2 => [
  stops.reduce((sum, { at }) => sum + at[0], 0) / stops.length,
  stops.reduce((sum, { at }) => sum + at[1], 0) / stops.length,
];

/** The panel, or its piece between two stops, drawn to the joints so that no sound slips through the crack. */
function closedUp(
  panel: Panel,
  [from, to]: readonly [Stop, Stop],
  [a, b]: readonly Vec2[],
  shut: readonly Gap[],
  bounds: Bounds,
): PreparedPanel {
  const moved = a && b && span(a, b) > 1e-6 ? { ...panel, a, b } : { ...panel, a: from.at, b: to.at };
  const { a: shutA, b: shutB, top } = shutEdges(panel, shut);
  const edges = { a: from.share === 0 && shutA, b: to.share === 1 && shutB, top };
  return { ...preparePanel(moved, bounds, edges), panel };
}

function barrierOf(pieces: readonly Piece[], places: readonly Vec2[]): Barrier {
  const used = [...new Set(pieces.flatMap(({ ends }) => ends))];
  const ends = pieces.map((piece): [number, number] => [
    used.indexOf(piece.ends[0]),
    used.indexOf(piece.ends[1]),
  ]);
  const panels = pieces.map(({ panel }) => panel);
  const nodes = used.map((node, i) => nodeAt(places[node] as Vec2, i, panels, ends));
  const open = nodes.some((_, node) => new Set(ends.filter((pair) => pair.includes(node)).flat()).size === 2);
  const straight = open ? straightParts(nodes, ends) : [];
  return {
    panels,
    nodes,
    ends,
    open,
    sealed: isSealed(panels, nodes),
    parts:
      straight.length > 1
        ? straight.map((part) =>
            barrierOf(
              part.map((i) => pieces[i] as Piece),
              places,
            ),
          )
        : [],
    lineOfSight: lineOfSight(panels, nodes, ends),
  };
}

/** Nothing goes round: no edge above or below, and no free end. */
const isSealed = (panels: readonly PreparedPanel[], nodes: readonly BarrierNode[]): boolean =>
  panels.every(({ edgeTop, edgeBottom }) => !edgeTop && !edgeBottom) &&
  nodes.every((node) => node.panels.length > 1 || !node.passable);

/** Panels that go straight on from one to the next, as indices: bent joints part them. */
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
        const { panels, rays } = nodes[node] as BarrierNode;
        const own = rays[panels.indexOf(panel)] as Vec2;
        const next = panels.find((_, k) => Math.hypot(...sumOf(own, rays[k] as Vec2)) <= STRAIGHT);
        if (next !== undefined && left.delete(next)) part.push(next);
      }
    }
    parts.push(part);
  }
  return parts;
}

/** Sum of two unit vectors that point opposite ways, within half a degree. */
const STRAIGHT = 0.01;
const sumOf = (one: Vec2, other: Vec2): Vec2 => [one[0] + other[0], one[1] + other[1]];

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
    solid: size > STRAIGHT ? [x / size, y / size] : null,
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
