/** What barriers leave of a straight leg of a path, and of the direct path with the directions of all its edge waves. */
import { BAND_COUNT, type Bands, bands, sameInAllBands } from '../acoustics/bands.ts';
import { midpoint, orientation, span, type Vec2, type Vec3 } from '../geometry.ts';
import type { Panel } from '../scene/scene.ts';
import type { Barrier, BarrierNode, Group, GroupEntry } from './barrier.ts';
import { groupsOf } from './barrier.ts';
import type { Acting, BendChain, Place } from './combined-loss.ts';
import { addEntry, addFactors, combine, combineFactors, newActing, newBendChain } from './combined-loss.ts';
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
import type { PathEnds } from './path-energy.ts';
import {
  type Crossings,
  findShortestPath,
  horizontalEdgePaths,
  newShortestPath,
  type ShortestPath,
  seenTurn,
  shortestPathDiffraction,
} from './shortest-path.ts';
import { type BarrierTrace, type PathRecord, recordBarrier, recordLosses, sortBarriers } from './trace.ts';

/**
 * Multiplies `into` by what barriers leave of a leg: of each whose plane the line from source to mic meets between the shares
 * `from` and `to`, `τ + (1−τ)·min(1, past)`, and of several their combined loss. A reflected path is two of these: image → mic after the
 * reflection, source → the mic's image before it.
 */
export function transmitLeg(into: Bands, barriers: Barriers, leg: Leg): void {
  const { workspace } = barriers;
  startLosses(workspace);
  addLeg(barriers, leg);
  takeLosses(into, workspace);
}

/** Adds the barriers on a leg. */
export function addLeg(barriers: Barriers, leg: Leg): void {
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
  transmitPanels(barriers);
  transmitBarriers(barriers, leg);
  if (workspace.record) sortBarriers(workspace.record, recorded);
}

/** Before what acts on a path is added: nothing does yet. */
export function startLosses({ acting }: Workspace): void {
  acting.count = 0;
  acting.plain = true;
}

/** Multiplies `into` by the combined factor of all that was added since `startLosses`. */
export function takeLosses(into: Bands, { acting, through, record }: Workspace): void {
  if (acting.count === 0) return;
  combineFactors(through, acting);
  multiply(into, through);
  if (record) recordLosses(record, through);
}

/** The combined factor of all that was added so far, for the record. */
export function combinedFactor({ acting }: Workspace): Bands {
  const factor = sameInAllBands(1);
  if (acting.count > 0) combineFactors(factor, acting);
  return factor;
}

/** Adds the lone panels on the leg that `workspace.ends` holds; the length of `workspace.straight` must be set. */
export function transmitPanels(barriers: Barriers): void {
  const { lone, loneStates, workspace } = barriers;
  const { ends, acting } = workspace;
  const { source, mic, from, to, except, sourceAt, micAt } = ends;
  const leg = acting.count;
  for (let p = 0, i = sourceAt, j = micAt; p < lone.length; p++, i += VIEW_SIZE, j += VIEW_SIZE) {
    const nearSource = source[i + FRONT] as number;
    const nearMic = mic[j + FRONT] as number;
    if (nearSource * nearMic >= 0 || p === except) continue;
    const at = nearSource / (nearSource - nearMic);
    if (at < from || at > to) continue;
    const states = loneStates[p] as readonly PanelState[];
    ends.sourceAt = i;
    ends.micAt = j;
    for (let s = 0; s < states.length; s++) {
      const { panel, place } = states[s] as PanelState;
      pastPanelFromViews(workspace, panel);
      workspace.tau = panel.tau;
      addPast(workspace, place, leg);
      if (workspace.record) recordActing(workspace, [panel], place, ends.where, nearSource > 0);
    }
  }
}

/** The same for barriers of several panels. */
export function transmitBarriers({ joined, workspace }: Barriers, leg: Leg): void {
  const first = workspace.acting.count;
  for (const { entries } of joined)
    for (const entry of entries) {
      if (!isSet(workspace, entry, leg)) continue;
      sumPast(workspace);
      addPast(workspace, entry.place, first);
      if (workspace.record) recordEntry(workspace, entry, leg);
    }
}

/** Sets a barrier or straight part of one on a leg; false where it has no effect. */
const isSet = (workspace: Workspace, { barrier, whole }: GroupEntry, leg: Leg): boolean =>
  (barrier === whole || !holdsReflector(whole, leg)) && setBarrier(workspace, barrier, leg);

/** Adds what was just set and summed, by its energy factor alone. */
function addPast({ acting, tau, past, left }: Workspace, place: Place, leg: number): void {
  for (let band = 0; band < BAND_COUNT; band++)
    left[band] = barrierTransmission(tau[band] as number, past[band] as number);
  addFactors(acting, place, left, leg);
}

function recordEntry(workspace: Workspace, { barrier, place }: GroupEntry, leg: Leg): void {
  const { panels } = barrier;
  const turned = panels.length === 1 && inFront(panels[0] as PreparedPanel, leg.source) > 0;
  recordActing(workspace, panels, place, leg.where, turned);
}

/** What the workspace holds of a barrier that was just computed. */
function recordActing(
  workspace: Workspace,
  panels: readonly PreparedPanel[],
  place: Place,
  where: Leg['where'],
  turned: boolean,
): void {
  const tau = workspace.tau.slice();
  const past = workspace.past.map((value) => Math.max(0, value));
  recordBarrier(workspace.record as PathRecord, {
    panels: [...new Set(panels.map(({ panel }) => panel.name))],
    place,
    where,
    tau,
    past,
    transmitted: bands((band) => barrierTransmission(tau[band] as number, past[band] as number)),
    edges: edgesOf(workspace, turned),
  });
}

