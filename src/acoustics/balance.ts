/** The diffuse fields of all rooms as one power balance a band: each room loses to its walls and trades with its neighbours. */
import { OUTSIDE, type Partition } from '../scene/scene.ts';
import type { RoomAbsorption } from './absorption.ts';
import { BAND_COUNT } from './bands.ts';

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
