/** The direct sound past all screens of a room, and what screens leave of a reflected way. */
import type { Panel } from '../scene/scene.ts';
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands } from './bands.ts';
import { deepestOf, furtherLoss } from './deepest.ts';
import { freeRounds, freeStraight } from './free-rounds.ts';
import { type Bounds, type ReadyPanel, readyPanel } from './panel.ts';
import { setLength, setStraight } from './panel-pass.ts';
import { sumPast, sumPastPanel } from './rectangle.ts';
import { type Screen, screensOf } from './screen.ts';
import { type Leg, newScreenPass, type ScreenPass, setScreen } from './screen-pass.ts';
import type { FreeWay } from './way.ts';

/** The panels of one room made ready, with the working memory of all computing past them. */
export type Screens = {
  readonly list: readonly Screen[];
  /** Each panel by itself: what mirrors. */
  readonly mirrors: readonly ReadyPanel[];
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
  return {
    list,
    mirrors: panels
      .filter((panel) => panel.tau.some((tau) => tau < 1))
      .map((panel) => readyPanel(panel, bounds)),
    pass: newScreenPass(soundSpeed),
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
  if (count === 0) into.set(pass.straight.energy);
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

/** `p² = τ·p²_direct + (1−τ)·sum/max(1, past)`, and the same with all free energies 1. */
function noteResult(screens: Screens, index: number): void {
  const { pass, factors, results } = screens;
  for (let band = 0; band < BAND_COUNT; band++) {
    const tau = pass.tau[band] as number;
    const past = Math.max(0, pass.past[band] as number);
    const direct = pass.straight.energy[band] as number;
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

/**
 * Multiplies `into` by what the screens leave of a straight stretch: `τ + (1−τ)·min(1, past)` of each whose plane the line
 * from source to mic meets between the shares `from` and `to`. A reflected way is two of these: image → mic after the
 * reflection, source → the mic's image before it.
 */
export function dimBehind(into: Bands, screens: Screens, leg: Leg): void {
  const { pass } = screens;
  setLength(pass, leg.source, leg.mic);
  for (const screen of screens.list) {
    if (!setScreen(pass, screen, leg)) continue;
    sumPast(pass);
    for (let band = 0; band < BAND_COUNT; band++) {
      const tau = pass.tau[band] as number;
      into[band] =
        (into[band] as number) * (tau + (1 - tau) * Math.min(1, Math.max(0, pass.past[band] as number)));
    }
  }
}
