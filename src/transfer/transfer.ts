/** Energies of every source at every capsule, by share and band: the sum of all paths of each pair. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { seesWithin, type Vec3 } from '../geometry.ts';
import { type Capsule, OUTSIDE, type Scene } from '../scene/scene.ts';
import { directPastBarriers, multiply, transmitLeg } from './barrier-diffraction.ts';
import { lengthInside, pathRoundCorners } from './corner.ts';
import { BAND_SIZE, edgeEnergy } from './edge-diffraction.ts';
import { offLevel, offWall } from './image-sources.ts';
import { panelViewOf, setPoint } from './panel-view.ts';
import type { Emitter, Share, SoundPath, Visit } from './path-energy.ts';
import { addPathEnergy, hearFree, keepOf, ROWS, SHARES } from './path-energy.ts';
import type { Obstacles, PreparedScene, UnobstructedRoom } from './prepared-scene.ts';
import { coverBetween, coverFactor, prepareScene, readPath } from './prepared-scene.ts';
import { panelReflections, surfaceReflections } from './reflections.ts';
import {
  newSourceReceiver,
  recordFree,
  type SourceReceiver,
  startPath,
  startStraightPath,
  UNHINDERED,
} from './source-receiver.ts';
import { barrierFactors, factor, newPathRecord, type PathRecord } from './trace.ts';
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

/** All pairs of a scene. Where a scene like it is already prepared, as `known`, its room shapes and working memory serve again. */
export const transfer = (scene: Scene, known?: PreparedScene): Transfer =>
  transferOn(prepareScene(scene, known));

/** The same for a scene already prepared: for other capsules in the same rooms, with the same sources. */
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

/** Adds all paths of a pair. */
function addPair(adder: Adder, prepared: PreparedScene, source: number, capsule: number): void {
  const sourceEmitters = prepared.emitters[source];
  const receiver = prepared.scene.capsules[capsule];
  const room = receiver && sourceEmitters ? unobstructedRoomOf(prepared, source, receiver) : null;
  if (!sourceEmitters || !receiver || !room) {
    eachPath(prepared, source, capsule, adder.visit);
    return;
  }
  const { points, firstSurfaceAlphas } = sourceEmitters;
  for (let point = 0; point < points.length; point++) {
    const pair = pairOf(prepared, points[point] as Emitter, receiver);
    addUnobstructedPaths(adder, room, pair);
    fieldPath(prepared, pair, firstSurfaceAlphas[point] as Float64Array, adder.visit);
  }
}

/** The room that a source shares with a capsule, where no barrier, corner, cover, table or reading takes part. */
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
  const points = prepared.emitters[source]?.points ?? [];
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

/** Writes anew the diffuse field of a pair in one room, all else as it is: for a room whose absorption alone has changed. */
export function pairField(
  into: Float64Array,
  prepared: PreparedScene,
  source: number,
  capsule: number,
): void {
  into.fill(0, ROWS.room, ROWS.room + BAND_COUNT);
  visitPaths(prepared, { source, capsule, fieldOnly: true }, adderTo(into).visit);
}

/** Visits every path from each point of a source to a capsule; the visited record is reused and changes. */
export function eachPath(prepared: PreparedScene, source: number, capsule: number, visit: Visit): void {
  visitPaths(prepared, { source, capsule, fieldOnly: false }, visit);
}

/** The same with what the kernel recorded of each path; the record stays as it is. */
export function eachRecordedPath(
  prepared: PreparedScene,
  source: number,
  capsule: number,
  visit: (path: SoundPath, record: PathRecord) => void,
): void {
  const { workspace } = prepared.memory;
  const record = newPathRecord();
  workspace.record = record;
  try {
    eachPath(prepared, source, capsule, (path) => visit(path, { ...record }));
  } finally {
    workspace.record = null;
  }
}

type Pair = { readonly source: number; readonly capsule: number; readonly fieldOnly: boolean };

function visitPaths(prepared: PreparedScene, { source, capsule, fieldOnly }: Pair, visit: Visit): void {
  const sourceEmitters = prepared.emitters[source];
  const receiver = prepared.scene.capsules[capsule];
  if (!sourceEmitters || !receiver) return;
  const { points, firstSurfaceAlphas } = sourceEmitters;
  const overridden = overriddenVisit(prepared, source, receiver, visit);
  for (let point = 0; point < points.length; point++) {
    const pair = pairOf(prepared, points[point] as Emitter, receiver);
    if (!fieldOnly && pair.emitter.room === receiver.room) pathsInRoom(prepared, pair, overridden);
    else if (!fieldOnly) wallPaths(prepared, pair, overridden);
    fieldPath(prepared, pair, firstSurfaceAlphas[point] as Float64Array, overridden);
  }
}

