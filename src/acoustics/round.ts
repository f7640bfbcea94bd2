/** Ways round single straight edges of panels, upright or level: where they pass and the edge wave they carry. */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import type { Bands } from './bands.ts';
import { edgeWave, passesClear } from './edge.ts';
import { alongPanel, inFront, type ReadyPanel } from './panel.ts';
import type { Pass, Point, Round } from './rectangle.ts';

/** Round an endless upright edge at `foot`; `into` points from it into the panel, and the two points lie on either side. */
export function roundUpright(
  pass: Pass,
  round: Round,
  edge: { readonly foot: Vec2; readonly into: Vec2; readonly rho: Bands },
  [source, mic]: readonly [Vec3, Vec3],
): void {
  const { foot, into } = edge;
  const { bend } = pass;
  const sx = source[0] - foot[0];
  const sy = source[1] - foot[1];
  const mx = mic[0] - foot[0];
  const my = mic[1] - foot[1];
  bend.before = Math.sqrt(sx * sx + sy * sy);
  bend.after = Math.sqrt(mx * mx + my * my);
  bend.sourceAngle = Math.atan2(Math.abs(into[0] * sy - into[1] * sx), into[0] * sx + into[1] * sy);
  bend.micAngle = Math.atan2(Math.abs(into[0] * my - into[1] * mx), into[0] * mx + into[1] * my);
  const rise = mic[2] - source[2];
  finish(pass, round, rise, edge.rho);
  const height = source[2] + (rise * bend.before) / (bend.before + bend.after);
  aim(round.leave, source[0], source[1], source[2], foot[0], foot[1], height);
  aim(round.arrive, foot[0], foot[1], height, mic[0], mic[1], mic[2]);
}

/** Over the endless top edge of a panel (`below` false), or under its bottom edge. */
export function roundLevel(
  pass: Pass,
  round: Round,
  panel: ReadyPanel,
  below: boolean,
  [source, mic]: readonly [Vec3, Vec3],
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
  bend.sourceAngle = Math.atan2(nearSource, intoSource);
  bend.micAngle = Math.atan2(nearMic, intoMic);
  const start = alongPanel(panel, source);
  const slide = alongPanel(panel, mic) - start;
  finish(pass, round, slide, panel.rho);
  const at = start + (slide * bend.before) / (bend.before + bend.after);
  const x = panel.a[0] + at * panel.along[0];
  const y = panel.a[1] + at * panel.along[1];
  aim(round.leave, source[0], source[1], source[2], x, y, level);
  aim(round.arrive, x, y, level, mic[0], mic[1], mic[2]);
}

/** `slide` is how far the way moves along the edge. The detour comes from L² − d², which does not cancel. */
function finish(pass: Pass, round: Round, slide: number, rho: Bands): void {
  const { bend } = pass;
  const flat = bend.before + bend.after;
  bend.whole = Math.sqrt(flat * flat + slide * slide);
  bend.straight = pass.straight.whole;
  const turn = Math.cos((bend.sourceAngle + bend.micAngle) / 2);
  round.there = true;
  round.clear = passesClear(bend);
  round.whole = bend.whole;
  round.detour = (4 * bend.before * bend.after * turn * turn) / (bend.whole + bend.straight);
  edgeWave(round, bend, rho, pass.waves.inverseRoot);
}

/** Unit vector from one point to another, given by coordinates; nothing for a way of no length. */
export function aim(
  into: Point,
  x0: number,
  y0: number,
  z0: number,
  x1: number,
  y1: number,
  z1: number,
): void {
  const x = x1 - x0;
  const y = y1 - y0;
  const z = z1 - z0;
  const length = Math.sqrt(x * x + y * y + z * z) || 1;
  into[0] = x / length;
  into[1] = y / length;
  into[2] = z / length;
}
