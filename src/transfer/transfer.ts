/** Energies of every source at every capsule, by share and band: the sum of all paths of each pair. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import type { Vec3 } from '../geometry.ts';
import { type Capsule, OUTSIDE, type Scene } from '../scene/scene.ts';
import { solidAngle } from './aperture.ts';
import {
  addBarriersDirect,
  addLeg,
  combinedFactor,
  directPast,
  multiply,
  startDirect,
  startLosses,
  takeLosses,
} from './barrier-diffraction.ts';
import { addCorners, addCornersDirect, lengthInside, seesOnPlan, setBends } from './corner.ts';
import { freeEdgeEnergy, setLength } from './diffraction-path.ts';
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
import { factor, newPathRecord, type PathRecord } from './trace.ts';
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
  const { corners } = obstacles;
  const mixed = prepared.mixed[room] ?? [];
  if (shape && reflected) surfaceReflections(pair, { shape, reflected, barriers, corners, mixed }, visit);
  if (barriers) panelReflections(pair, { shape, barriers, corners }, visit);
}

/** Visits the direct path, where there is one. */
function directPath(pair: SourceReceiver, obstacles: Obstacles, visit: Visit): void {
  const { emitter, capsule, path, workspace } = pair;
  const { corners, barriers } = obstacles;
  startStraightPath(pair, 'direct', 'direct');
  const ends = { source: emitter.at, mic: capsule.at, pathEnergy: pair.pathEnergy };
  if (corners && !seesOnPlan(corners, ends)) {
    if (bentPath(pair, obstacles)) visit(path);
    return;
  }
  startDirect(workspace, ends);
  if (barriers) addBarriersDirect(barriers, ends);
  if (corners) addCornersDirect(workspace, corners, ends);
  if (directPast(path.energy, workspace)) {
    hearFree(path);
    const { record } = workspace;
    const kind = record && record.barriers.length > 0 ? 'baffles' : 'corners';
    record?.factors.push(factor(kind, (band) => (path.energy[band] as number) / (path.free[band] as number)));
  } else keepOf(path, UNHINDERED);
  visit(path);
}

/** Bends at the inner corners; barriers act on each straight leg as on an image path. The mic picks it up from its last bend. */
function bentPath(pair: SourceReceiver, { corners, barriers }: Obstacles): boolean {
  const { emitter, capsule, path, workspace } = pair;
  if (!corners) return false;
  const { at: source } = emitter;
  const { at: mic } = capsule;
  const { record } = workspace;
  setLength(workspace, source, mic);
  startLosses(workspace);
  const bends = addCorners(workspace, corners, [source, mic]);
  if (!bends) return false;
  const [side] = workspace.sides;
  setBends(workspace, bends, [source, mic]);
  freeEdgeEnergy(workspace, side, source, mic, pair.pathEnergy);
  path.kind = 'corner';
  setPoint(path.arrive, ...side.arrive);
  path.response.set(side.response);
  path.energy.set(side.free);
  recordFree(pair, side);
  record?.factors.push({ kind: 'corners', by: combinedFactor(workspace) });
  const stops = withHeights(
    source,
    bends.map(({ at }) => at),
    mic,
  );
  for (let i = 1; barriers && i < stops.length; i++) {
    const leg = { source: stops[i - 1] as Vec3, mic: stops[i] as Vec3, from: 0, to: 1, except: null };
    addLeg(barriers, { ...leg, where: 'whole' });
  }
  takeLosses(path.energy, workspace);
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

type Opening = PreparedScene['openings']['ofRoom'][number][number];
const NO_OPENINGS: readonly Opening[] = [];

/** Adds `share` times the field of a room, per unit of power where the source is; `left` is what first surfaces leave. Outside is none. */
function addField(
  pair: SourceReceiver,
  prepared: PreparedScene,
  room: number,
  left: Bands,
  share: number,
): void {
  const { fields, absorptions } = prepared;
  const interior = absorptions[room]?.interior;
  if (!interior) return;
  const { free } = pair.path;
  const count = absorptions.length;
  let at = room * count + pair.emitter.room;
  for (let band = 0; band < BAND_COUNT; band++) {
    free[band] =
      (free[band] as number) +
      share * (fields[at] as number) * (interior[band] as number) * (left[band] as number);
    at += count * count;
  }
}

/**
 * The remainder from the second reflection on: 4·x_i/w_i·(1−α₁)(1−ᾱ_i)^((1+r/ℓ)/2)·REE in the source's own room, r the straight
 * line or the way around inner corners; 4·x_j/w_j·REE whole in another. Before an opening the fields of both rooms count by the solid
 * angle in which the mic sees it. `firstSurfaceAlpha` is the source's α₁ by band.
 */
function fieldPath(
  prepared: PreparedScene,
  pair: SourceReceiver,
  firstSurfaceAlpha: Bands,
  visit: Visit,
): void {
  const { emitter, capsule, path, workspace } = pair;
  const own = capsule.room === emitter.room;
  const absorption = prepared.absorptions[emitter.room];
  if (!absorption || capsule.room === OUTSIDE) return;
  const openings = prepared.openings.ofRoom[capsule.room] ?? NO_OPENINGS;
  const left = workspace.response;
  if (own || openings.length > 0) {
    const { halfLoss, freePath } = absorption;
    const corners = own ? (prepared.obstacles[capsule.room]?.corners ?? null) : null;
    const halfPaths = 1 + lengthInside(corners, emitter.at, capsule.at) / freePath;
    for (let band = 0; band < BAND_COUNT; band++)
      left[band] =
        (1 - (firstSurfaceAlpha[band] as number)) * Math.exp((halfLoss[band] as number) * halfPaths);
  }
  startPath(pair, 'diffuse-field', own ? 'room' : 'walls');
  path.free.fill(0);
  let within = 1;
  for (let i = 0; i < openings.length; i++) {
    const { aperture, beyond } = openings[i] as Opening;
    const share = solidAngle(aperture, capsule.at) / (4 * Math.PI);
    within -= share;
    addField(pair, prepared, beyond, beyond === emitter.room ? left : UNHINDERED, share * 4);
  }
  addField(pair, prepared, capsule.room, own ? left : UNHINDERED, within * 4);
  for (let band = 0; band < BAND_COUNT; band++) {
    path.energy[band] = (path.free[band] as number) * (emitter.power[band] as number);
    path.response[band] = capsule.ree[band] as number;
  }
  if (workspace.record) recordField(pair, prepared, firstSurfaceAlpha, left);
  visit(path);
}

/** Records the factors of a diffuse field: with an opening in sight, what is beyond it counts in the room's own. */
function recordField(
  { emitter, capsule, path, workspace: { record } }: SourceReceiver,
  { absorptions }: PreparedScene,
  firstSurfaceAlpha: Bands,
  left: Bands,
): void {
  const own = capsule.room === emitter.room;
  const interior = absorptions[capsule.room]?.interior ?? UNHINDERED;
  const field = factor(
    'field',
    (band) => (path.free[band] as number) / (interior[band] as number) / (own ? (left[band] as number) : 1),
  );
  record?.factors.push({ kind: 'power', by: emitter.power }, field, { kind: 'interior', by: interior });
  if (own)
    record?.factors.push(
      factor('first-hit', (band) => 1 - (firstSurfaceAlpha[band] as number)),
      factor('further-hits', (band) => (left[band] as number) / (1 - (firstSurfaceAlpha[band] as number))),
    );
  record?.factors.push({ kind: 'random', by: capsule.ree });
}
