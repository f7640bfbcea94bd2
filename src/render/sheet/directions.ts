/** Directions in plain words, against something that one can see from where one stands. */
import { corner } from '../../scene/polygon.ts';
import type { Room } from '../../scene/scene.ts';
import { bearingOf, tiltOf, type Vec3 } from '../../scene/vector.ts';

/** From so many degrees on a direction has no bearing worth a word. */
const STEEP = 85;

/** "tip it 48° down", "level", "straight down". */
export function tipWords(aim: Vec3): string {
  const tilt = Math.round(tiltOf(aim));
  const way = tilt < 0 ? 'down' : 'up';
  if (tilt === 0) return 'level';
  return isSteep(aim) ? `straight ${way}` : `tip it ${Math.abs(tilt)}° ${way}`;
}

export const isSteep = (aim: Vec3): boolean => Math.abs(tiltOf(aim)) >= STEEP;

/** From one bearing to another, −180 to 180 degrees, to the right positive. */
export const turnBetween = (from: number, to: number): number => ((((to - from) % 360) + 540) % 360) - 180;

/** "the left wall, turned 12° right of square"; in the open air by the page. */
export function bearingWords(bearing: number, room: Room | undefined): string {
  const facing = room && squareWall(bearing, room);
  if (!facing) return upThePage(Math.round(bearing) % 360);
  return `${named(facing.name)}${turnWords(facing.turn)}`;
}

const upThePage = (degrees: number): string =>
  degrees === 0 ? 'up the page' : `${degrees}° clockwise from up the page`;

/** "the left wall", "wall 3". */
const named = (wall: string): string => (wall.startsWith('wall ') ? wall : `the ${wall}`);

function turnWords(turn: number): string {
  const degrees = Math.round(Math.abs(turn));
  return degrees === 0 ? '' : `, turned ${degrees}° ${turn < 0 ? 'left' : 'right'} of square`;
}

/** The wall that one looks at most squarely by its direction, wherever in the room one stands. */
function squareWall(bearing: number, { outline, surfaces }: Room) {
  const walls = outline.map((a, i) => {
    const b = corner(outline, i + 1);
    const outward = bearingOf([b[1] - a[1], a[0] - b[0], 0]);
    return { name: surfaces[i + 2]?.name ?? '', turn: turnBetween(outward, bearing) };
  });
  return [...walls].sort((a, b) => Math.abs(a.turn) - Math.abs(b.turn))[0];
}
