/** What barriers leave of a straight leg of a path, and of the direct path with the directions of all its edge waves. */
import { BAND_COUNT, type Bands, bands, sameInAllBands } from '../acoustics/bands.ts';
import { midpoint, orientation, span, type Vec2, type Vec3 } from '../geometry.ts';
import type { Panel } from '../scene/scene.ts';
import type { Barrier, BarrierNode, BendChain } from './barrier.ts';
import { barriersOf, furtherLoss, greatestLoss, newBendChain } from './barrier.ts';
import {
  edgesOf,
  freeEdgeEnergies,
  freeStraightEnergy,
  isBetween,
  pastPanelFromViews,
  setEdgePaths,
  setHorizontalPaths,
  setLength,
  setStraight,
  verticalEdgePath,
} from './diffraction-path.ts';
import { alongPanel, type Bounds, inFront, isBlocked, type PreparedPanel, preparePanel } from './panel.ts';
import type { EdgePath, PanelWorkspace } from './panel-diffraction.ts';
import { copyInterference, newPanelWorkspace, sumPast, sumPastPanel } from './panel-diffraction.ts';
import { FRONT, type PanelViews, panelViewOf, VIEW_SIZE } from './panel-view.ts';
import type { PathEnergy } from './path-energy.ts';
import {
  type Crossings,
  findShortestPath,
  horizontalEdgePaths,
  newShortestPath,
  type ShortestPath,
  seenTurn,
  shortestPathDiffraction,
} from './shortest-path.ts';
import { type BarrierTrace, type PathRecord, recordBarrier, sortBarriers } from './trace.ts';

/**
 * Multiplies `into` by `τ + (1−τ)·min(1, past)` of each barrier whose plane the line from source to mic meets between the shares
 * `from` and `to`. A reflected path is two of these: image → mic after the reflection, source → the mic's image before it.
 */
export function transmitLeg(into: Bands, barriers: Barriers, leg: Leg): void {
  const { workspace, lone } = barriers;
  const { ends } = workspace;
  const recorded = workspace.record?.barriers.length ?? 0;
  setLength(workspace, leg.source, leg.mic);
  ends.source = panelViewOf(barriers, leg.source, false).views;
  ends.mic = panelViewOf(barriers, leg.mic, false).views;
  ends.sourceAt = 0;
  ends.micAt = 0;
  ends.from = leg.from;
  ends.to = leg.to;
  ends.except = leg.except ? lone.findIndex(({ panel }) => panel === leg.except) : -1;
  ends.where = leg.where;
  transmitPanels(into, barriers);
  transmitBarriers(into, barriers, leg);
  if (workspace.record) sortBarriers(workspace.record, recorded);
}

/** The same for the lone panels, on the leg that `workspace.ends` holds; the length of `workspace.straight` must be set. */
export function transmitPanels(into: Bands, barriers: Barriers): void {
  const { lone, workspace } = barriers;
  const { ends } = workspace;
  const { source, mic, from, to, except, sourceAt, micAt } = ends;
  for (let p = 0, i = sourceAt, j = micAt; p < lone.length; p++, i += VIEW_SIZE, j += VIEW_SIZE) {
    const nearSource = source[i + FRONT] as number;
    const nearMic = mic[j + FRONT] as number;
    if (nearSource * nearMic >= 0 || p === except) continue;
    const at = nearSource / (nearSource - nearMic);
    if (at < from || at > to) continue;
    const panel = lone[p] as PreparedPanel;
    ends.sourceAt = i;
    ends.micAt = j;
    pastPanelFromViews(workspace, panel);
    const { past } = workspace;
    for (let band = 0; band < BAND_COUNT; band++)
      into[band] =
        (into[band] as number) * barrierTransmission(panel.tau[band] as number, past[band] as number);
    if (workspace.record) recordPanel(barriers, workspace.record, { panel, where: ends.where, nearSource });
  }
}

/** The same for barriers of several panels. */
export function transmitBarriers(into: Bands, barriers: Barriers, leg: Leg): void {
  const { joined, least, workspace } = barriers;
  for (const owner of joined) {
    const recorded = workspace.record?.barriers.length ?? 0;
    least.fill(1);
    lower(least, barriers, { owner, barrier: owner, leg, recorded });
    for (const barrier of partsOn(owner, leg)) lower(least, barriers, { owner, barrier, leg, recorded });
    multiply(into, least);
  }
}

