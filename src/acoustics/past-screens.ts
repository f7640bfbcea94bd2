/** The direct sound past all screens of a room. */
import type { Panel } from '../scene/scene.ts';
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';
import { deepestOf, furtherLoss } from './deepest.ts';
import { freeRounds, freeStraight } from './free-rounds.ts';
import { leftPast } from './left-past.ts';
import { copyOf } from './mixture.ts';
import { type Bounds, readyPanel } from './panel.ts';
import { setStraight } from './panel-pass.ts';
import { sumPastPanel } from './rectangle.ts';
import { type Screen, screensOf } from './screen.ts';
import { type Leg, partsOn, type ScreenPass, screenPassAt, setScreen } from './screen-pass.ts';
import type { Spots } from './spot.ts';
import type { FreeWay } from './way.ts';

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
