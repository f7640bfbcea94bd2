/** Filter, pattern, aim, null, closer. */
import * as geo from '../geometry.ts';
import { type Edit, nodeAt, nodeOf } from '../plan/edit.ts';
import type { Capsule, Mic, Scene, SourcePoint } from '../scene/scene.ts';
import type { Computed, MoveMaker } from './evaluate.ts';
import { type Idea, type Tape, tapeOf } from './moves.ts';
import type { Focus } from './objective.ts';

// Another pattern: one that the mic offers, or another mic from those on hand.
export const patternMoves: MoveMaker = ({ scene, plan }, { mics }) =>
  scene.mics.flatMap(({ name, purpose, switchable }): Idea[] => {
    if (purpose !== 'parts' || !mics.has(name)) return [];
    return switchable
      .filter((pattern) => pattern !== patternOf(plan, name))
      .map((pattern) => ({
        kind: 'pattern',
        about: [name],
        edits: [{ path: ['mics', name, 'pattern'], value: nodeOf(pattern) }],
        say: () => `switch ${name} to ${pattern}`,
      }));
  });

export const swapMicMoves: MoveMaker = ({ scene, plan }, { mics }) =>
  scene.mics.flatMap(({ name, purpose, line }): Idea[] => {
    if (purpose !== 'parts' || line || !mics.has(name)) return [];
    return plan.onHand.mics.flatMap(({ patterns }, spare) =>
      patterns
        .filter((pattern) => pattern !== patternOf(plan, name))
        .map((pattern) => ({
          kind: 'swap-mic',
          about: [name],
          edits: [
            { path: ['mics', name, 'pattern'], value: nodeOf(pattern) },
            { path: ['mics', name, 'switchable'], value: nodeOf(patterns) },
          ],
          say: () => `put a ${pattern} from those on hand in the place of ${name}`,
          takes: [['mics', spare]],
        })),
    );
  });

function patternOf(plan: Parameters<MoveMaker>[0]['plan'], name: string): string {
  const pattern = plan.mics.get(name)?.pattern;
  return pattern === undefined ? 'cardioid' : 'name' in pattern ? pattern.name : '';
}

// Filtering a mic's lows away: never above the lowest note of what it is for.

/** Corners as they are marked on desks, Hz. Common practice, no source. */
const CORNERS = [40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400];

export const filterMoves: MoveMaker = ({ scene, tree }, { mics }) =>
  scene.mics.flatMap(({ name, purpose, line, wanted, highPass }): Idea[] => {
    if (purpose !== 'parts' || line || !mics.has(name)) return [];
    const lowest = Math.min(...wanted.map((source) => scene.sources[source]?.lowestNote ?? 0));
    const path = ['mics', name, 'high-pass'];
    const written =
      tree && highPass && highPass.slope !== 12 ? (at: number) => ({ at, slope: highPass.slope }) : null;
    return CORNERS.filter((at) => at > (highPass?.at ?? 0) && at <= lowest).map((at) => ({
      kind: 'high-pass',
      about: [name],
      edits: [{ path, value: nodeOf(written ? written(at) : `${at} Hz`) }],
      say: () => `high-pass ${name} at ${at} Hz`,
    }));
  });

// Bringing a mic closer, never inside the closest sensible distance of its source.

export const closerMoves: MoveMaker = (base, { mics }) =>
  base.scene.mics.flatMap((mic): Idea[] => {
    const entry = base.plan.mics.get(mic.name);
    const [source, ...others] = mic.wanted;
    if (!entry || entry.fixed || !mics.has(mic.name) || mic.line || mic.purpose !== 'parts') return [];
    if (source === undefined || others.length > 0) return [];
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
      ...[height ?? []].flat().map((high) => ({
        path: ['mics', name, 'near', rise],
        value: nodeOf(tape.close(Math.floor((high * far * 100) / now) / 100)),
      })),
    ],
    say: () => `bring ${name} from ${tape.close(now)} to ${tape.close(far)}`,
  }));
}

