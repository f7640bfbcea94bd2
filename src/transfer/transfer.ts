/** `transfer(scene)`: all pairs; one kernel for a path's energy (today `pathEnergy`, `addPath`, `hearAgain`, why's factors). */
import { faded } from '../acoustics/air.ts';
import { BAND_COUNT, type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { gridPlace, spreading, waveRadiusSquared } from '../acoustics/directivity.ts';
import { firstOrder } from '../acoustics/pattern.ts';
import { type Capsule, OUTSIDE, type Scene } from '../scene/scene.ts';
import { directPath } from './direct.ts';
import { newReflection, offLevel, offWall, type RoomShape } from './image-sources.ts';
import { type Cover, coverBetween, readPath, takeCover, takeReading } from './override.ts';
import { panelViewOf } from './panel-view.ts';
import {
  type Between,
  type Emitter,
  type Medium,
  ROWS,
  SHARES,
  type Share,
  type SoundPath,
  startPath,
  type Visit,
} from './path-energy.ts';
import {
  type PreparedScene,
  prepareScene,
  type SourceEmitters,
  type UnobstructedRoom,
} from './prepared-scene.ts';
import { panelReflections, surfaceReflections } from './reflections.ts';
import { type Joint, type Link, linkOf } from './source-receiver.ts';
import { wallPaths } from './wall-crossing.ts';

/** Numbers a pair takes in the packed table. */
export const PAIR_SIZE = SHARES.length * BAND_COUNT;

export type Transfer = {
  readonly sources: number;
  readonly capsules: number;
  /** Energies p² re (20 µPa)², packed [source][capsule][share][band]. */
  readonly energy: Float64Array;
  readonly prepared: PreparedScene;
};

export function transfer(scene: Scene): Transfer {
  return transferOn(prepareScene(scene));
}

/** The same for a stage already made: for other capsules in the same rooms, with the same sources. */
export function transferOn(prepared: PreparedScene): Transfer {
  const sources = prepared.scene.sources.length;
  const capsules = prepared.scene.capsules.length;
  const energy = new Float64Array(sources * capsules * PAIR_SIZE);
  const adder = adderTo(energy);
  for (let source = 0; source < sources; source++) {
    for (let capsule = 0; capsule < capsules; capsule++) {
      adder.from = (source * capsules + capsule) * PAIR_SIZE;
      addPair(adder, prepared, source, capsule);
    }
  }
  return { sources, capsules, energy, prepared };
}

/** Energy of one pair in one band: of one share, or of all. */
export function energyAt(
  result: Transfer,
  source: number,
  capsule: number,
  band: number,
  share?: Share,
): number {
  const from = (source * result.capsules + capsule) * PAIR_SIZE + band;
  if (share) return result.energy[from + SHARES.indexOf(share) * BAND_COUNT] ?? 0;
  let sum = 0;
  for (let i = 0; i < SHARES.length; i++) sum += result.energy[from + i * BAND_COUNT] ?? 0;
  return sum;
}

// One source at one capsule: every way there is, summed by share.

/** Writes the energies of a pair, packed [share][band]. `into` need not be empty. */
export function pairEnergy(
  into: Float64Array,
  prepared: PreparedScene,
  source: number,
  capsule: number,
): void {
  into.fill(0);
  addPair(adderTo(into), prepared, source, capsule);
}

/** Adds all ways of a pair; those in a plain room to the last bit what `eachPath` would visit. */
function addPair(adder: Adder, prepared: PreparedScene, source: number, capsule: number): void {
  const sourceEmitters = prepared.emitters[source];
  const receiver = prepared.scene.capsules[capsule];
  const unobstructed = receiver && sourceEmitters ? unobstructedRoomOf(prepared, source, receiver) : null;
  if (!sourceEmitters || !receiver || !unobstructed) {
    eachPath(prepared, source, capsule, adder.visit);
    return;
  }
  const { shape, reflected } = unobstructed;
  for (let point = 0; point < sourceEmitters.points.length; point++) {
    const link = joined(sourceEmitters.points[point] as Emitter, receiver, prepared.medium);
    addUnobstructedPaths(adder.into, adder.from, shape, reflected, link);
    fieldPath(prepared, link, sourceEmitters.firstSurfaceAlphas[point] as Float64Array, adder.visit);
  }
}

/** The room that a source shares with a capsule, where no screen, corner, cover, table or reading takes part. */
function unobstructedRoomOf(
  prepared: PreparedScene,
  source: number,
  receiver: Capsule,
): UnobstructedRoom | null {
  const { room } = receiver;
  const obstacles = prepared.obstacles[room];
  const unobstructed = prepared.unobstructed[room];
  if (!unobstructed || !obstacles || obstacles.barriers || receiver.pattern.table || receiver.read)
    return null;
  const { points } = prepared.emitters[source] as SourceEmitters;
  for (let i = 0; i < points.length; i++) if ((points[i] as Emitter).room !== room) return null;
  return coverBetween(prepared.scene, source, receiver) ? null : unobstructed;
}

/** Adds what it visits to a table of pairs, at the pair that begins at `from`: one visitor for all, not one a pair. */
type Adder = { readonly into: Float64Array; from: number; readonly visit: Visit };

function adderTo(into: Float64Array): Adder {
  const adder = {
    into,
    from: 0,
    visit: ({ row, energy, response }: SoundPath): void => {
      const at = adder.from + row;
      for (let band = 0; band < BAND_COUNT; band++)
        into[at + band] = (into[at + band] as number) + (energy[band] as number) * (response[band] as number);
    },
  };
  return adder;
}

/** Writes anew the field of a pair in one room, all else as it is: for a room whose absorption alone has changed. */
export function pairField(
  into: Float64Array,
  prepared: PreparedScene,
  source: number,
  capsule: number,
): void {
  into.fill(0, ROWS.room, ROWS.room + BAND_COUNT);
  visitPaths(prepared, source, capsule, adderTo(into).visit, false);
}

/** Visits every way from each point of a source to a capsule; the visited record is the stage's own and changes. */
export function eachPath(prepared: PreparedScene, source: number, capsule: number, visit: Visit): void {
  visitPaths(prepared, source, capsule, visit, true);
}

function visitPaths(
  prepared: PreparedScene,
  source: number,
  capsule: number,
  visit: Visit,
  straight: boolean,
): void {
  const sourceEmitters = prepared.emitters[source];
  const receiver = prepared.scene.capsules[capsule];
  if (!sourceEmitters || !receiver) return;
  const cover = coverBetween(prepared.scene, source, receiver);
  const read = readPath(prepared.scene.sources[source], receiver);
  const covered = cover || read ? changedVisit(cover, read, visit) : visit;
  for (let point = 0; point < sourceEmitters.points.length; point++) {
    const link = joined(sourceEmitters.points[point] as Emitter, receiver, prepared.medium);
    if (straight && link.emitter.room === receiver.room) pathsInRoom(prepared, link, covered);
    else if (straight) wallPaths(prepared, link, covered);
    fieldPath(prepared, link, sourceEmitters.firstSurfaceAlphas[point] as Float64Array, covered);
  }
}

const changedVisit =
  (cover: Cover | null, read: ReturnType<typeof readPath>, visit: Visit): Visit =>
  (path) => {
    if (cover) takeCover(path, cover);
    if (read) takeReading(path, read);
    visit(path);
  };

let joint: Joint | null = null;

function joined(emitter: Emitter, capsule: Capsule, medium: Medium): Joint {
  joint ??= linkOf(emitter, capsule, medium);
  joint.emitter = emitter;
  joint.capsule = capsule;
  joint.medium = medium;
  joint.from = null;
  joint.to = null;
  return joint;
}

function pathsInRoom(prepared: PreparedScene, link: Joint, visit: Visit): void {
  const { path } = prepared;
  const { room } = link.capsule;
  const obstacles = prepared.obstacles[room === OUTSIDE ? prepared.shapes.length : room];
  if (!obstacles) return;
  if (obstacles.barriers) {
    link.from = panelViewOf(obstacles.barriers, link.emitter.at, true);
    link.to = panelViewOf(obstacles.barriers, link.capsule.at, true);
  }
  directPath(path, obstacles, link, visit);
  const shape = prepared.shapes[room] ?? null;
  const reflected = prepared.absorptions[room]?.reflected;
  if (shape && reflected) surfaceReflections(path, { shape, reflected, obstacles }, link, visit);
  panelReflections(path, shape, obstacles, link, visit);
}

// All straight ways of a pair in a room without screens and inner corners, summed where they are computed. Most rooms are such, and
// to hand each way on as a record, which `eachPath` does for those who want to tell it, took a quarter longer.

const reflection = newReflection();

const UNHINDERED = sameInAllBands(1);

/** Adds the direct way and the reflections off the surfaces to a pair's energies, packed [share][band] from `at` on. */
function addUnobstructedPaths(
  into: Float64Array,
  at: number,
  shape: RoomShape,
  reflected: Float64Array,
  link: Between,
): void {
  const { emitter, capsule } = link;
  const from = emitter.at;
  const to = capsule.at;
  addDirect(into, at + ROWS.direct, link);
  const row = at + ROWS.reflections;
  if (offLevel(reflection, 0, shape.floor, from, to)) addReflected(into, row, link, reflected, 0);
  if (offLevel(reflection, 1, shape.ceiling, from, to)) addReflected(into, row, link, reflected, 1);
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, shape, from, to)) addReflected(into, row, link, reflected, 2 + w);
}

