/** Energies of a scene that differs little from one already computed: only what changed is computed anew. */
import { roomAbsorption } from '../acoustics/absorption.ts';
import { fieldPerPower } from '../acoustics/balance.ts';
import { hearAgain, type KnownColumn, knownColumn } from '../acoustics/known-column.ts';
import { pairEnergy, pairField } from '../acoustics/pair.ts';
import { openingsOf, type Speaker, type Stage, speakerOf, stageOf } from '../acoustics/stage.ts';
import { surroundingsOf } from '../acoustics/surroundings.ts';
import { PAIR_SIZE, type Transfer, transferOn } from '../acoustics/transfer.ts';
import type { Capsule, Room, Scene, Source } from '../scene/scene.ts';
import { alike } from './alike.ts';

export type Known = { readonly scene: Scene; readonly result: Transfer };

/** The same as `transfer(scene)`, to the last bit. A mic that turns costs one column, a player that moves his rows. */
export function retransfer({ scene: before, result }: Known, scene: Scene): Transfer {
  const stage = stageFrom(result.stage, before, scene);
  if (!stage) return transferOn(stageOf(scene));
  const sameSize = result.sources === scene.sources.length && result.capsules === scene.capsules.length;
  if (!sameSize || !alike(scene.panels, before.panels)) return transferOn(stage);
  return patched(stage, before, result);
}

/** The stage of a scene with what it shares with a known one; null where the building differs. */
function stageFrom(known: Stage, before: Scene, scene: Scene): Stage | null {
  if (!alike(scene.air, before.air) || !alike(scene.partitions, before.partitions)) return null;
  const fields = fieldsFrom(known, before, scene);
  if (!fields) return null;
  const speakers = speakersOf(scene, before, known);
  const stage = { ...known, ...fields, scene, speakers, openings: openingsOf(scene) };
  if (alike(scene.panels, before.panels)) return stage;
  return { ...stage, surroundings: surroundingsOf(scene, stage.absorptions) };
}

type Fields = Pick<Stage, 'absorptions' | 'fields'>;

/** Who and what stands in a room changes what it absorbs, but no ray and no reflection; null where its surfaces differ. */
function fieldsFrom(known: Stage, before: Scene, scene: Scene): Fields | null {
  if (alike(scene.rooms, before.rooms)) return known;
  if (!scene.rooms.every((room, i) => isSameShape(room, before.rooms[i]))) return null;
  const absorptions = scene.rooms.map((room) => roomAbsorption(room, scene.air));
  if (!absorptions.every(({ surfaces }, i) => alike(surfaces, known.absorptions[i]?.surfaces))) return null;
  return { absorptions, fields: fieldPerPower(absorptions, scene.partitions) };
}

const isSameShape = (room: Room, before: Room | undefined): boolean =>
  alike(room.outline, before?.outline) &&
  room.floor === before?.floor &&
  room.ceiling === before.ceiling &&
  room.host === before.host;

const speakersOf = (scene: Scene, before: Scene, known: Stage): Speaker[] =>
  scene.sources.map((source, i) => {
    const old = known.speakers[i];
    return old && alike(source, before.sources[i])
      ? old
      : speakerOf(spokenAs(source, before.sources[i]), known);
  });

/** Who moves speaks as before: his directivity, read afresh, is alike, and the grid made of the old one serves. */
const spokenAs = (source: Source, before: Source | undefined): Source =>
  before && alike(source.directivity, before.directivity)
    ? { ...source, directivity: before.directivity }
    : source;

function patched(stage: Stage, before: Scene, result: Transfer): Transfer {
  const { scene } = stage;
  const newSource = scene.sources.map((source, i) => !alike(source, before.sources[i]));
  const newCapsule = scene.capsules.map(
    (capsule, i) => !isSameAt(scene, capsule, before, before.capsules[i]),
  );
  const newFields = stage.fields !== result.stage.fields;
  const energy = result.energy.slice();
  if (!newFields && !newSource.includes(true)) {
    newCapsule.forEach((isNew, capsule) => {
      if (isNew) hearColumn(energy, { stage, before, result, capsule });
    });
    return { ...result, energy, stage };
  }
  for (let source = 0; source < result.sources; source++) {
    for (let capsule = 0; capsule < result.capsules; capsule++) {
      const isNew = newSource[source] || newCapsule[capsule];
      if (!isNew && !newFields) continue;
      const from = (source * result.capsules + capsule) * PAIR_SIZE;
      const pair = energy.subarray(from, from + PAIR_SIZE);
      if (isNew || !isInOneRoom(stage, source, capsule)) pairEnergy(pair, stage, source, capsule);
      else pairField(pair, stage, source, capsule);
    }
  }
  return { ...result, energy, stage };
}

type Column = {
  readonly stage: Stage;
  readonly before: Scene;
  readonly result: Transfer;
  readonly capsule: number;
};

/** All sources at one capsule: in a place that is known, of the mic's response alone. */
function hearColumn(energy: Float64Array, { stage, before, result, capsule }: Column): void {
  const { scene } = stage;
  const now = scene.capsules[capsule] as Capsule;
  const old = before.capsules[capsule] as Capsule;
  const stays = now.room === old.room && alike(now.at, old.at) && isInsideSame(scene, now, before, old);
  const known = stays ? columnIn(result.stage, capsule) : null;
  for (let source = 0; source < result.sources; source++) {
    const from = (source * result.capsules + capsule) * PAIR_SIZE;
    const pair = energy.subarray(from, from + PAIR_SIZE);
    const ways = known?.[source];
    if (ways) hearAgain(pair, ways, now, stage);
    else pairEnergy(pair, stage, source, capsule);
  }
}

/** Kept as long as the stage they belong to: of a large plan some 100 kB for each mic that was turned. */
const columns = new WeakMap<Stage, Map<number, KnownColumn>>();

function columnIn(stage: Stage, capsule: number): KnownColumn {
  const kept = columns.get(stage) ?? new Map<number, KnownColumn>();
  columns.set(stage, kept);
  const column = kept.get(capsule) ?? knownColumn(stage, capsule);
  kept.set(capsule, column);
  return column;
}

const isInOneRoom = ({ scene, speakers }: Stage, source: number, capsule: number): boolean =>
  speakers[source]?.emitters.every(({ room }) => room === scene.capsules[capsule]?.room) ?? false;

/** A capsule under a cover hears others through it: whose cover that is counts, and what it is. */
function isSameAt(scene: Scene, capsule: Capsule, before: Scene, old: Capsule | undefined): boolean {
  if (capsule === old) return true;
  return old !== undefined && alike(capsule, old) && isInsideSame(scene, capsule, before, old);
}

function isInsideSame(scene: Scene, capsule: Capsule, before: Scene, old: Capsule): boolean {
  const inside = scene.mics[capsule.mic]?.inside ?? null;
  if (inside !== (before.mics[old.mic]?.inside ?? null)) return false;
  return inside === null || alike(scene.sources[inside]?.cover, before.sources[inside]?.cover);
}
