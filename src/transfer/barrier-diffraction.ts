import { BAND_COUNT, type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { sideOf, type Vec2, type Vec3 } from '../geometry.ts';
import type { Panel } from '../scene/scene.ts';
import {
  type BendChain,
  deepestOf,
  furtherLoss,
  newBendChain,
  type Screen,
  type ScreenNode,
  screensOf,
} from './barrier.ts';
import {
  freeRounds,
  freeStraight,
  isBetween,
  pastSeen,
  roundUpright,
  setCaps,
  setLength,
  setRounds,
  setStraight,
} from './diffraction-path.ts';
import { alongPanel, type Bounds, inFront, isBlocked, type ReadyPanel, readyPanel } from './panel.ts';
import { copyOf, newPass, type Pass, type Round, sumPast, sumPastPanel } from './panel-diffraction.ts';
import { FRONT, SIGHT, type Spots, spotOf } from './panel-view.ts';
import type { FreeWay } from './path-energy.ts';
import {
  type Crossings,
  newTautString,
  pullTaut,
  roundLevels,
  roundString,
  seenTurn,
  type TautString,
} from './shortest-path.ts';

// What screens leave of a straight stretch of a way: of a leg of a reflected one, or of a line into another room.
/**
 * Multiplies `into` by `τ + (1−τ)·min(1, past)` of each screen whose plane the line from source to mic meets between the shares
 * `from` and `to`. A reflected way is two of these: image → mic after the reflection, source → the mic's image before it.
 */
export function dimBehind(into: Bands, screens: Screens, leg: Leg): void {
  setLength(screens.pass, leg.source, leg.mic);
  const source = spotOf(screens, leg.source, false);
  const mic = spotOf(screens, leg.mic, false);
  const except = leg.except ? screens.lone.findIndex(({ panel }) => panel === leg.except) : -1;
  dimSeen(into, screens, stretch(leg.from, leg.to, except), source.sights, 0, mic.sights, 0);
  dimJoined(into, screens, leg);
}

/** A stretch of a line: shares of its length, and the lone panel that does not count (−1: all do). */
type Stretch = { from: number; to: number; except: number };

const shared: Stretch = { from: 0, to: 1, except: -1 };

/** One stretch, reused: a dozen are asked about for each pair. */
export function stretch(from: number, to: number, except: number): Stretch {
  shared.from = from;
  shared.to = to;
  shared.except = except;
  return shared;
}

/** The same for the lone panels, whose sights begin at `i` and `j`; the length of `pass.straight` must be set. */
export function dimSeen(
  into: Bands,
  screens: Screens,
  { from, to, except }: Stretch,
  source: Float64Array,
  i: number,
  mic: Float64Array,
  j: number,
): void {
  const { lone, pass } = screens;
  for (let p = 0; p < lone.length; p++, i += SIGHT, j += SIGHT) {
    const nearSource = source[i + FRONT] as number;
    const nearMic = mic[j + FRONT] as number;
    if (nearSource * nearMic >= 0 || p === except) continue;
    const at = nearSource / (nearSource - nearMic);
    if (at < from || at > to) continue;
    const panel = lone[p] as ReadyPanel;
    pastSeen(pass, panel, source, i, mic, j);
    dim(into, panel.tau, pass.past);
  }
}

/** The same for screens of several panels. */
export function dimJoined(into: Bands, screens: Screens, leg: Leg): void {
  const { joined, least } = screens;
  for (const screen of joined) {
    least.fill(1);
    lower(least, screens, screen, leg);
    for (const part of partsOn(screen, leg)) lower(least, screens, part, leg);
    for (let band = 0; band < BAND_COUNT; band++)
      into[band] = (into[band] as number) * (least[band] as number);
  }
}

function lower(least: Bands, { pass }: Screens, screen: Screen, leg: Leg): void {
  if (!setScreen(pass, screen, leg)) return;
  sumPast(pass);
  for (let band = 0; band < BAND_COUNT; band++)
    least[band] = Math.min(
      least[band] as number,
      leftPast(pass.tau[band] as number, pass.past[band] as number),
    );
}

function dim(into: Bands, tau: Bands, past: Bands): void {
  for (let band = 0; band < BAND_COUNT; band++)
    into[band] = (into[band] as number) * leftPast(tau[band] as number, past[band] as number);
}

// The direct sound past all screens of a room.

/** The panels of one room made ready, with the working memory of all computing past them. */
export type Screens = Spots & {
  readonly list: readonly Screen[];
  /** Of those the ones made of several panels; `lone` holds the single panels of the others. */
  readonly joined: readonly Screen[];
  /** For each mirror which of the lone panels it is; −1 where it is part of a larger screen. */
  readonly aloneAs: readonly number[];
  readonly pass: ScreenPass;
  /** Of the screens that act on a pair, and of their straight parts: which screen it is, and share of the line. */
  readonly owner: Int32Array;
  readonly at: Float64Array;
  /** Of each screen in the band at hand: which of those lets least through, where that is, and its loss. */
  readonly best: Int32Array;
  readonly places: Float64Array;
  readonly losses: Float64Array;
  /** What is left by the screen of several panels at hand. */
  readonly least: Bands;
  /** Their energy factors, what goes through of the direct sound and round of the edge waves, and those; packed [entry][band]. */
  readonly factors: Float64Array;
  readonly through: Float64Array;
  readonly round: Float64Array;
  readonly weighted: Float64Array;
};

/** Prepares the panels that stand in one room, or in the open (`bounds` null). */
export function prepareScreens(panels: readonly Panel[], bounds: Bounds, soundSpeed: number): Screens {
  const list = screensOf(panels, bounds);
  const lone = list.flatMap((screen) => (screen.panels.length === 1 ? screen.panels : []));
  const entries = list.reduce((sum, { parts }) => sum + 1 + parts.length, 0);
  const mirroring = panels.filter((panel) => panel.tau.some((tau) => tau < 1));
  return {
    list,
    joined: list.filter((screen) => screen.panels.length > 1),
    lone,
    mirrors: mirroring.map((panel) => readyPanel(panel, bounds)),
    aloneAs: mirroring.map((mirror) => lone.findIndex(({ panel }) => panel === mirror)),
    bounds,
    known: new WeakMap(),
    pass: screenPassAt(soundSpeed),
    owner: new Int32Array(entries),
    at: new Float64Array(entries),
    best: new Int32Array(list.length),
    places: new Float64Array(list.length),
    losses: new Float64Array(list.length),
    least: sameInAllBands(1),
    factors: new Float64Array(entries * BAND_COUNT),
    through: new Float64Array(entries * BAND_COUNT),
    round: new Float64Array(entries * BAND_COUNT),
    weighted: new Float64Array(entries * BAND_COUNT),
  };
}

/**
 * Writes the energies of the direct way by band, past every screen: `way` is its free energy and the mic's response. False where
 * no screen acts, and the way is the straight one alone.
 */
export function directPast(into: Bands, screens: Screens, source: Vec3, mic: Vec3, way: FreeWay): boolean {
  const { pass } = screens;
  setStraight(pass, source, mic);
  freeStraight(pass, way);
  const count = actOn(screens, source, mic, way);
  shareOut(screens, count);
  const { free, response } = pass.straight;
  for (let band = 0; band < BAND_COUNT; band++) {
    const direct = (free[band] as number) * (response[band] as number);
    let sum = count === 0 ? direct : 0;
    for (let i = band; i < count * BAND_COUNT; i += BAND_COUNT)
      sum +=
        (screens.through[i] as number) * direct +
        (screens.round[i] as number) * (screens.weighted[i] as number);
    into[band] = sum;
  }
  return count > 0;
}

function actOn(screens: Screens, source: Vec3, mic: Vec3, way: FreeWay): number {
  const leg: Leg = { source, mic, from: 0, to: 1, except: null };
  let count = 0;
  for (let owner = 0; owner < screens.list.length; owner++) {
    const screen = screens.list[owner] as Screen;
    if (acts(screens, screen, leg, way)) note(screens, count++, owner);
    for (const part of partsOn(screen, leg)) if (acts(screens, part, leg, way)) note(screens, count++, owner);
  }
  return count;
}

function acts({ pass }: Screens, screen: Screen, leg: Leg, way: FreeWay): boolean {
  if (!setScreen(pass, screen, leg)) return false;
  freeRounds(pass, leg.source, leg.mic, way);
  sumPastPanel(pass);
  return true;
}

/** `p² = τ·p²_direct + (1−τ)·sum/max(1, past)`: its parts, and what it is with all free energies 1. */
function note(screens: Screens, index: number, owner: number): void {
  const { pass, factors, through, round, weighted } = screens;
  screens.owner[index] = owner;
  screens.at[index] = pass.at;
  for (let band = 0; band < BAND_COUNT; band++) {
    const tau = pass.tau[band] as number;
    const past = Math.max(0, pass.past[band] as number);
    const i = index * BAND_COUNT + band;
    factors[i] = leftPast(tau, past);
    through[i] = tau;
    round[i] = (1 - tau) / Math.max(1, past);
    weighted[i] = Math.max(0, pass.weighted[band] as number);
  }
  pass.kept?.push({ mixture: copyOf(pass.mixture), through: sameInAllBands(0), round: sameInAllBands(0) });
}

/** Several screens: the result of the deepest in each band, angles and all, less g times the others' losses. */
function shareOut(screens: Screens, count: number): void {
  const { losses, places, best, through, round, pass } = screens;
  for (let band = 0; count > 1 && band < BAND_COUNT; band++) {
    const different = findBest(screens, count, band);
    const further = 10 ** (-furtherLoss(losses, places, different, 1) / 10);
    const deepest = best[deepestOf(losses, different)] as number;
    for (let i = 0; i < count; i++) {
      const share = i === deepest ? further : 0;
      const here = i * BAND_COUNT + band;
      through[here] = share * (through[here] as number);
      round[here] = share * (round[here] as number);
    }
  }
  pass.kept?.forEach((kept, i) => {
    kept.through.set(through.subarray(i * BAND_COUNT, (i + 1) * BAND_COUNT));
    kept.round.set(round.subarray(i * BAND_COUNT, (i + 1) * BAND_COUNT));
  });
}

/** Finds of each screen what lets least through in a band, the whole or a straight part; returns how many screens there are. */
function findBest(screens: Screens, count: number, band: number): number {
  const { owner, at, best, places, losses, factors } = screens;
  let last = -1;
  for (let i = 0; i < count; i++) {
    const loss = -10 * Math.log10(Math.max(factors[i * BAND_COUNT + band] as number, 1e-30));
    const same = i > 0 && owner[i] === owner[i - 1];
    if (same && loss <= (losses[last] as number)) continue;
    if (!same) last++;
    best[last] = i;
    places[last] = at[i] as number;
    losses[last] = loss;
  }
  return last + 1;
}
/** What a screen leaves of a way's energy: `τ + (1−τ)·min(1, past)`. Rounding may take a sum of waves below 0. */
export const leftPast = (tau: number, past: number): number =>
  tau + (1 - tau) * Math.min(1, Math.max(0, past));

// The sound past a screen of several panels that the straight line does not cross.

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
    if (!solid || !node.passable || sideOf(source, mic, at) * hand <= 0) continue;
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

// The sound past one screen: which of its panels the straight line crosses, and the ways round.

/** Working memory for screens: whoever computes many pairs makes it once. */
export type ScreenPass = Pass & {
  readonly string: TautString;
  readonly chain: BendChain;
  readonly crossings: Crossings;
  readonly hull: number[];
  /** Of the screen last set: transmission by band, and the share of the straight line at which it stands. */
  tau: Bands;
  at: number;
  /** Where the transmissions of several panels are multiplied. */
  readonly through: Bands;
};

export const newScreenPass = (soundSpeed: number): ScreenPass => ({
  ...newPass(soundSpeed),
  string: newTautString(),
  chain: newBendChain(),
  crossings: { count: 0, at: [], panels: [] },
  hull: [],
  tau: sameInAllBands(0),
  at: 0,
  through: sameInAllBands(1),
});

let last: { readonly soundSpeed: number; readonly pass: ScreenPass } | null = null;

/** Working memory shared by all that computes at one speed of sound: making it took a sixth of a plain room's stage. */
export function screenPassAt(soundSpeed: number): ScreenPass {
  if (last?.soundSpeed !== soundSpeed) last = { soundSpeed, pass: newScreenPass(soundSpeed) };
  return last.pass;
}

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
  return holdsMirror(screen, leg) ? false : setBeside(pass, screen, leg);
}

