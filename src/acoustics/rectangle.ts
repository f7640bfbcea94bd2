/**
 * Field past a rectangular panel, and through a rectangular opening, from the edge waves of its four sides: the one is the
 * complement of the other (ITU-R P.526, thin screens; Babinet).
 */
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';
import { type Bend, type EdgeWave, newBend } from './edge.ts';
import { pastOneCap } from './one-cap.ts';
import { setPhases } from './phase.ts';
import { meanSquares, newWaveSum, WAVE_SIZE, type WaveSum } from './wave-sum.ts';
import { type Waves, wavesAt } from './waves.ts';

export type Point = [number, number, number];

/** A way round one side of a screen. A side that is none (`there` false) has neither edge wave nor a clear side. */
export type Round = EdgeWave & {
  there: boolean;
  /** The straight line passes outside this side. */
  clear: boolean;
  whole: number;
  detour: number;
  /** Where it bends first and last; of the straight line nothing. */
  readonly first: Point;
  readonly last: Point;
  /** Unit vectors along the way as it leaves the source and as it reaches the mic: set where directions count. */
  readonly leave: Point;
  readonly arrive: Point;
  /** Free energy of the way. */
  readonly energy: Bands;
  /** e^{ikδ} of its detour at the nine edges of the bands, set as waves are summed. */
  readonly cos: Float64Array;
  readonly sin: Float64Array;
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
    sum: newWaveSum(WAVES),
    weighted: sameInAllBands(0),
    past: sameInAllBands(0),
  };
}

const newRound = (): Round => ({
  there: false,
  clear: false,
  whole: 0,
  detour: 0,
  first: [0, 0, 0],
  last: [0, 0, 0],
  leave: [0, 0, 0],
  arrive: [0, 0, 0],
  energy: sameInAllBands(1),
  cos: new Float64Array(BAND_COUNT + 1),
  sin: new Float64Array(BAND_COUNT + 1),
  re: sameInAllBands(0),
  im: sameInAllBands(0),
});

/** Writes `past` of the field past a panel: `1 − (a_h − D_l − D_r)(a_v − D_t − D_b)`. */
export function sumPast(pass: Pass): void {
  setAllPhases(pass);
  const across = openShare(pass.sides);
  const upright = openShare(pass.caps);
  const top = pass.caps[0];
  const bottom = pass.caps[1];
  const oneCap = pass.sides[0].there && pass.sides[1].there && top.there !== bottom.there;
  if (oneCap && pastOneCap(pass, across, upright, top.there ? top : bottom)) return;
  gather(pass, 1 - across * upright, across, upright);
  meanSquares(pass.past, pass.sum, pass.waves);
}

/** The same, and `weighted` by the free energies of the ways. */
export function sumPastPanel(pass: Pass): void {
  setAllPhases(pass);
  const across = openShare(pass.sides);
  const upright = openShare(pass.caps);
  gather(pass, 1 - across * upright, across, upright);
  meanSquares(pass.past, pass.sum, pass.waves);
  weigh(pass);
}

/** Writes both of the field through an opening, `(a_h − D_l − D_r)(a_v − D_t − D_b)`; the sign of all drops out. */
export function sumThroughOpening(pass: Pass): void {
  const across = openShare(pass.sides);
  const upright = openShare(pass.caps);
  setAllPhases(pass);
  gather(pass, -across * upright, across, upright);
  meanSquares(pass.past, pass.sum, pass.waves);
  weigh(pass);
}

/** Phases of every detour, before waves are summed. */
function setAllPhases({ sides, caps, waves }: Pass): void {
  for (let i = 0; i < 2; i++) {
    const side = sides[i] as Round;
    const cap = caps[i] as Round;
    if (side.there) setPhases(side.cos, side.sin, waves.turns, side.detour);
    if (cap.there) setPhases(cap.cos, cap.sin, waves.turns, cap.detour);
  }
}

/** `1 − H − H`: 0 where the line passes outside one of two opposite sides. Two clear sides can only be a gap between arms. */
function openShare(rounds: readonly [Round, Round]): number {
  return (rounds[0].there && rounds[0].clear) || (rounds[1].there && rounds[1].clear) ? 0 : 1;
}

