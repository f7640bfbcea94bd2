/** Diffuse fields of all rooms as one power balance a band: each room loses to its walls and trades with its neighbours. */
import { energyLoss } from '../acoustics/air.ts';
import { BAND_COUNT, type Bands, bands, MID_BANDS } from '../acoustics/bands.ts';
import {
  eyringAbsorption,
  LATE_OVER_EARLY,
  MOST_WATERHOUSE,
  meanFreePath,
  waterhouse,
} from '../acoustics/room-acoustics.ts';
import { type Air, type MeasuredTime, OUTSIDE, type Partition, type Room } from '../scene/scene.ts';

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
  /** What the surfaces take of A. */
  readonly finishes: Bands;
  /** Mean absorption ᾱ = A/S by band, at most 0.99. */
  readonly mean: Bands;
  /** ln(1 − ᾱ)/2 by band: the loss over half a mean free path. */
  readonly halfLoss: Bands;
  /** Mean free path ℓ, m. */
  readonly freePath: number;
  /** 1/w by band: the interior level over the mean of the room. */
  readonly interior: Bands;
  /** Absorption coefficient of each surface by band, eight bands a surface. */
  readonly surfaces: Float64Array;
  /** The energy that each surface reflects, 1 less that. */
  readonly reflected: Float64Array;
};

/** Absorption of a room. Finishes are scaled by one factor a band where a measured time says so. */
export function roomAbsorption(room: Room, air: Air): RoomAbsorption {
  const { volume } = room;
  const surface = room.surfaces.reduce((sum, s) => sum + s.area, 0);
  const open = room.surfaces.reduce((sum, s) => sum + s.open, 0);
  const surfaces = new Float64Array(room.surfaces.length * BAND_COUNT);
  const area = bands((band) => {
    const asNamed = namedArea(room, air, band);
    const target = room.measured && measuredArea(room, room.measured, { surface, asNamed, air }, band);
    const finish = target === null ? null : finishesFor(room, target, band);
    room.surfaces.forEach((s, i) => {
      surfaces[i * BAND_COUNT + band] = finish
        ? finish(s.alpha[band] ?? 0, s)
        : Math.min(1, s.alpha[band] ?? 0);
    });
    const people = room.measured?.setUp ? 0 : (room.people[band] ?? 0);
    return (target ?? asNamed) + people + (room.added[band] ?? 0);
  });
  const mean = bands((band) => Math.min((area[band] ?? 0) / surface, GREATEST_MEAN));
  return {
    surface,
    area,
    areaWithinWalls: bands((band) => Math.max((area[band] ?? 0) - open, 1e-3 * surface)),
    mean,
    finishes: bands((band) =>
      room.surfaces.reduce((sum, s, i) => sum + s.area * (surfaces[i * BAND_COUNT + band] ?? 0), 0),
    ),
    halfLoss: mean.map((absorbed) => Math.log1p(-absorbed) / 2),
    freePath: meanFreePath(volume, surface),
    interior: bands(
      (band) =>
        1 / Math.min(waterhouse(volume, surface, air.soundSpeed / (MID_BANDS[band] ?? 0)), MOST_WATERHOUSE),
    ),
    surfaces,
    reflected: surfaces.map((alpha) => 1 - alpha),
  };
}

/** Absorption area of finishes, contents and air by name, m². */
function namedArea({ surfaces, contents, volume }: Room, air: Air, band: number): number {
  const finishes = surfaces.reduce((sum, s) => sum + s.area * Math.min(1, s.alpha[band] ?? 0), 0);
  return finishes + (contents[band] ?? 0) + 4 * energyLoss(air.loss[band] ?? 0) * volume;
}

type Named = { readonly surface: number; readonly asNamed: number; readonly air: Air };

/**
 * Absorption area Sᾱ for levels, m², of a room as it was measured: Eyring inverted for an early decay time; for T20 or T30 taken at
 * T/1.3, and where all finishes are named the geometric mean with theirs [this model].
 */
function measuredArea(
  room: Room,
  { times, earlyBands, setUp, named }: MeasuredTime,
  { surface, asNamed, air }: Named,
  band: number,
): number {
  const time = (times[band] ?? 0) / (earlyBands[band] ? 1 : LATE_OVER_EARLY);
  const measured = surface * eyringAbsorption(room.volume, surface, time, air.soundSpeed);
  if (earlyBands[band] || !named) return measured;
  const within = asNamed + (setUp ? (room.people[band] ?? 0) : 0);
  return Math.sqrt(Math.min(within, GREATEST_MEAN * surface) * measured);
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
  if (absorbed(1) <= 1e-9) return () => mean;
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
