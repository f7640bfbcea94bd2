/** From the ways a room may be written to one: corners anticlockwise, a finish or none for each wall. */
import { anticlockwise, outlineFault, pageSides, SIDE_NAMES, type SideName } from './outline.ts';
import type { PatchEntry, RoomEntry } from './plan-rooms.ts';
import type { Finish, Named, Point } from './plan-values.ts';
import type { Complain } from './schema-frame.ts';

export type WrittenWalls =
  | { readonly by: 'all'; readonly finish: Finish }
  | { readonly by: 'number'; readonly finishes: readonly Finish[] }
  | { readonly by: 'name'; readonly finishes: ReadonlyMap<SideName, Finish> };

type WrittenPatch = Omit<PatchEntry, 'on'> & { readonly on: string };

type WrittenRoom = Omit<RoomEntry, 'outline' | 'wallNames' | 'walls' | 'patches'> & {
  readonly size?: Point;
  readonly origin?: Point;
  readonly outline?: readonly Point[];
  readonly walls?: WrittenWalls;
  readonly patches: Named<WrittenPatch>;
};

type Shape = {
  readonly outline: readonly Point[];
  /** Number as written, and side of the page where it is an upright rectangle, of each wall. */
  readonly sides: readonly number[];
  readonly page: readonly SideName[] | null;
};

/** Refuses what is no polygon. */
export function outlineOf(corners: readonly Point[], complain: Complain): readonly Point[] | undefined {
  const fault = outlineFault(corners);
  if (!fault) return corners;
  complain({ code: 'BAD_PLACE', message: fault, mend: 'list the corners in order, once around the room' });
}

export function roomOf(written: WrittenRoom, complain: Complain): RoomEntry | undefined {
  const { size, origin = [0, 0], outline: corners, walls, patches, ...rest } = written;
  const shape = shapeOf(corners ?? rectangle(origin, size ?? [0, 0]));
  const finishes = wallFinishes(walls, shape, complain);
  const placed = new Map<string, PatchEntry>();
  for (const [name, { on, ...patch }] of patches) {
    const surface = surfaceOf(on, shape);
    if (surface !== null) placed.set(name, { ...patch, on: surface });
    else complain({ ...noSurface(on, shape), path: ['patches', name, 'on'] });
  }
  const wallNames = shape.sides.map((side, i) => (size && shape.page?.[i]) || String(side));
  return finishes && { ...rest, outline: shape.outline, wallNames, walls: finishes, patches: placed };
}

function rectangle([x, y]: Point, [width, depth]: Point): readonly Point[] {
  return [
    [x, y],
    [x + width, y],
    [x + width, y + depth],
    [x, y + depth],
  ];
}

function shapeOf(corners: readonly Point[]): Shape {
  const { outline, sides } = anticlockwise(corners);
  return { outline, sides, page: pageSides(outline) };
}

function wallFinishes(
  walls: WrittenWalls | undefined,
  shape: Shape,
  complain: Complain,
): (Finish | null)[] | undefined {
  const { sides, page } = shape;
  if (!walls) return sides.map(() => null);
  if (walls.by === 'all') return sides.map(() => walls.finish);
  if (walls.by === 'number') {
    if (walls.finishes.length === sides.length) return sides.map((side) => walls.finishes[side] ?? null);
    const message = `lists ${walls.finishes.length} finishes for ${sides.length} walls`;
    return void complain({
      code: 'WRONG_SHAPE',
      message,
      mend: 'list one for each side of the outline, in its order',
      path: ['walls'],
    });
  }
  if (page) return page.map((side) => walls.finishes.get(side) ?? null);
  const message = 'names sides, which only an upright rectangle has';
  return void complain({
    code: 'WRONG_SHAPE',
    message,
    mend: `list ${sides.length} finishes along the outline`,
    path: ['walls'],
  });
}

function surfaceOf(on: string, { sides, page }: Shape): PatchEntry['on'] | null {
  if (on === 'floor' || on === 'ceiling') return on;
  const wall = /^\d+$/.test(on) ? sides.indexOf(Number(on)) : ((page ?? []) as readonly string[]).indexOf(on);
  return wall < 0 ? null : wall;
}

function noSurface(on: string, { sides, page }: Shape) {
  const words = ['floor', 'ceiling', ...(page ? SIDE_NAMES : []), `0 to ${sides.length - 1}`];
  const message = `must be a surface of the room, got ${on}`;
  return { code: 'UNKNOWN_NAME', message, mend: `write one of ${words.join(', ')}` } as const;
}
