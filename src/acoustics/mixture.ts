/**
 * Ways past one screen that interfere, straight on and round its edges: how each two of them add up, and how strong each is before
 * the microphone's response. A mic that turns changes the responses alone, and the rest stays.
 */
import { BAND_COUNT, type Bands } from './bands.ts';
import { CAP, CORNER, SIDE, STRAIGHT, WAVES } from './gather-waves.ts';
import type { Pass, Round } from './rectangle.ts';

/** Straight on, two sides, two caps; corners take their strength from both their edges. */
export const RAYS = CORNER;

export type Mixture = {
  /** Which waves there are, in their order. */
  readonly terms: Int32Array;
  count: number;
  /** Band means of each two of them, as `eachMean` packs them. */
  readonly means: Float64Array;
  /** Of each ray: free energy by band, and unit vector as it reaches the mic; packed [ray][…]. */
  readonly free: Float64Array;
  readonly arrive: Float64Array;
};

export const newMixture = (): Mixture => ({
  terms: new Int32Array(WAVES),
  count: 0,
  means: new Float64Array(((WAVES * (WAVES + 1)) / 2) * BAND_COUNT),
  free: new Float64Array(RAYS * BAND_COUNT),
  arrive: new Float64Array(RAYS * 3),
});

export const copyOf = ({ terms, count, means, free, arrive }: Mixture): Mixture => ({
  terms: terms.slice(0, count),
  count,
  means: means.slice(0, ((count * (count + 1)) / 2) * BAND_COUNT),
  free: free.slice(),
  arrive: arrive.slice(),
});

/** Takes the rays of a pass with their free energies and directions; returns whether each is there. */
export function takeRays({ free, arrive }: Mixture, { straight, sides, caps }: Pass): void {
  takeRay(free, arrive, STRAIGHT, straight);
  for (let i = 0; i < 2; i++) {
    takeRay(free, arrive, SIDE + i, sides[i] as Round);
    takeRay(free, arrive, CAP + i, caps[i] as Round);
  }
}

function takeRay(free: Float64Array, arrive: Float64Array, ray: number, round: Round): void {
  for (let band = 0; band < BAND_COUNT; band++) free[ray * BAND_COUNT + band] = round.free[band] as number;
  for (let i = 0; i < 3; i++) arrive[ray * 3 + i] = round.arrive[i] as number;
}

/** A mixture kept for other responses, with its part in a way: so much of the straight sound goes through, so much round. */
export type Kept = { readonly mixture: Mixture; readonly through: Bands; readonly round: Bands };

/** Amplitudes of the waves by band, packed [wave][band]. */
const amplitudes = new Float64Array(WAVES * BAND_COUNT);

/** Writes the squared sum of all waves, each times the root of its energy; `responses` are those of the rays, packed [ray][band]. */
export function weigh(into: Bands, mixture: Mixture, responses: Float64Array): void {
  const { terms, count, means } = mixture;
  setAmplitudes(mixture, responses);
  into.fill(0);
  let at = 0;
  for (let i = 0; i < count; i++) {
    const one = (terms[i] as number) * BAND_COUNT;
    for (let j = 0; j <= i; j++, at += BAND_COUNT) {
      const other = (terms[j] as number) * BAND_COUNT;
      for (let band = 0; band < BAND_COUNT; band++)
        into[band] =
          (into[band] as number) +
          (means[at + band] as number) *
            (amplitudes[one + band] as number) *
            (amplitudes[other + band] as number);
    }
  }
}

/** The root of each ray's energy; a corner's is the geometric mean of both edges'. */
function setAmplitudes({ terms, count, free }: Mixture, responses: Float64Array): void {
  for (let i = 0; i < RAYS * BAND_COUNT; i++)
    amplitudes[i] = Math.sqrt((free[i] as number) * (responses[i] as number));
  for (let i = 0; i < count; i++) {
    const corner = (terms[i] as number) - CORNER;
    if (corner < 0) continue;
    const to = (CORNER + corner) * BAND_COUNT;
    const side = (SIDE + (corner >> 1)) * BAND_COUNT;
    const cap = (CAP + (corner & 1)) * BAND_COUNT;
    for (let band = 0; band < BAND_COUNT; band++)
      amplitudes[to + band] = Math.sqrt(
        (amplitudes[side + band] as number) * (amplitudes[cap + band] as number),
      );
  }
}

/** The sum of all means: the squared sum with all energies 1. */
export function sumOfMeans(into: Bands, { count, means }: Mixture): void {
  into.fill(0);
  const end = ((count * (count + 1)) / 2) * BAND_COUNT;
  for (let i = 0; i < end; i++) {
    const band = i & (BAND_COUNT - 1);
    into[band] = (into[band] as number) + (means[i] as number);
  }
}