/** A barrier or a straight part of it on a leg, and where its trace goes in the record. */
type Acting = {
  readonly owner: Barrier;
  readonly barrier: Barrier;
  readonly leg: Leg;
  readonly recorded: number;
};

function lower(least: Bands, barriers: Barriers, acting: Acting): void {
  const { workspace } = barriers;
  if (!setBarrier(workspace, acting.barrier, acting.leg)) return;
  sumPast(workspace);
  for (let band = 0; band < BAND_COUNT; band++)
    least[band] = Math.min(
      least[band] as number,
      barrierTransmission(workspace.tau[band] as number, workspace.past[band] as number),
    );
  if (workspace.record) recordActing(barriers, workspace.record, acting);
}

function recordPanel(
  { list, workspace }: Barriers,
  record: PathRecord,
  { panel, where, nearSource }: { panel: PreparedPanel; where: Leg['where']; nearSource: number },
): void {
  const order = list.findIndex(({ panels }) => panels.length === 1 && panels[0] === panel);
  workspace.tau = panel.tau;
  record.barriers.push({ ...traceOf(workspace, [panel], nearSource > 0), where, order });
}

function recordActing(
  { list, workspace }: Barriers,
  record: PathRecord,
  { owner, barrier, leg, recorded }: Acting,
): void {
  const { panels } = barrier;
  const turned = panels.length === 1 && inFront(panels[0] as PreparedPanel, leg.source) > 0;
  const trace = traceOf(workspace, panels, turned);
  recordBarrier(record, recorded, { ...trace, where: leg.where, order: list.indexOf(owner) });
}

/** What the workspace holds of a barrier that was just computed. */
function traceOf(workspace: Workspace, panels: readonly PreparedPanel[], turned: boolean) {
  const tau = workspace.tau.slice();
  const past = workspace.past.map((value) => Math.max(0, value));
  return {
    panels: panels.map(({ panel }) => panel.name),
    tau,
    past,
    transmitted: bands((band) => barrierTransmission(tau[band] as number, past[band] as number)),
    edges: edgesOf(workspace, turned),
  };
}

/** The panels of one room made ready, with the working memory of all computing past them. */
export type Barriers = PanelViews & {
  readonly list: readonly Barrier[];
  /** Of those the ones made of several panels; `lone` holds the single panels of the others. */
  readonly joined: readonly Barrier[];
  /** For each reflector which of the lone panels it is; −1 where it is part of a larger barrier. */
  readonly aloneAs: readonly number[];
  readonly workspace: Workspace;
  /** Of the barriers that act on a pair, and of their straight parts: which barrier it is, and share of the line. */
  readonly owner: Int32Array;
  readonly at: Float64Array;
  /** Of each barrier in the current band: which of those lets least through, where that is, and its loss. */
  readonly best: Int32Array;
  readonly places: Float64Array;
  readonly losses: Float64Array;
  /** What is left by the current barrier of several panels. */
  readonly least: Bands;
  /** Their energy factors, what goes through of the direct sound and round of the edge waves, and those; packed [entry][band]. */
  readonly factors: Float64Array;
  readonly through: Float64Array;
  readonly diffracted: Float64Array;
  readonly weighted: Float64Array;
};

/** Prepares the panels that stand in one room, or in the open (`bounds` null). */
export function prepareBarriers(panels: readonly Panel[], bounds: Bounds, workspace: Workspace): Barriers {
  const list = barriersOf(panels, bounds);
  const lone = list.flatMap((barrier) => (barrier.panels.length === 1 ? barrier.panels : []));
  const entries = list.reduce((sum, { parts }) => sum + 1 + parts.length, 0);
  const mirroring = panels.filter((panel) => panel.tau.some((tau) => tau < 1));
  return {
    list,
    joined: list.filter((barrier) => barrier.panels.length > 1),
    lone,
    reflectors: mirroring.map((panel) => preparePanel(panel, bounds)),
    aloneAs: mirroring.map((reflector) => lone.findIndex(({ panel }) => panel === reflector)),
    bounds,
    known: new WeakMap(),
    workspace,
    owner: new Int32Array(entries),
    at: new Float64Array(entries),
    best: new Int32Array(list.length),
    places: new Float64Array(list.length),
    losses: new Float64Array(list.length),
    least: sameInAllBands(1),
    factors: new Float64Array(entries * BAND_COUNT),
    through: new Float64Array(entries * BAND_COUNT),
    diffracted: new Float64Array(entries * BAND_COUNT),
    weighted: new Float64Array(entries * BAND_COUNT),
  };
}

