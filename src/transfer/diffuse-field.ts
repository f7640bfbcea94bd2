/** Diffuse fields of all rooms as one power balance a band: each room loses to its walls and trades with its neighbours. */
import { energyLoss } from '../acoustics/air.ts';
import { BAND_COUNT, type Bands, bands } from '../acoustics/bands.ts';
import { eyringAbsorption } from '../acoustics/room-acoustics.ts';
import { type Air, OUTSIDE, type Partition, type Room } from '../scene/scene.ts';

/**
 * Field x_i in room i for one unit of power in room j: the inverse of the balance
 * `x_i (A_i + Σ_j S_ij τ_ij) − Σ_j S_ij τ_ij x_j = W_i`, packed as [band][i][j]. The outside is a room of x = 0.
 */
export function fieldPerPower(
  absorptions: readonly RoomAbsorption[],
  partitions: readonly Partition[],
): Float64Array {
  const count = absorptions.length;
  const fields = new Float64Array(BAND_COUNT * count * count);
  for (let band = 0; band < BAND_COUNT; band++) {
    const matrix = balanceMatrix(absorptions, partitions, band);
    fields.set(inverse(matrix, count), band * count * count);
  }
  return fields;
}

function balanceMatrix(
  absorptions: readonly RoomAbsorption[],
  partitions: readonly Partition[],
  band: number,
): Float64Array {
  const count = absorptions.length;
  const matrix = new Float64Array(count * count);
  absorptions.forEach((absorption, i) => {
    matrix[i * count + i] = absorption.areaWithinWalls[band] ?? 0;
  });
  for (const { rooms, area, tau } of partitions) {
    const trade = area * (tau[band] ?? 0);
    const [i, j] = rooms;
    matrix[i * count + i] = (matrix[i * count + i] ?? 0) + trade;
    if (j === OUTSIDE) continue;
    matrix[j * count + j] = (matrix[j * count + j] ?? 0) + trade;
    matrix[i * count + j] = (matrix[i * count + j] ?? 0) - trade;
    matrix[j * count + i] = (matrix[j * count + i] ?? 0) - trade;
  }
  return matrix;
}

/**
 * Inverse by elimination. Written out since it runs in every recomputation; no pivoting is needed, because the diagonal
 * outweighs its row (A_i > 0), which elimination keeps.
 */
function inverse(matrix: Float64Array, count: number): Float64Array {
  const left = Float64Array.from(matrix);
  const right = new Float64Array(count * count);
  for (let i = 0; i < count; i++) right[i * count + i] = 1;
  for (let i = 0; i < count; i++) {
    const pivot = left[i * count + i] as number;
    for (let k = 0; k < count; k++) {
      left[i * count + k] = (left[i * count + k] as number) / pivot;
      right[i * count + k] = (right[i * count + k] as number) / pivot;
    }
    for (let row = 0; row < count; row++) {
      const factor = left[row * count + i] as number;
      if (row === i || factor === 0) continue;
      for (let k = 0; k < count; k++) {
        left[row * count + k] = (left[row * count + k] as number) - factor * (left[i * count + k] as number);
        right[row * count + k] =
          (right[row * count + k] as number) - factor * (right[i * count + k] as number);
      }
    }
  }
  return right;
}

// What a room absorbs: its surfaces, its contents, its air, brought into line with a measured time where there is one.

/** Mean absorption stays below this, so that a decay time exists. */
const GREATEST_MEAN = 0.99;

export type RoomAbsorption = {
  /** Area of the room's own surfaces, m². */
  readonly surface: number;
  /** Absorption area A in m² by band, openings counted as fully absorbing: for RT60, ᾱ and images. */
  readonly area: Bands;
  /** A without the openings, whose energy the power balance follows into the next room. */
  readonly areaWithinWalls: Bands;
  /** Mean absorption ᾱ = A/S by band, at most 0.99. */
  readonly mean: Bands;
  /** Absorption coefficient of each surface by band, eight bands a surface. */
  readonly surfaces: Float64Array;
  /** The energy that each surface reflects, 1 less that. */
  readonly reflected: Float64Array;
};

