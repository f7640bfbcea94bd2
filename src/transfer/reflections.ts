/** Image sources off surfaces and panels; mirroring once (today three copies). */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { holds, seesWithin, type Vec3 } from '../geometry.ts';
import { type Barriers, stretch, transmitBarriers, transmitPanels } from './barrier-diffraction.ts';
import { pastPanel, pastPanelFromViews, setLength } from './diffraction-path.ts';
import {
  meetsLevels,
  newReflection,
  offLevel,
  offWall,
  type Reflection,
  type RoomShape,
} from './image-sources.ts';
import { inFront, type PreparedPanel } from './panel.ts';
import type { PanelWorkspace } from './panel-diffraction.ts';
import {
  type Point,
  panelImage,
  VIEW_SIZE,
  viewsFromPanelImage,
  viewsFromSurfaceImage,
} from './panel-view.ts';
import { arriveBy, keepOf, pathEnergy, type SoundPath, startPath, type Visit } from './path-energy.ts';
import type { Obstacles } from './prepared-scene.ts';
import { cosineOf, type Link, micViews, sourceViews } from './source-receiver.ts';

type Reflecting = {
  readonly shape: RoomShape;
  /** Energy factors of its surfaces, packed [surface][band]. */
  readonly reflected: Float64Array;
  readonly obstacles: Obstacles;
};

const reflection = newReflection();

/** Visits each reflection off a surface. */
export function surfaceReflections(path: SoundPath, room: Reflecting, link: Link, visit: Visit): void {
  const { shape } = room;
  const from = link.emitter.at;
  const to = link.capsule.at;
  if (meetsLevels(shape, from, to)) {
    if (offLevel(reflection, 0, shape.floor, from, to)) surfaceReflection(path, 0, room, link, visit);
    if (offLevel(reflection, 1, shape.ceiling, from, to)) surfaceReflection(path, 1, room, link, visit);
  }
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, shape, from, to)) surfaceReflection(path, 2 + w, room, link, visit);
}

function surfaceReflection(
  path: SoundPath,
  surface: number,
  room: Reflecting,
  link: Link,
  visit: Visit,
): void {
  const { axis } = link.emitter;
  const { reflected, obstacles } = room;
  const hit = reflection;
  startPath(path, 'surface', 'reflections', hit.length);
  path.surface = surface;
  arriveBy(path, hit.arriveX, hit.arriveY, hit.arriveZ);
  path.cosLeave = hit.leaveX * axis[0] + hit.leaveY * axis[1] + hit.leaveZ * axis[2];
  path.cosArrive = -cosineOf(path.arrive, link.capsule.aim);
  pathEnergy(path, link, path.cosLeave, path.cosArrive, hit.length, hit.length);
  keepOf(path, reflected, surface * BAND_COUNT);
  if (obstacles.barriers) transmitReflection(path, obstacles.barriers, hit, link);
  visit(path);
}

/** Screens as they stand where the line image → mic meets them after the reflection, and source → the mic's image before. */
function transmitReflection(path: SoundPath, barriers: Barriers, hit: Reflection, link: Link): void {
  const { emitter, capsule } = link;
  const { along, length } = hit;
  const source = sourceViews(barriers, link);
  const mic = micViews(barriers, link);
  const image = viewsFromSurfaceImage(barriers, path.surface);
  barriers.workspace.straight.whole = length;
  transmitPanels(path.energy, barriers, stretch(along, 1, -1), source, image, mic, 0);
  transmitPanels(path.energy, barriers, stretch(0, along, -1), source, 0, mic, image);
  if (barriers.joined.length === 0) return;
  const [mx, my, mz] = capsule.at;
  const [sx, sy, sz] = emitter.at;
  const from: Vec3 = [mx - length * hit.arriveX, my - length * hit.arriveY, mz - length * hit.arriveZ];
  const beyond: Vec3 = [sx + length * hit.leaveX, sy + length * hit.leaveY, sz + length * hit.leaveZ];
  transmitBarriers(path.energy, barriers, {
    source: from,
    mic: capsule.at,
    from: along,
    to: 1,
    except: null,
  });
  transmitBarriers(path.energy, barriers, {
    source: emitter.at,
    mic: beyond,
    from: 0,
    to: along,
    except: null,
  });
}

// First-order reflections off the panels that stand in a room.

/** Visits the reflection off each panel that source and mic stand on one side of. */
export function panelReflections(
  path: SoundPath,
  shape: RoomShape | null,
  { barriers }: Obstacles,
  link: Link,
  visit: Visit,
): void {
  if (!barriers) return;
  for (let reflector = 0; reflector < barriers.reflectors.length; reflector++)
    if (reflectOffPanel(path, reflector, barriers, link, shape)) visit(path);
}

const image: Point = [0, 0, 0];

const leave: Point = [0, 0, 0];