/**
 * Writes the energies of the direct path by band, past every barrier: `pathEnergy` gives its free energy and the mic's response. False where
 * no barrier acts, and the path is the straight one alone.
 */
export function directPastBarriers(
  into: Bands,
  barriers: Barriers,
  source: Vec3,
  mic: Vec3,
  pathEnergy: PathEnergy,
): boolean {
  const { workspace } = barriers;
  setStraight(workspace, source, mic);
  freeStraightEnergy(workspace, pathEnergy);
  const count = actOn(barriers, source, mic, pathEnergy);
  shareOut(barriers, count);
  const { free, response } = workspace.straight;
  for (let band = 0; band < BAND_COUNT; band++) {
    const direct = (free[band] as number) * (response[band] as number);
    let sum = count === 0 ? direct : 0;
    for (let i = band; i < count * BAND_COUNT; i += BAND_COUNT)
      sum +=
        (barriers.through[i] as number) * direct +
        (barriers.diffracted[i] as number) * (barriers.weighted[i] as number);
    into[band] = sum;
  }
  return count > 0;
}

function actOn(barriers: Barriers, source: Vec3, mic: Vec3, pathEnergy: PathEnergy): number {
  const { list, workspace } = barriers;
  const leg: Leg = { source, mic, from: 0, to: 1, except: null, where: 'whole' };
  let count = 0;
  for (const owner of list) {
    const recorded = workspace.record?.barriers.length ?? 0;
    if (acts(barriers, { owner, barrier: owner, leg, recorded }, pathEnergy, count)) count++;
    for (const barrier of partsOn(owner, leg))
      if (acts(barriers, { owner, barrier, leg, recorded }, pathEnergy, count)) count++;
  }
  return count;
}

/**
 * Whether a barrier acts, and if so what is left of the direct sound, as entry `index`: `p² = τ·p²_direct + (1−τ)·sum/max(1, past)`,
 * its parts, and what it is with all free energies 1.
 */
function acts(barriers: Barriers, acting: Acting, pathEnergy: PathEnergy, index: number): boolean {
  const { workspace, factors, through, diffracted, weighted } = barriers;
  const { barrier, owner, leg } = acting;
  if (!setBarrier(workspace, barrier, leg)) return false;
  freeEdgeEnergies(workspace, leg.source, leg.mic, pathEnergy);
  sumPastPanel(workspace);
  barriers.owner[index] = barriers.list.indexOf(owner);
  barriers.at[index] = workspace.at;
  for (let band = 0; band < BAND_COUNT; band++) {
    const tau = workspace.tau[band] as number;
    const past = Math.max(0, workspace.past[band] as number);
    const i = index * BAND_COUNT + band;
    factors[i] = barrierTransmission(tau, past);
    through[i] = tau;
    diffracted[i] = (1 - tau) / Math.max(1, past);
    weighted[i] = Math.max(0, workspace.weighted[band] as number);
  }
  workspace.kept?.push({
    interference: copyInterference(workspace.interference),
    through: sameInAllBands(0),
    diffracted: sameInAllBands(0),
  });
  if (workspace.record) recordActing(barriers, workspace.record, acting);
  return true;
}

