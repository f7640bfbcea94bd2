/** Bringing a mic closer, never inside the closest sensible distance of its source. */
import type { Mic, Scene, SourcePoint } from '../scene/scene.ts';
import { add, distance, scale, subtract, type Vec3 } from '../scene/vector.ts';
import type { Computed } from './bench-plan.ts';
import type { Idea, MoveMaker } from './move.ts';
import { centimetres, metres, nodeAt, nodeOf } from './written.ts';

/** Distances that one sets a mic up at, m, the gentle ones first. Common practice, no source. */
const DISTANCES = [1.5, 1, 0.8, 0.6, 0.5, 0.4, 0.3, 0.25, 0.2, 0.15, 0.1, 0.08, 0.05, 0.03];

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

const fitting = (now: number, closest: number): number[] =>
  DISTANCES.filter((one) => one < now - 0.005 && one >= closest);

/** A height above or below the centre shrinks with the distance, so that the mic stays on its line. */
function nearer({ plan }: Computed, name: string, now: number, closest: number): Idea[] {
  const near = plan.mics.get(name)?.near;
  const rise = near?.above === undefined ? 'below' : 'above';
  const height = near?.[rise];
  return fitting(now, closest).map((far) => ({
    kind: 'closer',
    about: [name],
    edits: [
      { path: ['mics', name, 'near', 'distance'], value: nodeOf(centimetres(far)) },
      ...(height === undefined
        ? []
        : [
            {
              path: ['mics', name, 'near', rise],
              value: nodeOf(centimetres(Math.floor((height * far * 100) / now) / 100)),
            },
          ]),
    ],
    say: () => `bring ${name} from ${centimetres(now)} to ${centimetres(far)}`,
  }));
}

function alongLine({ scene, tree }: Computed, mic: Mic, closest: number): Idea[] {
  const at = middleOf(scene, mic);
  const point = nearestPoint(scene, mic, at);
  const written = nodeAt(tree, ['mics', mic.name, 'at']);
  if (!at || !point || written?.kind !== 'list') return [];
  const now = distance(at, point.at);
  const floor = scene.rooms[point.room]?.floor ?? 0;
  return fitting(now, closest).map((far) => {
    const to = add(point.at, scale(subtract(at, point.at), far / now));
    const place = [metres(to[0], tree), metres(to[1], tree), metres(to[2] - floor, tree)];
    return {
      kind: 'closer',
      about: [mic.name],
      edits: [{ path: ['mics', mic.name, 'at'], value: nodeOf(place) }],
      say: () =>
        `bring ${mic.name} from ${centimetres(now)} to ${centimetres(far)}, at ${to[0].toFixed(2)}, ${to[1].toFixed(2)}, ${(to[2] - floor).toFixed(2)} m high`,
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
