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
  edgeWave,
  HALF,
  halfTurn,
  IMAGE,
  keepWave,
  LIFT,
  riseBesidePanel,
  setCoherence,
  setHalfAngle,
  setWave,
  WHOLE,
} from './edge-diffraction.ts';
import { alongPanel, inFront, type ReadyPanel, type UprightEdge } from './panel.ts';
import { LEFT, LEVEL, type Pass, pastThree, RIGHT, type Round, sumPast } from './panel-diffraction.ts';
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
  SIGHT,
  setSight,
} from './panel-view.ts';
import type { FreeWay } from './path-energy.ts';

// The sound past one rectangular panel between a source and a mic.
/** Sets the straight line of a pass with its directions. */
export function setStraight(pass: Pass, source: Vec3, mic: Vec3): void {
  setLength(pass, source, mic);
  aim(pass.straight.leave, source, mic);
  aim(pass.straight.arrive, source, mic);
}

/** Sets the straight line's length alone: enough where its free energy is known. */
export function setLength({ straight }: Pass, source: Vec3, mic: Vec3): void {
  const x = mic[0] - source[0];
  const y = mic[1] - source[1];
  const z = mic[2] - source[2];
  straight.whole = Math.sqrt(x * x + y * y + z * z);
}

/** Whether the panel's plane lies between the two. A point in the plane itself counts as on one side. */
export const isBetween = (panel: ReadyPanel, source: Vec3, mic: Vec3): boolean =>
  inFront(panel, source) * inFront(panel, mic) < 0;

/** Sets the four ways round a panel that lies between, and where they bend; its edges are taken as endless lines. */
export function setRounds(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  const { sights } = pass;
  look(pass, panel, source, mic);
  setSides(pass, panel, sights, 0, sights, SIGHT);
  setLevels(pass, panel, sights, 0, sights, SIGHT);
  placeSides(pass, panel, source, mic);
  placeLevels(pass, panel, source, mic);
}

/** Those over and under it alone. */
export function setCaps(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  const { sights } = pass;
  look(pass, panel, source, mic);
  setLevels(pass, panel, sights, 0, sights, SIGHT);
  placeLevels(pass, panel, source, mic);
}

/** Over the top of a panel, or under it. */
export function roundLevel(pass: Pass, panel: ReadyPanel, below: boolean, source: Vec3, mic: Vec3): void {
  const { sights } = pass;
  const edge = below ? EDGE_BOTTOM : EDGE_TOP;
  const cap = pass.caps[below ? 1 : 0];
  look(pass, panel, source, mic);
  roundSeen(pass, cap, panel.rho, edge, sights, 0, sights, SIGHT);
  placeOnLevel(cap, panel, below ? panel.low : panel.high, source, mic);
}

function look({ sights }: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  setSight(sights, 0, panel, source);
  setSight(sights, SIGHT, panel, mic);
}

/**
 * Writes `pass.past`, the energy past the panel over that of the straight line, whose length is set, of a panel that lies between:
 * from what both ends see of it, of the source in `from` at `i`, of the mic in `to` at `j`.
 */
export function pastSeen(
  pass: Pass,
  panel: ReadyPanel,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  if (panel.edgeA && panel.edgeB && panel.edgeTop !== panel.edgeBottom) {
    const { rho } = panel;
    seeEdge(LEFT, pass, rho, EDGE_A, from, i, to, j);
    seeEdge(RIGHT, pass, rho, EDGE_B, from, i, to, j);
    seeEdge(LEVEL, pass, rho, panel.edgeTop ? EDGE_TOP : EDGE_BOTTOM, from, i, to, j);
    if (pastThree(pass.past, pass.waves)) return;
  }
  setSides(pass, panel, from, i, to, j);
  setLevels(pass, panel, from, i, to, j);
  sumPast(pass);
}

function setSides(
  pass: Pass,
  panel: ReadyPanel,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  const [sideA, sideB] = [pass.sides[0], pass.sides[1]];
  sideA.there = panel.edgeA;
  sideB.there = panel.edgeB;
  if (panel.edgeA) roundSeen(pass, sideA, panel.rho, EDGE_A, from, i, to, j);
  if (panel.edgeB) roundSeen(pass, sideB, panel.rho, EDGE_B, from, i, to, j);
}

function setLevels(
  pass: Pass,
  panel: ReadyPanel,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  const [top, bottom] = [pass.caps[0], pass.caps[1]];
  top.there = panel.edgeTop;
  bottom.there = panel.edgeBottom;
  if (panel.edgeTop) roundSeen(pass, top, panel.rho, EDGE_TOP, from, i, to, j);
  if (panel.edgeBottom) roundSeen(pass, bottom, panel.rho, EDGE_BOTTOM, from, i, to, j);
}

/** Puts in place where the ways round the sides bend: needed where their directions count. */
function placeSides({ sides }: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  if (panel.edgeA) placeOnUpright(sides[0], panel.a, source, mic);
  if (panel.edgeB) placeOnUpright(sides[1], panel.b, source, mic);
}

function placeLevels({ caps }: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  if (panel.edgeTop) placeOnLevel(caps[0], panel, panel.high, source, mic);
  if (panel.edgeBottom) placeOnLevel(caps[1], panel, panel.low, source, mic);
}

