/** What each screen does to one pair, in full: for telling why. */
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands, bands } from './bands.ts';
import { BAND_SIZE, edgeEnergy } from './edge-wave.ts';
import { leftPast } from './left-past.ts';
import type { ReadyPanel } from './panel.ts';
import { setStraight } from './panel-pass.ts';
import type { Screens } from './past-screens.ts';
import { type Pass, type Round, sumPastPanel } from './rectangle.ts';
import type { Screen } from './screen.ts';
import { type Leg, partsOn, type ScreenPass, setScreen } from './screen-pass.ts';

export type EdgeTrace = {
  readonly side: 'left' | 'right' | 'top' | 'bottom';
  /** The straight line passes outside this side. */
  readonly clear: boolean;
  /** How much longer the way is than the straight line, m. */
  readonly detour: number;
  /** Level of the edge wave below the free direct sound, dB by band. */
  readonly loss: Bands;
};

export type ScreenTrace = {
  readonly panels: readonly string[];
  /** Share of the way from source to mic at which the line meets it. */
  readonly at: number;
  readonly tau: Bands;
  /** Energy past the edges over the free direct energy, without transmission and directions. */
  readonly past: Bands;
  /** `−10·lg(τ + (1−τ)·min(1, past))`, dB by band. */
  readonly loss: Bands;
  readonly edges: readonly EdgeTrace[];
};

/** Every screen that acts between the two; left and right are as one looks from the source to the mic. */
export const traceScreens = (screens: Screens, source: Vec3, mic: Vec3): ScreenTrace[] =>
  traceLeg(screens, { source, mic, from: 0, to: 1, except: null });

/** Every screen that acts on a stretch of a straight line, as on a leg of a reflected way. */
export function traceLeg(screens: Screens, leg: Leg): ScreenTrace[] {
  const { pass } = screens;
  setStraight(pass, leg.source, leg.mic);
  return screens.list.flatMap((screen) => {
    const [first, ...others] = [screen, ...partsOn(screen, leg)].flatMap((one) =>
      setScreen(pass, one, leg) ? [traced(pass, one, leg.source)] : [],
    );
    for (const other of others) lower(first as ScreenTrace, other);
    return first ? [first] : [];
  });
}

/** By band what lets least through of a screen and its straight parts; the edges told stay those of the whole. */
function lower({ past, tau, loss }: ScreenTrace, part: ScreenTrace): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    if ((part.loss[band] as number) <= (loss[band] as number)) continue;
    past[band] = part.past[band] as number;
    tau[band] = part.tau[band] as number;
    loss[band] = part.loss[band] as number;
  }
}

function traced(pass: ScreenPass, screen: Screen, source: Vec3): ScreenTrace {
  sumPastPanel(pass);
  const past = pass.past.map((value) => Math.max(0, value));
  const tau = pass.tau.slice();
  return {
    panels: screen.panels.map(({ panel }) => panel.name),
    at: pass.at,
    tau,
    past,
    loss: bands((band) => {
      const left = leftPast(tau[band] as number, past[band] as number);
      return -10 * Math.log10(Math.max(left, 1e-30));
    }),
    edges: edgesOf(pass, screen.panels, source),
  };
}

/** The ways round, as last set in the pass: those of a screen's panels, or of an opening's outline alone. */
export function edgesOf(pass: Pass, panels: readonly ReadyPanel[], source: Vec3): EdgeTrace[] {
  // A single panel's sides are its ends a and b: a is on the left of whoever has the panel's front before him.
  const [first] = panels;
  const turned =
    panels.length === 1 && first !== undefined
      ? first.along[0] * (source[1] - first.a[1]) - first.along[1] * (source[0] - first.a[0]) > 0
      : false;
  const named: readonly (readonly [EdgeTrace['side'], Round])[] = [
    [turned ? 'right' : 'left', pass.sides[0]],
    [turned ? 'left' : 'right', pass.sides[1]],
    ['top', pass.caps[0]],
    ['bottom', pass.caps[1]],
  ];
  return named.filter(([, round]) => round.there).map(([side, round]) => traceEdge(side, round));
}

function traceEdge(side: EdgeTrace['side'], round: Round): EdgeTrace {
  const loss = bands((band) => -10 * Math.log10(Math.max(edgeEnergy(round.wave, band * BAND_SIZE), 1e-30)));
  return { side, clear: round.clear, detour: round.detour, loss };
}
