/** Rooms: floors and the walls round them. A plan gives the inner faces of walls; how thick an outer one is it does not say. */

import { FOOT } from '../../plan/units.ts';
import { signedArea } from '../../scene/polygon.ts';
import type { Room } from '../../scene/scene.ts';
import { figure } from '../words.ts';
import { holdsPoint } from './clearance.ts';
import { closedLine, type Layer, type Name, openLine, type Shape } from './layer.ts';
import { area, named } from './mark.ts';
import { boxAround, type Point, span } from './plane.ts';
import type { Sheet } from './sheet.ts';
import { SHELL } from './wall-body.ts';

/** `notes` stand under the names of the rooms, in their order, where a level is shown. */
export function floors(sheet: Sheet, notes: readonly string[] | null): Layer {
  const { scene } = sheet;
  const outlines = scene.rooms.map((room) => room.outline.map(sheet.place));
  const depth = scene.rooms.map((_, i) => depthOf(scene.rooms, i));
  const depths = [...new Set(depth)].sort((a, b) => a - b);
  const svg = depths.map((level) => {
    const here = [...outlines.keys()].filter((i) => depth[i] === level);
    const walls = here.map((i) => area('shell', outlines[i] as Point[])).join('');
    const floors = here.map((i) =>
      named('room', scene.rooms[i]?.name ?? '', area('floor', outlines[i] as Point[])),
    );
    return `${walls}\n${floors.join('')}`;
  });
  return {
    svg: svg.join(''),
    keepOff: outlines.flatMap((outline) => [openLine(...outline, outline[0] as Point), ...outside(outline)]),
    names: outlines.map((outline, i) => nameOf(i, outline, sheet, notes)),
  };
}

/** What the shell takes up outside the floor: a strip along each wall. Outlines run anticlockwise. */
function outside(outline: readonly Point[]): Shape[] {
  return outline.map((a, i) => {
    const b = outline[(i + 1) % outline.length] as Point;
    const length = span(a, b) || 1;
    const [x, y] = [(-(b[1] - a[1]) * SHELL) / length, ((b[0] - a[0]) * SHELL) / length];
    return closedLine(a, b, [b[0] + x, b[1] + y], [a[0] + x, a[1] + y]);
  });
}

/** In how many other rooms it stands. */
export function depthOf(all: readonly Room[], index: number): number {
  const host = all[index]?.host ?? null;
  return host === null ? 0 : 1 + depthOf(all, host);
}

/** Places for a name, across and down, in parts of the room's extent: corners first, the middle last. */
const ACROSS = [0.14, 0.86, 0.5, 0.3, 0.7];
const DOWN = [0.12, 0.88, 0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6];

function nameOf(
  index: number,
  outline: readonly Point[],
  { units, scene, place }: Sheet,
  notes: readonly string[] | null,
): Name {
  const room = scene.rooms[index] as Room;
  const { left, top, right, bottom } = boxAround(outline);
  const spots = DOWN.flatMap((y) =>
    ACROSS.map((x): Point => [left + x * (right - left), top + y * (bottom - top)]),
  );
  const booths = scene.rooms.filter(({ host }) => host === index).map((booth) => booth.outline.map(place));
  const foot = units === 'ft' ? FOOT : 1;
  const size = figure(signedArea(room.outline) / foot ** 2, units === 'ft' ? 0 : 1);
  const height = figure((room.ceiling - room.floor) / foot, 1);
  return {
    text: room.name,
    note: notes?.[index] ?? `${size} ${units}², ${height} ${units} high`,
    noteKind: 'faint',
    kind: 'room',
    at: spots.filter((spot) => holdsPoint(outline, spot) && !booths.some((booth) => holdsPoint(booth, spot))),
    reach: 0,
  };
}
