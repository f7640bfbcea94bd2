/** The sound past one rectangular panel between a source and a mic. */
import type { Vec3 } from '../scene/vector.ts';
import { aim } from './free-rounds.ts';
import { LEFT, LEVEL, pastThree, RIGHT } from './one-cap.ts';
import { inFront, type ReadyPanel } from './panel.ts';
import { EDGE_A, EDGE_B, EDGE_BOTTOM, EDGE_TOP, SIGHT, setSight } from './panel-sight.ts';
import { type Pass, sumPast } from './rectangle.ts';
import { placeOnLevel, placeOnUpright, roundSeen, seeEdge } from './round.ts';

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
export function placeSides({ sides }: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  if (panel.edgeA) placeOnUpright(sides[0], panel.a, source, mic);
  if (panel.edgeB) placeOnUpright(sides[1], panel.b, source, mic);
}

export function placeLevels({ caps }: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  if (panel.edgeTop) placeOnLevel(caps[0], panel, panel.high, source, mic);
  if (panel.edgeBottom) placeOnLevel(caps[1], panel, panel.low, source, mic);
}

/** Writes `pass.past`, the energy past the panel over that of the straight line, of a panel that lies between. */
export function pastPanel(pass: Pass, panel: ReadyPanel, source: Vec3, mic: Vec3): void {
  setLength(pass, source, mic);
  look(pass, panel, source, mic);
  pastSeen(pass, panel, pass.sights, 0, pass.sights, SIGHT);
}
