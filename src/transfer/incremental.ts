/** Energies of a scene that differs little from one already computed: only what changed is computed anew. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { waveRadiusSquared } from '../acoustics/directivity.ts';
import type { Capsule, Room, Scene } from '../scene/scene.ts';
import { startLosses, type Workspace } from './barrier-diffraction.ts';
import { addEntry, combine } from './combined-loss.ts';
import { fieldPerPower, roomAbsorption } from './diffuse-field.ts';
import { applyResponse, RAYS } from './panel-diffraction.ts';
import { responseAt } from './path-energy.ts';
import type { CachedPath, PathCache, PreparedScene, SourceEmitters } from './prepared-scene.ts';
import { coverBetween, obstaclesOf, openingsOf, prepareEmitters, readPath } from './prepared-scene.ts';
import { cosineOf } from './source-receiver.ts';
import type { Transfer } from './transfer.ts';
import { eachPath, PAIR_SIZE, pairEnergy, pairField, transfer, transferOn } from './transfer.ts';

type Known = { readonly scene: Scene; readonly result: Transfer };

/** The same as `transfer(scene)`, to the last bit. A mic that turns costs one column, a player that moves its rows. */
export function incrementalTransfer({ scene: before, result }: Known, scene: Scene): Transfer {
  const prepared = preparedFrom(result.prepared, before, scene);
  if (!prepared) return transfer(scene, result.prepared);
  const sameSize = result.sources === scene.sources.length && result.capsules === scene.capsules.length;
  if (!sameSize || !deepEqual(scene.panels, before.panels)) return transferOn(prepared);
  return patched(prepared, before, result);
}

/** The scene prepared with what it shares with a known one; null where the building differs. */
function preparedFrom(known: PreparedScene, before: Scene, scene: Scene): PreparedScene | null {
  if (!deepEqual(scene.air, before.air) || !deepEqual(scene.partitions, before.partitions)) return null;
  const fields = fieldsFrom(known, before, scene);
  if (!fields) return null;
  const emitters = allEmitters(scene, before, known);
  const prepared = { ...known, ...fields, scene, emitters, openings: openingsOf(scene) };
  if (deepEqual(scene.panels, before.panels)) return prepared;
  return { ...prepared, obstacles: obstaclesOf(scene, prepared.absorptions, prepared.memory.workspace) };
}

type Fields = Pick<PreparedScene, 'absorptions' | 'fields'>;

/** Who and what stands in a room changes what it absorbs, but no ray and no reflection; null where its surfaces differ. */
function fieldsFrom(known: PreparedScene, before: Scene, scene: Scene): Fields | null {
  if (deepEqual(scene.rooms, before.rooms)) return known;
  if (!scene.rooms.every((room, i) => isSameShape(room, before.rooms[i]))) return null;
  const absorptions = scene.rooms.map((room) => roomAbsorption(room, scene.air));
  if (!absorptions.every(({ surfaces }, i) => deepEqual(surfaces, known.absorptions[i]?.surfaces)))
    return null;
  return { absorptions, fields: fieldPerPower(absorptions, scene.partitions) };
}

const isSameShape = (room: Room, before: Room | undefined): boolean =>
  deepEqual(room.outline, before?.outline) &&
  room.floor === before?.floor &&
  room.ceiling === before.ceiling &&
  room.host === before.host;

const allEmitters = (scene: Scene, before: Scene, known: PreparedScene): SourceEmitters[] =>
  scene.sources.map((source, i) => {
    const old = known.emitters[i];
    return old && deepEqual(source, before.sources[i]) ? old : prepareEmitters(source, known);
  });

