/** How far the plan reaches, in metres. */
import type { Scene } from '../../scene/scene.ts';

export type Extent = {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
};

/** Of a plan without anything, or all at one point: at least this much, m. */
const LEAST = 2;

export function extentOf({ rooms, players, sources, capsules, panels }: Scene): Extent {
  const points: (readonly [number, number, ...number[]])[] = [
    ...rooms.flatMap(({ outline }) => outline),
    ...players.map(({ at }) => at),
    ...sources.flatMap(({ points: all }) => all.map(({ at }) => at)),
    ...capsules.map(({ at }) => at),
    ...panels.flatMap(({ a, b }) => [a, b]),
  ];
  const [left, right] = sides(points.map(([x]) => x));
  const [bottom, top] = sides(points.map(([, y]) => y));
  return { left, right, bottom, top };
}

function sides(values: readonly number[]): readonly [number, number] {
  const low = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  if (low > high) return [-LEAST / 2, LEAST / 2];
  const spare = Math.max(0, LEAST - (high - low)) / 2;
  return [low - spare, high + spare];
}
