/** Places in words that one can measure out with a tape. */
import { distanceToStretch } from '../scene/polygon.ts';
import type { Scene } from '../scene/scene.ts';
import { bearingOf, type Vec2 } from '../scene/vector.ts';
import type { Tape } from './tape.ts';

/** Rooms, and the tape that places in them are said by. */
export type Spotted = Pick<Scene, 'rooms'> & { readonly tape: Tape };

/** "1.20 m from wall bottom and 3.05 m from wall left of the hall"; by its numbers where there is no room. */
export function spotWords({ rooms, tape }: Spotted, room: number, [x, y]: Vec2): string {
  const own = rooms[room];
  if (!own) return `(${tape.apart(x)}, ${tape.apart(y)})`;
  const walls = own.outline.map((a, i) => {
    const b = own.outline[(i + 1) % own.outline.length] as Vec2;
    return {
      name: own.surfaces[2 + i]?.name ?? '',
      away: distanceToStretch([x, y], a, b),
      angle: Math.atan2(b[1] - a[1], b[0] - a[0]),
    };
  });
  const [first, ...others] = walls.sort((a, b) => a.away - b.away);
  const second = others.find((wall) => first && Math.abs(Math.sin(wall.angle - first.angle)) > 0.3);
  const told = [first, second].flatMap((wall) =>
    wall ? [`${tape.apart(wall.away)} from ${wall.name}`] : [],
  );
  return `${told.join(' and ')} of ${own.name}`;
}

/** "50 cm along 90°". */
export const stepWords = ([x, y]: Vec2, tape: Tape): string =>
  `${tape.close(Math.hypot(x, y))} along ${Math.round(bearingOf([x, y, 0]) + 360) % 360}°`;
