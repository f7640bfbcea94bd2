/** Rooms of any outline, each in a cell of its own, and places inside them. */
import type { Dice } from './dice.ts';

export type Spot = readonly [number, number];

/** Width of the cell in which each room lies, m. */
export const CELL = 14;

type Shape = (dice: Dice, width: number, depth: number) => Spot[];

const box: Shape = (_, w, d) => [
  [0, 0],
  [w, 0],
  [w, d],
  [0, d],
];
const corner: Shape = (dice, w, d) => {
  const [x, y] = [w * dice.between(0.2, 0.8), d * dice.between(0.2, 0.8)];
  return [
    [0, 0],
    [w, 0],
    [w, y],
    [x, y],
    [x, d],
    [0, d],
  ];
};
const tee: Shape = (_, w, d) => [
  [0, 0],
  [w, 0],
  [w, d / 3],
  [(2 * w) / 3, d / 3],
  [(2 * w) / 3, d],
  [w / 3, d],
  [w / 3, d / 3],
  [0, d / 3],
];
const wedge: Shape = (_, w, d) => [
  [0, 0],
  [w, 0],
  [w / 2, d],
];
/** Any number of corners about a middle: convex or with dents. */
const star: Shape = (dice, w, d) =>
  Array.from({ length: dice.whole(3, 14) }, (_, i, angle = (2 * Math.PI * i) / dice.whole(14, 14)): Spot => {
    const reach = dice.between(0.3, 0.5);
    return [w * (0.5 + reach * Math.cos(angle)), d * (0.5 + reach * Math.sin(angle))];
  });
/** Corners of which some lie on a straight wall, as when one has been set and not moved. */
const idle: Shape = (_, w, d) => [
  [0, 0],
  [w / 2, 0],
  [w, 0],
  [w, d],
  [w / 2, d],
  [0, d],
];

const SHAPES: readonly Shape[] = [box, corner, tee, wedge, star, idle];

export function outlineIn(dice: Dice, cell: number): Spot[] {
  const [w, d] = [dice.pick([CELL, dice.between(1, CELL)]), dice.pick([8, dice.between(1, 20)])];
  const corners = dice
    .pick(SHAPES)(dice, w, d)
    .map(([x, y]): Spot => [x + cell * CELL, y]);
  return dice.chance(0.3) ? corners.reverse() : corners;
}

/** Mostly well inside; sometimes on a wall, in a corner or outside. */
export function spotIn(dice: Dice, outline: readonly Spot[]): Spot {
  if (dice.chance(0.003)) return dice.pick(outline);
  if (dice.chance(0.005)) return onWall(dice, outline);
  const xs = outline.map(([x]) => x);
  const ys = outline.map(([, y]) => y);
  for (let tries = 0; tries < 40; tries++) {
    const x = dice.between(Math.min(...xs), Math.max(...xs));
    const y = dice.between(Math.min(...ys), Math.max(...ys));
    const spot: Spot = dice.chance(0.2) ? [Math.round(2 * x) / 2, Math.round(2 * y) / 2] : [x, y];
    if (ROUND.every(([dx, dy]) => holds(outline, [spot[0] + dx, spot[1] + dy]))) return spot;
  }
  return [xs.reduce((a, b) => a + b) / xs.length, ys.reduce((a, b) => a + b) / ys.length];
}

/** What a body needs about it, m. */
const ROUND: readonly Spot[] = [
  [0.6, 0],
  [-0.6, 0],
  [0, 0.6],
  [0, -0.6],
];

function onWall(dice: Dice, outline: readonly Spot[]): Spot {
  const i = dice.whole(0, outline.length - 1);
  const [a, b] = [outline[i], outline[(i + 1) % outline.length]] as [Spot, Spot];
  const t = dice.pick([0.5, dice.share()]);
  return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
}

/** By the count of walls that a line to the right crosses. */
function holds(outline: readonly Spot[], [x, y]: Spot): boolean {
  let inside = false;
  for (const [i, [x1, y1]] of outline.entries()) {
    const [x2, y2] = outline[(i + 1) % outline.length] as Spot;
    if (y1 > y !== y2 > y && x < x1 + ((y - y1) * (x2 - x1)) / (y2 - y1)) inside = !inside;
  }
  return inside;
}