/** Several barriers: the result of the deepest in each band, angles and all, less g times the others' losses. */
function shareOut(barriers: Barriers, count: number): void {
  const { losses, places, best, through, diffracted, workspace } = barriers;
  for (let band = 0; count > 1 && band < BAND_COUNT; band++) {
    const different = findBest(barriers, count, band);
    const further = 10 ** (-furtherLoss(losses, places, different, 1) / 10);
    const greatest = best[greatestLoss(losses, different)] as number;
    for (let i = 0; i < count; i++) {
      const share = i === greatest ? further : 0;
      const here = i * BAND_COUNT + band;
      through[here] = share * (through[here] as number);
      diffracted[here] = share * (diffracted[here] as number);
    }
  }
  workspace.kept?.forEach((kept, i) => {
    kept.through.set(through.subarray(i * BAND_COUNT, (i + 1) * BAND_COUNT));
    kept.diffracted.set(diffracted.subarray(i * BAND_COUNT, (i + 1) * BAND_COUNT));
  });
}

/** Finds of each barrier what lets least through in a band, the whole or a straight part; returns how many barriers there are. */
function findBest(barriers: Barriers, count: number, band: number): number {
  const { owner, at, best, places, losses, factors } = barriers;
  let last = -1;
  for (let i = 0; i < count; i++) {
    const loss = -10 * Math.log10(Math.max(factors[i * BAND_COUNT + band] as number, 1e-30));
    const same = i > 0 && owner[i] === owner[i - 1];
    if (same && loss <= (losses[last] as number)) continue;
    if (!same) last++;
    best[last] = i;
    places[last] = at[i] as number;
    losses[last] = loss;
  }
  return last + 1;
}

/** What a barrier leaves of a path's energy: `τ + (1−τ)·min(1, past)`. Rounding may take a sum of waves below 0. */
export const barrierTransmission = (tau: number, past: number): number =>
  tau + (1 - tau) * Math.min(1, Math.max(0, past));

// The sound past a barrier of several panels that the straight line does not cross.

/**
 * The line passes beside the barrier. The end or corner it passes closest, on either hand, acts as a clear edge; where
 * there is one on one hand only, the other side is the shortest path round the far end.
 */
function setBeside(workspace: Workspace, barrier: Barrier, leg: Leg): boolean {
  if (!barrier.open) return false;
  const { source, mic } = leg;
  const [left, right] = workspace.sides;
  const onLeft = nearestCorner(barrier, leg, 1);
  const onRight = nearestCorner(barrier, leg, -1);
  if (!onLeft && !onRight) return false;
  left.there = onLeft !== null;
  right.there = onRight !== null;
  if (onLeft) cornerEdgePath(workspace, left, onLeft, leg);
  if (onRight) cornerEdgePath(workspace, right, onRight, leg);
  const first = onLeft && (!onRight || left.detour <= right.detour) ? onLeft : (onRight as BarrierNode);
  const held =
    first.panels.find((i) => isBetween(barrier.panels[i] as PreparedPanel, source, mic)) ??
    (first.panels[0] as number);
  const panel = barrier.panels[held] as PreparedPanel;
  if (!onLeft || !onRight) farSidePath(workspace, onLeft ? right : left, { barrier, held, leg });
  if (isBetween(panel, source, mic)) setHorizontalPaths(workspace, panel, source, mic);
  else for (const horizontal of workspace.horizontals) horizontal.there = false;
  workspace.tau = panel.tau;
  workspace.at = shareAt(first, leg);
  return true;
}

function cornerEdgePath(
  workspace: Workspace,
  side: EdgePath,
  { at, solid, rho }: BarrierNode,
  leg: Leg,
): void {
  verticalEdgePath(workspace, side, { foot: at, into: solid as Vec2, rho }, leg.source, leg.mic);
}

function farSidePath(
  workspace: Workspace,
  side: EdgePath,
  { barrier, held, leg }: { barrier: Barrier; held: number; leg: Leg },
): void {
  const { a, b } = barrier.panels[held] as PreparedPanel;
  const pivot = midpoint(a, b);
  const straight = seenTurn(pivot, leg.source, leg.mic);
  const angle = straight + (straight < 0 ? 2 : -2) * Math.PI;
  const { source, mic } = leg;
  const sought = { barrier, source, mic, pivot, held, reflector: -1, angle };
  side.there = findShortestPath(workspace.shortest, sought);
  if (side.there) shortestPathDiffraction(workspace, side, [source, mic], { barrier, ...workspace });
}

