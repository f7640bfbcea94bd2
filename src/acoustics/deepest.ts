/** Several losses along one way: the deepest counts whole, each further one as far as it stands apart. */

/** Index of the largest loss; the first of equals. */
export function deepestOf(losses: Float64Array, count: number): number {
  let deepest = 0;
  for (let i = 1; i < count; i++) if ((losses[i] as number) > (losses[deepest] as number)) deepest = i;
  return deepest;
}

/**
 * Σ g·loss in dB over all but the deepest. `places` are their distances along a way of length `whole`;
 * `g = e(r0+e+r)/((r0+e)(e+r))`, e to the nearest deeper one, r0 and r before and after the two: the geometry factor of
 * double edges in ITU-R P.526; its use as a weight is ours.
 */
export function furtherLoss(
  losses: Float64Array,
  places: Float64Array,
  count: number,
  whole: number,
): number {
  const deepest = deepestOf(losses, count);
  let sum = 0;
  for (let i = 0; i < count; i++) {
    if (i !== deepest)
      sum +=
        (losses[i] as number) *
        apartness(places[i] as number, nearestDeeper(losses, places, count, i), whole);
  }
  return sum;
}

function nearestDeeper(losses: Float64Array, places: Float64Array, count: number, of: number): number {
  const own = losses[of] as number;
  const here = places[of] as number;
  let nearest = Infinity;
  for (let i = 0; i < count; i++) {
    const loss = losses[i] as number;
    const deeper = loss > own || (loss === own && i < of);
    const place = places[i] as number;
    if (i !== of && deeper && Math.abs(place - here) < Math.abs(nearest - here)) nearest = place;
  }
  return nearest;
}

function apartness(one: number, other: number, whole: number): number {
  const between = Math.abs(one - other);
  const before = Math.min(one, other);
  const after = whole - Math.max(one, other);
  const under = (before + between) * (between + after);
  return under > 0 ? (between * whole) / under : 0;
}
