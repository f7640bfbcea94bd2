/** Panels for tests: ends on the plan, heights, one reduction index and one absorption for all bands. */
import { type Bands, sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec2, Vec3 } from '../../src/geometry.ts';
import type { Panel } from '../../src/scene/scene.ts';
import {
  addBarriersDirect,
  type Barriers,
  directPast,
  startDirect,
} from '../../src/transfer/barrier-diffraction.ts';
import type { PathEnergy } from '../../src/transfer/path-energy.ts';

export function panelFrom(
  [a, b]: readonly [Vec2, Vec2],
  {
    low = 0,
    high = 1.5,
    loss = 30,
    alpha = 0,
  }: { low?: number; high?: number; loss?: number; alpha?: number } = {},
): Panel {
  return {
    name: 'panel',
    path: ['baffles', 'panel'],
    room: 0,
    a,
    b,
    low,
    high,
    tau: sameInAllBands(10 ** (-loss / 10)),
    alpha: sameInAllBands(alpha),
    windowFrom: Infinity,
    booth: null,
  };
}

/** Writes the energies of the direct path past barriers by band. */
export function pastBarriers(
  into: Bands,
  barriers: Barriers,
  source: Vec3,
  mic: Vec3,
  pathEnergy: PathEnergy,
): void {
  startDirect(barriers.workspace, { source, mic, pathEnergy });
  addBarriersDirect(barriers, { source, mic, pathEnergy });
  directPast(into, barriers.workspace);
}
