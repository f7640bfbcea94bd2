/** Ways from one room into the next: straight through the wall or what is set in it, and through what stands open. */
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, sameInAllBands } from './bands.ts';
import { dimBehind } from './dim-behind.ts';
import { wayEnergy } from './free-way.ts';
import { cosineOf, type Link } from './link.ts';
import { copyOf } from './mixture.ts';
import { throughOpening } from './opening.ts';
import type { ReadyPanel } from './panel.ts';
import type { Screens } from './past-screens.ts';
import { arriveBy, hearFree, keepOf, type SoundPath, startPath, type Visit } from './path.ts';
import type { Pass } from './rectangle.ts';
import type { Stage } from './stage.ts';
import { type Passage, throughWall } from './through-wall.ts';

/** Visits the straight line through the element it crosses, and each opening, whether the line meets it or not. */
export function wallPaths(stage: Stage, link: Link, visit: Visit): void {
  const { emitter, capsule } = link;
  const { passage, openings } = throughWall(stage.scene, emitter, capsule);
  if (passage?.tau) {
    setLine(stage.path, 'through', link);
    stage.path.element = nameOf(passage);
    keepOf(stage.path, passage.tau);
    dimInRooms(stage, link, passage.at);
    visit(stage.path);
  }
  for (const opening of openings) {
    const ready = stage.openings.get(opening);
    const pass = stage.surroundings[capsule.room]?.pass;
    if (!ready || !pass) continue;
    setLine(stage.path, 'opening', link);
    stage.path.element = opening.name;
    if (
      !throughOpening(stage.path.energy, pass, ready, { source: emitter.at, mic: capsule.at, way: link.way })
    )
      continue;
    hearFree(stage.path);
    dimOpening(stage, link, ready, pass);
    visit(stage.path);
  }
}

/** Panels take their part of all ways through the opening alike. */
function dimOpening(stage: Stage, link: Link, ready: ReadyPanel, pass: Pass): void {
  const { energy } = stage.path;
  passed.set(energy);
  const mixture = pass.kept && copyOf(pass.mixture);
  energy.fill(1);
  dimInRooms(stage, link, whereCrossed(ready, link));
  if (mixture) pass.kept?.push({ mixture, through: sameInAllBands(0), round: energy.slice() });
  for (let band = 0; band < BAND_COUNT; band++)
    energy[band] = (energy[band] as number) * (passed[band] as number);
}

const passed = sameInAllBands(0);

const nameOf = ({ through }: Passage): string => (typeof through === 'string' ? through : through.name);

function setLine(path: SoundPath, kind: 'through' | 'opening', link: Link): void {
  const { emitter, capsule } = link;
  const dx = capsule.at[0] - emitter.at[0];
  const dy = capsule.at[1] - emitter.at[1];
  const dz = capsule.at[2] - emitter.at[2];
  const length = Math.hypot(dx, dy, dz);
  startPath(path, kind, 'walls', length);
  arriveBy(path, dx / length, dy / length, dz / length);
  path.cosLeave = cosineOf(path.arrive, emitter.axis);
  path.cosArrive = -cosineOf(path.arrive, capsule.aim);
  wayEnergy(path, link, path.cosLeave, path.cosArrive, length, length);
}

/** Panels in either room act on the line as on an image path; a booth's own walls are the wall that it goes through. */
function dimInRooms(stage: Stage, link: Link, at: Vec3): void {
  const { emitter, capsule } = link;
  const part = shareOf(at, emitter.at, capsule.at);
  const line = { source: emitter.at, mic: capsule.at, except: null };
  const before = screensToward(stage, emitter.room, capsule.room);
  const after = screensToward(stage, capsule.room, emitter.room);
  if (before) dimBehind(stage.path.energy, before, { ...line, from: 0, to: part });
  if (after) dimBehind(stage.path.energy, after, { ...line, from: part, to: 1 });
}

const screensToward = (stage: Stage, room: number, next: number): Screens | null => {
  const around = stage.surroundings[room];
  return around ? (around.toward.get(next) ?? around.screens) : null;
};

function shareOf(at: Vec3, from: Vec3, to: Vec3): number {
  const whole = Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
  return Math.min(1, Math.hypot(at[0] - from[0], at[1] - from[1], at[2] - from[2]) / whole);
}

/** Where the line meets the plane of an opening. */
function whereCrossed(
  { a, along }: { a: readonly [number, number]; along: readonly [number, number] },
  link: Link,
): Vec3 {
  const { at: from } = link.emitter;
  const { at: to } = link.capsule;
  const gapFrom = along[0] * (from[1] - a[1]) - along[1] * (from[0] - a[0]);
  const gapTo = along[0] * (to[1] - a[1]) - along[1] * (to[0] - a[0]);
  const part = gapFrom / (gapFrom - gapTo);
  return [
    from[0] + part * (to[0] - from[0]),
    from[1] + part * (to[1] - from[1]),
    from[2] + part * (to[2] - from[2]),
  ];
}
