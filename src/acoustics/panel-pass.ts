/** The sound past one rectangular panel between a source and a mic. */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { inFront, type ReadyPanel } from './panel.ts';
import { type Pass, sumPastPanel } from './rectangle.ts';
import { aim, roundLevel, roundUpright } from './round.ts';

/** Sets the straight line of a pass. */
export function setStraight(pass: Pass, source: Vec3, mic: Vec3): void {
  const { straight } = pass;
  const x = mic[0] - source[0];
  const y = mic[1] - source[1];
  const z = mic[2] - source[2];
  straight.whole = Math.sqrt(x * x + y * y + z * z);
  aim(straight.leave, source[0], source[1], source[2], mic[0], mic[1], mic[2]);
  aim(straight.arrive, source[0], source[1], source[2], mic[0], mic[1], mic[2]);
}

/** Whether the panel's plane lies between the two. A point in the plane itself counts as on one side. */
export const isBetween = (panel: ReadyPanel, source: Vec3, mic: Vec3): boolean =>
  inFront(panel, source) * inFront(panel, mic) < 0;

/** Sets the four ways round a panel that lies between; its edges are taken as endless lines. */
export function setRounds(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  const ends: readonly [Vec3, Vec3] = [source, mic];
  const [sideA, sideB] = pass.sides;
  const back: Vec2 = [-panel.along[0], -panel.along[1]];
  sideA.there = panel.edgeA;
  sideB.there = panel.edgeB;
  if (panel.edgeA) roundUpright(pass, sideA, { foot: panel.a, into: panel.along, rho: panel.rho }, ends);
  if (panel.edgeB) roundUpright(pass, sideB, { foot: panel.b, into: back, rho: panel.rho }, ends);
  setCaps(pass, panel, source, mic);
}

export function setCaps(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  const ends: readonly [Vec3, Vec3] = [source, mic];
  const [top, bottom] = pass.caps;
  top.there = panel.edgeTop;
  bottom.there = panel.edgeBottom;
  if (panel.edgeTop) roundLevel(pass, top, panel, false, ends);
  if (panel.edgeBottom) roundLevel(pass, bottom, panel, true, ends);
}

/** Writes `pass.past`, the energy past the panel over that of the straight line, of a panel that lies between. */
export function pastPanel(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  setStraight(pass, source, mic);
  setRounds(pass, panel, source, mic);
  sumPastPanel(pass);
}
