/**
 * Field past a rectangular panel, and through a rectangular opening, from the edge waves of its four sides: the one is the
 * complement of the other (ITU-R P.526, thin screens; Babinet).
 */
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';
import { type Bend, type EdgeWave, newBend } from './edge.ts';
import {
  meanSquares,
  newPhases,
  newWaveSum,
  type Phases,
  setPhases,
  startJoint,
  startTerm,
  type WaveSum,
} from './wave-sum.ts';
import { type Waves, wavesAt } from './waves.ts';

export type Point = [number, number, number];

/** A way round one side of a screen. A side that is none (`there` false) has neither edge wave nor a clear side. */
export type Round = EdgeWave & {
  there: boolean;
  /** The straight line passes outside this side. */
  clear: boolean;
  whole: number;
  detour: number;
  /** Unit vectors along the way as it leaves the source and as it reaches the mic. */
  readonly leave: Point;
  readonly arrive: Point;
  /** Phases of its detour, set as waves are summed. */
  readonly phases: Phases;
  /** Free energy of the way. */
  readonly energy: Bands;
};

/** Working memory of one computation: whoever computes many pairs makes it once. */
export type Pass = {
  readonly waves: Waves;
  readonly bend: Bend;
  readonly sides: readonly [Round, Round];
  readonly caps: readonly [Round, Round];
  readonly straight: Round;
  readonly sum: WaveSum;
  /** The squared sum with free energies, and with all of them 1. */
  readonly weighted: Bands;
  readonly past: Bands;
};

export function newPass(soundSpeed: number): Pass {
  return {
    waves: wavesAt(soundSpeed),
    bend: newBend(),
    sides: [newRound(), newRound()],
    caps: [newRound(), newRound()],
    straight: newRound(),
    sum: newWaveSum(),
    weighted: sameInAllBands(0),
    past: sameInAllBands(0),
  };
}

const newRound = (): Round => ({
  there: false,
  clear: false,
  whole: 0,
  detour: 0,
  leave: [0, 0, 0],
  arrive: [0, 0, 0],
  phases: newPhases(),
  energy: sameInAllBands(1),
  re: sameInAllBands(0),
  im: sameInAllBands(0),
});

/** Writes `weighted` and `past` of the field past a panel: `1 − (a_h − D_l − D_r)(a_v − D_t − D_b)`. */
export function sumPastPanel(pass: Pass): void {
  const across = openShare(pass.sides);
  const upright = openShare(pass.caps);
  gather(pass, 1 - across * upright, across, upright, 1);
}

/** The same of the field through an opening: `(a_h − D_l − D_r)(a_v − D_t − D_b)`. */
export function sumThroughOpening(pass: Pass): void {
  const across = openShare(pass.sides);
  const upright = openShare(pass.caps);
  gather(pass, across * upright, across, upright, -1);
}

/** `1 − H − H`: 0 where the line passes outside one of two opposite sides. Two clear sides can only be a gap between arms. */
function openShare(rounds: readonly [Round, Round]): number {
  return (rounds[0].there && rounds[0].clear) || (rounds[1].there && rounds[1].clear) ? 0 : 1;
}

function gather(pass: Pass, through: number, across: number, upright: number, sign: number): void {
  pass.sum.count = 0;
  for (const side of pass.sides) if (side.there) setPhases(side.phases, side.detour, pass.waves);
  for (const cap of pass.caps) if (cap.there) setPhases(cap.phases, cap.detour, pass.waves);
  if (through !== 0) addStraight(pass, through);
  for (const side of pass.sides) if (side.there && upright !== 0) addEdge(pass, side, sign * upright);
  for (const cap of pass.caps) if (cap.there && across !== 0) addEdge(pass, cap, sign * across);
  for (const side of pass.sides) {
    for (const cap of pass.caps) if (side.there && cap.there) addCorner(pass, side, cap, -sign);
  }
  meanSquares(pass.weighted, pass.past, pass.sum, pass.waves);
}

function addStraight(pass: Pass, factor: number): void {
  const { sum, straight } = pass;
  const at = startTerm(sum, 0, straight.phases);
  for (let band = 0; band < BAND_COUNT; band++) {
    sum.re[at + band] = factor;
    sum.im[at + band] = 0;
    sum.amplitude[at + band] = Math.sqrt(straight.energy[band] as number);
  }
}

function addEdge(pass: Pass, round: Round, factor: number): void {
  const { sum } = pass;
  const at = startTerm(sum, round.detour, round.phases);
  for (let band = 0; band < BAND_COUNT; band++) {
    sum.re[at + band] = factor * (round.re[band] as number);
    sum.im[at + band] = factor * (round.im[band] as number);
    sum.amplitude[at + band] = Math.sqrt(round.energy[band] as number);
  }
}

/** A corner's free energy is the geometric mean of both edges'. */
function addCorner(pass: Pass, side: Round, cap: Round, factor: number): void {
  const { sum } = pass;
  const at = startJoint(sum, side.detour + cap.detour, side.phases, cap.phases);
  for (let band = 0; band < BAND_COUNT; band++) {
    const re =
      (side.re[band] as number) * (cap.re[band] as number) -
      (side.im[band] as number) * (cap.im[band] as number);
    const im =
      (side.re[band] as number) * (cap.im[band] as number) +
      (side.im[band] as number) * (cap.re[band] as number);
    sum.re[at + band] = factor * re;
    sum.im[at + band] = factor * im;
    sum.amplitude[at + band] = Math.sqrt(
      Math.sqrt((side.energy[band] as number) * (cap.energy[band] as number)),
    );
  }
}
