/** Doors, windows and openings as they stand: shut, ajar, open. On which side a leaf hangs the plan does not say. */
import { holds } from '../../scene/polygon.ts';
import type { Partition, WallElement } from '../../scene/scene.ts';
import type { Vec2 } from '../../scene/vector.ts';
import { closedLine, type Layer, openLine, type Shape, together } from './layer.ts';
import { area, line, named } from './mark.ts';
import { between, type Point, span } from './plane.ts';
import type { Sheet } from './sheet.ts';
import { facesOf } from './wall-body.ts';

/** How far a leaf that stands ajar is drawn open, degrees: its slit of 5 cm would not show. */
const AJAR = 20;
const OPEN = 90;
const ARC_STEPS = 12;

/** Each once: an ajar door is two in the scene, its leaf and its slit. */
export function wallElements(sheet: Sheet, partition: Partition): Layer {
  const leaves = partition.elements.filter(({ free, state }) => !(free && state === 'ajar'));
  return together(leaves.map((element) => elementLayer(sheet, partition, element)));
}

function elementLayer(sheet: Sheet, partition: Partition, element: WallElement): Layer {
  const hole = holeOf(sheet, partition, element);
  const drawn = hungIn(element.kind, element.state, hole);
  const title = `${partition.name}, ${element.name}, ${element.state}`;
  return {
    svg: named(element.kind, title, area('hole', hole) + drawn.svg),
    keepOff: [closedLine(...hole), ...drawn.shapes],
    names: [],
  };
}

/** Corners of the cut in the wall: along the face of the room it opens into, and back along the other one. */
type Hole = readonly [Point, Point, Point, Point];

function holeOf(sheet: Sheet, partition: Partition, element: WallElement): Hole {
  const { a, b } = element;
  const width = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const square: Vec2 = [-(b[1] - a[1]) / width, (b[0] - a[0]) / width];
  const shifted = ([x, y]: Vec2, by: number): Vec2 => [x + square[0] * by, y + square[1] * by];
  const [low, high] = facesOf(sheet, partition, element);
  const [x, y] = shifted([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], high + 0.05);
  const first = sheet.scene.rooms[partition.rooms[0]]?.outline ?? [];
  const [near, far] = holds(first, x, y) ? [high, low] : [low, high];
  const at = (p: Vec2, by: number) => sheet.place(shifted(p, by));
  return [at(a, near), at(b, near), at(b, far), at(a, far)];
}

type Drawn = { readonly svg: string; readonly shapes: readonly Shape[] };

/** What hangs in a cut: a leaf, a pane, nothing but the lintel over it. */
export function hungIn(kind: WallElement['kind'], state: WallElement['state'], hole: Hole): Drawn {
  const [a, b, c, d] = hole;
  if (kind === 'opening')
    return { svg: line('lintel', [a, b]) + line('lintel', [d, c]) + jambs(hole), shapes: [] };
  const leaf = kind === 'window' ? 'pane' : 'leaf';
  if (state === 'closed') {
    const shut = [between(a, d, 0.5), between(b, c, 0.5)];
    const faces = kind === 'window' ? line('sill', [a, b]) + line('sill', [d, c]) : '';
    return { svg: faces + line(leaf, shut) + jambs(hole), shapes: [] };
  }
  const swing = swungTo([a, b, d], state === 'ajar' ? AJAR : OPEN);
  const tip = swing.at(-1) as Point;
  return {
    svg: line('swing', swing) + line(leaf, [a, tip]) + jambs(hole),
    shapes: [openLine(a, tip), openLine(...swing)],
  };
}

const jambs = ([a, b, c, d]: Hole): string => line('jamb', [a, d]) + line('jamb', [b, c]);

/** The way of the leaf's end about the hinge at a, from shut (at b) into the room, away from the far face at d. */
function swungTo([a, b, d]: readonly [Point, Point, Point], degrees: number): Point[] {
  const width = span(a, b);
  const along: Point = [(b[0] - a[0]) / width, (b[1] - a[1]) / width];
  const side = (a[0] - d[0]) * -along[1] + (a[1] - d[1]) * along[0] >= 0 ? 1 : -1;
  const into: Point = [-along[1] * side, along[0] * side];
  return Array.from({ length: ARC_STEPS + 1 }, (_, i): Point => {
    const angle = (degrees * Math.PI * i) / (180 * ARC_STEPS);
    return [
      a[0] + width * (Math.cos(angle) * along[0] + Math.sin(angle) * into[0]),
      a[1] + width * (Math.cos(angle) * along[1] + Math.sin(angle) * into[1]),
    ];
  });
}
