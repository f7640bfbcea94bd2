/** Paths round the edges of a panel: their waves, where they bend, and the free energy along them. */
import { type Bands, bands } from '../acoustics/bands.ts';
import type { Vec2, Vec3 } from '../geometry.ts';
import * as edgeWaves from './edge-diffraction.ts';
import { alongPanel, inFront, type PreparedPanel, type UprightEdge } from './panel.ts';
import type { EdgePath, PanelWorkspace } from './panel-diffraction.ts';
import { LEFT, LEVEL, RIGHT, sumPast, threeEdgePanel } from './panel-diffraction.ts';
import * as sight from './panel-view.ts';
import type { PathEnergy } from './path-energy.ts';
import type { EdgeTrace } from './trace.ts';

/** Sets the straight line of a pass with its directions. */
export function setStraight(workspace: PanelWorkspace, source: Vec3, mic: Vec3): void {
  setLength(workspace, source, mic);
  aim(workspace.straight.leave, source, mic);
  aim(workspace.straight.arrive, source, mic);
}

/** Sets the straight line's length alone: enough where its free energy is known. */
export function setLength({ straight }: PanelWorkspace, source: Vec3, mic: Vec3): void {
  const x = mic[0] - source[0];
  const y = mic[1] - source[1];
  const z = mic[2] - source[2];
  straight.length = Math.sqrt(x * x + y * y + z * z);
}

/** Whether the panel's plane lies between the two. A point in the plane itself counts as on one side. */
export const isBetween = (panel: PreparedPanel, source: Vec3, mic: Vec3): boolean =>
  inFront(panel, source) * inFront(panel, mic) < 0;

/** Sets the four paths round a panel that lies between, and where they bend; its edges are taken as endless lines. */
export function setEdgePaths(workspace: PanelWorkspace, panel: PreparedPanel, source: Vec3, mic: Vec3): void {
  viewPanel(workspace, panel, source, mic);
  setSides(workspace, panel);
  setHorizontals(workspace, panel);
  if (panel.edgeA) placeOnVertical(workspace.sides[0], panel.a, source, mic);
  if (panel.edgeB) placeOnVertical(workspace.sides[1], panel.b, source, mic);
  placeHorizontals(workspace, panel, source, mic);
}

/** Those over and under it alone. */
export function setHorizontalPaths(
  workspace: PanelWorkspace,
  panel: PreparedPanel,
  source: Vec3,
  mic: Vec3,
): void {
  viewPanel(workspace, panel, source, mic);
  setHorizontals(workspace, panel);
  placeHorizontals(workspace, panel, source, mic);
}

/** Over the top of a panel, or under it. */
export function horizontalEdgePath(
  workspace: PanelWorkspace,
  panel: PreparedPanel,
  below: boolean,
  source: Vec3,
  mic: Vec3,
): void {
  const horizontal = workspace.horizontals[below ? 1 : 0];
  viewPanel(workspace, panel, source, mic);
  setEdgePath(workspace, horizontal, panel.rho, below ? sight.EDGE_BOTTOM : sight.EDGE_TOP);
  placeOnHorizontal(horizontal, panel, below ? panel.low : panel.high, source, mic);
}

/** Sets the ends of the workspace to what source and mic see of a panel. */
function viewPanel({ views, ends }: PanelWorkspace, panel: PreparedPanel, source: Vec3, mic: Vec3): void {
  sight.setPanelView(views, 0, panel, source);
  sight.setPanelView(views, sight.VIEW_SIZE, panel, mic);
  ends.source = views;
  ends.mic = views;
  ends.sourceAt = 0;
  ends.micAt = sight.VIEW_SIZE;
}

/**
 * Writes `workspace.past`, the energy past a panel that lies between over that of the straight line, whose length is set: from what
 * both ends of the workspace see of it.
 */
export function pastPanelFromViews(workspace: PanelWorkspace, panel: PreparedPanel): void {
  if (panel.edgeA && panel.edgeB && panel.edgeTop !== panel.edgeBottom) {
    const { edges, past, waves } = workspace;
    const { rho } = panel;
    setEdgeWave(workspace, edges, LEFT, rho, sight.EDGE_A);
    setEdgeWave(workspace, edges, RIGHT, rho, sight.EDGE_B);
    setEdgeWave(workspace, edges, LEVEL, rho, panel.edgeTop ? sight.EDGE_TOP : sight.EDGE_BOTTOM);
    if (threeEdgePanel(past, edges, waves)) {
      if (workspace.record) keepThreeEdges(workspace, panel);
      return;
    }
  }
  setSides(workspace, panel);
  setHorizontals(workspace, panel);
  sumPast(workspace);
}

/** Keeps the three waves just summed as edge paths, for the record. */
function keepThreeEdges({ edges, sides, horizontals }: PanelWorkspace, panel: PreparedPanel): void {
  const [top, bottom] = horizontals;
  const kept = [sides[0], sides[1], panel.edgeTop ? top : bottom];
  for (const path of [...sides, ...horizontals]) path.there = kept.includes(path);
  kept.forEach((path, i) => {
    path.wave.set(edges.subarray(i * edgeWaves.EDGE_WAVE_SIZE, (i + 1) * edgeWaves.EDGE_WAVE_SIZE));
    takeFromWave(path);
  });
}

