/** Reflections of the first order: off floor, ceiling and walls, and off the panels that stand in a room. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { holds, pointAlong, seesWithin, type Vec2, type Vec3 } from '../geometry.ts';
import { pastAperture } from './aperture.ts';
import {
  addLeg,
  type Barriers,
  combinedFactor,
  multiply,
  type PanelState,
  startLosses,
  takeLosses,
  transmitBarriers,
  transmitPanels,
} from './barrier-diffraction.ts';
import { addCorners, addMirrorCorners, addOtherCorners, type Corners, setBends } from './corner.ts';
import { aim, pastPanel, pastPanelFromViews } from './diffraction-path.ts';
import { meetsWall, offLevel, offWall, type RoomShape, type Wall } from './image-sources.ts';
import { inFront, type PreparedPanel } from './panel.ts';
import type { PanelWorkspace } from './panel-diffraction.ts';
import type { Point } from './panel-view.ts';
import { panelImage, setPoint, VIEW_SIZE, viewsFromPanelImage, viewsFromSurfaceImage } from './panel-view.ts';
import { keepOf, type Visit } from './path-energy.ts';
import { micViews, type SourceReceiver, sourceViews, startFreePath } from './source-receiver.ts';
import { factor, sortBarriers } from './trace.ts';
import { type MixedWall, reflectedByWall } from './wall-elements.ts';

type ReflectingRoom = {
  readonly shape: RoomShape;
  /** Energy factors of its surfaces, packed [surface][band]. */
  readonly reflected: Float64Array;
  readonly barriers: Barriers | null;
  readonly corners: Corners | null;
  /** By surface: what a wall with elements in it reflects. */
  readonly mixed: readonly (MixedWall | null)[];
};

/** Visits each reflection off a surface. */
export function surfaceReflections(pair: SourceReceiver, room: ReflectingRoom, visit: Visit): void {
  const { shape } = room;
  const { reflection } = pair;
  const from = pair.emitter.at;
  const to = pair.capsule.at;
  if (offLevel(reflection, 0, shape.floor, from, to)) surfaceReflection(pair, 0, room, visit);
  if (offLevel(reflection, 1, shape.ceiling, from, to)) surfaceReflection(pair, 1, room, visit);
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, shape, from, to)) surfaceReflection(pair, 2 + w, room, visit);
}

function surfaceReflection(pair: SourceReceiver, surface: number, room: ReflectingRoom, visit: Visit): void {
  const { path, reflection: hit, workspace } = pair;
  const { reflected, barriers, corners } = room;
  const row = surface * BAND_COUNT;
  setPoint(path.leave, hit.leaveX, hit.leaveY, hit.leaveZ);
  setPoint(path.arrive, hit.arriveX, hit.arriveY, hit.arriveZ);
  startLosses(workspace);
  workspace.straight.length = hit.length;
  if (corners && !(surface < 2 ? bendLevel(pair, corners) : bendOffWall(pair, surface - 2, room))) return;
  startFreePath(pair, 'surface', 'reflections', hit.length);
  path.surface = surface;
  const mixed = room.mixed[surface];
  const { record, spare } = workspace;
  if (mixed) reflectedByWall(spare, workspace, mixed, imageIn(pair), pair.capsule.at);
  keepOf(path, mixed ? spare : reflected, mixed ? 0 : row);
  record?.factors.push({
    kind: 'surface',
    by: mixed ? spare.slice() : reflected.slice(row, row + BAND_COUNT),
  });
  if (record && workspace.acting.count > 0)
    record.factors.push({ kind: 'corners', by: combinedFactor(workspace) });
  path.along = hit.along;
  if (barriers) transmitLegs(pair, barriers, viewsFromSurfaceImage(barriers, surface), -1);
  takeLosses(path.energy, workspace);
  visit(path);
}

/** Reflections in the room of one end, on their way through an opening to the other. */
export type Carried = {
  readonly opening: PreparedPanel;
  /** The room in which they are reflected is the source's; else the mic's. */
  readonly ofSource: boolean;
  /** Share that is not in the field of the mic's room. */
  readonly share: number;
  readonly beyond: Barriers | null;
};

