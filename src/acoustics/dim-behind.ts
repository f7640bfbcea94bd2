/** What screens leave of a straight stretch of a way: of a leg of a reflected one, or of a line into another room. */
import { BAND_COUNT, type Bands } from './bands.ts';
import { leftPast } from './left-past.ts';
import type { ReadyPanel } from './panel.ts';
import { pastSeen, setLength } from './panel-pass.ts';
import { FRONT, SIGHT } from './panel-sight.ts';
import type { Screens } from './past-screens.ts';
import { sumPast } from './rectangle.ts';
import type { Screen } from './screen.ts';
import { type Leg, partsOn, setScreen } from './screen-pass.ts';
import { spotOf } from './spot.ts';

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
export type Stretch = { from: number; to: number; except: number };

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
