/** High-pass, pattern, aim, null, closer. */
import { decibels } from '../acoustics/bands.ts';
import { firstOrder, inverseWaveNumberSquared } from '../acoustics/directivity.ts';
import * as geo from '../geometry.ts';
import { type Edit, nodeAt } from '../plan/edit.ts';
import type { Capsule, Mic, Scene, SourcePoint } from '../scene/scene.ts';
import type { Computed, FixMaker } from './evaluate.ts';
import { change, type FixDraft, fixOf, lengthFormatOf, set } from './fixes.ts';
import { type Focus, loudestAt } from './objective.ts';

/** Mics in focus that pick up parts by air. */
const micsIn = ({ scene }: Computed, { mics }: Focus): Mic[] =>
  scene.mics.filter(({ name, purpose, line }) => purpose === 'parts' && !line && mics.has(name));

export const patternFixes: FixMaker = (base, focus) =>
  micsIn(base, focus).flatMap(({ name, switchable }) =>
    otherPatterns(base, name, switchable).map((pattern) => {
      const edit = set(['mics', name, 'pattern'], pattern);
      return fixOf('pattern', [name], [edit], () => `switch ${name} to ${pattern}`);
    }),
  );

export const replaceMicFixes: FixMaker = (base, focus) =>
  micsIn(base, focus).flatMap(({ name }) =>
    base.plan.onHand.mics.flatMap(({ patterns }, spare) =>
      otherPatterns(base, name, patterns).map((pattern) => {
        const edits = [set(['mics', name, 'pattern'], pattern), set(['mics', name, 'switchable'], patterns)];
        const say = () => `replace ${name} with a spare ${pattern}`;
        return fixOf('replace-mic', [name], edits, say, { takes: [['mics', spare]] });
      }),
    ),
  );

function otherPatterns({ plan }: Computed, mic: string, patterns: readonly string[]): string[] {
  const now = plan.mics.get(mic)?.pattern ?? { name: 'cardioid' };
  return patterns.filter((pattern) => !('name' in now) || pattern !== now.name);
}

/** High-pass corners as marked on desks, Hz; none above the lowest note of what the mic is for. Common practice, no source. */
const CORNERS = [40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400];

export const filterFixes: FixMaker = (base, focus) =>
  micsIn(base, focus).flatMap(({ name, wanted, highPass }) => {
    const lowest = Math.min(...wanted.map((source) => base.scene.sources[source]?.lowestNote ?? 0));
    const slope = highPass && highPass.slope !== 12 ? highPass.slope : null;
    return CORNERS.filter((at) => at > (highPass?.at ?? 0) && at <= lowest).map((at) => {
      const edit = set(['mics', name, 'high-pass'], slope === null ? `${at} Hz` : { at, slope });
      return fixOf('high-pass', [name], [edit], () => `high-pass ${name} at ${at} Hz`, { size: `${at} Hz` });
    });
  });

/** Never nearer than a stand may come to the source. */
export const closerFixes: FixMaker = (base, focus) =>
  micsIn(base, focus).flatMap((mic): FixDraft[] => {
    const entry = base.plan.mics.get(mic.name);
    const [source, ...others] = mic.wanted;
    if (!entry || entry.fixed || source === undefined || others.length > 0) return [];
    const closest = base.scene.sources[source]?.closest ?? 0;
    return entry.near ? nearer(base, mic.name, closest) : alongLine(base, mic, closest);
  });

/** Distances to set the mic up at, each with its words: "move horn-mic in, 40 → 15 cm". */
function stepsCloser({ tree }: Computed, name: string, now: number, closest: number) {
  const { distances, close } = lengthFormatOf(tree);
  return distances
    .filter((one) => one < now - 0.005 && one >= closest)
    .map((far) => ({ far, words: `move ${name} in, ${change(close(now), close(far))}` }));
}

/** A height above or below the centre shrinks with the distance, so that the mic stays on its line. */
function nearer(base: Computed, name: string, closest: number): FixDraft[] {
  const near = base.plan.mics.get(name)?.near;
  const now = near?.distance ?? 0;
  const rise = near?.above === undefined ? 'below' : 'above';
  const height = near?.[rise];
  const { close } = lengthFormatOf(base.tree);
  return stepsCloser(base, name, now, closest).map(({ far, words }) => {
    const edits = [
      set(['mics', name, 'near', 'distance'], close(far)),
      ...[height ?? []].flat().map((high) => {
        return set(['mics', name, 'near', rise], close(Math.floor((high * far * 100) / now) / 100));
      }),
    ];
    const say = (...scenes: readonly [Scene, Scene]) => `${words}${toneWords(name, scenes)}`;
    return fixOf('closer', [name], edits, say, { size: close(far) });
  });
}