/** The visitor with covers and measured levels taken into what it visits. */
function overriddenVisit(prepared: PreparedScene, source: number, receiver: Capsule, visit: Visit): Visit {
  const cover = coverBetween(prepared.scene, source, receiver);
  const reading = readPath(prepared.scene.sources[source], receiver);
  if (!cover && !reading) return visit;
  const { workspace } = prepared.memory;
  return (path) => {
    const covered = cover && coverFactor(cover, path.share);
    if (covered) multiply(path.energy, covered);
    if (covered) workspace.record?.factors.push({ kind: 'cover', by: covered });
    if (reading) multiply(path.energy, reading.factor);
    if (reading) workspace.record?.factors.push({ kind: 'reading', by: reading.factor });
    visit(path);
  };
}

/** The working pair, set to a source point and a capsule. */
function pairOf({ memory, medium }: PreparedScene, emitter: Emitter, capsule: Capsule): SourceReceiver {
  memory.pair ??= newSourceReceiver({ emitter, capsule, medium }, memory.workspace);
  const { pair } = memory;
  pair.emitter = emitter;
  pair.capsule = capsule;
  pair.medium = medium;
  pair.sourceView = null;
  pair.micView = null;
  return pair;
}

function pathsInRoom(prepared: PreparedScene, pair: SourceReceiver, visit: Visit): void {
  const { room } = pair.capsule;
  const obstacles = prepared.obstacles[room === OUTSIDE ? prepared.shapes.length : room];
  if (!obstacles) return;
  const { barriers } = obstacles;
  if (barriers) {
    pair.sourceView = panelViewOf(barriers, pair.emitter.at, true);
    pair.micView = panelViewOf(barriers, pair.capsule.at, true);
  }
  directPath(pair, obstacles, visit);
  const shape = prepared.shapes[room] ?? null;
  const reflected = prepared.absorptions[room]?.reflected;
  if (shape && reflected) surfaceReflections(pair, { shape, reflected, barriers }, visit);
  if (barriers) panelReflections(pair, shape, barriers, visit);
}

/** Visits the direct path, where there is one. */
function directPath(pair: SourceReceiver, obstacles: Obstacles, visit: Visit): void {
  const { emitter, capsule, path, workspace } = pair;
  const { corners, barriers } = obstacles;
  startStraightPath(pair, 'direct', 'direct');
  if (
    corners &&
    !seesWithin(corners.outline, [emitter.at[0], emitter.at[1]], [capsule.at[0], capsule.at[1]])
  ) {
    if (bentPath(pair, obstacles)) visit(path);
    return;
  }
  if (barriers && directPastBarriers(path.energy, barriers, emitter.at, capsule.at, pair.pathEnergy)) {
    hearFree(path);
    workspace.record?.factors.push(
      factor('baffles', (band) => (path.energy[band] as number) / (path.free[band] as number)),
    );
  } else keepOf(path, UNHINDERED);
  visit(path);
}

/** Bends at the inner corners; barriers act on each straight leg as on an image path. The mic picks it up from its last bend. */
function bentPath(pair: SourceReceiver, { corners, barriers }: Obstacles): boolean {
  const { emitter, capsule, path, workspace } = pair;
  if (!corners) return false;
  const ends = { source: emitter.at, mic: capsule.at, pathEnergy: pair.pathEnergy };
  const bends = pathRoundCorners(path.energy, workspace, corners, ends);
  if (!bends) return false;
  const [side] = workspace.sides;
  const { record } = workspace;
  path.kind = 'corner';
  setPoint(path.arrive, ...side.arrive);
  path.response.set(side.response);
  recordFree(pair, side);
  record?.factors.push(factor('corners', (band) => edgeEnergy(side.wave, band * BAND_SIZE)));
  if (!barriers) return true;
  const stops = withHeights(emitter.at, bends, capsule.at);
  for (let i = 1; i < stops.length; i++) {
    const leg = { source: stops[i - 1] as Vec3, mic: stops[i] as Vec3, from: 0, to: 1, except: null };
    transmitLeg(path.energy, barriers, { ...leg, where: 'whole' });
  }
  record?.factors.push(...barrierFactors(record));
  return true;
}