/** Of the ends and corners on one hand of the line that part source and mic and that both see, the one closest to it. */
function nearestCorner(barrier: Barrier, leg: Leg, hand: 1 | -1): BarrierNode | null {
  const { source, mic } = leg;
  let nearest: BarrierNode | null = null;
  let least = Infinity;
  for (const node of barrier.nodes) {
    const { at, solid } = node;
    if (!solid || !node.passable || orientation(source, mic, at) * hand <= 0) continue;
    const share = shareAt(node, leg);
    const awayFromLine = (mic[0] - source[0]) * solid[1] - (mic[1] - source[1]) * solid[0];
    if (!(share > 0 && share >= leg.from && share <= leg.to) || awayFromLine * hand <= 0) continue;
    const length = span(source, at) + span(at, mic);
    if (length < least && isSeen(barrier, node, source) && isSeen(barrier, node, mic)) {
      nearest = node;
      least = length;
    }
  }
  return nearest;
}

/** Share of the line at which it meets the half-plane of a corner, produced; not within 0 to 1 where it lies to one side. */
function shareAt(node: BarrierNode, { source, mic }: Leg): number {
  const [x, y] = node.solid as Vec2;
  const nearSource = x * (source[1] - node.at[1]) - y * (source[0] - node.at[0]);
  const nearMic = x * (mic[1] - node.at[1]) - y * (mic[0] - node.at[0]);
  return nearSource * nearMic < 0 ? nearSource / (nearSource - nearMic) : -1;
}

function isSeen(barrier: Barrier, node: BarrierNode, point: Vec3): boolean {
  return barrier.panels.every((panel, i) => node.panels.includes(i) || !isBlocked(panel, point, node.at));
}

/** Working memory for barriers: whoever computes many pairs makes it once. */
export type Workspace = PanelWorkspace & {
  readonly shortest: ShortestPath;
  readonly chain: BendChain;
  readonly crossings: Crossings;
  readonly hull: number[];
  /** Of the barrier last set: transmission by band, and the share of the straight line at which it stands. */
  tau: Bands;
  at: number;
  /** Where the transmissions of several panels are multiplied. */
  readonly through: Bands;
};

export const newWorkspace = (soundSpeed: number): Workspace => ({
  ...newPanelWorkspace(soundSpeed),
  shortest: newShortestPath(),
  chain: newBendChain(),
  crossings: { count: 0, at: [], panels: [] },
  hull: [],
  tau: sameInAllBands(0),
  at: 0,
  through: sameInAllBands(1),
});

/** A stretch of a straight line on which barriers count, and a panel that does not: the one a reflection comes off. */
export type Leg = {
  readonly source: Vec3;
  readonly mic: Vec3;
  /** Shares of the path from source to mic. */
  readonly from: number;
  readonly to: number;
  readonly except: PreparedPanel['panel'] | null;
  /** The whole path, or its part before or after a reflection or wall. */
  readonly where: BarrierTrace['where'];
};

/**
 * Sets the paths round the barrier and its transmission; false where it has no effect. `workspace.straight` must be set.
 * A single panel acts wherever its plane lies between, even clear of the line; no distance lets one skip it, since the
 * edge wave falls only as the root of the distance.
 */
export function setBarrier(workspace: Workspace, barrier: Barrier, leg: Leg): boolean {
  if (barrier.panels.length === 1) return setSingle(workspace, barrier.panels[0] as PreparedPanel, leg);
  findCrossings(workspace.crossings, barrier, leg);
  if (workspace.crossings.count > 0) return setCrossed(workspace, barrier, leg);
  return holdsReflector(barrier, leg) ? false : setBeside(workspace, barrier, leg);
}

/** A barrier that holds the reflector itself counts only where the line crosses it again. */
const holdsReflector = (barrier: Barrier, { except }: Leg): boolean =>
  except !== null && barrier.panels.some(({ panel }) => panel === except);

const NONE: readonly Barrier[] = [];

/** The parts of a barrier that count beside the whole: the energy past it is that past the one that lets least through. */
export const partsOn = (barrier: Barrier, leg: Leg): readonly Barrier[] =>
  barrier.parts.length === 0 || holdsReflector(barrier, leg) ? NONE : barrier.parts;