function alongLine(base: Computed, mic: Mic, closest: number): FixDraft[] {
  const { scene, tree } = base;
  const at = middleOf(scene, mic);
  const point = nearestPoint(scene, mic, at);
  const written = nodeAt(tree, ['mics', mic.name, 'at']);
  if (!at || !point || written?.kind !== 'list') return [];
  const now = geo.distance(at, point.at);
  const floor = scene.rooms[point.room]?.floor ?? 0;
  const { coordinate, apart, close } = lengthFormatOf(tree);
  return stepsCloser(base, mic.name, now, closest).map(({ far, words }) => {
    const to = geo.add(point.at, geo.scale(geo.subtract(at, point.at), far / now));
    const place = [to[0], to[1], to[2] - floor];
    const edit = set(['mics', mic.name, 'at'], place.map(coordinate));
    const where = `, at ${place.map(apart).join(', ')} high`;
    const say = (...scenes: readonly [Scene, Scene]) => words + where + toneWords(mic.name, scenes);
    return fixOf('closer', [mic.name], [edit], say, { size: close(far) });
  });
}

/** " (tone: +4 dB at 125 Hz)": what the proximity effect adds on axis, from 3 dB on, which is heard. */
function toneWords(name: string, scenes: readonly [before: Scene, after: Scene]): string {
  const [far, near] = scenes.map((scene) => {
    const mic = scene.mics.find((one) => one.name === name);
    const capsule = scene.capsules[mic?.capsules[0] ?? -1];
    const point = mic && capsule && nearestPoint(scene, mic, capsule.at);
    if (!point || !capsule.proximity || capsule.pattern.table) return 1;
    const squared = geo.distance(point.at, capsule.at) ** 2;
    return firstOrder(capsule.pattern.a[TONE] ?? 1, 0, 1, squaredWavelength(scene) / squared);
  }) as [number, number];
  const added = decibels(near / far);
  return added < 3 ? '' : ` (tone: +${Math.round(added)} dB at 125 Hz)`;
}

/** Index of 125 Hz among the bands. */
const TONE = 1;
const squaredWavelength = ({ air }: Scene): number => inverseWaveNumberSquared(air.soundSpeed)[TONE] ?? 0;

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

const TURNS = [-10, 10, -20, 20, -30, 30, -45, 45, -60, 60, -75, 75];
/** Turns and tilts, degrees: one of the two, or both by a little. At most 2 dB of the mic's signal may go. */
const STEPS: readonly (readonly [number, number])[] = [
  ...TURNS.map((turn) => [turn, 0] as const),
  ...[-15, 15, -30, 30].map((tilt) => [0, tilt] as const),
  ...[-20, 20].flatMap((turn) => [-15, 15].map((tilt) => [turn, tilt] as const)),
];

export const reAimFixes: FixMaker = (base, focus) =>
  turnable(base, focus).flatMap((mic) => {
    const { name } = mic;
    const now = aimOf(base.scene, mic);
    const [bearing, tilt] = [Math.round(geo.bearingOf(now)), Math.round(geo.tiltOf(now))];
    return STEPS.filter(([, rise]) => Math.abs(tilt + rise) <= 90).map(([turn, rise]) => {
      const aim = set(['mics', name, 'aim'], { bearing: (bearing + turn + 360) % 360, tilt: tilt + rise });
      const say = (before: Scene, after: Scene) => turnWords(before, after, name);
      return fixOf('re-aim', [name], [...without(base, name, 'null-at'), aim], say, { keeps: [name] });
    });
  });

export const nullFixes: FixMaker = (base, focus) =>
  turnable(base, focus)
    .filter(({ capsules }) => capsules.length === 1)
    .flatMap((mic) => targetsOf(base, mic).map((target) => nullFix(base, mic.name, target)));

function nullFix(base: Computed, name: string, target: string): FixDraft {
  const edits = [...without(base, name, 'aim'), set(['mics', name, 'null-at'], target)];
  const say = (before: Scene, after: Scene) =>
    `point ${name}'s null at ${target}: ${turnWords(before, after, name)}`;
  return fixOf('null', [name], edits, say, { keeps: [name] });
}

/** All but omnis. */
const turnable = (base: Computed, focus: Focus): Mic[] =>
  micsIn(base, focus).filter(
    ({ name, capsules }) =>
      !capsules.every((index) => isOmni(base.scene.capsules[index])) && !base.plan.mics.get(name)?.fixed,
  );

const isOmni = (capsule: Capsule | undefined): boolean =>
  capsule !== undefined && capsule.pattern.table === null && capsule.pattern.a.every((a) => a === 1);

function without({ tree }: Computed, mic: string, key: string): Edit[] {
  const path = ['mics', mic, key];
  return nodeAt(tree, path) ? [{ path, value: null }] : [];
}

/** Kits as a whole, else each source that is among the loudest bleed of the mic. */
function targetsOf({ scene, result }: Computed, mic: Mic): string[] {
  const bleeding = loudestAt(scene, result, scene.mics.indexOf(mic));
  return [...new Set(bleeding.flatMap((i) => scene.sources[i]?.kit ?? scene.sources[i]?.name ?? []))];
}

/** The middle of a pair's aims. */
function aimOf({ capsules }: Scene, mic: Mic): geo.Vec3 {
  const aims = mic.capsules.flatMap((index) => (capsules[index] ? [capsules[index].aim] : []));
  return geo.unit(geo.meanOf(aims));
}

