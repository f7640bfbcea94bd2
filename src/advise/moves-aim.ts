/** Turning a mic, or putting its null on something: at most 2 dB of its own source may go. */
import type { Capsule, Mic, Scene } from '../scene/scene.ts';
import { bearingOf, tiltOf, unit, type Vec3 } from '../scene/vector.ts';
import type { Computed } from './bench-plan.ts';
import type { Focus } from './focus.ts';
import type { Idea, MoveMaker } from './move.ts';
import type { Edit } from './set-value.ts';
import { nodeAt, nodeOf } from './written.ts';

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
    const [bearing, tilt] = [Math.round(bearingOf(now)), Math.round(tiltOf(now))];
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
function aimOf({ capsules }: Scene, mic: Mic): Vec3 {
  const aims = mic.capsules.flatMap((index) => (capsules[index] ? [capsules[index].aim] : []));
  const sum = aims.reduce<Vec3>((a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]], [0, 0, 0]);
  return unit(sum);
}

/** "35° to the right and 10° down, to look along 120°". */
function turned(before: Scene, after: Scene, name: string): string {
  const [from, to] = [before, after].map((scene) => {
    const mic = scene.mics.find((one) => one.name === name);
    return mic ? aimOf(scene, mic) : ([0, 1, 0] as const);
  }) as [Vec3, Vec3];
  const across = Math.round(((bearingOf(to) - bearingOf(from) + 540) % 360) - 180);
  const up = Math.round(tiltOf(to) - tiltOf(from));
  const steps = [
    ...(across === 0 ? [] : [`${Math.abs(across)}° to the ${across > 0 ? 'right' : 'left'}`]),
    ...(up === 0 ? [] : [`${Math.abs(up)}° ${up > 0 ? 'up' : 'down'}`]),
  ];
  const last = `to look along ${Math.round(bearingOf(to) + 360) % 360}°, tilt ${Math.round(tiltOf(to)) + 0}°`;
  return `${steps.join(' and ') || 'by less than a degree'}, ${last}`;
}
