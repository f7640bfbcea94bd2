/** Averages over all directions, by plain sums: what closed forms are held against. */
import type { Vec3 } from '../../src/geometry.ts';

/** Mean over the sphere of a function of the cosine off its axis: ½∫f dcos, Simpson's rule. */
export function sphereAverage(of: (cos: number) => number): number {
  const slices = 20000;
  const step = 2 / slices;
  let sum = of(-1) + of(1);
  for (let i = 1; i < slices; i++) sum += (i % 2 === 1 ? 4 : 2) * of(-1 + i * step);
  return (sum * step) / 3 / 2;
}

/** Directions of a grid of equal angles, each with its share of the sphere. */
export function sphereGrid(rows: number): { readonly toward: Vec3; readonly share: number }[] {
  const grid: { toward: Vec3; share: number }[] = [];
  for (let row = 0; row < rows; row++) {
    const [low, high] = [(row * Math.PI) / rows, ((row + 1) * Math.PI) / rows];
    const polar = (low + high) / 2;
    for (let column = 0; column < 2 * rows; column++) {
      const around = ((column + 0.5) * Math.PI) / rows;
      const flat = Math.sin(polar);
      const toward: Vec3 = [flat * Math.cos(around), flat * Math.sin(around), Math.cos(polar)];
      grid.push({ toward, share: (Math.cos(low) - Math.cos(high)) / 2 / (2 * rows) });
    }
  }
  return grid;
}
