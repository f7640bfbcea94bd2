/** Ways round single straight edges, upright or level: the edge wave they carry, and where they bend. */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import type { Bands } from './bands.ts';
import { driftRound, setCoherence } from './coherence.ts';
import { edgeWave, halfTurn, riseBesidePanel, setHalfAngle, setWave } from './edge.ts';
import { atHand, BEFORE, CLEAR, DETOUR, DIRECT, HALF, IMAGE, keepWave, LIFT, WHOLE } from './edge-wave.ts';
import { alongPanel, type ReadyPanel, type UprightEdge } from './panel.ts';
import { ALONG, AWAY, EDGE_TOP, HALF_COS, HALF_SIN, HEIGHT, halfAngleAt } from './panel-sight.ts';
import type { Pass, Point, Round } from './rectangle.ts';

/**
 * Puts the wave at hand round an endless edge of a panel (`EDGE_A` …), from what the source (in `from` at `i`) and the mic (in `to` at
 * `j`) see of the panel. The detour comes from L² − d², which does not cancel.
 */
export function seeEdge(
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
export function roundSeen(
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
export function placeOnUpright(round: Round, foot: Vec2, source: Vec3, mic: Vec3): void {
  const height = source[2] + (mic[2] - source[2]) * round.bend;
  place(round.first, foot[0], foot[1], height);
  place(round.last, foot[0], foot[1], height);
}

/** The same over the top of a panel or under it, at its level. */
export function placeOnLevel(round: Round, panel: ReadyPanel, level: number, source: Vec3, mic: Vec3): void {
  const start = alongPanel(panel, source);
  const at = start + (alongPanel(panel, mic) - start) * round.bend;
  const x = panel.a[0] + at * panel.along[0];
  const y = panel.a[1] + at * panel.along[1];
  place(round.first, x, y, level);
  place(round.last, x, y, level);
}

/** Puts a point in place. */
export function place(into: Point, x: number, y: number, z: number): void {
  into[0] = x;
  into[1] = y;
  into[2] = z;
}