function setSingle(workspace: Workspace, panel: PreparedPanel, leg: Leg): boolean {
  if (panel.panel === leg.except) return false;
  const nearSource = inFront(panel, leg.source);
  const nearMic = inFront(panel, leg.mic);
  if (nearSource * nearMic >= 0) return false;
  const at = nearSource / (nearSource - nearMic);
  if (!isWithin(leg, at)) return false;
  workspace.at = at;
  workspace.tau = panel.tau;
  setEdgePaths(workspace, panel, leg.source, leg.mic);
  return true;
}

const isWithin = ({ from, to }: Leg, at: number): boolean => at >= from && at <= to;

function findCrossings(crossings: Crossings, barrier: Barrier, leg: Leg): void {
  crossings.count = 0;
  for (const panel of barrier.panels) {
    const nearSource = inFront(panel, leg.source);
    const nearMic = inFront(panel, leg.mic);
    if (panel.panel === leg.except || nearSource * nearMic >= 0) continue;
    const at = nearSource / (nearSource - nearMic);
    const from = alongPanel(panel, leg.source);
    const along = from + at * (alongPanel(panel, leg.mic) - from);
    if (along >= 0 && along <= panel.width && isWithin(leg, at)) insert(crossings, at, panel);
  }
}

function insert(crossings: Crossings, at: number, panel: PreparedPanel): void {
  let i = crossings.count++;
  for (; i > 0 && (crossings.at[i - 1] as number) > at; i--) {
    crossings.at[i] = crossings.at[i - 1] as number;
    crossings.panels[i] = crossings.panels[i - 1] as PreparedPanel;
  }
  crossings.at[i] = at;
  crossings.panels[i] = panel;
}

/** The line crosses the barrier on the plan: no side is clear, each is the shortest path round it. */
function setCrossed(workspace: Workspace, barrier: Barrier, leg: Leg): boolean {
  const { source, mic } = leg;
  const { crossings } = workspace;
  const panel = crossings.panels[0] as PreparedPanel;
  const at = crossings.at[0] as number;
  const pivot: Vec2 = [source[0] + at * (mic[0] - source[0]), source[1] + at * (mic[1] - source[1])];
  const held = barrier.panels.indexOf(panel);
  const reflector = barrier.panels.findIndex((ready) => ready.panel === leg.except);
  const sought = { barrier, source, mic, pivot, held, reflector };
  workspace.sides.forEach((side, i) => {
    // Seen from the crossing, a path to the left of the line turns clockwise, one to the right anticlockwise.
    side.there =
      barrier.open &&
      findShortestPath(workspace.shortest, { ...sought, angle: i === 0 ? -Math.PI : Math.PI });
    if (side.there) shortestPathDiffraction(workspace, side, [source, mic], { barrier, ...workspace });
  });
  if (crossings.count === 1) setHorizontalPaths(workspace, panel, source, mic);
  else for (const below of [false, true]) horizontalEdgePaths(workspace, below, [source, mic], workspace);
  transmitCrossed(workspace, source, mic);
  return true;
}

/** Transmission of every panel the line goes through; over or under all of them, that of the one it passes closest. */
function transmitCrossed(workspace: Workspace, source: Vec3, mic: Vec3): void {
  const { crossings } = workspace;
  workspace.tau = workspace.through.fill(1);
  let count = 0;
  let places = 0;
  let closest = 0;
  let least = Infinity;
  for (let i = 0; i < crossings.count; i++) {
    const panel = crossings.panels[i] as PreparedPanel;
    const height = source[2] + (crossings.at[i] as number) * (mic[2] - source[2]);
    const over = panel.edgeTop ? Math.max(0, height - panel.high) : 0;
    const off = panel.edgeBottom ? Math.max(over, panel.low - height) : over;
    if (off === 0) {
      multiply(workspace.through, panel.tau);
      places += crossings.at[i] as number;
      count++;
    } else if (off < least) {
      least = off;
      closest = i;
    }
  }
  if (count === 0) workspace.tau = (crossings.panels[closest] as PreparedPanel).tau;
  workspace.at = count > 0 ? places / count : (crossings.at[closest] as number);
}

export function multiply(into: Bands, by: Bands): void {
  for (let band = 0; band < BAND_COUNT; band++) into[band] = (into[band] as number) * (by[band] as number);
}
