/** The sound past one screen: which of its panels the straight line crosses, and the ways round. */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';
import { alongPanel, inFront, type ReadyPanel } from './panel.ts';
import { setCaps, setRounds } from './panel-pass.ts';
import { isBlocked, turn } from './plan-sight.ts';
import { newPass, type Pass } from './rectangle.ts';
import { roundUpright } from './round.ts';
import type { Screen, ScreenNode } from './screen.ts';
import { type BendChain, newBendChain } from './several-bends.ts';
import { type Crossings, roundLevels, roundString } from './string-round.ts';
import { newTautString, pullTaut, seenTurn, type TautString } from './taut-string.ts';

/** Working memory for screens: whoever computes many pairs makes it once. */
export type ScreenPass = Pass & {
  readonly string: TautString;
  readonly chain: BendChain;
  readonly crossings: Crossings;
  readonly hull: number[];
  /** Of the screen last set: transmission by band, and the share of the straight line at which it stands. */
  readonly tau: Bands;
  at: number;
};

export const newScreenPass = (soundSpeed: number): ScreenPass => ({
  ...newPass(soundSpeed),
  string: newTautString(),
  chain: newBendChain(),
  crossings: { count: 0, at: [], panels: [] },
  hull: [],
  tau: sameInAllBands(0),
  at: 0,
});

/** A stretch of a straight line on which screens count, and a panel that does not: the mirror a reflection comes off. */
export type Leg = {
  readonly source: Vec3;
  readonly mic: Vec3;
  /** Shares of the way from source to mic. */
  readonly from: number;
  readonly to: number;
  readonly except: ReadyPanel['panel'] | null;
};

/**
 * Sets the ways round the screen and its transmission; false where it has no effect. `pass.straight` must be set.
 * A single panel acts wherever its plane lies between, even clear of the line; no distance lets one skip it, since the
 * edge wave falls only as the root of the distance.
 */
export function setScreen(pass: ScreenPass, screen: Screen, leg: Leg): boolean {
  if (screen.panels.length === 1) return setSingle(pass, screen.panels[0] as ReadyPanel, leg);
  findCrossings(pass.crossings, screen, leg);
  if (pass.crossings.count > 0) return setCrossed(pass, screen, leg);
  // A screen that holds the mirror itself counts only where the line crosses it again.
  const holdsMirror = leg.except !== null && screen.panels.some((ready) => ready.panel === leg.except);
  return holdsMirror ? false : setBeside(pass, screen, leg);
}

function setSingle(pass: ScreenPass, panel: ReadyPanel, leg: Leg): boolean {
  if (panel.panel === leg.except) return false;
  const nearSource = inFront(panel, leg.source);
  const nearMic = inFront(panel, leg.mic);
  if (nearSource * nearMic >= 0) return false;
  const at = nearSource / (nearSource - nearMic);
  if (!isWithin(leg, at)) return false;
  pass.at = at;
  pass.tau.set(panel.tau);
  setRounds(pass, panel, leg.source, leg.mic);
  return true;
}

const isWithin = (leg: Leg, at: number): boolean => at >= leg.from && at <= leg.to;

function findCrossings(crossings: Crossings, screen: Screen, leg: Leg): void {
  crossings.count = 0;
  for (const panel of screen.panels) {
    const nearSource = inFront(panel, leg.source);
    const nearMic = inFront(panel, leg.mic);
    if (panel.panel === leg.except || nearSource * nearMic >= 0) continue;
    const at = nearSource / (nearSource - nearMic);
    const from = alongPanel(panel, leg.source);
    const along = from + at * (alongPanel(panel, leg.mic) - from);
    if (along >= 0 && along <= panel.width && isWithin(leg, at)) insert(crossings, at, panel);
  }
}

function insert(crossings: Crossings, at: number, panel: ReadyPanel): void {
  let i = crossings.count++;
  for (; i > 0 && (crossings.at[i - 1] as number) > at; i--) {
    crossings.at[i] = crossings.at[i - 1] as number;
    crossings.panels[i] = crossings.panels[i - 1] as ReadyPanel;
  }
  crossings.at[i] = at;
  crossings.panels[i] = panel;
}