/** Visits each reflection that an opening lets through. */
export function carriedReflections(
  pair: SourceReceiver,
  room: ReflectingRoom,
  carried: Carried,
  visit: Visit,
): void {
  const { shape } = room;
  const { reflection } = pair;
  const from = pair.emitter.at;
  const to = pair.capsule.at;
  if (offLevel(reflection, 0, shape.floor, from, to)) carriedReflection(pair, 0, room, carried, visit);
  if (offLevel(reflection, 1, shape.ceiling, from, to)) carriedReflection(pair, 1, room, carried, visit);
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, { ...shape, convex: true }, from, to) && startsInside(pair, shape, carried))
      carriedReflection(pair, 2 + w, room, carried, visit);
}

/** Whether the end in whose room it is reflected sees where. */
function startsInside(
  { reflection, emitter, capsule, ...pair }: SourceReceiver,
  shape: RoomShape,
  { ofSource }: Carried,
): boolean {
  if (shape.convex) return true;
  const image = imageIn({ reflection, emitter, capsule, ...pair });
  const { along } = reflection;
  const foot = pointAlong(image, capsule.at, along);
  return seesWithin(shape.outline, ofSource ? emitter.at : capsule.at, foot);
}

function carriedReflection(
  pair: SourceReceiver,
  surface: number,
  { reflected, barriers, mixed }: ReflectingRoom,
  { opening, ofSource, share, beyond }: Carried,
  visit: Visit,
): void {
  const { path, reflection: hit, workspace, emitter, capsule } = pair;
  const { past, straight } = workspace;
  const row = surface * BAND_COUNT;
  const [start, end] = ofSource ? [imageIn(pair), capsule.at] : [emitter.at, imageIn(pair, true)];
  straight.length = hit.length;
  if (!pastAperture(workspace, opening, start, end)) return;
  const near = inFront(opening, start);
  const through = near / (near - inFront(opening, end));
  // a reflection beyond the opening is none of this room
  if (ofSource ? hit.along > through : hit.along < through) return;
  setPoint(path.leave, hit.leaveX, hit.leaveY, hit.leaveZ);
  setPoint(path.arrive, hit.arriveX, hit.arriveY, hit.arriveZ);
  const passed = past.map((one) => share * Math.max(0, one));
  const wall = mixed[surface];
  const kept = wall ? workspace.spare : reflected.subarray(row, row + BAND_COUNT);
  if (wall) reflectedByWall(kept, workspace, wall, imageIn(pair), capsule.at);
  const { element, partition } = path;
  startFreePath(pair, 'opening', 'walls', hit.length);
  path.element = element;
  path.partition = partition;
  path.along = hit.along;
  keepOf(path, kept);
  multiply(path.energy, passed);
  workspace.record?.factors.push({ kind: 'surface', by: kept.slice() }, { kind: 'opening', by: passed });
  startLosses(workspace);
  if (barriers) transmitLegs(pair, barriers, viewsFromSurfaceImage(barriers, surface), -1);
  const stretch = ofSource
    ? ({ from: through, to: 1, where: 'after' } as const)
    : ({ from: 0, to: through, where: 'before' } as const);
  if (beyond) addLeg(beyond, { source: start, mic: end, except: null, ...stretch });
  takeLosses(path.energy, workspace);
  visit(path);
}

/** The line from an image below the floor or above the ceiling past the corners; where it bends it leaves and arrives by these. */
function bendLevel(pair: SourceReceiver, corners: Corners): boolean {
  const { path, workspace } = pair;
  const mic = pair.capsule.at;
  const image = imageIn(pair);
  const bends = addCorners(workspace, corners, [image, mic]);
  if (!bends) return false;
  if (bends.length === 0) return true;
  setBends(workspace, bends, [image, mic]);
  const { first, last } = workspace.sides[0];
  aim(path.leave, image, first);
  aim(path.arrive, last, mic);
  path.leave[2] = -path.leave[2];
  return true;
}

/** A reflection in a wall past the corners; where it does not meet the wall it leaves and arrives by the wall's end. */
function bendOffWall(pair: SourceReceiver, w: number, { shape, corners }: ReflectingRoom): boolean {
  const { path, reflection, workspace } = pair;
  const source = pair.emitter.at;
  const mic = pair.capsule.at;
  const { a, b } = shape.walls[w] as Wall;
  const [image, beyond] = [imageIn(pair), imageIn(pair, true)];
  const { before, clear } = meetsWall(reflection, w, shape, source, mic);
  const ends = [source, mic] as const;
  const beside = addMirrorCorners(workspace, corners as Corners, ends, {
    wall: w,
    a,
    b,
    image,
    beyond,
    before,
    clear,
  });
  if (beside === false) return false;
  if (beside) {
    const at: Vec3 = [...beside.at, source[2] + (mic[2] - source[2]) * workspace.sides[0].bend];
    aim(path.leave, source, at);
    aim(path.arrive, at, mic);
  }
  return true;
}