/** The bends of a path with their heights: it rises evenly from its start to its end. */
function withHeights(from: Vec3, bends: readonly (readonly [number, number])[], to: Vec3): Vec3[] {
  const stops = [from, ...bends, to];
  const gone = stops.map((stop, i) => {
    const before = stops[i - 1] ?? stop;
    return Math.hypot(stop[0] - before[0], stop[1] - before[1]);
  });
  const whole = gone.reduce((sum, leg) => sum + leg, 0);
  let sum = 0;
  return stops.map((stop, i): Vec3 => {
    sum += gone[i] as number;
    return [stop[0], stop[1], from[2] + ((to[2] - from[2]) * sum) / whole];
  });
}

// All paths but the diffuse field of a pair in a room without barriers and inner corners, added where they are computed. Most rooms are
// such, and to visit each path took a quarter longer; a test holds both to each other.

/** Adds the direct path and the reflections off the surfaces to a pair's energies. */
function addUnobstructedPaths(
  { into, from: at }: Adder,
  { shape, reflected }: UnobstructedRoom,
  pair: SourceReceiver,
): void {
  const { reflection, path } = pair;
  const { at: from, axis } = pair.emitter;
  const { at: to, aim } = pair.capsule;
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  const dz = to[2] - from[2];
  const length = Math.max(Math.sqrt(dx * dx + dy * dy + dz * dz), 1e-9);
  const x = dx / length;
  const y = dy / length;
  const z = dz / length;
  path.cosLeave = x * axis[0] + y * axis[1] + z * axis[2];
  path.cosArrive = -(x * aim[0] + y * aim[1] + z * aim[2]);
  path.spread = length;
  path.length = length;
  addPathEnergy(into, at + ROWS.direct, pair, UNHINDERED, 0);
  const row = at + ROWS.reflections;
  if (offLevel(reflection, 0, shape.floor, from, to)) addReflected(into, row, pair, reflected, 0);
  if (offLevel(reflection, 1, shape.ceiling, from, to)) addReflected(into, row, pair, reflected, 1);
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, shape, from, to)) addReflected(into, row, pair, reflected, 2 + w);
}

function addReflected(
  into: Float64Array,
  row: number,
  pair: SourceReceiver,
  reflected: Float64Array,
  surface: number,
): void {
  const { path, emitter, capsule, reflection: hit } = pair;
  const { axis } = emitter;
  const { aim } = capsule;
  path.cosLeave = hit.leaveX * axis[0] + hit.leaveY * axis[1] + hit.leaveZ * axis[2];
  path.cosArrive = -(hit.arriveX * aim[0] + hit.arriveY * aim[1] + hit.arriveZ * aim[2]);
  path.spread = hit.length;
  path.length = hit.length;
  addPathEnergy(into, row, pair, reflected, surface * BAND_COUNT);
}

/**
 * The remainder from the second reflection on: 4·x_i/w_i·(1−α₁)(1−ᾱ_i)^((1+r/ℓ)/2)·REE in the source's own room, r the straight
 * line or the way around inner corners; 4·x_j/w_j·REE whole in another. `firstSurfaceAlpha` is the source's α₁ by band.
 */
function fieldPath(
  prepared: PreparedScene,
  pair: SourceReceiver,
  firstSurfaceAlpha: Bands,
  visit: Visit,
): void {
  const { emitter, capsule, path, workspace } = pair;
  const count = prepared.absorptions.length;
  const own = capsule.room === emitter.room;
  const absorption = prepared.absorptions[capsule.room];
  if (!absorption || emitter.room === OUTSIDE) return;
  const { halfLoss, freePath, interior } = absorption;
  const corners = prepared.obstacles[capsule.room]?.corners ?? null;
  const halfPaths = own ? 1 + lengthInside(corners, emitter.at, capsule.at) / freePath : 0;
  const perPower = (band: number): number =>
    4 * (prepared.fields[(band * count + capsule.room) * count + emitter.room] as number);
  startPath(pair, 'diffuse-field', own ? 'room' : 'walls');
  for (let band = 0; band < BAND_COUNT; band++) {
    const field = perPower(band) * (emitter.power[band] as number) * (interior[band] as number);
    const left = own
      ? (1 - (firstSurfaceAlpha[band] as number)) * Math.exp((halfLoss[band] as number) * halfPaths)
      : 1;
    path.free[band] = field;
    path.energy[band] = field * left;
    path.response[band] = capsule.ree[band] as number;
  }
  workspace.record?.factors.push({ kind: 'power', by: emitter.power }, factor('field', perPower), {
    kind: 'interior',
    by: interior,
  });
  if (own)
    workspace.record?.factors.push(
      factor('first-hit', (band) => 1 - (firstSurfaceAlpha[band] as number)),
      factor('further-hits', (band) => Math.exp((halfLoss[band] as number) * halfPaths)),
    );
  workspace.record?.factors.push({ kind: 'random', by: capsule.ree });
  visit(path);
}
