/** The direct sound past all screens of a room. */
import type { Panel } from '../scene/scene.ts';
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';
import { deepestOf, furtherLoss } from './deepest.ts';
import { freeRounds, freeStraight } from './free-rounds.ts';
import { copyOf } from './mixture.ts';
import { type Bounds, readyPanel } from './panel.ts';
import { setStraight } from './panel-pass.ts';
import { sumPastPanel } from './rectangle.ts';
import { type Screen, screensOf } from './screen.ts';
import { type Leg, type ScreenPass, screenPassAt, setScreen } from './screen-pass.ts';
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
  /** Of the screens that act on a pair: share of the line, and loss in the band at hand. */
  readonly at: Float64Array;
  readonly losses: Float64Array;
  /** Their energy factors, what goes through of the direct sound and round of the edge waves, and those; packed [screen][band]. */
  readonly factors: Float64Array;
  readonly through: Float64Array;
  readonly round: Float64Array;
  readonly weighted: Float64Array;
};

/** Prepares the panels that stand in one room, or in the open (`bounds` null). */
export function prepareScreens(panels: readonly Panel[], bounds: Bounds, soundSpeed: number): Screens {
  const list = screensOf(panels, bounds);
  const lone = list.flatMap((screen) => (screen.panels.length === 1 ? screen.panels : []));
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
    at: new Float64Array(list.length),
    losses: new Float64Array(list.length),
    factors: new Float64Array(list.length * BAND_COUNT),
    through: new Float64Array(list.length * BAND_COUNT),
    round: new Float64Array(list.length * BAND_COUNT),
    weighted: new Float64Array(list.length * BAND_COUNT),
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
  const { pass } = screens;
  const leg: Leg = { source, mic, from: 0, to: 1, except: null };
  let count = 0;
  for (const screen of screens.list) {
    if (!setScreen(pass, screen, leg)) continue;
    freeRounds(pass, source, mic, way);
    sumPastPanel(pass);
    screens.at[count] = pass.at;
    note(screens, count++);
  }
  return count;
}

/** `p² = τ·p²_direct + (1−τ)·sum/max(1, past)`: its parts, and what it is with all free energies 1. */
function note(screens: Screens, index: number): void {
  const { pass, factors, through, round, weighted } = screens;
  for (let band = 0; band < BAND_COUNT; band++) {
    const tau = pass.tau[band] as number;
    const past = Math.max(0, pass.past[band] as number);
    const i = index * BAND_COUNT + band;
    factors[i] = tau + (1 - tau) * Math.min(1, past);
    through[i] = tau;
    round[i] = (1 - tau) / Math.max(1, past);
    weighted[i] = Math.max(0, pass.weighted[band] as number);
  }
  pass.kept?.push({ mixture: copyOf(pass.mixture), through: sameInAllBands(0), round: sameInAllBands(0) });
}

/** Several screens: the result of the deepest in each band, angles and all, less g times the others' losses. */
function shareOut(screens: Screens, count: number): void {
  const { losses, factors, at, through, round, pass } = screens;
  for (let band = 0; count > 1 && band < BAND_COUNT; band++) {
    for (let i = 0; i < count; i++)
      losses[i] = -10 * Math.log10(Math.max(factors[i * BAND_COUNT + band] as number, 1e-30));
    const further = 10 ** (-furtherLoss(losses, at, count, 1) / 10);
    const deepest = deepestOf(losses, count);
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
