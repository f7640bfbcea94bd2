/** Geometry of a path round one edge; what a point sees of a panel. */
import type { Bands } from '../acoustics/bands.ts';
import type { Vec2, Vec3 } from '../geometry.ts';
import {
  atHand,
  BEFORE,
  CLEAR,
  DETOUR,
  DIRECT,
  driftRound,
  edgeLift,
  edgeWave,
  HALF,
  halfTurn,
  IMAGE,
  keepWave,
  LIFT,
  setCoherence,
  setHalfAngle,
  setWave,
  WHOLE,
} from './edge-diffraction.ts';
import { alongPanel, inFront, type PreparedPanel, type UprightEdge } from './panel.ts';
import {
  type EdgePath,
  LEFT,
  LEVEL,
  type PanelWorkspace,
  RIGHT,
  sumPast,
  threeEdgePanel,
} from './panel-diffraction.ts';
import {
  ALONG,
  AWAY,
  EDGE_A,
  EDGE_B,
  EDGE_BOTTOM,
  EDGE_TOP,
  HALF_COS,
  HALF_SIN,
  HEIGHT,
  halfAngleAt,
  type Point,
  setPanelView,
  VIEW_SIZE,
} from './panel-view.ts';
import type { PathEnergy } from './path-energy.ts';

// The sound past one rectangular panel between a source and a mic.
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
  straight.whole = Math.sqrt(x * x + y * y + z * z);
}

/** Whether the panel's plane lies between the two. A point in the plane itself counts as on one side. */
export const isBetween = (panel: PreparedPanel, source: Vec3, mic: Vec3): boolean =>
  inFront(panel, source) * inFront(panel, mic) < 0;

/** Sets the four ways round a panel that lies between, and where they bend; its edges are taken as endless lines. */
export function setEdgePaths(workspace: PanelWorkspace, panel: PreparedPanel, source: Vec3, mic: Vec3): void {
  const { views } = workspace;
  look(workspace, panel, source, mic);
  verticalPathsFromViews(workspace, panel, views, 0, views, VIEW_SIZE);
  horizontalPathsFromViews(workspace, panel, views, 0, views, VIEW_SIZE);
  placeSides(workspace, panel, source, mic);
  placeLevels(workspace, panel, source, mic);
}

/** Those over and under it alone. */
export function setHorizontalPaths(
  workspace: PanelWorkspace,
  panel: PreparedPanel,
  source: Vec3,
  mic: Vec3,
): void {
  const { views } = workspace;
  look(workspace, panel, source, mic);
  horizontalPathsFromViews(workspace, panel, views, 0, views, VIEW_SIZE);
  placeLevels(workspace, panel, source, mic);
}

/** Over the top of a panel, or under it. */
export function horizontalEdgePath(
  workspace: PanelWorkspace,
  panel: PreparedPanel,
  below: boolean,
  source: Vec3,
  mic: Vec3,
): void {
  const { views } = workspace;
  const edge = below ? EDGE_BOTTOM : EDGE_TOP;
  const cap = workspace.caps[below ? 1 : 0];
  look(workspace, panel, source, mic);
  edgePathFromViews(workspace, cap, panel.rho, edge, views, 0, views, VIEW_SIZE);
  placeOnLevel(cap, panel, below ? panel.low : panel.high, source, mic);
}

function look({ views }: PanelWorkspace, panel: PreparedPanel, source: Vec3, mic: Vec3): void {
  setPanelView(views, 0, panel, source);
  setPanelView(views, VIEW_SIZE, panel, mic);
}

/**
 * Writes `pass.past`, the energy past the panel over that of the straight line, whose length is set, of a panel that lies between:
 * from what both ends see of it, of the source in `from` at `i`, of the mic in `to` at `j`.
 */
export function pastPanelFromViews(
  workspace: PanelWorkspace,
  panel: PreparedPanel,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  if (panel.edgeA && panel.edgeB && panel.edgeTop !== panel.edgeBottom) {
    const { rho } = panel;
    edgeWaveFromViews(LEFT, workspace, rho, EDGE_A, from, i, to, j);
    edgeWaveFromViews(RIGHT, workspace, rho, EDGE_B, from, i, to, j);
    edgeWaveFromViews(LEVEL, workspace, rho, panel.edgeTop ? EDGE_TOP : EDGE_BOTTOM, from, i, to, j);
    if (threeEdgePanel(workspace.past, workspace.waves)) return;
  }
  verticalPathsFromViews(workspace, panel, from, i, to, j);
  horizontalPathsFromViews(workspace, panel, from, i, to, j);
  sumPast(workspace);
}

