/**
 * Field past a rectangular panel, and through a rectangular opening, from the edge waves of its four sides: the one is the
 * complement of the other (ITU-R P.526, thin screens; Babinet).
 */
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';
import { leftBeside } from './beside-panel.ts';
import { type Bend, newBend } from './edge.ts';
import { type EdgeWave, newEdgeWave } from './edge-wave.ts';
import { CAP, gather, newPanelSum, SIDE, setAllPhases } from './gather-waves.ts';
import { type Kept, type Mixture, newMixture, RAYS, sumOfMeans, takeRays, weigh } from './mixture.ts';
import { pastOneCap } from './one-cap.ts';
import { SIGHT } from './panel-sight.ts';
import { eachMean, meanSquares, type WaveSum } from './wave-sum.ts';
import { type Waves, wavesAt } from './waves.ts';

export type Point = [number, number, number];

/** A way round one side of a screen. A side that is none (`there` false) has neither edge wave nor a clear side. */
export type Round = {
  /** Its phases are set as waves are summed. */
  readonly wave: EdgeWave;
  there: boolean;
  /** The straight line passes outside this side. */
  clear: boolean;
  whole: number;
  detour: number;
  /** How far the line has come from the edge to the panel's plane: 0 where it is hidden, to 1. */
  lift: number;
  /** Share of a way with one bend that lies before it, as seen along the edge. */
  bend: number;
  /** Where it bends first and last; of the straight line nothing. */
  readonly first: Point;
  readonly last: Point;
  /** Unit vectors along the way as it leaves the source and as it reaches the mic: set where directions count. */
  readonly leave: Point;
  readonly arrive: Point;
  /** Free energy of the way, and the mic's response to it. */
  readonly free: Bands;
  readonly response: Bands;
};

/** Working memory of one computation: whoever computes many pairs makes it once. */
export type Pass = {
  readonly waves: Waves;
  readonly bend: Bend;
  /** What source and mic see of a panel, where no table of it is kept. */
  readonly sights: Float64Array;
  readonly sides: readonly [Round, Round];
  readonly caps: readonly [Round, Round];
  readonly straight: Round;
  readonly sum: WaveSum;
  /** What is kept of the last sum that was weighed, and the mic's responses to its rays, packed [ray][band]. */
  readonly mixture: Mixture;
  readonly responses: Float64Array;
  /** Where mixtures of the way at hand are put, for whoever wants to hear them again with other responses. */
  kept: Kept[] | null;
  /** The squared sum with free energies, and with all of them 1. */
  readonly weighted: Bands;
  readonly past: Bands;
};

export function newPass(soundSpeed: number): Pass {
  return {
    waves: wavesAt(soundSpeed),
    bend: newBend(),
    sights: new Float64Array(2 * SIGHT),
    sides: [newRound(), newRound()],
    caps: [newRound(), newRound()],
    straight: newRound(),
    sum: newPanelSum(),
    mixture: newMixture(),
    responses: new Float64Array(RAYS * BAND_COUNT),
    kept: null,
    weighted: sameInAllBands(0),
    past: sameInAllBands(0),
  };
}

const newRound = (): Round => ({
  wave: newEdgeWave(),
  there: false,
  clear: false,
  whole: 0,
  detour: 0,
  lift: 0,
  bend: 0,
  first: [0, 0, 0],
  last: [0, 0, 0],
  leave: [0, 0, 0],
  arrive: [0, 0, 0],
  free: sameInAllBands(1),
  response: sameInAllBands(1),
});

/** Writes `past` of the field past a panel: `1 − (a_h − D_l − D_r)(a_v − D_t − D_b)`. */
export function sumPast(pass: Pass): void {
  const [top, bottom] = pass.caps;
  const oneCap = pass.sides[0].there && pass.sides[1].there && top.there !== bottom.there;
  if (oneCap && pastOneCap(pass, top.there ? top : bottom)) return;
  setAllPhases(pass);
  const across = openShare(pass.sides);
  const upright = openShare(pass.caps);
  gather(pass, 1 - across * upright, across, upright);
  meanSquares(pass.past, pass.sum, pass.waves);
  const left = leftOf(pass);
  if (left < 1)
    for (let band = 0; band < BAND_COUNT; band++)
      pass.past[band] = 1 + ((pass.past[band] as number) - 1) * left;
}

/** The same, and `weighted` by the free energies of the ways. */
export function sumPastPanel(pass: Pass): void {
  setAllPhases(pass);
  const across = openShare(pass.sides);
  const upright = openShare(pass.caps);
  gather(pass, 1 - across * upright, across, upright);
  mix(pass, leftOf(pass));
}

/** Of the panel's effect, over all edges that the line passes clear of. */
function leftOf({ sides, caps }: Pass): number {
  let left = 1;
  for (let i = 0; i < 2; i++) {
    const side = sides[i] as Round;
    const cap = caps[i] as Round;
    if (side.there) left *= leftBeside(side.lift);
    if (cap.there) left *= leftBeside(cap.lift);
  }
  return left;
}

/** Writes both of the field through an opening, `(a_h − D_l − D_r)(a_v − D_t − D_b)`; the sign of all drops out. */
export function sumThroughOpening(pass: Pass): void {
  const across = openShare(pass.sides);
  const upright = openShare(pass.caps);
  setAllPhases(pass);
  gather(pass, -across * upright, across, upright);
  mix(pass, 1);
}

/** Keeps the gathered waves as a mixture of ways, and sums them both with their energies and with all of them 1. */
function mix(pass: Pass, left: number): void {
  const { mixture, sum } = pass;
  mixture.count = sum.count;
  mixture.terms.set(sum.terms);
  eachMean(mixture.means, sum, pass.waves);
  if (left < 1) leave(mixture, left);
  takeRays(mixture, pass);
  setResponses(pass);
  sumOfMeans(pass.past, mixture);
  weigh(pass.weighted, mixture, pass.responses);
}

/** Takes a panel's effect back: what is not left of it is the straight line, the first wave of a line that is clear of an edge. */
function leave({ means, count }: Mixture, left: number): void {
  const end = ((count * (count + 1)) / 2) * BAND_COUNT;
  for (let i = 0; i < end; i++) means[i] = (means[i] as number) * left;
  for (let band = 0; band < BAND_COUNT; band++) means[band] = (means[band] as number) + 1 - left;
}

function setResponses({ responses, straight, sides, caps }: Pass): void {
  responses.set(straight.response, 0);
  for (let i = 0; i < 2; i++) {
    responses.set((sides[i] as Round).response, (SIDE + i) * BAND_COUNT);
    responses.set((caps[i] as Round).response, (CAP + i) * BAND_COUNT);
  }
}

/** `1 − H − H`: 0 where the line passes outside one of two opposite sides. Two clear sides can only be a gap between arms. */
function openShare(rounds: readonly [Round, Round]): number {
  return (rounds[0].there && rounds[0].clear) || (rounds[1].there && rounds[1].clear) ? 0 : 1;
}
