/** The diffuse field of a room at a capsule. */
import { OUTSIDE } from '../scene/scene.ts';
import { BAND_COUNT, type Bands } from './bands.ts';
import type { Link } from './link.ts';
import { startPath, type Visit } from './path.ts';
import type { Stage } from './stage.ts';

/**
 * The remainder from the second reflection on: 4·x_i·(1−α₁)(1−ᾱ_i)·REE in the source's own room, 4·x_j·REE whole in
 * another. `firstHit` is the source's α₁ by band.
 */
export function fieldPath(stage: Stage, link: Link, firstHit: Bands, visit: Visit): void {
  const { emitter, capsule } = link;
  const { path } = stage;
  const count = stage.absorptions.length;
  const own = capsule.room === emitter.room;
  const mean = stage.absorptions[capsule.room]?.mean;
  if (!mean || emitter.room === OUTSIDE) return;
  startPath(path, 'field', own ? 'room' : 'walls', 0);
  for (let band = 0; band < BAND_COUNT; band++) {
    const perPower = stage.fields[(band * count + capsule.room) * count + emitter.room] as number;
    const field = 4 * perPower * (emitter.power[band] as number);
    path.free[band] = field;
    path.response[band] = capsule.ree[band] as number;
    path.energy[band] = own ? field * (1 - (firstHit[band] as number)) * (1 - (mean[band] as number)) : field;
  }
  visit(path);
}
