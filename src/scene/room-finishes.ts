/** The finish of each surface of a room, guessed where the plan gives none. */
import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { RoomEntry } from '../plan/plan-rooms.ts';
import type { Finish } from '../plan/plan-values.ts';
import { finishAlpha, guessedAlpha } from './finish.ts';
import { assume } from './notes.ts';
import type { RoomJob } from './room-job.ts';

/** What an ordinary room is taken to be made of. Common practice, no source. */
const GUESSES = { floor: 'wood-on-joists', ceiling: 'plaster', wall: 'plaster' } as const;

/**
 * Coefficients of floor, ceiling and each wall; null for a room with a measured time and no finish at all, whose surfaces
 * all take the mean of that time.
 */
export function roomFinishes(job: RoomJob, entry: RoomEntry, path: Path): readonly Bands[] | null {
  if (entry.reverberation && !hasFinish(entry)) return null;
  const read = readerOf(job);
  const guess = (kind: keyof typeof GUESSES) => guessedAlpha(job, GUESSES[kind], path);
  const floor = entry.floor ? read(entry.floor, [...path, 'floor']) : guess('floor');
  const ceiling = entry.ceiling ? read(entry.ceiling, [...path, 'ceiling']) : guess('ceiling');
  const walls = entry.walls.map((finish, i) =>
    finish ? read(finish, [...path, 'walls', wallKey(entry, i)]) : guess('wall'),
  );
  sayGuesses(job, entry, path);
  return [floor, ceiling, ...walls];
}

const hasFinish = ({ floor, ceiling, walls, patches }: RoomEntry): boolean =>
  floor !== undefined || ceiling !== undefined || walls.some((wall) => wall !== null) || patches.size > 0;

/** One finish written for several walls is read, and found wanting, once. Unknown ones count as 0: the scene is refused. */
function readerOf(job: RoomJob) {
  const known = new Map<Finish, Bands>();
  return (finish: Finish, path: Path): Bands => {
    const alpha = known.get(finish) ?? finishAlpha(job, finish, path) ?? sameInAllBands(0);
    known.set(finish, alpha);
    return alpha;
  };
}

/** As the plan writes it: a name of a side, or a number along the outline. */
function wallKey({ wallNames }: RoomEntry, i: number): string | number {
  const name = wallNames[i] ?? '';
  return /^\d+$/.test(name) ? Number(name) : name;
}

function sayGuesses({ notes }: RoomJob, entry: RoomEntry, path: Path): void {
  const say = (what: string, name: string) => assume(notes, 'guess', path, `${what} taken as ${name}`);
  if (!entry.floor) say('floor', GUESSES.floor);
  if (!entry.ceiling) say('ceiling', GUESSES.ceiling);
  const bare = entry.wallNames.filter((_, i) => !entry.walls[i]);
  if (bare.length === 0) return;
  say(bare.length === entry.walls.length ? 'walls' : `walls ${bare.join(', ')}`, GUESSES.wall);
}
