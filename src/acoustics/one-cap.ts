/** Energy past a panel with one level edge, as nearly all have: two sides and a top, without a sum over pairs of waves. */
import { BAND_COUNT, type Bands } from './bands.ts';
import { leftBeside } from './beside-panel.ts';
import {
  AT_HAND_SIZE,
  atHand,
  BAND_SIZE,
  CLEAR,
  DETOUR,
  edgeEnergy,
  handWave,
  IM,
  LIFT,
  PHASES,
  RE,
  STEADY,
} from './edge-wave.ts';
import { setPhases } from './phase.ts';
import type { Pass, Round } from './rectangle.ts';
import type { Waves } from './waves.ts';

/** The places at hand of both sides and the cap. */
export const LEFT = 0;
export const RIGHT = AT_HAND_SIZE;
export const LEVEL = 2 * AT_HAND_SIZE;

/** Detours closer than this, in m: their difference over a band would cancel. */
const ALIKE = 2.5e-6;

/** `pastThree` of the rounds of a pass, whose cap is `level`. */
export function pastOneCap({ past, sides: [left, right], waves }: Pass, level: Round): boolean {
  handWave(LEFT, left);
  handWave(RIGHT, right);
  handWave(LEVEL, level);
  return pastThree(past, waves);
}

/**
 * Writes `past`, the band mean of |1 − (a − L − R)(b − T)|², from the waves at hand L, R, T of both sides and the cap; a is 1 where
 * both sides hide the line, b where the cap does, else 0. Multiplied out it is a constant and eight waves, each as strong as its
 * edges are in step: squares do not swing, and of LT and LT* one falls away. The mean of a wave over a band is what its imaginary
 * part grows by, over span and detour. The sum over all pairs of nine waves, which gives the same, took twice the time. False, and
 * nothing written, where two detours are alike.
 */
export function pastThree(past: Bands, { turns, inverseSpan }: Waves): boolean {
  const l = atHand[LEFT + DETOUR] as number;
  const r = atHand[RIGHT + DETOUR] as number;
  const t = atHand[LEVEL + DETOUR] as number;
  const a = (1 - (atHand[LEFT + CLEAR] as number)) * (1 - (atHand[RIGHT + CLEAR] as number));
  const b = 1 - (atHand[LEVEL + CLEAR] as number);
  const hidden = a * b;
  const corner = hidden > 0 ? 2 : -2;
  // of LT (1) and LT* (−1) the one that stays
  const twist = hidden > 0 ? -1 : 1;
  const apart = l - r;
  const withL = l + twist * t;
  const withR = r + twist * t;
  const over = apart + t;
  const under = apart - t;
  const least = Math.min(l, r, t, Math.abs(apart), Math.abs(withL), Math.abs(withR));
  if (Math.min(least, Math.abs(over), Math.abs(under)) < ALIKE) return false;
  setPhases(atHand, LEFT + PHASES, turns, l);
  setPhases(atHand, RIGHT + PHASES, turns, r);
  setPhases(atHand, LEVEL + PHASES, turns, t);
  const left =
    leftBeside(atHand[LEFT + LIFT] as number) *
    leftBeside(atHand[RIGHT + LIFT] as number) *
    leftBeside(atHand[LEVEL + LIFT] as number);
  const perL = 1 / l;
  const perR = 1 / r;
  const perT = 1 / t;
  const perApart = 1 / apart;
  const perWithL = 1 / withL;
  const perWithR = 1 / withR;
  const perOver = 1 / over;
  const perUnder = 1 / under;
  for (let band = 0; band < BAND_COUNT; band++) {
    const at = BAND_SIZE * band;
    const across = a + edgeEnergy(atHand, LEFT + at) + edgeEnergy(atHand, RIGHT + at);
    const upright = b + edgeEnergy(atHand, LEVEL + at);
    const lSteady = atHand[LEFT + at + STEADY] as number;
    const lRe = lSteady * (atHand[LEFT + at + RE] as number);
    const lIm = lSteady * (atHand[LEFT + at + IM] as number);
    const rSteady = atHand[RIGHT + at + STEADY] as number;
    const rRe = rSteady * (atHand[RIGHT + at + RE] as number);
    const rIm = rSteady * (atHand[RIGHT + at + IM] as number);
    const tSteady = atHand[LEVEL + at + STEADY] as number;
    const tRe = tSteady * (atHand[LEVEL + at + RE] as number);
    const tIm = tSteady * (atHand[LEVEL + at + IM] as number);
    const first = PHASES + 2 * band;
    let growth = 0;
    for (let phase = first; phase < first + 4; phase += 2) {
      const lCos = atHand[LEFT + phase] as number;
      const lSin = atHand[LEFT + phase + 1] as number;
      const rCos = atHand[RIGHT + phase] as number;
      const rSin = atHand[RIGHT + phase + 1] as number;
      const tCos = atHand[LEVEL + phase] as number;
      const tSin = atHand[LEVEL + phase + 1] as number;
      const lx = lRe * lCos - lIm * lSin;
      const ly = lRe * lSin + lIm * lCos;
      const rx = rRe * rCos - rIm * rSin;
      const ry = rRe * rSin + rIm * rCos;
      const tx = tRe * tCos - tIm * tSin;
      const ty = tRe * tSin + tIm * tCos;
      const crossX = lx * rx + ly * ry;
      const crossY = ly * rx - lx * ry;
      const ways =
        (b - a * upright) * (ly * perL + ry * perR) +
        (a - b * across) * ty * perT +
        upright * crossY * perApart -
        b * ((crossY * tx + crossX * ty) * perOver + (crossY * tx - crossX * ty) * perUnder);
      const corners = (ly * tx + twist * lx * ty) * perWithL + (ry * tx + twist * rx * ty) * perWithR;
      growth = 2 * ways + corner * corners - growth;
    }
    const effect = across * upright - 2 * hidden + growth * (inverseSpan[band] as number);
    past[band] = 1 + left * effect;
  }
  return true;
}
