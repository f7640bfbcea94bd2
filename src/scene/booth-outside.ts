/** The outer face of a booth: what its host hears of it. */
import { type Bands, bands } from '../acoustics/bands.ts';
import { assumeOnce } from './figure-notes.ts';
import { finishAlpha, guessedAlpha } from './finish.ts';
import { signedArea } from './polygon.ts';
import { type FacedPartition, stretchArea } from './resolve-partitions.ts';
import type { RoomJob } from './room-job.ts';
import type { RoomPlace } from './room-place.ts';

const GUESS = 'plaster';

/** Absorption coefficient of a booth's outside; an unknown finish is a fault where the booth's own room is read. */
export function outsideAlpha(job: RoomJob, booth: number): Bands {
  const { name, path } = job.places.rooms[booth] as RoomPlace;
  const written = job.plan.rooms.get(name)?.outside;
  if (!written) {
    assumeOnce(job.notes, 'guess', path, `${name}: outside taken as ${GUESS}`);
    return guessedAlpha(job, GUESS, path);
  }
  return finishAlpha(job, written, [...path, 'outside']) ?? guessedAlpha(job, GUESS, path);
}

/**
 * Absorption area that a booth's shell brings into its host, m² by band: walls and roof in the outer finish, leaves and panes
 * in their own. What stands open brings none: the power balance follows that sound into the booth.
 */
export function shellAbsorption({ stretches, roof, elements }: FacedPartition, outside: Bands): Bands {
  const whole = stretches.reduce((sum, s) => sum + stretchArea(s), roof ? signedArea(roof.outline) : 0);
  const bare = Math.max(0, whole - elements.reduce((sum, { area }) => sum + area, 0));
  const closed = elements.filter(({ free }) => !free);
  return bands((band) =>
    closed.reduce((sum, { area, alpha }) => sum + area * (alpha[band] ?? 0), bare * (outside[band] ?? 0)),
  );
}

/** The partition between a booth and the room it stands in, where it is whole. */
export function shellOf(
  partitions: readonly FacedPartition[],
  booth: number,
  host: number,
): FacedPartition | undefined {
  return partitions.find(({ rooms }) => rooms.includes(booth) && rooms.includes(host));
}