function alongLine({ scene, tree }: Computed, mic: Mic, closest: number): Idea[] {
  const at = middleOf(scene, mic);
  const point = nearestPoint(scene, mic, at);
  const written = nodeAt(tree, ['mics', mic.name, 'at']);
  if (!at || !point || written?.kind !== 'list') return [];
  const now = geo.distance(at, point.at);
  const floor = scene.rooms[point.room]?.floor ?? 0;
  const tape = tapeOf(tree);
  return fitting(tape, now, closest).map((far) => {
    const to = geo.add(point.at, geo.scale(geo.subtract(at, point.at), far / now));
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

function middleOf({ capsules }: Scene, mic: Mic): geo.Vec3 | null {
  const places = mic.capsules.flatMap((index) => (capsules[index] ? [capsules[index].at] : []));
  return places.length === 0 ? null : geo.meanOf(places);
}

function nearestPoint({ sources }: Scene, { wanted }: Mic, at: geo.Vec3 | null): SourcePoint | null {
  const points = wanted.flatMap((source) => sources[source]?.points ?? []);
  if (!at) return null;
  return points.reduce<SourcePoint | null>(
    (a, b) => (a && geo.distance(a.at, at) <= geo.distance(b.at, at) ? a : b),
    null,
  );
}

// Turning a mic, or putting its null on something: at most 2 dB of its own source may go.

const TURNS = [-10, 10, -20, 20, -30, 30, -45, 45, -60, 60, -75, 75];
const TILTS = [-15, 15, -30, 30];
/** Turns and tilts, degrees: one of the two, or both by a little. */
const STEPS: readonly (readonly [number, number])[] = [
  ...TURNS.map((turn) => [turn, 0] as const),
  ...TILTS.map((tilt) => [0, tilt] as const),
  ...[-20, 20].flatMap((turn) => [-15, 15].map((tilt) => [turn, tilt] as const)),
];

export const turnMicMoves: MoveMaker = (base, focus) =>
  turnable(base, focus).flatMap((mic) => {
    const now = aimOf(base.scene, mic);
    const [bearing, tilt] = [Math.round(geo.bearingOf(now)), Math.round(geo.tiltOf(now))];
    return STEPS.filter(([, rise]) => Math.abs(tilt + rise) <= 90).map(([turn, rise]): Idea => {
      const value = nodeOf({ bearing: (bearing + turn + 360) % 360, tilt: tilt + rise });
      return {
        kind: 'turn-mic',
        about: [mic.name],
        edits: [...without(base, mic.name, 'null-at'), { path: ['mics', mic.name, 'aim'], value }],
        say: (before, after) => `turn ${mic.name} ${turned(before, after, mic.name)}`,
        keeps: mic.name,
      };
    });
  });

export const nullMoves: MoveMaker = (base, focus) =>
  turnable(base, focus)
    .filter(({ capsules }) => capsules.length === 1)
    .flatMap((mic) => targetsOf(base.scene, mic).map((target) => nullMove(base, mic.name, target)));

function nullMove(base: Computed, name: string, target: string): Idea {
  return {
    kind: 'null',
    about: [name],
    edits: [...without(base, name, 'aim'), { path: ['mics', name, 'null-at'], value: nodeOf(target) }],
    say: (before, after) => `put the null of ${name} on ${target}: turn it ${turned(before, after, name)}`,
    keeps: name,
  };
}

/** Not those that hear alike all round. */
const turnable = ({ scene, plan }: Computed, focus: Focus): Mic[] =>
  scene.mics.filter(({ name, purpose, line, capsules }) => {
    const round = capsules.every((index) => isRound(scene.capsules[index]));
    return focus.mics.has(name) && purpose === 'parts' && !line && !round && !plan.mics.get(name)?.fixed;
  });

const isRound = (capsule: Capsule | undefined): boolean =>
  capsule !== undefined && capsule.pattern.table === null && capsule.pattern.a.every((a) => a === 1);

function without({ tree }: Computed, mic: string, key: string): Edit[] {
  const path = ['mics', mic, key];
  return nodeAt(tree, path) ? [{ path, value: null }] : [];
}

/** Kits as a whole, else each source that is bleed at the mic. */
function targetsOf({ sources }: Scene, { wanted, ignored }: Mic): string[] {
  const bleeding = sources.filter((_, i) => !wanted.includes(i) && !ignored.includes(i));
  return [...new Set(bleeding.map(({ kit, name }) => kit ?? name))];
}

/** The middle of a pair's aims. */
function aimOf({ capsules }: Scene, mic: Mic): geo.Vec3 {
  const aims = mic.capsules.flatMap((index) => (capsules[index] ? [capsules[index].aim] : []));
  return geo.unit(geo.meanOf(aims));
}

/** "35° to the right and 10° down, to look along 120°". */
function turned(before: Scene, after: Scene, name: string): string {
  const [from, to] = [before, after].map((scene) => {
    const mic = scene.mics.find((one) => one.name === name);
    return mic ? aimOf(scene, mic) : ([0, 1, 0] as const);
  }) as [geo.Vec3, geo.Vec3];
  const across = Math.round(geo.turnBetween(geo.bearingOf(from), geo.bearingOf(to)));
  const up = Math.round(geo.tiltOf(to) - geo.tiltOf(from));
  const steps = [
    ...(across === 0 ? [] : [`${Math.abs(across)}° to the ${across > 0 ? 'right' : 'left'}`]),
    ...(up === 0 ? [] : [`${Math.abs(up)}° ${up > 0 ? 'up' : 'down'}`]),
  ];
  const last = `to look along ${Math.round(geo.bearingOf(to) + 360) % 360}°, tilt ${Math.round(geo.tiltOf(to)) + 0}°`;
  return `${steps.join(' and ') || 'by less than a degree'}, ${last}`;
}
