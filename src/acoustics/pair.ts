/** One source at one capsule: every way there is, summed by share. */
import { type Capsule, OUTSIDE } from '../scene/scene.ts';
import { takeReading, wayRead } from './as-read.ts';
import { BAND_COUNT } from './bands.ts';
import { type Cover, coverBetween, takeCover } from './covers.ts';
import { directPath } from './direct.ts';
import { fieldPath } from './field.ts';
import type { Emitter, Medium } from './free-way.ts';
import { type Joint, linkOf } from './link.ts';
import { mirrorPaths } from './panel-mirrors.ts';
import { ROWS, type SoundPath, type Visit } from './path.ts';
import { addPlainWays } from './plain-room.ts';
import { surfacePaths } from './reflections.ts';
import { spotOf } from './spot.ts';
import type { Plain, Speaker, Stage } from './stage.ts';
import { wallPaths } from './walls.ts';

/** Writes the energies of a pair, packed [share][band]. `into` need not be empty. */
export function pairEnergy(into: Float64Array, stage: Stage, source: number, capsule: number): void {
  into.fill(0);
  addPair(adderTo(into), stage, source, capsule);
}

/** Adds all ways of a pair; those in a plain room to the last bit what `eachPath` would visit. */
export function addPair(adder: Adder, stage: Stage, source: number, capsule: number): void {
  const speaker = stage.speakers[source];
  const receiver = stage.scene.capsules[capsule];
  const plain = receiver && speaker ? plainRoom(stage, source, receiver) : null;
  if (!speaker || !receiver || !plain) {
    eachPath(stage, source, capsule, adder.visit);
    return;
  }
  const { shape, reflected } = plain;
  for (let point = 0; point < speaker.emitters.length; point++) {
    const link = joined(speaker.emitters[point] as Emitter, receiver, stage.medium);
    addPlainWays(adder.into, adder.from, shape, reflected, link);
    fieldPath(stage, link, speaker.firstHits[point] as Float64Array, adder.visit);
  }
}

/** The room that a source shares with a capsule, where no screen, corner, cover, table or reading takes part. */
function plainRoom(stage: Stage, source: number, receiver: Capsule): Plain | null {
  const { room } = receiver;
  const around = stage.surroundings[room];
  const plain = stage.plain[room];
  if (!plain || !around || around.screens || receiver.pattern.table || receiver.read) return null;
  const { emitters } = stage.speakers[source] as Speaker;
  for (let i = 0; i < emitters.length; i++) if ((emitters[i] as Emitter).room !== room) return null;
  return coverBetween(stage.scene, source, receiver) ? null : plain;
}

/** Adds what it visits to a table of pairs, at the pair that begins at `from`: one visitor for all, not one a pair. */
export type Adder = { readonly into: Float64Array; from: number; readonly visit: Visit };

export function adderTo(into: Float64Array): Adder {
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
export function pairField(into: Float64Array, stage: Stage, source: number, capsule: number): void {
  into.fill(0, ROWS.room, ROWS.room + BAND_COUNT);
  eachWay(stage, source, capsule, adderTo(into).visit, false);
}

/** Visits every way from each point of a source to a capsule; the visited record is the stage's own and changes. */
export function eachPath(stage: Stage, source: number, capsule: number, visit: Visit): void {
  eachWay(stage, source, capsule, visit, true);
}

function eachWay(stage: Stage, source: number, capsule: number, visit: Visit, straight: boolean): void {
  const speaker = stage.speakers[source];
  const receiver = stage.scene.capsules[capsule];
  if (!speaker || !receiver) return;
  const cover = coverBetween(stage.scene, source, receiver);
  const read = wayRead(stage.scene.sources[source], receiver);
  const covered = cover || read ? changedVisit(cover, read, visit) : visit;
  for (let point = 0; point < speaker.emitters.length; point++) {
    const link = joined(speaker.emitters[point] as Emitter, receiver, stage.medium);
    if (straight && link.emitter.room === receiver.room) waysWithin(stage, link, covered);
    else if (straight) wallPaths(stage, link, covered);
    fieldPath(stage, link, speaker.firstHits[point] as Float64Array, covered);
  }
}

const changedVisit =
  (cover: Cover | null, read: ReturnType<typeof wayRead>, visit: Visit): Visit =>
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

function waysWithin(stage: Stage, link: Joint, visit: Visit): void {
  const { path } = stage;
  const { room } = link.capsule;
  const around = stage.surroundings[room === OUTSIDE ? stage.shapes.length : room];
  if (!around) return;
  if (around.screens) {
    link.from = spotOf(around.screens, link.emitter.at, true);
    link.to = spotOf(around.screens, link.capsule.at, true);
  }
  directPath(path, around, link, visit);
  const shape = stage.shapes[room] ?? null;
  const reflected = stage.absorptions[room]?.reflected;
  if (shape && reflected) surfacePaths(path, { shape, reflected, around }, link, visit);
  mirrorPaths(path, shape, around, link, visit);
}
