/** Whither a microphone looks: at its source, at a name, along a bearing, or with its null on something. */
import { firstOrder, nullAngle } from '../acoustics/pattern.ts';
import type { Path } from '../finding.ts';
import type { MicEntry } from '../plan/plan-mics.ts';
import { bodyPlace } from './facing.ts';
import { assume, caution, fault } from './notes.ts';
import type { Setting } from './setting.ts';
import { angleBetween, cross, direction, dot, scale, subtract, unit, type Vec3 } from './vector.ts';
import { middleOf, type Voice } from './voice.ts';
import { targetNames, unknownTarget, voicesNamed } from './wanted.ts';

/** How much of its own source a null may cost where the plan does not say, dB. */
export const AIM_LOSS = 2;
export type Aiming = {
  readonly at: Vec3;
  readonly entry: MicEntry;
  readonly own: readonly Voice[];
  readonly voices: readonly Voice[];
  /** A of the pattern at 1 kHz, or null for a measured table. */
  readonly a: number | null;
  readonly path: Path;
};

/** Unit vector of the aim. */
export function aimOf(aiming: Aiming, setting: Setting): Vec3 {
  const plain = plainAim(aiming, setting);
  return aiming.entry.nullAt === undefined ? plain : nullAim(aiming, aiming.entry.nullAt, plain, setting);
}

function plainAim({ at, entry, own, voices, path }: Aiming, setting: Setting): Vec3 {
  const { aim } = entry;
  if (aim && 'bearing' in aim) return direction(aim.bearing, aim.tilt ?? 0);
  if (aim) {
    const target = targetPoint(aim.target, at, voices, setting);
    if (target) return toward(at, target, [...path, 'aim'], setting);
    unknownTarget(aimNames(voices, setting), aim.target, 'source, player, baffle or microphone', {
      path: [...path, 'aim'],
      notes: setting.notes,
    });
    return [0, 1, 0];
  }
  if (entry.for.kind !== 'parts')
    assume(setting.notes, 'guess', path, 'looks at the middle of all sources, since no aim is given');
  const points = entry.for.kind === 'parts' ? (own[0]?.points ?? []) : own.flatMap((voice) => voice.points);
  return toward(at, middleOf(points), path, setting);
}

function toward(at: Vec3, target: Vec3, path: Path, setting: Setting): Vec3 {
  const way = subtract(target, at);
  if (dot(way, way) > 1e-6) return unit(way);
  fault(
    setting.notes,
    'BAD_PLACE',
    path,
    'this microphone stands where it looks',
    'give it an aim: a bearing',
  );
  return [0, 1, 0];
}

/** The middle of the sources of that name, else a player's, baffle's or microphone's place at the height of `from`. */
function targetPoint(name: string, from: Vec3, voices: readonly Voice[], setting: Setting): Vec3 | null {
  const points = voicesNamed(voices, name).flatMap((i) => voices[i]?.points ?? []);
  if (points.length > 0) return middleOf(points);
  const place = bodyPlace(setting.plan, name);
  return place && [place[0], place[1], from[2]];
}

const aimNames = (voices: readonly Voice[], { plan }: Setting): string[] => [
  ...targetNames(voices),
  ...plan.baffles.keys(),
  ...plan.mics.keys(),
  ...plan.listeners.keys(),
];

/**
 * Turns the aim as little as possible until the null looks at the target, as far as the loss of the own source allows.
 * The null is a cone about the aim, so the shortest turn lies in the plane of aim and target.
 */
function nullAim(aiming: Aiming, target: string, plain: Vec3, setting: Setting): Vec3 {
  const path = [...aiming.path, 'null-at'];
  const cone = aiming.a === null ? null : nullAngle(aiming.a);
  if (cone === null || aiming.a === null) {
    fault(
      setting.notes,
      'BAD_RANGE',
      path,
      'this pattern has no null to turn',
      'take a cardioid, supercardioid, hypercardioid or figure-8',
    );
    return plain;
  }
  const point = targetPoint(target, aiming.at, aiming.voices, setting);
  if (!point) {
    unknownTarget(aimNames(aiming.voices, setting), target, 'source, player, baffle or microphone', {
      path,
      notes: setting.notes,
    });
    return plain;
  }
  const away = unit(subtract(point, aiming.at));
  const whole = cone - angleBetween(plain, away);
  const source = unit(subtract(middleOf(aiming.own[0]?.points ?? []), aiming.at));
  const cost = (turn: number) => lossDb(aiming.a ?? 1, plain, turned(plain, away, turn), source);
  const allowed = aiming.entry.aimLoss ?? AIM_LOSS;
  if (cost(whole) <= allowed + 1e-9) return turned(plain, away, whole);
  const turn = furthest(cost, whole, allowed);
  caution(
    setting.notes,
    path,
    `the null stops ${Math.abs(whole - turn).toFixed(0)}° short of ${target}: the whole turn of ${Math.abs(whole).toFixed(0)}° would cost ${cost(whole).toFixed(1)} dB of its own source`,
    `allow it with aim-loss: ${Math.ceil(cost(whole))} dB, or move the microphone`,
  );
  return turned(plain, away, turn);
}

/** The aim turned by so many degrees away from the target, in the plane of both; level where they are in line. */
function turned(aim: Vec3, target: Vec3, degrees: number): Vec3 {
  const normal = cross(target, aim);
  const sideways = cross([0, 0, 1], aim);
  const pole =
    dot(normal, normal) > 1e-12
      ? unit(normal)
      : dot(sideways, sideways) > 1e-12
        ? ([0, 0, 1] as const)
        : ([1, 0, 0] as const);
  const angle = (degrees * Math.PI) / 180;
  const across = cross(pole, aim);
  const [x, y, z] = scale(aim, Math.cos(angle));
  const [dx, dy, dz] = scale(across, Math.sin(angle));
  return unit([x + dx, y + dy, z + dz]);
}

/** What a turn from one aim to another costs of the own source, dB, far field. */
function lossDb(a: number, from: Vec3, to: Vec3, source: Vec3): number {
  const before = firstOrder(a, 0, dot(from, source), 0);
  const after = firstOrder(a, 0, dot(to, source), 0);
  return after > 0 ? 10 * Math.log10(before / after) : 99;
}

/** The furthest part of a turn, from its start on, that stays within the allowed loss; to a hundredth of a degree. */
function furthest(cost: (turn: number) => number, whole: number, allowed: number): number {
  const steps = Math.max(1, Math.ceil(Math.abs(whole)));
  let good = 0;
  for (let i = 1; i <= steps && cost((whole * i) / steps) <= allowed; i++) good = (whole * i) / steps;
  let step = whole / steps / 2;
  for (let i = 0; i < 10; i++, step /= 2) if (cost(good + step) <= allowed) good += step;
  return good;
}