/** A screen that holds the mirror itself counts only where the line crosses it again. */
const holdsMirror = (screen: Screen, { except }: Leg): boolean =>
  except !== null && screen.panels.some(({ panel }) => panel === except);

const NONE: readonly Screen[] = [];

/** The parts of a screen that count beside the whole: the energy past it is that past the one that lets least through. */
export const partsOn = (screen: Screen, leg: Leg): readonly Screen[] =>
  screen.parts.length === 0 || holdsMirror(screen, leg) ? NONE : screen.parts;

function setSingle(pass: ScreenPass, panel: ReadyPanel, leg: Leg): boolean {
  if (panel.panel === leg.except) return false;
  const nearSource = inFront(panel, leg.source);
  const nearMic = inFront(panel, leg.mic);
  if (nearSource * nearMic >= 0) return false;
  const at = nearSource / (nearSource - nearMic);
  if (!isWithin(leg, at)) return false;
  pass.at = at;
  pass.tau = panel.tau;
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
  const mirror = screen.panels.findIndex((ready) => ready.panel === leg.except);
  const sought = { screen, source, mic, pivot, held, mirror };
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
  const { crossings } = pass;
  pass.tau = pass.through.fill(1);
  let count = 0;
  let places = 0;
  let closest = 0;
  let least = Infinity;
  for (let i = 0; i < crossings.count; i++) {
    const panel = crossings.panels[i] as ReadyPanel;
    const height = source[2] + (crossings.at[i] as number) * (mic[2] - source[2]);
    const over = panel.edgeTop ? Math.max(0, height - panel.high) : 0;
    const off = panel.edgeBottom ? Math.max(over, panel.low - height) : over;
    if (off === 0) {
      multiply(pass.through, panel.tau);
      places += crossings.at[i] as number;
      count++;
    } else if (off < least) {
      least = off;
      closest = i;
    }
  }
  if (count === 0) pass.tau = (crossings.panels[closest] as ReadyPanel).tau;
  pass.at = count > 0 ? places / count : (crossings.at[closest] as number);
}

function multiply(into: Bands, by: Bands): void {
  for (let band = 0; band < BAND_COUNT; band++) into[band] = (into[band] as number) * (by[band] as number);
}