function setSides(workspace: PanelWorkspace, panel: PreparedPanel): void {
  const [sideA, sideB] = workspace.sides;
  sideA.there = panel.edgeA;
  sideB.there = panel.edgeB;
  if (panel.edgeA) setEdgePath(workspace, sideA, panel.rho, sight.EDGE_A);
  if (panel.edgeB) setEdgePath(workspace, sideB, panel.rho, sight.EDGE_B);
}

function setHorizontals(workspace: PanelWorkspace, panel: PreparedPanel): void {
  const [top, bottom] = workspace.horizontals;
  top.there = panel.edgeTop;
  bottom.there = panel.edgeBottom;
  if (panel.edgeTop) setEdgePath(workspace, top, panel.rho, sight.EDGE_TOP);
  if (panel.edgeBottom) setEdgePath(workspace, bottom, panel.rho, sight.EDGE_BOTTOM);
}

function placeHorizontals(
  { horizontals }: PanelWorkspace,
  panel: PreparedPanel,
  source: Vec3,
  mic: Vec3,
): void {
  if (panel.edgeTop) placeOnHorizontal(horizontals[0], panel, panel.high, source, mic);
  if (panel.edgeBottom) placeOnHorizontal(horizontals[1], panel, panel.low, source, mic);
}

/** The same from where both ends are. */
export function pastPanel(workspace: PanelWorkspace, panel: PreparedPanel, source: Vec3, mic: Vec3): void {
  setLength(workspace, source, mic);
  viewPanel(workspace, panel, source, mic);
  pastPanelFromViews(workspace, panel);
}

/**
 * Writes the wave round an endless edge of a panel (`EDGE_A` …) into `wave` from `at` on, from what both ends of the workspace see of
 * the panel. The detour comes from L² − d², which does not cancel.
 */
function setEdgeWave(
  { straight: { length: straight }, waves, ends }: PanelWorkspace,
  wave: edgeWaves.EdgeWave,
  at: number,
  rho: Bands,
  edge: number,
): void {
  const { source, mic } = ends;
  const i = ends.sourceAt + edge;
  const j = ends.micAt + edge;
  const before = source[i + sight.AWAY] as number;
  const after = mic[j + sight.AWAY] as number;
  const cos = (source[i + sight.HALF_COS] as number) * (mic[j + sight.HALF_COS] as number);
  const sin = (source[i + sight.HALF_SIN] as number) * (mic[j + sight.HALF_SIN] as number);
  const turn = cos - sin;
  const flat = before + after;
  const axis = edge < sight.EDGE_TOP ? sight.HEIGHT : sight.ALONG;
  const slide = (mic[ends.micAt + axis] as number) - (source[ends.sourceAt + axis] as number);
  const whole = Math.sqrt(flat * flat + slide * slide);
  const reach = 2 * Math.sqrt((2 * before * after) / whole) * (waves.inverseRoot[0] as number);
  wave[at + edgeWaves.CLEAR] = turn < 0 ? 1 : 0;
  wave[at + edgeWaves.WHOLE] = whole;
  wave[at + edgeWaves.BEFORE] = before / flat;
  wave[at + edgeWaves.DETOUR] = (4 * before * after * turn * turn) / (whole + straight);
  wave[at + edgeWaves.DIRECT] = reach * turn;
  wave[at + edgeWaves.IMAGE] = reach * (cos + sin);
  wave[at + edgeWaves.LIFT] =
    turn < 0 ? edgeWaves.edgeLift(sight.halfAngleAt(source, i), sight.halfAngleAt(mic, j)) : 0;
  wave[at + edgeWaves.HALF] = straight / whole / 2;
  edgeWaves.setCoherence(wave, at, edgeWaves.driftRound(flat, turn, whole, straight), waves);
  edgeWaves.setWave(wave, at, rho, waves);
}

/** The same as a path of its own. */
function setEdgePath(workspace: PanelWorkspace, edgePath: EdgePath, rho: Bands, edge: number): void {
  setEdgeWave(workspace, edgePath.wave, 0, rho, edge);
  takeFromWave(edgePath);
}

function takeFromWave(edgePath: EdgePath): void {
  const { wave } = edgePath;
  edgePath.clear = wave[edgeWaves.CLEAR] === 1;
  edgePath.length = wave[edgeWaves.WHOLE] as number;
  edgePath.bend = wave[edgeWaves.BEFORE] as number;
  edgePath.detour = wave[edgeWaves.DETOUR] as number;
  edgePath.lift = wave[edgeWaves.LIFT] as number;
}