function addDirect(into: Float64Array, row: number, link: Between): void {
  const { emitter, capsule } = link;
  const dx = capsule.at[0] - emitter.at[0];
  const dy = capsule.at[1] - emitter.at[1];
  const dz = capsule.at[2] - emitter.at[2];
  const length = Math.max(Math.sqrt(dx * dx + dy * dy + dz * dz), 1e-9);
  const x = dx / length;
  const y = dy / length;
  const z = dz / length;
  const { axis } = emitter;
  const { aim } = capsule;
  const cosLeave = x * axis[0] + y * axis[1] + z * axis[2];
  addPath(into, row, link, UNHINDERED, 0, length, cosLeave, -(x * aim[0] + y * aim[1] + z * aim[2]));
}

function addReflected(
  into: Float64Array,
  row: number,
  link: Between,
  reflected: Float64Array,
  surface: number,
): void {
  const { axis } = link.emitter;
  const { aim } = link.capsule;
  const { leaveX, leaveY, leaveZ, arriveX, arriveY, arriveZ, length } = reflection;
  const cosLeave = leaveX * axis[0] + leaveY * axis[1] + leaveZ * axis[2];
  const cosArrive = -(arriveX * aim[0] + arriveY * aim[1] + arriveZ * aim[2]);
  addPath(into, row, link, reflected, surface * BAND_COUNT, length, cosLeave, cosArrive);
}