function patched(prepared: PreparedScene, before: Scene, result: Transfer): Transfer {
  const { scene } = prepared;
  const newSource = scene.sources.map((source, i) => !deepEqual(source, before.sources[i]));
  const newCapsule = scene.capsules.map(
    (capsule, i) => !isSameAt(scene, capsule, before, before.capsules[i]),
  );
  const newFields = prepared.fields !== result.prepared.fields;
  const energy = result.energy.slice();
  if (!newFields && !newSource.includes(true)) {
    newCapsule.forEach((isNew, capsule) => {
      if (isNew) updateColumn(energy, { prepared, before, result, capsule });
    });
    return { ...result, energy, prepared };
  }
  for (let source = 0; source < result.sources; source++) {
    for (let capsule = 0; capsule < result.capsules; capsule++) {
      const isNew = newSource[source] || newCapsule[capsule];
      if (!isNew && !newFields) continue;
      const from = (source * result.capsules + capsule) * PAIR_SIZE;
      const pair = energy.subarray(from, from + PAIR_SIZE);
      if (isNew || !isInOneRoom(prepared, source, capsule)) pairEnergy(pair, prepared, source, capsule);
      else pairField(pair, prepared, source, capsule);
    }
  }
  return { ...result, energy, prepared };
}

type Column = {
  readonly prepared: PreparedScene;
  readonly before: Scene;
  readonly result: Transfer;
  readonly capsule: number;
};

/** All sources at one capsule: in a place that is known, of the mic's response alone. */
function updateColumn(energy: Float64Array, { prepared, before, result, capsule }: Column): void {
  const { scene } = prepared;
  const now = scene.capsules[capsule] as Capsule;
  const old = before.capsules[capsule] as Capsule;
  const stays = now.room === old.room && deepEqual(now.at, old.at) && isInsideSame(scene, now, before, old);
  const known = stays ? pathCacheOf(result.prepared, capsule) : null;
  for (let source = 0; source < result.sources; source++) {
    const from = (source * result.capsules + capsule) * PAIR_SIZE;
    const pair = energy.subarray(from, from + PAIR_SIZE);
    const paths = known?.[source];
    if (paths) pairEnergyFromCache(pair, paths, now, prepared);
    else pairEnergy(pair, prepared, source, capsule);
  }
}

/** Kept as long as the prepared scene it belongs to: of a large plan some 100 kB for each mic that was turned. */
function pathCacheOf(prepared: PreparedScene, capsule: number): PathCache {
  const { pathCaches } = prepared.memory;
  const kept = pathCaches.get(prepared) ?? new Map<number, PathCache>();
  pathCaches.set(prepared, kept);
  const column = kept.get(capsule) ?? pathCache(prepared, capsule);
  kept.set(capsule, column);
  return column;
}

const isInOneRoom = ({ scene, emitters }: PreparedScene, source: number, capsule: number): boolean =>
  emitters[source]?.points.every(({ room }) => room === scene.capsules[capsule]?.room) ?? false;

/** A capsule under a cover hears others through it: whose cover that is counts, and what it is. */
function isSameAt(scene: Scene, capsule: Capsule, before: Scene, old: Capsule | undefined): boolean {
  if (capsule === old) return true;
  return old !== undefined && deepEqual(capsule, old) && isInsideSame(scene, capsule, before, old);
}

function isInsideSame(scene: Scene, capsule: Capsule, before: Scene, old: Capsule): boolean {
  const inside = scene.mics[capsule.mic]?.inside ?? null;
  if (inside !== (before.mics[old.mic]?.inside ?? null)) return false;
  return inside === null || deepEqual(scene.sources[inside]?.cover, before.sources[inside]?.cover);
}

// All paths from every source to one place of a microphone, kept so that a mic that only turns, or takes another pattern, is computed
// anew without tracing a path: of each path what arrives before the mic's response, whence, and how near it seems.

export function pathCache(prepared: PreparedScene, capsule: number): PathCache {
  return prepared.scene.sources.map((_, source) => cachedPaths(prepared, source, capsule));
}

function cachedPaths(prepared: PreparedScene, source: number, capsule: number): CachedPath[] | null {
  const { scene, memory } = prepared;
  const receiver = scene.capsules[capsule] as Capsule;
  if (coverBetween(scene, source, receiver) || readPath(scene.sources[source], receiver)) return null;
  const { workspace } = memory;
  const radius = scene.sources[source]?.radius ?? 0;
  const paths: CachedPath[] = [];
  workspace.kept = [];
  eachPath(prepared, source, capsule, (path) => {
    paths.push({
      row: path.row,
      arrive: [...path.arrive],
      nearness: 1 / waveRadiusSquared(radius, path.spread),
      energy: path.energy.slice(),
      diffuse: path.kind === 'diffuse-field',
      interfering: workspace.kept ?? [],
    });
    workspace.kept = [];
  });
  workspace.kept = null;
  return paths;
}

