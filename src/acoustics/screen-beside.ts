/** The sound past a screen of several panels that the straight line does not cross. */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import type { ReadyPanel } from './panel.ts';
import { isBetween, setCaps } from './panel-pass.ts';
import { isBlocked, turn } from './plan-sight.ts';
import type { Round } from './rectangle.ts';
import { roundUpright } from './round.ts';
import type { Screen, ScreenNode } from './screen.ts';
import type { Leg, ScreenPass } from './screen-pass.ts';
import { roundString } from './string-round.ts';
import { pullTaut, seenTurn } from './taut-string.ts';

/**
 * The line passes beside the screen. The end or corner it passes closest, on either hand, acts as a clear edge; where
 * there is one on one hand only, the other side is the taut string the other way round.
 */
export function setBeside(pass: ScreenPass, screen: Screen, leg: Leg): boolean {
  if (!screen.open) return false;
  const { source, mic } = leg;
  const [left, right] = pass.sides;
  const onLeft = nearestCorner(screen, leg, 1);
  const onRight = nearestCorner(screen, leg, -1);
  if (!onLeft && !onRight) return false;
  left.there = onLeft !== null;
  right.there = onRight !== null;
  if (onLeft) roundCorner(pass, left, onLeft, leg);
  if (onRight) roundCorner(pass, right, onRight, leg);
  const first = onLeft && (!onRight || left.detour <= right.detour) ? onLeft : (onRight as ScreenNode);
  const held =
    first.panels.find((i) => isBetween(screen.panels[i] as ReadyPanel, source, mic)) ??
    (first.panels[0] as number);
  const panel = screen.panels[held] as ReadyPanel;
  if (!onLeft || !onRight) roundFarSide(pass, onLeft ? right : left, { screen, held, leg });
  if (isBetween(panel, source, mic)) setCaps(pass, panel, source, mic);
  else for (const cap of pass.caps) cap.there = false;
  pass.tau = panel.tau;
  pass.at = shareAt(first, leg);
  return true;
}

function roundCorner(pass: ScreenPass, side: Round, corner: ScreenNode, leg: Leg): void {
  const edge = { foot: corner.at, into: corner.solid as Vec2, rho: corner.rho };
  roundUpright(pass, side, edge, leg.source, leg.mic);
}

function roundFarSide(pass: ScreenPass, side: Round, way: { screen: Screen; held: number; leg: Leg }): void {
  const { screen, held, leg } = way;
  const { a, b } = screen.panels[held] as ReadyPanel;
  const pivot: Vec2 = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const straight = seenTurn(pivot, leg.source, leg.mic);
  const angle = straight + (straight < 0 ? 2 : -2) * Math.PI;
  side.there = pullTaut(pass.string, {
    screen,
    source: leg.source,
    mic: leg.mic,
    pivot,
    held,
    mirror: -1,
    angle,
  });
  if (side.there)
    roundString(pass, side, [leg.source, leg.mic], { screen, string: pass.string, chain: pass.chain });
}

/** Of the ends and corners on one hand of the line that part source and mic and that both see, the one closest to it. */
function nearestCorner(screen: Screen, leg: Leg, hand: 1 | -1): ScreenNode | null {
  const { source, mic } = leg;
  let nearest: ScreenNode | null = null;
  let least = Infinity;
  for (const node of screen.nodes) {
    const { at, solid } = node;
    if (!solid || !node.passable || turn(source, mic, at) * hand <= 0) continue;
    const share = shareAt(node, leg);
    const awayFromLine = (mic[0] - source[0]) * solid[1] - (mic[1] - source[1]) * solid[0];
    if (!(share > 0 && share >= leg.from && share <= leg.to) || awayFromLine * hand <= 0) continue;
    const way = Math.hypot(at[0] - source[0], at[1] - source[1]) + Math.hypot(mic[0] - at[0], mic[1] - at[1]);
    if (way < least && isSeen(screen, node, source) && isSeen(screen, node, mic)) {
      nearest = node;
      least = way;
    }
  }
  return nearest;
}

/** Share of the line at which it meets the half-plane of a corner, produced; not within 0 to 1 where it lies to one side. */
function shareAt(node: ScreenNode, { source, mic }: Leg): number {
  const [x, y] = node.solid as Vec2;
  const nearSource = x * (source[1] - node.at[1]) - y * (source[0] - node.at[0]);
  const nearMic = x * (mic[1] - node.at[1]) - y * (mic[0] - node.at[0]);
  return nearSource * nearMic < 0 ? nearSource / (nearSource - nearMic) : -1;
}

function isSeen(screen: Screen, node: ScreenNode, point: Vec3): boolean {
  return screen.panels.every((panel, i) => node.panels.includes(i) || !isBlocked(panel, point, node.at));
}