function verticalPathsFromViews(
  workspace: PanelWorkspace,
  panel: PreparedPanel,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  const [sideA, sideB] = [workspace.sides[0], workspace.sides[1]];
  sideA.there = panel.edgeA;
  sideB.there = panel.edgeB;
  if (panel.edgeA) edgePathFromViews(workspace, sideA, panel.rho, EDGE_A, from, i, to, j);
  if (panel.edgeB) edgePathFromViews(workspace, sideB, panel.rho, EDGE_B, from, i, to, j);
}

function horizontalPathsFromViews(
  workspace: PanelWorkspace,
  panel: PreparedPanel,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  const [top, bottom] = [workspace.caps[0], workspace.caps[1]];
  top.there = panel.edgeTop;
  bottom.there = panel.edgeBottom;
  if (panel.edgeTop) edgePathFromViews(workspace, top, panel.rho, EDGE_TOP, from, i, to, j);
  if (panel.edgeBottom) edgePathFromViews(workspace, bottom, panel.rho, EDGE_BOTTOM, from, i, to, j);
}

/** Puts in place where the ways round the sides bend: needed where their directions count. */
function placeSides({ sides }: PanelWorkspace, panel: PreparedPanel, source: Vec3, mic: Vec3): void {
  if (panel.edgeA) placeOnUpright(sides[0], panel.a, source, mic);
  if (panel.edgeB) placeOnUpright(sides[1], panel.b, source, mic);
}

function placeLevels({ caps }: PanelWorkspace, panel: PreparedPanel, source: Vec3, mic: Vec3): void {
  if (panel.edgeTop) placeOnLevel(caps[0], panel, panel.high, source, mic);
  if (panel.edgeBottom) placeOnLevel(caps[1], panel, panel.low, source, mic);
}

/** Writes `pass.past`, the energy past the panel over that of the straight line, of a panel that lies between. */
export function pastPanel(workspace: PanelWorkspace, panel: PreparedPanel, source: Vec3, mic: Vec3): void {
  setLength(workspace, source, mic);
  look(workspace, panel, source, mic);
  pastPanelFromViews(workspace, panel, workspace.views, 0, workspace.views, VIEW_SIZE);
}

// Ways round single straight edges, upright or level: the edge wave they carry, and where they bend.

/**
 * Puts the wave at hand round an endless edge of a panel (`EDGE_A` …), from what the source (in `from` at `i`) and the mic (in `to` at
 * `j`) see of the panel. The detour comes from L² − d², which does not cancel.
 */
function edgeWaveFromViews(
  hand: number,
  { straight: { whole: straight }, waves }: PanelWorkspace,
  rho: Bands,
  edge: number,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  const before = from[i + edge + AWAY] as number;
  const after = to[j + edge + AWAY] as number;
  const cos = (from[i + edge + HALF_COS] as number) * (to[j + edge + HALF_COS] as number);
  const sin = (from[i + edge + HALF_SIN] as number) * (to[j + edge + HALF_SIN] as number);
  const turn = cos - sin;
  const flat = before + after;
  const axis = edge < EDGE_TOP ? HEIGHT : ALONG;
  const slide = (to[j + axis] as number) - (from[i + axis] as number);
  const whole = Math.sqrt(flat * flat + slide * slide);
  const reach = 2 * Math.sqrt((2 * before * after) / whole) * (waves.inverseRoot[0] as number);
  atHand[hand + CLEAR] = turn < 0 ? 1 : 0;
  atHand[hand + WHOLE] = whole;
  atHand[hand + BEFORE] = before / flat;
  atHand[hand + DETOUR] = (4 * before * after * turn * turn) / (whole + straight);
  atHand[hand + DIRECT] = reach * turn;
  atHand[hand + IMAGE] = reach * (cos + sin);
  atHand[hand + LIFT] = turn < 0 ? edgeLift(halfAngleAt(from, i + edge), halfAngleAt(to, j + edge)) : 0;
  atHand[hand + HALF] = straight / whole / 2;
  setCoherence(atHand, hand, driftRound(flat, turn, whole, straight), waves);
  setWave(hand, rho);
}