/** Writes the energies of a pair as another capsule in the same place picks them up, packed [share][band]: `pairEnergy` to the last bit. */
export function pairEnergyFromCache(
  into: Float64Array,
  paths: readonly CachedPath[],
  capsule: Capsule,
  { medium, memory }: PreparedScene,
): void {
  const { workspace } = memory;
  into.fill(0);
  for (const path of paths) {
    if (path.interfering.length > 0) addInterfering(into, path, capsule, medium.inverseK2, workspace);
    else addCached(into, path, capsule, medium.inverseK2, workspace.response);
  }
}

function addCached(
  into: Float64Array,
  { row, energy, diffuse, arrive, nearness }: CachedPath,
  capsule: Capsule,
  inverseK2: Bands,
  response: Bands,
): void {
  if (!diffuse) responseAt(response, capsule, -cosineOf(arrive, capsule.aim), nearness, inverseK2);
  const heard = diffuse ? capsule.ree : response;
  for (let band = 0; band < BAND_COUNT; band++)
    into[row + band] = (into[row + band] as number) + (energy[band] as number) * (heard[band] as number);
}

function addInterfering(
  into: Float64Array,
  { row, nearness, interfering }: CachedPath,
  capsule: Capsule,
  inverseK2: Bands,
  workspace: Workspace,
): void {
  const { responses, response, weighted, acting } = workspace;
  const direct = new Float64Array(BAND_COUNT);
  startLosses(workspace);
  for (const { interference, place, factors, through, diffracted } of interfering) {
    const { arrive } = interference;
    for (let ray = 0; ray < RAYS; ray++) {
      const from = [arrive[3 * ray], arrive[3 * ray + 1], arrive[3 * ray + 2]] as [number, number, number];
      responseAt(response, capsule, -cosineOf(from, capsule.aim), nearness, inverseK2);
      responses.set(response, ray * BAND_COUNT);
    }
    applyResponse(workspace, interference);
    const entry = addEntry(acting, place, 0);
    acting.factors.set(factors, entry);
    acting.through.set(through, entry);
    acting.diffracted.set(diffracted, entry);
    for (let band = 0; band < BAND_COUNT; band++) {
      acting.weighted[entry + band] = Math.max(0, weighted[band] as number);
      direct[band] = (interference.free[band] as number) * (responses[band] as number);
    }
  }
  for (let band = 0; band < BAND_COUNT; band++) {
    combine(acting, band, direct[band] as number);
    into[row + band] = (into[row + band] as number) + acting.energy;
  }
}

/** Whether two plain values are the same all through. Asked of whole scenes for every plan that is tried: it allocates nothing but for Maps. */
export function deepEqual(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a)) return Array.isArray(b) && sameItems(a, b);
  if (a instanceof Float64Array) return b instanceof Float64Array && sameNumbers(a, b);
  if (a instanceof Map) return b instanceof Map && sameItems([...a], [...b]);
  return sameEntries(a as PlainObject, b as PlainObject);
}

type PlainObject = Readonly<Record<string, unknown>>;

function sameEntries(a: PlainObject, b: PlainObject): boolean {
  let more = 0;
  for (const key in a) {
    if (!deepEqual(a[key], b[key]) || (a[key] === undefined && !Object.hasOwn(b, key))) return false;
    more++;
  }
  for (const _ in b) more--;
  return more === 0;
}

function sameItems(a: readonly unknown[], b: readonly unknown[]): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (!deepEqual(a[i], b[i])) return false;
  return true;
}

function sameNumbers(a: Float64Array, b: Float64Array): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (!Object.is(a[i], b[i])) return false;
  return true;
}
