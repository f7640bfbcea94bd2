/** Reflections of the first order: off floor, ceiling and walls, and off the panels that stand in a room. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { holds, seesWithin, type Vec3 } from '../geometry.ts';
import { type Barriers, transmitBarriers, transmitPanels } from './barrier-diffraction.ts';
import { pastPanel, pastPanelFromViews } from './diffraction-path.ts';
import { meetsLevels, offLevel, offWall, type RoomShape } from './image-sources.ts';
import { inFront, type PreparedPanel } from './panel.ts';
import type { PanelWorkspace } from './panel-diffraction.ts';
import type { Point } from './panel-view.ts';
import { panelImage, setPoint, VIEW_SIZE, viewsFromPanelImage, viewsFromSurfaceImage } from './panel-view.ts';
import { keepOf, type Visit } from './path-energy.ts';
import { micViews, type SourceReceiver, sourceViews, startFreePath } from './source-receiver.ts';
import { barrierFactors, factor, sortBarriers } from './trace.ts';

type ReflectingRoom = {
  readonly shape: RoomShape;
  /** Energy factors of its surfaces, packed [surface][band]. */
  readonly reflected: Float64Array;
  readonly barriers: Barriers | null;
};

/** Visits each reflection off a surface. */
export function surfaceReflections(pair: SourceReceiver, room: ReflectingRoom, visit: Visit): void {
  const { shape } = room;
  const { reflection } = pair;
  const from = pair.emitter.at;
  const to = pair.capsule.at;
  if (meetsLevels(shape, from, to)) {
    if (offLevel(reflection, 0, shape.floor, from, to)) surfaceReflection(pair, 0, room, visit);
    if (offLevel(reflection, 1, shape.ceiling, from, to)) surfaceReflection(pair, 1, room, visit);
  }
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, shape, from, to)) surfaceReflection(pair, 2 + w, room, visit);
}

function surfaceReflection(pair: SourceReceiver, surface: number, room: ReflectingRoom, visit: Visit): void {
  const { path, reflection: hit, workspace } = pair;
  const { reflected, barriers } = room;
  const row = surface * BAND_COUNT;
  setPoint(path.leave, hit.leaveX, hit.leaveY, hit.leaveZ);
  setPoint(path.arrive, hit.arriveX, hit.arriveY, hit.arriveZ);
  startFreePath(pair, 'surface', 'reflections', hit.length);
  path.surface = surface;
  keepOf(path, reflected, row);
  workspace.record?.factors.push({ kind: 'surface', by: reflected.slice(row, row + BAND_COUNT) });
  path.along = hit.along;
  if (barriers) transmitLegs(pair, barriers, viewsFromSurfaceImage(barriers, surface), -1);
  visit(path);
}

/**
 * Barriers as they stand where the line image → mic meets them after the reflection, and source → the mic's image before it.
 * `seen` is where the views of either image begin, `reflector` the panel, −1 for a surface.
 */
function transmitLegs(pair: SourceReceiver, barriers: Barriers, seen: number, reflector: number): void {
  const { path, workspace } = pair;
  const { energy, along } = path;
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
  transmitPanels(energy, barriers);
  ends.sourceAt = 0;
  ends.micAt = seen;
  ends.from = 0;
  ends.to = along;
  ends.where = 'before';
  transmitPanels(energy, barriers);
  if (barriers.joined.length > 0) transmitJoined(pair, barriers, reflector);
  const { record } = workspace;
  if (!record) return;
  sortBarriers(record, 0);
  record.factors.push(...barrierFactors(record));
}

function transmitJoined(pair: SourceReceiver, barriers: Barriers, reflector: number): void {
  const { path } = pair;
  const { along } = path;
  const source = pair.emitter.at;
  const mic = pair.capsule.at;
  const panel = barriers.reflectors[reflector] ?? null;
  const except = panel?.panel ?? null;
  const image = panel ? pair.image : ahead(mic, path.arrive, -path.length);
  const beyond: Point = panel ? [0, 0, 0] : ahead(source, path.leave, path.length);
  if (panel) panelImage(beyond, panel, mic);
  transmitBarriers(path.energy, barriers, { source: image, mic, from: along, to: 1, except, where: 'after' });
  transmitBarriers(path.energy, barriers, {
    source,
    mic: beyond,
    from: 0,
    to: along,
    except,
    where: 'before',
  });
}

const ahead = (from: Vec3, direction: Vec3, by: number): Point => [
  from[0] + by * direction[0],
  from[1] + by * direction[1],
  from[2] + by * direction[2],
];

/** Visits the reflection off each panel that source and mic stand on one side of. */
export function panelReflections(
  pair: SourceReceiver,
  shape: RoomShape | null,
  barriers: Barriers,
  visit: Visit,
): void {
  for (let reflector = 0; reflector < barriers.reflectors.length; reflector++)
    if (panelReflection(pair, reflector, barriers, shape)) visit(pair.path);
}

function panelReflection(
  pair: SourceReceiver,
  reflector: number,
  barriers: Barriers,
  shape: RoomShape | null,
): boolean {
  const { emitter, capsule, path, image, workspace } = pair;
  const panel = barriers.reflectors[reflector] as PreparedPanel;
  const along = reflectInPanel(image, panel, emitter.at, capsule.at);
  if (along < 0) return false;
  if (shape && !shape.convex && !bothLegsInside(shape, image, along, pair)) return false;
  startReflectedPath(pair, panel);
  pastReflector(pair, reflector, barriers);
  panelReflectance(path.energy, workspace, panel);
  workspace.record?.factors.push(
    factor('face', (band) => faceReflectance(panel, band)),
    factor('size', (band) => caught(workspace, band)),
  );
  keepOf(path, path.energy);
  path.along = along;
  transmitLegs(pair, barriers, viewsFromPanelImage(barriers, reflector), reflector);
  return true;
}

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
 * Sets `past` to that of the line image → mic past the reflector itself. A point and its image see the same edges of a panel, so
 * that the source's own views serve.
 */
function pastReflector(pair: SourceReceiver, reflector: number, barriers: Barriers): void {
  const { lone, aloneAs, reflectors } = barriers;
  const { workspace } = pair;
  const alone = aloneAs[reflector] as number;
  if (alone < 0) {
    pastPanel(workspace, reflectors[reflector] as PreparedPanel, pair.image, pair.capsule.at);
    return;
  }
  const { ends } = workspace;
  workspace.straight.length = pair.path.length;
  ends.source = sourceViews(barriers, pair);
  ends.mic = micViews(barriers, pair);
  ends.sourceAt = alone * VIEW_SIZE;
  ends.micAt = alone * VIEW_SIZE;
  pastPanelFromViews(workspace, lone[alone] as PreparedPanel);
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