/** The line crosses the screen on the plan: no side is clear, each is the taut string round it. */
function setCrossed(pass: ScreenPass, screen: Screen, leg: Leg): boolean {
  const { source, mic } = leg;
  const { crossings } = pass;
  const panel = crossings.panels[0] as ReadyPanel;
  const at = crossings.at[0] as number;
  const pivot: Vec2 = [source[0] + at * (mic[0] - source[0]), source[1] + at * (mic[1] - source[1])];
  const held = screen.panels.indexOf(panel);
  const sought = { screen, source, mic, pivot, held };
  pass.sides.forEach((side, i) => {
    // Seen from the crossing, a way to the left of the line turns clockwise, one to the right anticlockwise.
    side.there = screen.open && pullTaut(pass.string, { ...sought, angle: i === 0 ? -Math.PI : Math.PI });
    if (side.there)
      roundString(pass, side, [source, mic], { screen, string: pass.string, chain: pass.chain });
  });
  if (crossings.count === 1) setCaps(pass, panel, source, mic);
  else for (const below of [false, true]) roundLevels(pass, below, [source, mic], pass);
  transmitCrossed(pass, source, mic);
  return true;
}

/** Transmission of every panel the line goes through; over or under all of them, that of the one it passes closest. */
function transmitCrossed(pass: ScreenPass, source: Vec3, mic: Vec3): void {
  const { crossings, tau } = pass;
  tau.fill(1);
  let through = 0;
  let places = 0;
  let closest = 0;
  let least = Infinity;
  for (let i = 0; i < crossings.count; i++) {
    const panel = crossings.panels[i] as ReadyPanel;
    const height = source[2] + (crossings.at[i] as number) * (mic[2] - source[2]);
    const over = panel.edgeTop ? Math.max(0, height - panel.high) : 0;
    const off = panel.edgeBottom ? Math.max(over, panel.low - height) : over;
    if (off === 0) {
      multiply(tau, panel.tau);
      places += crossings.at[i] as number;
      through++;
    } else if (off < least) {
      least = off;
      closest = i;
    }
  }
  if (through === 0) tau.set((crossings.panels[closest] as ReadyPanel).tau);
  pass.at = through > 0 ? places / through : (crossings.at[closest] as number);
}

function multiply(into: Bands, by: Bands): void {
  for (let band = 0; band < BAND_COUNT; band++) into[band] = (into[band] as number) * (by[band] as number);
}

/**
 * The line passes beside the screen. The end or corner it passes closest, on either hand, acts as a clear edge; where
 * there is one on one hand only, the other side is the taut string the other way round.
 */
function setBeside(pass: ScreenPass, screen: Screen, leg: Leg): boolean {
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
    first.panels.find((i) => isParting(screen.panels[i] as ReadyPanel, source, mic)) ??
    (first.panels[0] as number);
  const panel = screen.panels[held] as ReadyPanel;
  if (!onLeft || !onRight) roundFarSide(pass, onLeft ? right : left, { screen, held, leg });
  if (isParting(panel, source, mic)) setCaps(pass, panel, source, mic);
  else for (const cap of pass.caps) cap.there = false;
  pass.tau.set(panel.tau);
  pass.at = shareAt(first, leg);
  return true;
}

const isParting = (panel: ReadyPanel, source: Vec3, mic: Vec3): boolean =>
  inFront(panel, source) * inFront(panel, mic) < 0;

function roundCorner(pass: ScreenPass, side: Pass['sides'][0], corner: ScreenNode, leg: Leg): void {
  const edge = { foot: corner.at, into: corner.solid as Vec2, rho: corner.rho };
  roundUpright(pass, side, edge, [leg.source, leg.mic]);
}

function roundFarSide(
  pass: ScreenPass,
  side: Pass['sides'][0],
  way: { screen: Screen; held: number; leg: Leg },
): void {
  const { screen, held, leg } = way;
  const { a, b } = screen.panels[held] as ReadyPanel;
  const pivot: Vec2 = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const straight = seenTurn(pivot, leg.source, leg.mic);
  const angle = straight + (straight < 0 ? 2 : -2) * Math.PI;
  side.there = pullTaut(pass.string, { screen, source: leg.source, mic: leg.mic, pivot, held, angle });
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
    if (!(share > 0 && share < 1 && isWithin(leg, share)) || awayFromLine * hand <= 0) continue;
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