/** The same as a way of its own. */
function edgePathFromViews(
  workspace: PanelWorkspace,
  edgePath: EdgePath,
  rho: Bands,
  edge: number,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  edgeWaveFromViews(0, workspace, rho, edge, from, i, to, j);
  keepWave(edgePath.wave, 0);
  edgePath.clear = atHand[CLEAR] === 1;
  edgePath.whole = atHand[WHOLE] as number;
  edgePath.bend = atHand[BEFORE] as number;
  edgePath.detour = atHand[DETOUR] as number;
  edgePath.lift = atHand[LIFT] as number;
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
  setHalfAngle(bend.toSource, Math.abs(into[0] * sy - into[1] * sx), into[0] * sx + into[1] * sy);
  setHalfAngle(bend.toMic, Math.abs(into[0] * my - into[1] * mx), into[0] * mx + into[1] * my);
  finish(workspace, edgePath, mic[2] - source[2], edge.rho);
  placeOnUpright(edgePath, foot, source, mic);
}

function finish(workspace: PanelWorkspace, edgePath: EdgePath, slide: number, rho: Bands): void {
  const { bend } = workspace;
  const flat = bend.before + bend.after;
  bend.whole = Math.sqrt(flat * flat + slide * slide);
  bend.straight = workspace.straight.whole;
  const turn = halfTurn(bend);
  edgePath.there = true;
  edgePath.clear = turn < 0;
  edgePath.whole = bend.whole;
  edgePath.bend = bend.before / flat;
  edgePath.detour = (4 * bend.before * bend.after * turn * turn) / (bend.whole + bend.straight);
  edgeWave(edgePath.wave, bend, rho, workspace.waves.inverseRoot);
  edgePath.lift = atHand[LIFT] as number;
  setCoherence(edgePath.wave, 0, driftRound(flat, turn, bend.whole, bend.straight), workspace.waves);
}

/** Puts in place where a way bends round an upright edge, by the share of the way before it. */
function placeOnUpright(edgePath: EdgePath, foot: Vec2, source: Vec3, mic: Vec3): void {
  const height = source[2] + (mic[2] - source[2]) * edgePath.bend;
  put(edgePath.first, foot[0], foot[1], height);
  put(edgePath.last, foot[0], foot[1], height);
}

/** The same over the top of a panel or under it, at its level. */
function placeOnLevel(
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
  put(edgePath.first, x, y, level);
  put(edgePath.last, x, y, level);
}

/** Puts a point in place. */
export function put(into: Point, x: number, y: number, z: number): void {
  into[0] = x;
  into[1] = y;
  into[2] = z;
}

// Free energies of the ways of one pass, where their directions count: on the direct way, not on reflected ones.

/** Of the straight line, set with its directions. */
export function freeStraightEnergy({ straight }: PanelWorkspace, way: PathEnergy): void {
  way(straight, straight.leave, straight.arrive, straight.whole, straight.whole);
}

/** Of every way round: at d for spreading and proximity, over L for the air. */
export function freeEdgeEnergies(workspace: PanelWorkspace, source: Vec3, mic: Vec3, way: PathEnergy): void {
  for (const side of workspace.sides) if (side.there) freeEdgeEnergy(workspace, side, source, mic, way);
  for (const cap of workspace.caps) if (cap.there) freeEdgeEnergy(workspace, cap, source, mic, way);
}

export function freeEdgeEnergy(
  workspace: PanelWorkspace,
  edgePath: EdgePath,
  source: Vec3,
  mic: Vec3,
  way: PathEnergy,
): void {
  aim(edgePath.leave, source, edgePath.first);
  aim(edgePath.arrive, edgePath.last, mic);
  way(edgePath, edgePath.leave, edgePath.arrive, workspace.straight.whole, edgePath.whole);
}

/** Unit vector from one point to another; nothing for a way of no length. */
function aim(into: Point, from: Vec3, to: Vec3): void {
  const x = to[0] - from[0];
  const y = to[1] - from[1];
  const z = to[2] - from[2];
  const length = Math.sqrt(x * x + y * y + z * z) || 1;
  into[0] = x / length;
  into[1] = y / length;
  into[2] = z / length;
}