/** The places of the waves in the sum: straight on, two sides, two caps, four corners. */
const STRAIGHT = 0;
const SIDE = 1;
const CAP = 3;
const CORNER = 5;
const WAVES = 9;

/** Waves whose factor is 0 are left out of the sum; but the corners need those of their edges. */
function gather(pass: Pass, through: number, across: number, upright: number): void {
  const { sum } = pass;
  sum.count = 0;
  if (through !== 0) addStraight(sum, through);
  for (let i = 0; i < 2; i++) {
    const side = pass.sides[i] as Round;
    const cap = pass.caps[i] as Round;
    if (side.there) spin(pass, side, SIDE + i);
    if (side.there && upright !== 0) sum.terms[sum.count++] = SIDE + i;
    if (cap.there) spin(pass, cap, CAP + i);
    if (cap.there && across !== 0) sum.terms[sum.count++] = CAP + i;
  }
  for (let i = 0; i < 4; i++) {
    const there = (pass.sides[i >> 1] as Round).there && (pass.caps[i & 1] as Round).there;
    if (there) addCorner(sum, CORNER + i, SIDE + (i >> 1), CAP + (i & 1));
  }
}

function addStraight(sum: WaveSum, factor: number): void {
  const { waves } = sum;
  for (let i = 0; i < WAVE_SIZE; i += 2) {
    waves[i] = factor;
    waves[i + 1] = 0;
  }
  sum.terms[sum.count++] = STRAIGHT;
}

/** A corner's wave is the product of both edges', and taken from their sum. */
function addCorner(sum: WaveSum, corner: number, side: number, cap: number): void {
  const { waves, detour } = sum;
  detour[corner] = (detour[side] as number) + (detour[cap] as number);
  let at = corner * WAVE_SIZE;
  let p = side * WAVE_SIZE;
  let q = cap * WAVE_SIZE;
  for (const end = at + WAVE_SIZE; at < end; at += 2, p += 2, q += 2) {
    const a = waves[p] as number;
    const b = waves[p + 1] as number;
    const c = waves[q] as number;
    const d = waves[q + 1] as number;
    waves[at] = b * d - a * c;
    waves[at + 1] = -a * d - b * c;
  }
  sum.terms[sum.count++] = corner;
}

/** Gives an edge wave the phase of its detour at both edges of each band, and puts it in its place in the sum. */
function spin(pass: Pass, round: Round, place: number): void {
  const { sum } = pass;
  const { re, im, cos, sin } = round;
  const into = sum.waves;
  sum.detour[place] = round.detour;
  let at = place * WAVE_SIZE;
  for (let band = 0; band < BAND_COUNT; band++, at += 4) {
    const a = re[band] as number;
    const b = im[band] as number;
    const c = cos[band] as number;
    const s = sin[band] as number;
    const d = cos[band + 1] as number;
    const t = sin[band + 1] as number;
    into[at] = a * c - b * s;
    into[at + 1] = a * s + b * c;
    into[at + 2] = a * d - b * t;
    into[at + 3] = a * t + b * d;
  }
}

/** The same sum with each wave times the root of its way's free energy; a corner's is the geometric mean of both edges'. */
function weigh(pass: Pass): void {
  const { sum, sides, caps, straight } = pass;
  const ways = [straight, ...sides, ...caps];
  for (let i = 0; i < sum.count; i++) {
    const term = sum.terms[i] as number;
    const corner = term - CORNER;
    const one = ways[corner < 0 ? term : SIDE + (corner >> 1)] as Round;
    const other = ways[corner < 0 ? term : CAP + (corner & 1)] as Round;
    scaleWave(sum.waves, term * WAVE_SIZE, one.energy, other.energy);
  }
  meanSquares(pass.weighted, sum, pass.waves);
}

function scaleWave(waves: Float64Array, from: number, one: Bands, other: Bands): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    const amplitude = Math.sqrt(Math.sqrt((one[band] as number) * (other[band] as number)));
    const at = from + 4 * band;
    waves[at] = amplitude * (waves[at] as number);
    waves[at + 1] = amplitude * (waves[at + 1] as number);
    waves[at + 2] = amplitude * (waves[at + 2] as number);
    waves[at + 3] = amplitude * (waves[at + 3] as number);
  }
}
