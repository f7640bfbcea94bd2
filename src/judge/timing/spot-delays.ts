/** How much earlier each spot mic has its source than a pair that hears it from further off. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Mic, Scene } from '../../scene/scene.ts';
import { AT_ONCE, arrivalAt } from './arrival.ts';

export type SpotDelay = {
  readonly spot: string;
  /** The spot's own source that is nearest to it. */
  readonly source: string;
  /** The sound reaches the pair so much later, s: the delay that brings the spot to the pair. */
  readonly late: number;
  readonly samples: number;
};

/**
 * Delays of the spots against a pair, each by the mean of the pair's two capsules: one delay has to do for both, and the mean
 * halves what it misses on the worse side. Spots without a direct way to both are left out.
 */
export function spotDelays(
  scene: Scene,
  result: Transfer,
  pair: Mic,
  { spots, sampleRate }: { readonly spots: readonly Mic[]; readonly sampleRate: number },
): SpotDelay[] {
  return spots.flatMap((spot) => {
    const ways = spot.wanted.flatMap((source) => {
      const near = spot.line ? AT_ONCE.way : meanWay(result, spot, source);
      const far = meanWay(result, pair, source);
      return near === null || far === null ? [] : [{ source, near, far }];
    });
    const [first, ...rest] = ways;
    if (!first) return [];
    const { source, near, far } = rest.reduce((a, b) => (b.near < a.near ? b : a), first);
    const late = (far - near) / scene.air.soundSpeed;
    return [{ spot: spot.name, source: scene.sources[source]?.name ?? '', late, samples: late * sampleRate }];
  });
}

/** Mean direct way from a source to the capsules of a mic, m; null where one of them has none. */
function meanWay({ stage }: Transfer, { capsules }: Mic, source: number): number | null {
  const ways = capsules.flatMap((capsule) => arrivalAt(stage, source, capsule)?.way ?? []);
  return ways.length < capsules.length || ways.length === 0
    ? null
    : ways.reduce((sum, way) => sum + way, 0) / ways.length;
}