/** Absorption of a room. Finishes are scaled by one factor a band where a measured time says so. */
export function roomAbsorption(room: Room, air: Air): RoomAbsorption {
  const surface = room.surfaces.reduce((sum, s) => sum + s.area, 0);
  const open = room.surfaces.reduce((sum, s) => sum + s.open, 0);
  const airArea = bands((band) => 4 * energyLoss(air.loss[band] ?? 0) * room.volume);
  const surfaces = new Float64Array(room.surfaces.length * BAND_COUNT);
  const area = bands((band) => {
    const target = measuredArea(room, air, surface, band);
    const finish = target === null ? null : finishesFor(room, target, band);
    room.surfaces.forEach((s, i) => {
      surfaces[i * BAND_COUNT + band] = finish
        ? finish(s.alpha[band] ?? 0, s)
        : Math.min(1, s.alpha[band] ?? 0);
    });
    if (target !== null)
      return target + (room.measured?.setUp ? 0 : (room.people[band] ?? 0)) + (room.added[band] ?? 0);
    const finishes = room.surfaces.reduce(
      (sum, s, i) => sum + s.area * (surfaces[i * BAND_COUNT + band] ?? 0),
      0,
    );
    return (
      finishes +
      (room.contents[band] ?? 0) +
      (room.people[band] ?? 0) +
      (room.added[band] ?? 0) +
      (airArea[band] ?? 0)
    );
  });
  return {
    surface,
    area,
    areaWithinWalls: bands((band) => Math.max((area[band] ?? 0) - open, 1e-3 * surface)),
    mean: bands((band) => Math.min((area[band] ?? 0) / surface, GREATEST_MEAN)),
    surfaces,
    reflected: surfaces.map((alpha) => 1 - alpha),
  };
}

/** Sᾱ of a measured time: ᾱ = 1 − exp(−24 ln10·V/(c·S·T)). Eyring inverted. */
function measuredArea(room: Room, air: Air, surface: number, band: number): number | null {
  const t60 = room.measured?.t60[band];
  return t60 === undefined ? null : surface * eyringAbsorption(room.volume, surface, t60, air.soundSpeed);
}

type Finish = (alpha: number, surface: { readonly area: number; readonly open: number }) => number;

/**
 * Coefficients of all surfaces for a measured absorption area: every finish times one factor, each at most 0.99, openings
 * left at 1, such that the total is met; without finishes every surface takes the mean.
 */
function finishesFor(room: Room, target: number, band: number): Finish {
  const total = room.surfaces.reduce((sum, s) => sum + s.area, 0);
  const open = room.surfaces.reduce((sum, s) => sum + s.open, 0);
  const mean = Math.min(target / total, GREATEST_MEAN);
  const own = (alpha: number, s: { area: number; open: number }) =>
    s.area > s.open ? Math.max(0, (alpha * s.area - s.open) / (s.area - s.open)) : 0;
  const closedTarget = Math.max(0, target - open);
  const absorbed = (factor: number) =>
    room.surfaces.reduce(
      (sum, s) => sum + (s.area - s.open) * Math.min(GREATEST_MEAN, factor * own(s.alpha[band] ?? 0, s)),
      0,
    );
  if (absorbed(1) <= 0) return () => mean;
  const factor = factorFor(absorbed, closedTarget);
  return (alpha, s) =>
    s.area > 0
      ? ((s.area - s.open) * Math.min(GREATEST_MEAN, factor * own(alpha, s)) + s.open) / s.area
      : mean;
}

/** Smallest factor at which `absorbed` reaches the target, by halving: `absorbed` rises and then stays. */
function factorFor(absorbed: (factor: number) => number, target: number): number {
  let high = 1;
  while (absorbed(high) < target && high < 1e6) high *= 2;
  let low = 0;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (absorbed(middle) < target) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Reflection losses of a surface by band, from the packed table. */
export function surfaceAlpha(absorption: RoomAbsorption, surface: number): Bands {
  return absorption.surfaces.subarray(surface * BAND_COUNT, (surface + 1) * BAND_COUNT);
}