/** Writes `pass.past`, the energy past the panel over that of the straight line, of a panel that lies between. */
export function pastPanel(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  setLength(pass, source, mic);
  look(pass, panel, source, mic);
  pastSeen(pass, panel, pass.sights, 0, pass.sights, SIGHT);
}

// Ways round single straight edges, upright or level: the edge wave they carry, and where they bend.

/**
 * Puts the wave at hand round an endless edge of a panel (`EDGE_A` …), from what the source (in `from` at `i`) and the mic (in `to` at
 * `j`) see of the panel. The detour comes from L² − d², which does not cancel.
 */
function seeEdge(
  hand: number,
  { straight: { whole: straight }, waves }: Pass,
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
  atHand[hand + LIFT] =
    turn < 0 ? riseBesidePanel(halfAngleAt(from, i + edge), halfAngleAt(to, j + edge)) : 0;
  atHand[hand + HALF] = straight / whole / 2;
  setCoherence(atHand, hand, driftRound(flat, turn, whole, straight), waves);
  setWave(hand, rho);
}

/** The same as a way of its own. */
function roundSeen(
  pass: Pass,
  round: Round,
  rho: Bands,
  edge: number,
  from: Float64Array,
  i: number,
  to: Float64Array,
  j: number,
): void {
  seeEdge(0, pass, rho, edge, from, i, to, j);
  keepWave(round.wave, 0);
  round.clear = atHand[CLEAR] === 1;
  round.whole = atHand[WHOLE] as number;
  round.bend = atHand[BEFORE] as number;
  round.detour = atHand[DETOUR] as number;
  round.lift = atHand[LIFT] as number;
}

/** Round the endless upright edge of a half-plane that is no panel of its own: a joint of several. */
export function roundUpright(pass: Pass, round: Round, edge: UprightEdge, source: Vec3, mic: Vec3): void {
  const { foot, into } = edge;
  const { bend } = pass;
  const sx = source[0] - foot[0];
  const sy = source[1] - foot[1];
  const mx = mic[0] - foot[0];
  const my = mic[1] - foot[1];
  bend.before = Math.sqrt(sx * sx + sy * sy);
  bend.after = Math.sqrt(mx * mx + my * my);
  setHalfAngle(bend.toSource, Math.abs(into[0] * sy - into[1] * sx), into[0] * sx + into[1] * sy);
  setHalfAngle(bend.toMic, Math.abs(into[0] * my - into[1] * mx), into[0] * mx + into[1] * my);
  finish(pass, round, mic[2] - source[2], edge.rho);
  placeOnUpright(round, foot, source, mic);
}

function finish(pass: Pass, round: Round, slide: number, rho: Bands): void {
  const { bend } = pass;
  const flat = bend.before + bend.after;
  bend.whole = Math.sqrt(flat * flat + slide * slide);
  bend.straight = pass.straight.whole;
  const turn = halfTurn(bend);
  round.there = true;
  round.clear = turn < 0;
  round.whole = bend.whole;
  round.bend = bend.before / flat;
  round.detour = (4 * bend.before * bend.after * turn * turn) / (bend.whole + bend.straight);
  edgeWave(round.wave, bend, rho, pass.waves.inverseRoot);
  round.lift = atHand[LIFT] as number;
  setCoherence(round.wave, 0, driftRound(flat, turn, bend.whole, bend.straight), pass.waves);
}

/** Puts in place where a way bends round an upright edge, by the share of the way before it. */
function placeOnUpright(round: Round, foot: Vec2, source: Vec3, mic: Vec3): void {
  const height = source[2] + (mic[2] - source[2]) * round.bend;
  put(round.first, foot[0], foot[1], height);
  put(round.last, foot[0], foot[1], height);
}

/** The same over the top of a panel or under it, at its level. */
function placeOnLevel(round: Round, panel: ReadyPanel, level: number, source: Vec3, mic: Vec3): void {
  const start = alongPanel(panel, source);
  const at = start + (alongPanel(panel, mic) - start) * round.bend;
  const x = panel.a[0] + at * panel.along[0];
  const y = panel.a[1] + at * panel.along[1];
  put(round.first, x, y, level);
  put(round.last, x, y, level);
}

/** Puts a point in place. */
export function put(into: Point, x: number, y: number, z: number): void {
  into[0] = x;
  into[1] = y;
  into[2] = z;
}

// Free energies of the ways of one pass, where their directions count: on the direct way, not on reflected ones.

/** Of the straight line, set with its directions. */
export function freeStraight({ straight }: Pass, way: FreeWay): void {
  way(straight, straight.leave, straight.arrive, straight.whole, straight.whole);
}

/** Of every way round: at d for spreading and proximity, over L for the air. */
export function freeRounds(pass: Pass, source: Vec3, mic: Vec3, way: FreeWay): void {
  for (const side of pass.sides) if (side.there) freeRound(pass, side, source, mic, way);
  for (const cap of pass.caps) if (cap.there) freeRound(pass, cap, source, mic, way);
}

export function freeRound(pass: Pass, round: Round, source: Vec3, mic: Vec3, way: FreeWay): void {
  aim(round.leave, source, round.first);
  aim(round.arrive, round.last, mic);
  way(round, round.leave, round.arrive, pass.straight.whole, round.whole);
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
