/**
 * Where names go: each is tried at many places about its mark, nearest first, and takes the cheapest at which it lies on
 * nothing. One that has to stand off gets a leader.
 */

import { type Clear, clearance } from './clearance.ts';
import type { Name, Shape } from './layer.ts';
import type { PlacedName } from './name-box.ts';
import { placeFor } from './name-place.ts';
import type { Box } from './plane.ts';

/** Names in the order of placing: what has least choice first. */
const ORDER = ['player', 'mic', 'source', 'screen', 'figure', 'wall', 'room', 'contour'];

type Outcome = {
  readonly placed: readonly PlacedName[];
  /** Those that found no place in the frame. */
  readonly missed: readonly Name[];
};

/** Where it is too close for all, microphones go without their verdicts. */
export function placeNames(names: readonly Name[], shapes: readonly Shape[], frame: Box): Outcome {
  const whole = placeAll(names, clearance(shapes, frame));
  if (whole.missed.every(({ kind }) => kind === 'contour')) return whole;
  const bare = names.map((name) => (name.kind === 'mic' ? { ...name, note: null } : name));
  return placeAll(bare, clearance(shapes, frame));
}

function placeAll(names: readonly Name[], clear: Clear): Outcome {
  const placed: PlacedName[] = [];
  const missed: Name[] = [];
  const queue = [...names].sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
  for (const name of queue) {
    const found = placeFor(name, clear);
    if (found) {
      placed.push(found);
      clear.take(found.box, found.leader);
    } else missed.push(name);
  }
  return { placed, missed };
}
