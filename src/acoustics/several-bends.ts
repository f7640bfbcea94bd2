/** The edge wave of a way that bends several times. */
import { BAND_COUNT, type Bands } from './bands.ts';
import { deepestOf, furtherLoss } from './deepest.ts';
import { type Bend, edgeWave, newBend } from './edge.ts';
import { BAND_SIZE, type EdgeWave, edgeEnergy, IM, newEdgeWave, RE } from './edge-wave.ts';

/** Working memory: what each bend along a way does. */
export type BendChain = {
  count: number;
  readonly bend: Bend;
  readonly waves: EdgeWave[];
  readonly places: Float64Array;
  readonly losses: Float64Array;
};

/** More bends than a way past a few panels can have; further ones are left out. */
const MOST = 16;

export const newBendChain = (): BendChain => ({
  count: 0,
  bend: newBend(),
  waves: Array.from({ length: MOST }, newEdgeWave),
  places: new Float64Array(MOST),
  losses: new Float64Array(MOST),
});

/** Adds the bend set in `chain.bend`, of which only the turn and the lengths before and after count. */
export function addBend(chain: BendChain, rho: Bands, inverseRoot: Bands): void {
  if (chain.count === MOST) return;
  chain.bend.straight = chain.bend.whole;
  edgeWave(chain.waves[chain.count] as EdgeWave, chain.bend, rho, inverseRoot);
  chain.places[chain.count++] = chain.bend.before;
}

/**
 * The way's wave over the free direct field: the deepest bend's, less g times the further ones' losses. `spread`, the
 * straight distance over the whole way, counts once. `flat` is the length along which the bends are placed.
 */
export function chainWave(into: EdgeWave, chain: BendChain, spread: number, flat: number): void {
  const { count, waves, losses } = chain;
  for (let band = 0; band < BAND_COUNT; band++) {
    const at = band * BAND_SIZE;
    for (let i = 0; count > 1 && i < count; i++)
      losses[i] = -10 * Math.log10(edgeEnergy(waves[i] as EdgeWave, at));
    const further = count > 1 ? 10 ** (-furtherLoss(losses, chain.places, count, flat) / 20) : 1;
    const deepest = waves[count > 1 ? deepestOf(losses, count) : 0] as EdgeWave;
    into[at + RE] = spread * further * (deepest[at + RE] as number);
    into[at + IM] = spread * further * (deepest[at + IM] as number);
  }
}
