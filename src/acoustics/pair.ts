/** One source at one capsule: direct, reflected, from the room, through walls. */
import { type Capsule, OUTSIDE } from '../scene/scene.ts';
import { BAND_COUNT } from './bands.ts';
import { type Emitter, wayEnergy } from './free-way.ts';
import { eachReflection } from './images.ts';
import type { Stage } from './stage.ts';

const DIRECT = 0;
const REFLECTIONS = BAND_COUNT;
const ROOM = 2 * BAND_COUNT;
const WALLS = 3 * BAND_COUNT;

/** One way at a time: the innermost loop owns this and allocates nothing. */
const way = new Float64Array(BAND_COUNT);

/** Writes the energies of a pair, packed [share][band]. `into` need not be empty. */
export function pairEnergy(into: Float64Array, stage: Stage, source: number, capsule: number): void {
  into.fill(0);
  const speaker = stage.speakers[source];
  const receiver = stage.scene.capsules[capsule];
  if (!speaker || !receiver) return;
  speaker.emitters.forEach((emitter, point) => {
    if (emitter.room === receiver.room) {
      addDirect(into, stage, emitter, receiver);
      if (emitter.room !== OUTSIDE) addReflections(into, stage, emitter, receiver);
    }
    addField(into, stage, emitter, speaker.firstHits[point] as Float64Array, receiver);
  });
  applyCovers(into, stage, source, receiver);
}

function addDirect(into: Float64Array, stage: Stage, emitter: Emitter, receiver: Capsule): void {
  const dx = receiver.at[0] - emitter.at[0];
  const dy = receiver.at[1] - emitter.at[1];
  const dz = receiver.at[2] - emitter.at[2];
  const distance = Math.max(Math.sqrt(dx * dx + dy * dy + dz * dz), 1e-9);
  const leave = (dx * emitter.axis[0] + dy * emitter.axis[1] + dz * emitter.axis[2]) / distance;
  const arrive = -(dx * receiver.aim[0] + dy * receiver.aim[1] + dz * receiver.aim[2]) / distance;
  wayEnergy(way, stage.medium, emitter, receiver, leave, arrive, distance, distance);
  for (let band = 0; band < BAND_COUNT; band++)
    into[DIRECT + band] = (into[DIRECT + band] as number) + (way[band] as number);
}

function addReflections(into: Float64Array, stage: Stage, emitter: Emitter, receiver: Capsule): void {
  const shape = stage.shapes[emitter.room] as Stage['shapes'][number];
  const { surfaces } = stage.absorptions[emitter.room] as Stage['absorptions'][number];
  const { axis } = emitter;
  const { aim } = receiver;
  eachReflection(shape, emitter.at, receiver.at, (hit) => {
    const leave = hit.leaveX * axis[0] + hit.leaveY * axis[1] + hit.leaveZ * axis[2];
    const arrive = -(hit.arriveX * aim[0] + hit.arriveY * aim[1] + hit.arriveZ * aim[2]);
    wayEnergy(way, stage.medium, emitter, receiver, leave, arrive, hit.length, hit.length);
    const surface = hit.surface * BAND_COUNT;
    for (let band = 0; band < BAND_COUNT; band++) {
      into[REFLECTIONS + band] =
        (into[REFLECTIONS + band] as number) +
        (way[band] as number) * (1 - (surfaces[surface + band] as number));
    }
  });
}

/**
 * The diffuse remainder from the second reflection on: 4·x_i·(1−α₁)(1−ᾱ_i)·REE in the source's own room, 4·x_j·REE whole
 * in another.
 */
function addField(
  into: Float64Array,
  stage: Stage,
  emitter: Emitter,
  firstHit: Float64Array,
  receiver: Capsule,
): void {
  const count = stage.absorptions.length;
  const { room } = receiver;
  if (room === OUTSIDE || emitter.room === OUTSIDE) return;
  const own = room === emitter.room;
  const mean = (stage.absorptions[room] as Stage['absorptions'][number]).mean;
  const share = own ? ROOM : WALLS;
  for (let band = 0; band < BAND_COUNT; band++) {
    const field =
      (stage.fields[band * count * count + room * count + emitter.room] as number) *
      (emitter.power[band] as number);
    const rest = own ? (1 - (firstHit[band] as number)) * (1 - (mean[band] as number)) : 1;
    into[share + band] = (into[share + band] as number) + 4 * field * rest * (receiver.ree[band] as number);
  }
}

/**
 * A cover takes its loss off everything of its source but the direct way to mics inside it, and off every other source at
 * those mics.
 */
function applyCovers(into: Float64Array, stage: Stage, source: number, receiver: Capsule): void {
  const inside = stage.scene.mics[receiver.mic]?.inside ?? null;
  const own = stage.scene.sources[source]?.cover ?? null;
  const over = inside === null || inside === source ? null : (stage.scene.sources[inside]?.cover ?? null);
  if (!own && !over) return;
  for (let i = 0; i < into.length; i++) {
    const band = i % BAND_COUNT;
    const spared = inside === source && i < REFLECTIONS;
    into[i] =
      (into[i] as number) *
      (own && !spared ? (own[band] as number) : 1) *
      (over ? (over[band] as number) : 1);
  }
}
