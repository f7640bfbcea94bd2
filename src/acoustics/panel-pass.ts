/** The sound past one rectangular panel between a source and a mic. */
import type { Vec3 } from '../scene/vector.ts';
import { aim } from './free-rounds.ts';
import { inFront, type ReadyPanel } from './panel.ts';
import { type Pass, sumPast } from './rectangle.ts';
import { roundLevel, roundUpright } from './round.ts';

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

/** Sets the four ways round a panel that lies between; its edges are taken as endless lines. */
export function setRounds(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  const sideA = pass.sides[0];
  const sideB = pass.sides[1];
  sideA.there = panel.edgeA;
  sideB.there = panel.edgeB;
  if (panel.edgeA) roundUpright(pass, sideA, panel.upright[0], source, mic);
  if (panel.edgeB) roundUpright(pass, sideB, panel.upright[1], source, mic);
  setCaps(pass, panel, source, mic);
}

export function setCaps(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  const top = pass.caps[0];
  const bottom = pass.caps[1];
  top.there = panel.edgeTop;
  bottom.there = panel.edgeBottom;
  if (panel.edgeTop) roundLevel(pass, top, panel, false, source, mic);
  if (panel.edgeBottom) roundLevel(pass, bottom, panel, true, source, mic);
}

/** Writes `pass.past`, the energy past the panel over that of the straight line, of a panel that lies between. */
export function pastPanel(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  setLength(pass, source, mic);
  setRounds(pass, panel, source, mic);
  sumPast(pass);
}
