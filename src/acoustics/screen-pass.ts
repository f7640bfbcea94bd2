/** The sound past one screen: which of its panels the straight line crosses, and the ways round. */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';
import { type Crossings, roundLevels } from './level-rounds.ts';
import { alongPanel, inFront, type ReadyPanel } from './panel.ts';
import { setCaps, setRounds } from './panel-pass.ts';
import { newPass, type Pass } from './rectangle.ts';
import type { Screen } from './screen.ts';
import { setBeside } from './screen-beside.ts';
import { type BendChain, newBendChain } from './several-bends.ts';
import { roundString } from './string-round.ts';
import { newTautString, pullTaut, type TautString } from './taut-string.ts';

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