function reflectOffPanel(
  path: SoundPath,
  reflector: number,
  barriers: Barriers,
  link: Link,
  shape: RoomShape | null,
): boolean {
  const { emitter, capsule } = link;
  const panel = barriers.reflectors[reflector] as PreparedPanel;
  const nearSource = inFront(panel, emitter.at);
  const nearMic = inFront(panel, capsule.at);
  if (nearSource * nearMic <= 0) return false;
  const along = nearSource / (nearSource + nearMic);
  panelImage(image, panel, emitter.at);
  if (shape && !shape.convex && !bothLegsInside(shape, image, along, link)) return false;
  setReflectedPath(path, panel, link);
  pastReflector(reflector, barriers, link, path.length);
  panelReflectance(path.energy, barriers.workspace, panel);
  keepOf(path, path.energy);
  transmitLegs(path, reflector, along, barriers, link);
  return true;
}

/**
 * Sets the pass to the line image → mic past the mirror itself. A point and its image see the same edges of a panel, so that the
 * source's own sight serves.
 */
function pastReflector(reflector: number, barriers: Barriers, link: Link, length: number): void {
  const { workspace, lone, aloneAs, reflectors } = barriers;
  const alone = aloneAs[reflector] as number;
  if (alone < 0) {
    pastPanel(workspace, reflectors[reflector] as PreparedPanel, image, link.capsule.at);
    return;
  }
  const at = alone * VIEW_SIZE;
  workspace.straight.whole = length;
  pastPanelFromViews(
    workspace,
    lone[alone] as PreparedPanel,
    sourceViews(barriers, link),
    at,
    micViews(barriers, link),
    at,
  );
}

/** The way and its free energies; `image` is the source's. */
function setReflectedPath(path: SoundPath, panel: PreparedPanel, link: Link): void {
  const [mx, my, mz] = link.capsule.at;
  const dx = mx - image[0];
  const dy = my - image[1];
  const dz = mz - image[2];
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  startPath(path, 'mirror', 'reflections', length);
  arriveBy(path, dx / length, dy / length, dz / length);
  panelImage(leave, panel, path.arrive, true);
  path.panel = panel.panel;
  path.cosLeave = cosineOf(link.emitter.axis, leave);
  path.cosArrive = -cosineOf(path.arrive, link.capsule.aim);
  pathEnergy(path, link, path.cosLeave, path.cosArrive, length, length);
}

/** The other screens on both legs, as on those of a way off a surface. */
function transmitLegs(
  path: SoundPath,
  reflector: number,
  along: number,
  barriers: Barriers,
  link: Link,
): void {
  const { emitter, capsule } = link;
  const panel = barriers.reflectors[reflector] as PreparedPanel;
  const source = sourceViews(barriers, link);
  const mic = micViews(barriers, link);
  const seen = viewsFromPanelImage(barriers, reflector);
  const except = barriers.aloneAs[reflector] as number;
  barriers.workspace.straight.whole = path.length;
  transmitPanels(path.energy, barriers, stretch(along, 1, except), source, seen, mic, 0);
  transmitPanels(path.energy, barriers, stretch(0, along, except), source, 0, mic, seen);
  if (barriers.joined.length === 0) return;
  const beyond: Point = [0, 0, 0];
  panelImage(beyond, panel, capsule.at);
  const legs = { except: panel.panel };
  transmitBarriersOnLeg(path, barriers, { ...legs, source: image, mic: capsule.at, from: along, to: 1 });
  transmitBarriersOnLeg(path, barriers, { ...legs, source: emitter.at, mic: beyond, from: 0, to: along });
}

function transmitBarriersOnLeg(
  path: SoundPath,
  barriers: Barriers,
  leg: Parameters<typeof transmitBarriers>[2],
): void {
  setLength(barriers.workspace, leg.source, leg.mic);
  transmitBarriers(path.energy, barriers, leg);
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
export function panelReflectionFactor(
  into: Bands,
  image: Point,
  workspace: PanelWorkspace,
  panel: PreparedPanel,
  [source, mic]: readonly [Vec3, Vec3],
): number {
  const nearSource = inFront(panel, source);
  const nearMic = inFront(panel, mic);
  if (nearSource * nearMic <= 0) return -1;
  panelImage(image, panel, source);
  pastPanel(workspace, panel, image, mic);
  panelReflectance(into, workspace, panel);
  return nearSource / (nearSource + nearMic);
}

/** Writes `(1−α)(1−τ)(1−min(1, past))`, `past` as last set in the pass. */
function panelReflectance(into: Bands, workspace: PanelWorkspace, panel: PreparedPanel): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    const taken = (1 - (panel.alpha[band] as number)) * (1 - (panel.tau[band] as number));
    into[band] = taken * (1 - Math.min(1, Math.max(0, workspace.past[band] as number)));
  }
}