/** `pathEnergy` times the factors `kept`, from `first` on: to the last bit what the record of the way would hold. */
function addPath(
  into: Float64Array,
  row: number,
  { emitter, capsule, medium }: Between,
  kept: Float64Array,
  first: number,
  length: number,
  cosLeave: number,
  cosArrive: number,
): void {
  const { strength, omnidirectional, grid, radius } = emitter;
  const { nullFloor, pattern } = capsule;
  const { a } = pattern;
  const { m, inverseK2 } = medium;
  const { gains, steps } = grid;
  const spreadFactor = spreading(radius, length);
  const near = capsule.proximity ? 1 / waveRadiusSquared(radius, length) : 0;
  const place = omnidirectional ? 0 : gridPlace(grid, cosLeave);
  const step = Math.min(steps - 1, place | 0);
  const from = step * BAND_COUNT;
  const part = place - step;
  for (let band = 0; band < BAND_COUNT; band++) {
    const low = gains[from + band] as number;
    const toward = low + ((gains[from + BAND_COUNT + band] as number) - low) * part;
    const free = (strength[band] as number) * spreadFactor * toward * faded((m[band] as number) * length);
    const response = firstOrder(
      a[band] as number,
      nullFloor[band] as number,
      cosArrive,
      near * (inverseK2[band] as number),
    );
    into[row + band] = (into[row + band] as number) + free * (kept[first + band] as number) * response;
  }
}

// The diffuse field of a room at a capsule.

/**
 * The remainder from the second reflection on: 4·x_i·(1−α₁)(1−ᾱ_i)·REE in the source's own room, 4·x_j·REE whole in
 * another. `firstSurfaceAlpha` is the source's α₁ by band.
 */
function fieldPath(prepared: PreparedScene, link: Link, firstSurfaceAlpha: Bands, visit: Visit): void {
  const { emitter, capsule } = link;
  const { path } = prepared;
  const count = prepared.absorptions.length;
  const own = capsule.room === emitter.room;
  const mean = prepared.absorptions[capsule.room]?.mean;
  if (!mean || emitter.room === OUTSIDE) return;
  startPath(path, 'field', own ? 'room' : 'walls', 0);
  for (let band = 0; band < BAND_COUNT; band++) {
    const perPower = prepared.fields[(band * count + capsule.room) * count + emitter.room] as number;
    const field = 4 * perPower * (emitter.power[band] as number);
    path.free[band] = field;
    path.response[band] = capsule.ree[band] as number;
    path.energy[band] = own
      ? field * (1 - (firstSurfaceAlpha[band] as number)) * (1 - (mean[band] as number))
      : field;
  }
  visit(path);
}
