/** Image sources off surfaces and panels; mirroring once (today three copies). */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { holds, seesWithin, type Vec3 } from '../geometry.ts';
import { dimJoined, dimSeen, type Screens, stretch } from './barrier-diffraction.ts';
import { pastPanel, pastSeen, setLength } from './diffraction-path.ts';
import {
  meetsLevels,
  newReflection,
  offLevel,
  offWall,
  type Reflection,
  type RoomShape,
} from './image-sources.ts';
import { inFront, type ReadyPanel } from './panel.ts';
import type { Pass } from './panel-diffraction.ts';
import { inMirror, inSurface, mirrored, type Point, SIGHT } from './panel-view.ts';
import { arriveBy, keepOf, type SoundPath, startPath, type Visit, wayEnergy } from './path-energy.ts';
import type { Surroundings } from './prepared-scene.ts';
import { cosineOf, type Link, sightsFrom, sightsTo } from './source-receiver.ts';

type Reflecting = {
  readonly shape: RoomShape;
  /** Energy factors of its surfaces, packed [surface][band]. */
  readonly reflected: Float64Array;
  readonly around: Surroundings;
};

const reflection = newReflection();

/** Visits each reflection off a surface. */
export function surfacePaths(path: SoundPath, room: Reflecting, link: Link, visit: Visit): void {
  const { shape } = room;
  const from = link.emitter.at;
  const to = link.capsule.at;
  if (meetsLevels(shape, from, to)) {
    if (offLevel(reflection, 0, shape.floor, from, to)) surfacePath(path, 0, room, link, visit);
    if (offLevel(reflection, 1, shape.ceiling, from, to)) surfacePath(path, 1, room, link, visit);
  }
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, shape, from, to)) surfacePath(path, 2 + w, room, link, visit);
}

function surfacePath(path: SoundPath, surface: number, room: Reflecting, link: Link, visit: Visit): void {
  const { axis } = link.emitter;
  const { reflected, around } = room;
  const hit = reflection;
  startPath(path, 'surface', 'reflections', hit.length);
  path.surface = surface;
  arriveBy(path, hit.arriveX, hit.arriveY, hit.arriveZ);
  path.cosLeave = hit.leaveX * axis[0] + hit.leaveY * axis[1] + hit.leaveZ * axis[2];
  path.cosArrive = -cosineOf(path.arrive, link.capsule.aim);
  wayEnergy(path, link, path.cosLeave, path.cosArrive, hit.length, hit.length);
  keepOf(path, reflected, surface * BAND_COUNT);
  if (around.screens) dimReflection(path, around.screens, hit, link);
  visit(path);
}

/** Screens as they stand where the line image → mic meets them after the reflection, and source → the mic's image before. */
function dimReflection(path: SoundPath, screens: Screens, hit: Reflection, link: Link): void {
  const { emitter, capsule } = link;
  const { along, length } = hit;
  const source = sightsFrom(screens, link);
  const mic = sightsTo(screens, link);
  const image = inSurface(screens, path.surface);
  screens.pass.straight.whole = length;
  dimSeen(path.energy, screens, stretch(along, 1, -1), source, image, mic, 0);
  dimSeen(path.energy, screens, stretch(0, along, -1), source, 0, mic, image);
  if (screens.joined.length === 0) return;
  const [mx, my, mz] = capsule.at;
  const [sx, sy, sz] = emitter.at;
  const from: Vec3 = [mx - length * hit.arriveX, my - length * hit.arriveY, mz - length * hit.arriveZ];
  const beyond: Vec3 = [sx + length * hit.leaveX, sy + length * hit.leaveY, sz + length * hit.leaveZ];
  dimJoined(path.energy, screens, { source: from, mic: capsule.at, from: along, to: 1, except: null });
  dimJoined(path.energy, screens, { source: emitter.at, mic: beyond, from: 0, to: along, except: null });
}

// First-order reflections off the panels that stand in a room.

/** Visits the reflection off each panel that source and mic stand on one side of. */
export function mirrorPaths(
  path: SoundPath,
  shape: RoomShape | null,
  { screens }: Surroundings,
  link: Link,
  visit: Visit,
): void {
  if (!screens) return;
  for (let mirror = 0; mirror < screens.mirrors.length; mirror++)
    if (offPanel(path, mirror, screens, link, shape)) visit(path);
}

const image: Point = [0, 0, 0];

const leave: Point = [0, 0, 0];

function offPanel(
  path: SoundPath,
  mirror: number,
  screens: Screens,
  link: Link,
  shape: RoomShape | null,
): boolean {
  const { emitter, capsule } = link;
  const panel = screens.mirrors[mirror] as ReadyPanel;
  const nearSource = inFront(panel, emitter.at);
  const nearMic = inFront(panel, capsule.at);
  if (nearSource * nearMic <= 0) return false;
  const along = nearSource / (nearSource + nearMic);
  mirrored(image, panel, emitter.at);
  if (shape && !shape.convex && !bothLegsInside(shape, image, along, link)) return false;
  setWay(path, panel, link);
  pastMirror(mirror, screens, link, path.length);
  catchShare(path.energy, screens.pass, panel);
  keepOf(path, path.energy);
  dimLegs(path, mirror, along, screens, link);
  return true;
}

