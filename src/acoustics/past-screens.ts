/** The direct sound past all screens of a room. */
import type { Panel } from '../scene/scene.ts';
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands } from './bands.ts';
import { deepestOf, furtherLoss } from './deepest.ts';
import { freeRounds, freeStraight } from './free-rounds.ts';
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
  /** Of the screens that act on a pair: share of the line, energy factor and resulting energy, packed [screen][band]. */
  readonly at: Float64Array;
  readonly factors: Float64Array;
  readonly results: Float64Array;
  readonly losses: Float64Array;
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
    factors: new Float64Array(list.length * BAND_COUNT),
    results: new Float64Array(list.length * BAND_COUNT),
    losses: new Float64Array(list.length),
  };
}

/** Writes the energies of the direct way by band, past every screen: `way` is its free energy. */
export function directPast(into: Bands, screens: Screens, source: Vec3, mic: Vec3, way: FreeWay): void {
  const { pass } = screens;
  setStraight(pass, source, mic);
  freeStraight(pass, way);
  const count = actOn(screens, source, mic, way);
  if (count === 0) takeStraight(into, pass);
  else if (count === 1)
    for (let band = 0; band < BAND_COUNT; band++) into[band] = screens.results[band] as number;
  else combine(into, screens, count);
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
    noteResult(screens, count++);
  }
  return count;
}

function takeStraight(into: Bands, { straight }: ScreenPass): void {
  for (let band = 0; band < BAND_COUNT; band++)
    into[band] = (straight.free[band] as number) * (straight.response[band] as number);
}

/** `p² = τ·p²_direct + (1−τ)·sum/max(1, past)`, and the same with all free energies 1. */
function noteResult(screens: Screens, index: number): void {
  const { pass, factors, results } = screens;
  for (let band = 0; band < BAND_COUNT; band++) {
    const tau = pass.tau[band] as number;
    const past = Math.max(0, pass.past[band] as number);
    const direct = (pass.straight.free[band] as number) * (pass.straight.response[band] as number);
    const i = index * BAND_COUNT + band;
    factors[i] = tau + (1 - tau) * Math.min(1, past);
    results[i] = tau * direct + ((1 - tau) * Math.max(0, pass.weighted[band] as number)) / Math.max(1, past);
  }
}

/** Several screens: the result of the deepest, angles and all, less g times the others' losses. */
function combine(into: Bands, screens: Screens, count: number): void {
  const { losses, factors, results, at } = screens;
  for (let band = 0; band < BAND_COUNT; band++) {
    for (let i = 0; i < count; i++)
      losses[i] = -10 * Math.log10(Math.max(factors[i * BAND_COUNT + band] as number, 1e-30));
    const deepest = results[deepestOf(losses, count) * BAND_COUNT + band] as number;
    into[band] = deepest * 10 ** (-furtherLoss(losses, at, count, 1) / 10);
  }
}
