/** Gaps between panels, and between a panel and wall or ceiling: how far each counts as open, and in which states all of them count. */
import { corner, distanceToSegment, span, type Vec2 } from '../geometry.ts';
import { NEAR, type Panel } from '../scene/scene.ts';
import { type Bounds, SHUT, type ShutEdges } from './panel.ts';

/** A place along a panel: 0 its end a, 1 its end b. */
type PlaceOn = { readonly panel: Panel; readonly share: number };
/** The end of a panel that is near the end or the middle of another. */
export type Joint = {
  readonly kind: 'joint';
  readonly width: number;
  readonly end: PlaceOn;
  readonly to: PlaceOn;
};
/** A gap of this width in m. Of a top, `end` says which panel. */
export type Gap = Joint | { readonly kind: 'wall' | 'top'; readonly width: number; readonly end: PlaceOn };

/** Closer than this to a panel's end, what meets the panel meets that end, m: a stub so short would change nothing else. */
const STUB = 0.05;
/** How fast a gap opens, m [this model]. */
const SCALE = 0.05;

/** Gaps of less than 20 cm among the panels of one room, those that are quite shut among them. */
export function gapsBetween(panels: readonly Panel[], bounds: Bounds): Gap[] {
  const joints = new Map<string, Joint>();
  panels.forEach((panel, i) => {
    for (const share of [0, 1] as const)
      panels.forEach((other, j) => {
        if (i === j) return;
        const joint = jointOf({ panel, share }, other);
        if (!joint) return;
        const key = [`${i} ${share}`, `${j} ${joint.to.share}`].sort().join(' ');
        if (joint.width < (joints.get(key)?.width ?? NEAR)) joints.set(key, joint);
      });
  });
  return [...joints.values(), ...panels.flatMap((panel) => boundaryGaps(panel, bounds))];
}

function jointOf(end: PlaceOn, panel: Panel): Joint | null {
  const { a, b } = panel;
  const point = end.share === 0 ? end.panel.a : end.panel.b;
  const width = distanceToSegment(point, a, b);
  if (width >= NEAR) return null;
  const length = span(a, b);
  const along = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / length;
  const share = along < STUB ? 0 : along > length - STUB ? 1 : along / length;
  return { kind: 'joint', width, end, to: { panel, share } };
}

/** Gaps of one panel to the walls and the ceiling. */
export function boundaryGaps(panel: Panel, bounds: Bounds): Gap[] {
  if (!bounds) return [];
  const ends = [panel.a, panel.b].map((at, share): Gap => {
    return { kind: 'wall', width: toOutline(at, bounds.outline), end: { panel, share } };
  });
  const top: Gap = { kind: 'top', width: Math.max(0, bounds.ceiling - panel.high), end: { panel, share: 0 } };
  return [...ends, top].filter(({ width }) => width < NEAR);
}

const toOutline = (at: Vec2, outline: readonly Vec2[]): number =>
  Math.min(...outline.map((from, i) => distanceToSegment(at, from, corner(outline, i + 1))));

/** Share by which a gap counts as open: 0 where there is none, 1 from 20 cm on. */
export const openness = (width: number): number =>
  width <= SHUT ? 0 : Math.min(1, (1 - Math.exp(-width / SCALE)) / (1 - Math.exp(-NEAR / SCALE)));

/** Which gaps are shut in a state, and by how much it counts. */
type State = { readonly weight: number; readonly shut: readonly Gap[] };
/** Levels of openness told apart among the gaps of one group; more would cost more than they are worth. */
const LEVELS = 8;

/**
 * States of gaps, from all shut to all open, the wider opening before the narrower. With openness w₁ ≥ w₂ ≥ … they count 1 − w₁, w₁ − w₂ …:
 * of one gap the mean of shut and open, and for any number continuous, also where two change order.
 */
export function statesOf(gaps: readonly Gap[]): State[] {
  const all = gaps.map((gap) => ({ gap, open: openness(gap.width) }));
  const levels = [...new Set(all.map(({ open }) => open))];
  const coarse = levels.length > LEVELS + 1;
  const graded = coarse
    ? all.map(({ gap, open }) => ({ gap, open: Math.ceil(open * LEVELS) / LEVELS }))
    : all;
  const steps = [1, ...new Set(graded.map(({ open }) => open).sort((p, q) => q - p)), 0];
  return steps.slice(1).flatMap((open, i) => {
    const weight = (steps[i] as number) - open;
    // all that are wider than this are open
    const shut = graded.filter((one) => one.open <= open).map(({ gap }) => gap);
    return weight > 0 ? [{ weight, shut }] : [];
  });
}

/** Which edges of a panel are none in a state. */
export function shutEdges(panel: Panel, shut: readonly Gap[]): ShutEdges {
  const own = shut.filter(({ end }) => end.panel === panel);
  const wall = (share: number) => own.some(({ kind, end }) => kind === 'wall' && end.share === share);
  return { a: wall(0), b: wall(1), top: own.some(({ kind }) => kind === 'top') };
}
