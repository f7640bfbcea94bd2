/** First-order reflections of one room: off its surfaces and off the panels that stand in it. */
import { holds, seesWithin } from '../scene/polygon.ts';
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT } from './bands.ts';
import { eachReflection, type Reflection } from './images.ts';
import { cosineOf, freeEnergies, type Link } from './link.ts';
import { mirrored, mirrorIn } from './mirror.ts';
import type { ReadyPanel } from './panel.ts';
import { dimBehind, type Screens } from './past-screens.ts';
import { type SoundPath, startPath, type Visit } from './path.ts';
import type { RoomShape } from './room-shape.ts';
import type { Surroundings } from './surroundings.ts';

/** Visits each reflection off a surface; `alphas` are the packed coefficients of the room. */
export function surfacePaths(
  path: SoundPath,
  room: { readonly shape: RoomShape; readonly alphas: Float64Array; readonly around: Surroundings },
  link: Link,
  visit: Visit,
): void {
  const { emitter, capsule } = link;
  const { axis } = emitter;
  const { aim } = capsule;
  const { alphas, around } = room;
  eachReflection(room.shape, emitter.at, capsule.at, (hit) => {
    startPath(path, 'surface', 'reflections', hit.length);
    path.surface = hit.surface;
    path.cosLeave = hit.leaveX * axis[0] + hit.leaveY * axis[1] + hit.leaveZ * axis[2];
    path.cosArrive = -(hit.arriveX * aim[0] + hit.arriveY * aim[1] + hit.arriveZ * aim[2]);
    freeEnergies(path.free, link, path.cosLeave, path.cosArrive, hit.length);
    const row = hit.surface * BAND_COUNT;
    for (let band = 0; band < BAND_COUNT; band++) {
      path.energy[band] = (path.free[band] as number) * (1 - (alphas[row + band] as number));
    }
    if (around.screens) dimReflection(path, around.screens, hit, link);
    visit(path);
  });
}

/** Screens as they stand where the line image → mic meets them after the reflection, and source → the mic's image before. */
function dimReflection(path: SoundPath, screens: Screens, hit: Reflection, { emitter, capsule }: Link): void {
  const { length, along } = hit;
  const [mx, my, mz] = capsule.at;
  const [sx, sy, sz] = emitter.at;
  const image: Vec3 = [mx - length * hit.arriveX, my - length * hit.arriveY, mz - length * hit.arriveZ];
  const beyond: Vec3 = [sx + length * hit.leaveX, sy + length * hit.leaveY, sz + length * hit.leaveZ];
  dimBehind(path.energy, screens, { source: image, mic: capsule.at, from: along, to: 1, except: null });
  dimBehind(path.energy, screens, { source: emitter.at, mic: beyond, from: 0, to: along, except: null });
}

/** Visits the reflection off each panel that source and mic stand on one side of. */
export function mirrorPaths(
  path: SoundPath,
  shape: RoomShape | null,
  around: Surroundings,
  link: Link,
  visit: Visit,
): void {
  const { screens } = around;
  if (!screens) return;
  for (const panel of screens.mirrors) if (offPanel(path, panel, screens, link, shape)) visit(path);
}

function offPanel(
  path: SoundPath,
  panel: ReadyPanel,
  screens: Screens,
  link: Link,
  shape: RoomShape | null,
): boolean {
  const { emitter, capsule } = link;
  const image: [number, number, number] = [0, 0, 0];
  const along = mirrorIn(path.energy, image, screens.pass, panel, [emitter.at, capsule.at]);
  if (along < 0) return false;
  const dx = capsule.at[0] - image[0];
  const dy = capsule.at[1] - image[1];
  const dz = capsule.at[2] - image[2];
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  const arrive: Vec3 = [dx / length, dy / length, dz / length];
  if (shape && !shape.convex && !bothLegsInside(shape, image, along, link)) return false;
  const leave: [number, number, number] = [0, 0, 0];
  mirrored(leave, panel, arrive, true);
  startPath(path, 'mirror', 'reflections', length);
  path.panel = panel.panel;
  path.cosLeave = cosineOf(emitter.axis, leave);
  path.cosArrive = -cosineOf(capsule.aim, arrive);
  freeEnergies(path.free, link, path.cosLeave, path.cosArrive, length);
  for (let band = 0; band < BAND_COUNT; band++)
    path.energy[band] = (path.energy[band] as number) * (path.free[band] as number);
  const beyond: [number, number, number] = [0, 0, 0];
  mirrored(beyond, panel, capsule.at);
  dimBehind(path.energy, screens, {
    source: image,
    mic: capsule.at,
    from: along,
    to: 1,
    except: panel.panel,
  });
  dimBehind(path.energy, screens, {
    source: emitter.at,
    mic: beyond,
    from: 0,
    to: along,
    except: panel.panel,
  });
  return true;
}

function bothLegsInside(shape: RoomShape, image: Vec3, along: number, { emitter, capsule }: Link): boolean {
  const hit = [
    image[0] + along * (capsule.at[0] - image[0]),
    image[1] + along * (capsule.at[1] - image[1]),
  ] as const;
  if (!holds(shape.outline, hit[0], hit[1])) return false;
  return (
    seesWithin(shape.outline, [emitter.at[0], emitter.at[1]], hit) &&
    seesWithin(shape.outline, hit, [capsule.at[0], capsule.at[1]])
  );
}