/** Round the endless upright edge of a half-plane that is no panel of its own: a joint of several. */
export function verticalEdgePath(
  workspace: PanelWorkspace,
  edgePath: EdgePath,
  edge: UprightEdge,
  source: Vec3,
  mic: Vec3,
): void {
  const { foot, into } = edge;
  const { bend } = workspace;
  const sx = source[0] - foot[0];
  const sy = source[1] - foot[1];
  const mx = mic[0] - foot[0];
  const my = mic[1] - foot[1];
  bend.before = Math.sqrt(sx * sx + sy * sy);
  bend.after = Math.sqrt(mx * mx + my * my);
  edgeWaves.setHalfAngle(bend.toSource, Math.abs(into[0] * sy - into[1] * sx), into[0] * sx + into[1] * sy);
  edgeWaves.setHalfAngle(bend.toMic, Math.abs(into[0] * my - into[1] * mx), into[0] * mx + into[1] * my);
  finish(workspace, edgePath, mic[2] - source[2], edge.rho);
  placeOnVertical(edgePath, foot, source, mic);
}

function finish(workspace: PanelWorkspace, edgePath: EdgePath, slide: number, rho: Bands): void {
  const { bend } = workspace;
  const flat = bend.before + bend.after;
  bend.whole = Math.sqrt(flat * flat + slide * slide);
  bend.straight = workspace.straight.length;
  const turn = edgeWaves.halfTurn(bend);
  edgePath.there = true;
  edgePath.clear = turn < 0;
  edgePath.length = bend.whole;
  edgePath.bend = bend.before / flat;
  edgePath.detour = (4 * bend.before * bend.after * turn * turn) / (bend.whole + bend.straight);
  edgeWaves.edgeWave(edgePath.wave, bend, rho, workspace.waves);
  edgePath.lift = edgePath.wave[edgeWaves.LIFT] as number;
  edgeWaves.setCoherence(
    edgePath.wave,
    0,
    edgeWaves.driftRound(flat, turn, bend.whole, bend.straight),
    workspace.waves,
  );
}

/** Puts in place where a path bends round an upright edge, by the share of the path before it. */
function placeOnVertical(edgePath: EdgePath, foot: Vec2, source: Vec3, mic: Vec3): void {
  const height = source[2] + (mic[2] - source[2]) * edgePath.bend;
  sight.setPoint(edgePath.first, foot[0], foot[1], height);
  sight.setPoint(edgePath.last, foot[0], foot[1], height);
}

/** The same over the top of a panel or under it, at its level. */
function placeOnHorizontal(
  edgePath: EdgePath,
  panel: PreparedPanel,
  level: number,
  source: Vec3,
  mic: Vec3,
): void {
  const start = alongPanel(panel, source);
  const at = start + (alongPanel(panel, mic) - start) * edgePath.bend;
  const x = panel.a[0] + at * panel.along[0];
  const y = panel.a[1] + at * panel.along[1];
  sight.setPoint(edgePath.first, x, y, level);
  sight.setPoint(edgePath.last, x, y, level);
}

// Free energies of the paths round a panel, where their directions count: on the direct path, not on reflected ones.

/** Of the straight line, set with its directions. */
export function freeStraightEnergy({ straight }: PanelWorkspace, pathEnergy: PathEnergy): void {
  pathEnergy(straight, straight.leave, straight.arrive, straight.length, straight.length);
}

/** Of every path round: at d for spreading and proximity, over L for the air. */
export function freeEdgeEnergies(
  workspace: PanelWorkspace,
  source: Vec3,
  mic: Vec3,
  pathEnergy: PathEnergy,
): void {
  for (const side of workspace.sides)
    if (side.there) freeEdgeEnergy(workspace, side, source, mic, pathEnergy);
  for (const horizontal of workspace.horizontals)
    if (horizontal.there) freeEdgeEnergy(workspace, horizontal, source, mic, pathEnergy);
}

export function freeEdgeEnergy(
  workspace: PanelWorkspace,
  edgePath: EdgePath,
  source: Vec3,
  mic: Vec3,
  pathEnergy: PathEnergy,
): void {
  aim(edgePath.leave, source, edgePath.first);
  aim(edgePath.arrive, edgePath.last, mic);
  pathEnergy(edgePath, edgePath.leave, edgePath.arrive, workspace.straight.length, edgePath.length);
}

/** Unit vector from one point to another; nothing for a path of no length. */
export function aim(into: sight.Point, from: Vec3, to: Vec3): void {
  const x = to[0] - from[0];
  const y = to[1] - from[1];
  const z = to[2] - from[2];
  const length = Math.sqrt(x * x + y * y + z * z) || 1;
  sight.setPoint(into, x / length, y / length, z / length);
}

/**
 * The edge paths as last set, by side as one looks from the source: those of a barrier's panels, or of one outline. The sides of a
 * single panel are its ends a and b, and a is on the left of whoever has its front before them: `turned` where the source does.
 */
export function edgesOf({ sides, horizontals }: PanelWorkspace, turned: boolean): EdgeTrace[] {
  const named: readonly (readonly [EdgeTrace['side'], EdgePath])[] = [
    [turned ? 'right' : 'left', sides[0]],
    [turned ? 'left' : 'right', sides[1]],
    ['top', horizontals[0]],
    ['bottom', horizontals[1]],
  ];
  return named
    .filter(([, { there }]) => there)
    .map(([side, { clear, detour, wave }]) => ({
      side,
      clear,
      detour,
      energy: bands((band) => edgeWaves.edgeEnergy(wave, band * edgeWaves.BAND_SIZE)),
    }));
}