/** The panels of one room made ready, with the working memory of all computing past them. */
export type Barriers = PanelViews & {
  readonly list: readonly Group[];
  /** Of those the ones made of several panels; `lone` holds the single panels of the others, each with every gap open. */
  readonly joined: readonly Group[];
  /** Lone panels in each state of their gaps to walls and ceiling. */
  readonly loneStates: readonly (readonly PanelState[])[];
  /** For each reflector which of the lone panels it is; −1 where it is part of a larger group. */
  readonly aloneAs: readonly number[];
  /** The reflectors in each state of their own gaps. */
  readonly reflectorStates: readonly (readonly PanelState[])[];
  readonly workspace: Workspace;
};

/** A panel as it is in a state of its gaps. */
export type PanelState = { readonly panel: PreparedPanel; readonly place: Place };

/** Prepares the panels that stand in one room, or in the open (`bounds` null). */
export function prepareBarriers(panels: readonly Panel[], bounds: Bounds, workspace: Workspace): Barriers {
  const list = groupsOf(panels, bounds);
  const alone = list.filter((group) => group.panels.length === 1);
  const lone = alone.flatMap((group) => group.panels);
  const mirroring = panels.filter((panel) => panel.tau.some((tau) => tau < 1));
  return {
    list,
    joined: list.filter((group) => group.panels.length > 1),
    lone: lone.map((panel) => preparePanel(panel, bounds)),
    loneStates: alone.map(singleStates),
    reflectors: mirroring.map((panel) => preparePanel(panel, bounds)),
    reflectorStates: mirroring.map((panel) => {
      const known = alone[lone.indexOf(panel)];
      return known ? singleStates(known) : groupsOf([panel], bounds).flatMap(singleStates);
    }),
    aloneAs: mirroring.map((reflector) => lone.indexOf(reflector)),
    bounds,
    known: new WeakMap(),
    workspace,
  };
}

const singleStates = ({ entries }: Group): PanelState[] =>
  entries.map(({ barrier, place }) => ({ panel: barrier.panels[0] as PreparedPanel, place }));

/** Starts the direct path: `pathEnergy` gives its free energy and the mic's response. */
export function startDirect(workspace: Workspace, { source, mic, pathEnergy }: PathEnds): void {
  setStraight(workspace, source, mic);
  freeStraightEnergy(workspace, pathEnergy);
  startLosses(workspace);
}

/** Adds every barrier that acts on the direct path, with the directions of its edge waves. */
export function addBarriersDirect(
  { list, workspace }: Barriers,
  { source, mic, pathEnergy }: PathEnds,
): void {
  const leg: Leg = { source, mic, from: 0, to: 1, except: null, where: 'whole' };
  for (const { entries } of list)
    for (const entry of entries) {
      if (!setBarrier(workspace, entry.barrier, leg)) continue;
      freeEdgeEnergies(workspace, source, mic, pathEnergy);
      sumPastPanel(workspace);
      addWaves(workspace, entry.place, workspace.tau);
      if (workspace.record) recordEntry(workspace, entry, leg);
    }
}

/** Writes the energies of the direct path past all that was added; false where nothing was, and the path is the straight one alone. */
export function directPast(into: Bands, { straight: { free, response }, acting }: Workspace): boolean {
  for (let band = 0; band < BAND_COUNT; band++) {
    const direct = (free[band] as number) * (response[band] as number);
    if (acting.count > 0) combine(acting, band, direct);
    into[band] = acting.count > 0 ? acting.energy : direct;
  }
  return acting.count > 0;
}

/**
 * Adds the waves just summed, with their directions: past a barrier of this transmission `p² = τ·p²_direct + (1−τ)·sum/max(1, past)` by
 * parts, and with all free energies 1; past a corner of the room the sum as it is.
 */
export function addWaves(workspace: Workspace, place: Place, transmission: Bands | null): void {
  const { acting } = workspace;
  const row = addEntry(acting, place, 0);
  for (let band = 0; band < BAND_COUNT; band++) {
    const tau = transmission ? (transmission[band] as number) : 0;
    const past = Math.max(0, workspace.past[band] as number);
    acting.factors[row + band] = transmission ? barrierTransmission(tau, past) : past;
    acting.through[row + band] = tau;
    acting.diffracted[row + band] = transmission ? (1 - tau) / Math.max(1, past) : 1;
    acting.weighted[row + band] = Math.max(0, workspace.weighted[band] as number);
  }
  workspace.kept?.push({
    interference: copyInterference(workspace.interference),
    place,
    factors: acting.factors.slice(row, row + BAND_COUNT),
    through: acting.through.slice(row, row + BAND_COUNT),
    diffracted: acting.diffracted.slice(row, row + BAND_COUNT),
  });
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
  const sought = { barrier, source, mic, pivot, held, reflector: null, angle };
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
  readonly acting: Acting;
  readonly crossings: Crossings;
  readonly hull: number[];
  /** Of the barrier last set: transmission by band, and the share of the straight line at which it stands. */
  tau: Bands;
  at: number;
  /** Where the transmissions of several panels are multiplied, and energy factors are kept. */
  readonly through: Bands;
  readonly left: Bands;
  /** What of a wave off a wall belongs to the direct sound. */
  readonly spare: Bands;
};

export const newWorkspace = (soundSpeed: number): Workspace => ({
  ...newPanelWorkspace(soundSpeed),
  shortest: newShortestPath(),
  chain: newBendChain(),
  acting: newActing(),
  crossings: { count: 0, at: [], panels: [] },
  hull: [],
  tau: sameInAllBands(0),
  at: 0,
  through: sameInAllBands(1),
  left: sameInAllBands(1),
  spare: sameInAllBands(0),
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
  const sought = { barrier, source, mic, pivot, held, reflector: leg.except };
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
