/** Ways round single straight edges of panels, upright or level: where they pass and the edge wave they carry. */
import type { Vec3 } from '../scene/vector.ts';
import type { Bands } from './bands.ts';
import { edgeWave, halfTurn, setHalfAngle } from './edge.ts';
import { alongPanel, inFront, type ReadyPanel, type UprightEdge } from './panel.ts';
import type { Pass, Point, Round } from './rectangle.ts';

/** Round an endless upright edge; the two points lie on either side of its half-plane. */
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
  const rise = mic[2] - source[2];
  finish(pass, round, rise, edge.rho);
  const height = source[2] + (rise * bend.before) / (bend.before + bend.after);
  place(round.first, foot[0], foot[1], height);
  place(round.last, foot[0], foot[1], height);
}

/** Over the endless top edge of a panel (`below` false), or under its bottom edge. */
export function roundLevel(
  pass: Pass,
  round: Round,
  panel: ReadyPanel,
  below: boolean,
  source: Vec3,
  mic: Vec3,
): void {
  const { bend } = pass;
  const level = below ? panel.low : panel.high;
  const down = below ? -1 : 1;
  const nearSource = Math.abs(inFront(panel, source));
  const nearMic = Math.abs(inFront(panel, mic));
  const intoSource = down * (level - source[2]);
  const intoMic = down * (level - mic[2]);
  bend.before = Math.sqrt(nearSource * nearSource + intoSource * intoSource);
  bend.after = Math.sqrt(nearMic * nearMic + intoMic * intoMic);
  setHalfAngle(bend.toSource, nearSource, intoSource);
  setHalfAngle(bend.toMic, nearMic, intoMic);
  const start = alongPanel(panel, source);
  const slide = alongPanel(panel, mic) - start;
  finish(pass, round, slide, panel.rho);
  const at = start + (slide * bend.before) / (bend.before + bend.after);
  const x = panel.a[0] + at * panel.along[0];
  const y = panel.a[1] + at * panel.along[1];
  place(round.first, x, y, level);
  place(round.last, x, y, level);
}

/** `slide` is how far the way moves along the edge. The detour comes from L² − d², which does not cancel. */
function finish(pass: Pass, round: Round, slide: number, rho: Bands): void {
  const { bend } = pass;
  const flat = bend.before + bend.after;
  bend.whole = Math.sqrt(flat * flat + slide * slide);
  bend.straight = pass.straight.whole;
  const turn = halfTurn(bend);
  round.there = true;
  round.clear = turn < 0;
  round.whole = bend.whole;
  round.detour = (4 * bend.before * bend.after * turn * turn) / (bend.whole + bend.straight);
  edgeWave(round, bend, rho, pass.waves.inverseRoot);
}

/** Puts a point in place. */
export function place(into: Point, x: number, y: number, z: number): void {
  into[0] = x;
  into[1] = y;
  into[2] = z;
}
