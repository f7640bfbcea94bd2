/**
 * Where names go: each is tried at many places about its mark, nearest first, and takes the cheapest at which it lies on
 * nothing. One that has to stand off gets a leader.
 */

import { clearance } from './clearance.ts';
import type { Name, Shape } from './layer.ts';
import type { PlacedName } from './name-box.ts';
import { placeFor } from './name-place.ts';
import type { Box } from './plane.ts';

/** Names in the order of placing: what has least choice first. */
const ORDER = ['player', 'mic', 'source', 'screen', 'figure', 'wall', 'room', 'contour'];

/** `missed` found no place in the frame. */
export function placeNames(
  names: readonly Name[],
  shapes: readonly Shape[],
  frame: Box,
): { readonly placed: readonly PlacedName[]; readonly missed: readonly Name[] } {
  const clear = clearance(shapes, frame);
  const placed: PlacedName[] = [];
  const missed: Name[] = [];
  const queue = [...names].sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
  for (const name of queue) {
    const found = placeFor(name, clear);
    if (!found) {
      missed.push(name);
      continue;
    }
    placed.push(found);
    clear.take(found.box, found.leader);
  }
  return { placed, missed };
}
