/** How the parts stand in a mic for everyone: how loud, how dry, and where. */
import { decibels } from '../../acoustics/bands.ts';
import type { Part, Scene, SourcePoint } from '../../scene/scene.ts';
import { allBands } from '../all-bands.ts';
import { heard, type Listening } from '../listening.ts';
import { playedBy } from '../parts/played-by.ts';
import { angleInPlan, type PairFrame } from './pair-frame.ts';

export type PictureRow = {
  readonly part: string;
  /** Re the loudest part at this pair, dB, in the passage in which it is loudest here; null where nothing arrives. */
  readonly level: number | null;
  /** Direct sound over all that came by reflections, the room and walls, dB; null where either is missing. */
  readonly directToRoom: number | null;
  /** Off the aim in plan, degrees, to the right positive; null in another room. */
  readonly angle: number | null;
};

/** A smaller share than this is a matter of rounding. */
const ROUNDING = 1e-12;

/** Every part, in the order of the scene; `room` is that of the mic. */
export function pictureOf(scene: Scene, listening: Listening, frame: PairFrame, room: number): PictureRow[] {
  const rows = scene.parts.map((part) => ({ part, ...soundOf(scene, listening, part) }));
  const loudest = Math.max(...rows.map(({ whole }) => whole));
  return rows.map(({ part, whole, direct }) => ({
    part: part.name,
    level: whole > 0 ? decibels(whole / loudest) : null,
    directToRoom:
      direct > 0 && whole - direct > ROUNDING * whole ? decibels(direct / (whole - direct)) : null,
    angle: angleOf(scene, part, frame, room),
  }));
}

/** Energy of a part at the pair, all of it and what came straight, in the passage in which it is loudest. */
function soundOf(scene: Scene, listening: Listening, part: Part): { whole: number; direct: number } {
  const played = playedBy(scene, part);
  const passages = scene.passages.map(({ sounds }) => {
    const sounding = played.filter((source) => sounds[source]);
    return {
      whole: allBands(heard(listening, sounding, { filtered: true })),
      direct: allBands(heard(listening, sounding, { filtered: true, share: 'direct' })),
    };
  });
  return passages.reduce((a, b) => (b.whole > a.whole ? b : a), { whole: 0, direct: 0 });
}

/** Toward the middle of its points in the pair's room. */
function angleOf(scene: Scene, part: Part, frame: PairFrame, room: number): number | null {
  const points = pointsIn(scene, part, room);
  if (points.length === 0) return null;
  const mean = (axis: 0 | 1) => points.reduce((sum, { at }) => sum + at[axis], 0) / points.length;
  return angleInPlan(frame, [mean(0), mean(1), 0]);
}

/** Points in a room of the sources that play a part in any passage. */
export function pointsIn(scene: Scene, part: Part, room: number): SourcePoint[] {
  const heardOnce = playedBy(scene, part).filter((source) =>
    scene.passages.some(({ sounds }) => sounds[source]),
  );
  return heardOnce
    .flatMap((source) => scene.sources[source]?.points ?? [])
    .filter((point) => point.room === room);
}
