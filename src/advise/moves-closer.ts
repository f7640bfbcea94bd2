/** Bringing a mic closer, never inside the closest sensible distance of its source. */
import type { Mic, Scene, SourcePoint } from '../scene/scene.ts';
import { add, distance, scale, subtract, type Vec3 } from '../scene/vector.ts';
import type { Computed } from './bench-plan.ts';
import type { Idea, MoveMaker } from './move.ts';
import { type Tape, tapeOf } from './tape.ts';
import { nodeAt, nodeOf } from './written.ts';

export const closerMoves: MoveMaker = (base, { mics }) =>
  base.scene.mics.flatMap((mic): Idea[] => {
    const entry = base.plan.mics.get(mic.name);
    const [source, ...others] = mic.wanted;
    if (
      !entry ||
      !mics.has(mic.name) ||
      entry.fixed ||
      mic.line ||
      mic.purpose !== 'parts' ||
      source === undefined
    )
      return [];
    if (others.length > 0) return [];
    const closest = base.scene.sources[source]?.closest ?? 0;
    return entry.near ? nearer(base, mic.name, entry.near.distance, closest) : alongLine(base, mic, closest);
  });

const fitting = ({ distances }: Tape, now: number, closest: number): number[] =>
  distances.filter((one) => one < now - 0.005 && one >= closest);

/** A height above or below the centre shrinks with the distance, so that the mic stays on its line. */
function nearer({ plan, tree }: Computed, name: string, now: number, closest: number): Idea[] {
  const near = plan.mics.get(name)?.near;
  const rise = near?.above === undefined ? 'below' : 'above';
  const height = near?.[rise];
  const tape = tapeOf(tree);
  return fitting(tape, now, closest).map((far) => ({
    kind: 'closer',
    about: [name],
    edits: [
      { path: ['mics', name, 'near', 'distance'], value: nodeOf(tape.close(far)) },
      ...(height === undefined
        ? []
        : [
            {
              path: ['mics', name, 'near', rise],
              value: nodeOf(tape.close(Math.floor((height * far * 100) / now) / 100)),
            },
          ]),
    ],
    say: () => `bring ${name} from ${tape.close(now)} to ${tape.close(far)}`,
  }));
}

function alongLine({ scene, tree }: Computed, mic: Mic, closest: number): Idea[] {
  const at = middleOf(scene, mic);
  const point = nearestPoint(scene, mic, at);
  const written = nodeAt(tree, ['mics', mic.name, 'at']);
  if (!at || !point || written?.kind !== 'list') return [];
  const now = distance(at, point.at);
  const floor = scene.rooms[point.room]?.floor ?? 0;
  const tape = tapeOf(tree);
  return fitting(tape, now, closest).map((far) => {
    const to = add(point.at, scale(subtract(at, point.at), far / now));
    const place = [to[0], to[1], to[2] - floor];
    return {
      kind: 'closer',
      about: [mic.name],
      edits: [{ path: ['mics', mic.name, 'at'], value: nodeOf(place.map(tape.place)) }],
      say: () =>
        `bring ${mic.name} from ${tape.close(now)} to ${tape.close(far)}, at ${place.map(tape.apart).join(', ')} high`,
    };
  });
}

function middleOf({ capsules }: Scene, mic: Mic): Vec3 | null {
  const places = mic.capsules.flatMap((index) => (capsules[index] ? [capsules[index].at] : []));
  if (places.length === 0) return null;
  return scale(places.reduce<Vec3>(add, [0, 0, 0]), 1 / places.length);
}

function nearestPoint({ sources }: Scene, { wanted }: Mic, at: Vec3 | null): SourcePoint | null {
  const points = wanted.flatMap((source) => sources[source]?.points ?? []);
  if (!at) return null;
  return points.reduce<SourcePoint | null>(
    (a, b) => (a && distance(a.at, at) <= distance(b.at, at) ? a : b),
    null,
  );
}