/**
 * Sets the pass to the line image → mic past the mirror itself. A point and its image see the same edges of a panel, so that the
 * source's own sight serves.
 */
function pastMirror(mirror: number, screens: Screens, link: Link, length: number): void {
  const { pass, lone, aloneAs, mirrors } = screens;
  const alone = aloneAs[mirror] as number;
  if (alone < 0) {
    pastPanel(pass, mirrors[mirror] as ReadyPanel, image, link.capsule.at);
    return;
  }
  const at = alone * SIGHT;
  pass.straight.whole = length;
  pastSeen(pass, lone[alone] as ReadyPanel, sightsFrom(screens, link), at, sightsTo(screens, link), at);
}

/** The way and its free energies; `image` is the source's. */
function setWay(path: SoundPath, panel: ReadyPanel, link: Link): void {
  const [mx, my, mz] = link.capsule.at;
  const dx = mx - image[0];
  const dy = my - image[1];
  const dz = mz - image[2];
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  startPath(path, 'mirror', 'reflections', length);
  arriveBy(path, dx / length, dy / length, dz / length);
  mirrored(leave, panel, path.arrive, true);
  path.panel = panel.panel;
  path.cosLeave = cosineOf(link.emitter.axis, leave);
  path.cosArrive = -cosineOf(path.arrive, link.capsule.aim);
  wayEnergy(path, link, path.cosLeave, path.cosArrive, length, length);
}

/** The other screens on both legs, as on those of a way off a surface. */
function dimLegs(path: SoundPath, mirror: number, along: number, screens: Screens, link: Link): void {
  const { emitter, capsule } = link;
  const panel = screens.mirrors[mirror] as ReadyPanel;
  const source = sightsFrom(screens, link);
  const mic = sightsTo(screens, link);
  const seen = inMirror(screens, mirror);
  const except = screens.aloneAs[mirror] as number;
  screens.pass.straight.whole = path.length;
  dimSeen(path.energy, screens, stretch(along, 1, except), source, seen, mic, 0);
  dimSeen(path.energy, screens, stretch(0, along, except), source, 0, mic, seen);
  if (screens.joined.length === 0) return;
  const beyond: Point = [0, 0, 0];
  mirrored(beyond, panel, capsule.at);
  const legs = { except: panel.panel };
  dimJoinedLeg(path, screens, { ...legs, source: image, mic: capsule.at, from: along, to: 1 });
  dimJoinedLeg(path, screens, { ...legs, source: emitter.at, mic: beyond, from: 0, to: along });
}

function dimJoinedLeg(path: SoundPath, screens: Screens, leg: Parameters<typeof dimJoined>[2]): void {
  setLength(screens.pass, leg.source, leg.mic);
  dimJoined(path.energy, screens, leg);
}

function bothLegsInside(shape: RoomShape, from: Vec3, along: number, { emitter, capsule }: Link): boolean {
  const hit = [
    from[0] + along * (capsule.at[0] - from[0]),
    from[1] + along * (capsule.at[1] - from[1]),
  ] as const;
  if (!holds(shape.outline, hit[0], hit[1])) return false;
  return (
    seesWithin(shape.outline, [emitter.at[0], emitter.at[1]], hit) &&
    seesWithin(shape.outline, hit, [capsule.at[0], capsule.at[1]])
  );
}

// A panel as a mirror for a source and a mic on one side of it.

/**
 * Energy factor of the reflection by band, `(1−α)(1−τ)(1−min(1, past))`, past of the line image → mic; the image source
 * goes into `image`. Returns the share of that line at which it meets the panel's plane, or −1 where there is no
 * reflection: the two are on opposite sides, or one is in the plane itself.
 */
export function mirrorIn(
  into: Bands,
  image: Point,
  pass: Pass,
  panel: ReadyPanel,
  [source, mic]: readonly [Vec3, Vec3],
): number {
  const nearSource = inFront(panel, source);
  const nearMic = inFront(panel, mic);
  if (nearSource * nearMic <= 0) return -1;
  mirrored(image, panel, source);
  pastPanel(pass, panel, image, mic);
  catchShare(into, pass, panel);
  return nearSource / (nearSource + nearMic);
}

/** Writes `(1−α)(1−τ)(1−min(1, past))`, `past` as last set in the pass. */
function catchShare(into: Bands, pass: Pass, panel: ReadyPanel): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    const taken = (1 - (panel.alpha[band] as number)) * (1 - (panel.tau[band] as number));
    into[band] = taken * (1 - Math.min(1, Math.max(0, pass.past[band] as number)));
  }
}