/**
 * Barriers as they stand where the line image → mic meets them after the reflection, and source → the mic's image before it.
 * `seen` is where the views of either image begin, `reflector` the panel, −1 for a surface.
 */
function transmitLegs(pair: SourceReceiver, barriers: Barriers, seen: number, reflector: number): void {
  const { path, workspace } = pair;
  const { along } = path;
  const { ends } = workspace;
  ends.source = sourceViews(barriers, pair);
  ends.mic = micViews(barriers, pair);
  ends.except = reflector < 0 ? -1 : (barriers.aloneAs[reflector] as number);
  workspace.straight.length = path.length;
  ends.sourceAt = seen;
  ends.micAt = 0;
  ends.from = along;
  ends.to = 1;
  ends.where = 'after';
  transmitPanels(barriers);
  ends.sourceAt = 0;
  ends.micAt = seen;
  ends.from = 0;
  ends.to = along;
  ends.where = 'before';
  transmitPanels(barriers);
  if (barriers.joined.length > 0) transmitJoined(pair, barriers, reflector);
  if (workspace.record) sortBarriers(workspace.record, 0);
}

function transmitJoined(pair: SourceReceiver, barriers: Barriers, reflector: number): void {
  const { path } = pair;
  const { along } = path;
  const source = pair.emitter.at;
  const mic = pair.capsule.at;
  const panel = barriers.reflectors[reflector] ?? null;
  const except = panel?.panel ?? null;
  const image = panel ? pair.image : imageIn(pair);
  const beyond: Point = panel ? [0, 0, 0] : imageIn(pair, true);
  if (panel) panelImage(beyond, panel, mic);
  transmitBarriers(barriers, { source: image, mic, from: along, to: 1, except, where: 'after' });
  transmitBarriers(barriers, {
    source,
    mic: beyond,
    from: 0,
    to: along,
    except,
    where: 'before',
  });
}

/** The source's image in the surface of the current reflection, or the mic's. */
function imageIn({ reflection: hit, emitter, capsule }: SourceReceiver, ofMic = false): Point {
  return ofMic
    ? ahead(emitter.at, [hit.leaveX, hit.leaveY, hit.leaveZ], hit.length)
    : ahead(capsule.at, [hit.arriveX, hit.arriveY, hit.arriveZ], -hit.length);
}

const ahead = (from: Vec3, direction: Vec3, by: number): Point => [
  from[0] + by * direction[0],
  from[1] + by * direction[1],
  from[2] + by * direction[2],
];

/** Visits the reflection off each panel that source and mic stand on one side of. */
export function panelReflections(pair: SourceReceiver, room: PanelRoom, visit: Visit): void {
  for (let reflector = 0; reflector < room.barriers.reflectors.length; reflector++)
    if (panelReflection(pair, reflector, room)) visit(pair.path);
}

type PanelRoom = {
  readonly shape: RoomShape | null;
  readonly barriers: Barriers;
  readonly corners: Corners | null;
};

function panelReflection(
  pair: SourceReceiver,
  reflector: number,
  { shape, barriers, corners }: PanelRoom,
): boolean {
  const { emitter, capsule, path, image, workspace } = pair;
  const panel = barriers.reflectors[reflector] as PreparedPanel;
  const along = reflectInPanel(image, panel, emitter.at, capsule.at);
  if (along < 0) return false;
  const clear = !shape || shape.convex || bothLegsInside(shape, image, along, pair);
  startReflectedPath(pair, panel);
  pastReflector(pair, reflector, barriers);
  panelReflectance(path.energy, workspace, panel);
  workspace.record?.factors.push(
    factor('face', (band) => faceReflectance(panel, band)),
    factor('size', (band) => caught(workspace, band)),
  );
  keepOf(path, path.energy);
  path.along = along;
  startLosses(workspace);
  workspace.straight.length = path.length;
  const shadowed = corners && bendOffPanel(pair, corners, panel);
  if (!clear && !shadowed) return false;
  transmitLegs(pair, barriers, viewsFromPanelImage(barriers, reflector), reflector);
  takeLosses(path.energy, workspace);
  return true;
}