/** "re-aim MIC 35° right and 10° down (bearing 120°, tilt -5°)", "tilt MIC 15° up (tilt 20°)". */
function turnWords(before: Scene, after: Scene, name: string): string {
  const [from, to] = [before, after].map((scene) => {
    const mic = scene.mics.find((one) => one.name === name);
    return mic ? aimOf(scene, mic) : ([0, 1, 0] as const);
  }) as [geo.Vec3, geo.Vec3];
  const across = Math.round(geo.turnBetween(geo.bearingOf(from), geo.bearingOf(to)));
  const up = Math.round(geo.tiltOf(to) - geo.tiltOf(from));
  const steps = [
    ...(across === 0 ? [] : [`${Math.abs(across)}° ${across > 0 ? 'right' : 'left'}`]),
    ...(up === 0 ? [] : [`${Math.abs(up)}° ${up > 0 ? 'up' : 'down'}`]),
  ];
  const bearing = `bearing ${Math.round(geo.bearingOf(to) + 360) % 360}°, `;
  const tilt = `tilt ${Math.round(geo.tiltOf(to)) + 0}°`;
  if (across === 0 && up !== 0) return `tilt ${name} ${steps.join()} (${tilt})`;
  return `re-aim ${name} ${steps.join(' and ') || 'by less than 1°'} (${bearing}${tilt})`;
}

/** Mics of parts that another mic is for, too, or a main mic picks up: one may do without them. */
export const dropMicFixes: FixMaker = ({ scene, plan }, focus) =>
  scene.mics.flatMap(({ name, purpose, wanted, line }, index) => {
    const isPickedUp = (source: number) =>
      scene.mics.some(
        (other, i) =>
          i !== index &&
          (other.purpose === 'all' || (other.purpose === 'parts' && other.wanted.includes(source))),
      );
    const isSpare = purpose === 'room' || (purpose === 'parts' && !line && wanted.every(isPickedUp));
    if (!isSpare || !focus.mains || plan.mics.get(name)?.fixed) return [];
    return [fixOf('drop-mic', [name], [set(['mics', name, 'use'], false)], () => `mute ${name}`)];
  });

/** Nearer, higher and wider by so much, m; no wider than one bar or two stands are. Common practice, no source. */
const [NEARER, HIGHER, WIDER] = [
  [0.5, 1],
  [0.3, 0.6],
  [1.5, 2],
] as const;
const WIDEST = 2;
/** A stand under the ceiling, m. */
const UNDER_CEILING = 0.3;

/** Main mics, for what depends on them: ghosts, balance, direct sound. */
export const mainFixes: FixMaker = (base, { mains }) => {
  const { scene, plan, tree } = base;
  const { coordinate, close, apart } = lengthFormatOf(tree);
  return scene.mics.flatMap((mic): FixDraft[] => {
    const { name, purpose } = mic;
    const entry = plan.mics.get(name);
    const at = middleOf(scene, mic);
    const written = nodeAt(tree, ['mics', name, 'at']);
    const room = scene.rooms[scene.capsules[mic.capsules[0] ?? -1]?.room ?? -1];
    if (!mains || purpose !== 'all' || !at || entry?.fixed || written?.kind !== 'list') return [];
    const floor = room?.floor ?? 0;
    const [x, y] = aimOf(scene, mic);
    const ahead = Math.hypot(x, y);
    const moved = (by: geo.Vec3, words: string) => {
      const [px, py, pz] = geo.add(at, by);
      const place = [px, py, pz - floor];
      const edit = set(['mics', name, 'at'], place.map(coordinate));
      const say = () => `move ${name} ${words}, to ${place.map(apart).join(', ')} high`;
      return fixOf('main', [name, words.split(' ')[0] ?? ''], [edit], say, { size: words });
    };
    const nearer =
      ahead < 0.3
        ? []
        : NEARER.map((by) => moved([(x / ahead) * by, (y / ahead) * by, 0], `nearer by ${close(by)}`));
    const higher = HIGHER.filter(
      (by) => at[2] + by < (room?.ceiling ?? Number.POSITIVE_INFINITY) - UNDER_CEILING,
    );
    const stereo = entry?.stereo;
    const spaced = stereo && 'kind' in stereo && stereo.kind === 'spaced' ? stereo.distance : null;
    const wider = spaced === null ? [] : WIDER.map((by) => by * spaced).filter((far) => far <= WIDEST);
    return [
      ...nearer,
      ...higher.map((by) => moved([0, 0, by], `higher by ${close(by)}`)),
      ...wider.map((far) => {
        const path = nodeAt(tree, ['mics', name, 'stereo', 'spaced'])
          ? ['mics', name, 'stereo', 'spaced']
          : null;
        const edits = path ? [set(path, close(far))] : [];
        return fixOf(
          'main',
          [name, 'wider'],
          edits,
          () => `space ${name} ${change(close(spaced ?? 0), close(far))}`,
          { size: close(far) },
        );
      }),
    ];
  });
};