/** Adds the corners of the room on both legs; true where one of them shadows a leg. */
function bendOffPanel(pair: SourceReceiver, corners: Corners, { a, b, along }: PreparedPanel): boolean {
  const { image, emitter, capsule, workspace, path } = pair;
  const ends = [emitter.at, capsule.at] as const;
  const far = (from: Vec2, by: number): Vec2 => [from[0] + by * along[0], from[1] + by * along[1]];
  const beyond = ahead(emitter.at, path.leave, path.length);
  // what of the panel's plane lies beside it counts in its size
  return addOtherCorners(workspace, corners, ends, {
    wall: -1,
    a: far(a, -ANY),
    b: far(b, ANY),
    image,
    beyond,
  });
}

/** Further than any room reaches, m. */
const ANY = 1e4;

/**
 * Writes the source's image in a panel; returns the share of the line image → mic at which it meets the panel's plane, or −1 where there
 * is no reflection: the two are on opposite sides, or one is in the plane itself.
 */
export function reflectInPanel(image: Point, panel: PreparedPanel, source: Vec3, mic: Vec3): number {
  const nearSource = inFront(panel, source);
  const nearMic = inFront(panel, mic);
  if (nearSource * nearMic <= 0) return -1;
  panelImage(image, panel, source);
  return nearSource / (nearSource + nearMic);
}

/**
 * Sets `past` to that of the line image → mic past the reflector itself, the mean of the states of its gaps. A point and its image see the same edges of a panel, so
 * that the source's own views serve.
 */
function pastReflector(pair: SourceReceiver, reflector: number, barriers: Barriers): void {
  const { aloneAs, reflectorStates } = barriers;
  const { workspace } = pair;
  const { past, through } = workspace;
  const states = reflectorStates[reflector] as readonly PanelState[];
  const alone = aloneAs[reflector] as number;
  through.fill(0);
  for (const { panel, place } of states) {
    if (alone < 0) pastPanel(workspace, panel, pair.image, pair.capsule.at);
    else pastAlone(pair, alone, barriers, panel);
    for (let band = 0; band < BAND_COUNT; band++)
      through[band] =
        (through[band] as number) + place.weight * Math.min(1, Math.max(0, past[band] as number));
  }
  past.set(through);
}

function pastAlone(pair: SourceReceiver, alone: number, barriers: Barriers, panel: PreparedPanel): void {
  const { ends } = pair.workspace;
  pair.workspace.straight.length = pair.path.length;
  ends.source = sourceViews(barriers, pair);
  ends.mic = micViews(barriers, pair);
  ends.sourceAt = alone * VIEW_SIZE;
  ends.micAt = alone * VIEW_SIZE;
  pastPanelFromViews(pair.workspace, panel);
}

/** The path from the source's image and its free energies. */
function startReflectedPath(pair: SourceReceiver, panel: PreparedPanel): void {
  const { path, image, capsule } = pair;
  const dx = capsule.at[0] - image[0];
  const dy = capsule.at[1] - image[1];
  const dz = capsule.at[2] - image[2];
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  setPoint(path.arrive, dx / length, dy / length, dz / length);
  panelImage(path.leave, panel, path.arrive, true);
  startFreePath(pair, 'baffle', 'reflections', length);
  path.panel = panel.panel;
}

function bothLegsInside(
  shape: RoomShape,
  from: Vec3,
  along: number,
  { emitter, capsule }: SourceReceiver,
): boolean {
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

/** Writes the energy factor of the reflection off a panel, `(1−α)(1−τ)(1−min(1, past))`, `past` of the line image → mic. */
export function panelReflectance(into: Bands, workspace: PanelWorkspace, panel: PreparedPanel): void {
  for (let band = 0; band < BAND_COUNT; band++)
    into[band] = faceReflectance(panel, band) * caught(workspace, band);
}

const faceReflectance = ({ alpha, tau }: PreparedPanel, band: number): number =>
  (1 - (alpha[band] as number)) * (1 - (tau[band] as number));

/** The share of the sound that a panel of its size catches: the complement of what passes it. */
const caught = ({ past }: PanelWorkspace, band: number): number =>
  1 - Math.min(1, Math.max(0, past[band] as number));
