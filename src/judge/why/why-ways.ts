/** Every way from each point of a source to a capsule, with what it gains and loses. */
import type { Bands } from '../../acoustics/bands.ts';
import { type Cover, coverBetween, takeCover } from '../../acoustics/covers.ts';
import { linkOf } from '../../acoustics/link.ts';
import { eachPath } from '../../acoustics/pair.ts';
import { newPath, type SoundPath } from '../../acoustics/path.ts';
import type { Stage } from '../../acoustics/stage.ts';
import { type Factor, factor, inOrder } from './why-gains.ts';
import { tellWay } from './why-tell.ts';
import type { Between, Told } from './why-told.ts';

/** One way of one point; energy by band as it arrives. */
export type Way = Told & Pick<SoundPath, 'kind' | 'share'> & { readonly energy: Bands };

export function waysOf(stage: Stage, source: number, capsule: number): Way[] {
  const receiver = stage.scene.capsules[capsule];
  const speaker = stage.speakers[source];
  if (!receiver || !speaker) return [];
  const cover = coverBetween(stage.scene, source, receiver);
  return speaker.emitters.flatMap((emitter, point) => {
    const firstHit = speaker.firstHits[point] as Bands;
    const between = { stage, link: linkOf(emitter, receiver, stage.medium), firstHit };
    return pathsOf(between, source, capsule).map((path) => wayOf(between, path, cover));
  });
}

/** Copies of the ways of one point alone. */
function pathsOf({ stage, link, firstHit }: Between, source: number, capsule: number): SoundPath[] {
  const alone = { emitters: [link.emitter], firstHits: [firstHit] };
  const speakers = stage.speakers.map((speaker, i) => (i === source ? alone : speaker));
  const found: SoundPath[] = [];
  eachPath({ ...stage, speakers }, source, capsule, (path) => {
    const heard = (energies: Bands): Bands =>
      energies.map((one, band) => one * (path.response[band] as number));
    found.push({ ...path, free: heard(path.free), energy: heard(path.energy) });
  });
  return found;
}

function wayOf(between: Between, path: SoundPath, cover: Cover | null): Way {
  const { kind, share, energy } = path;
  const covers = cover ? coverFactors(path, cover) : [];
  const bare = { ...path, energy: uncovered(energy, covers) };
  const way = tellWay(between, bare);
  return { ...way, factors: inOrder([...way.factors, ...covers]), kind, share, energy };
}

/** What covers take off this way, found by letting them act on energies of 1. */
function coverFactors({ share }: SoundPath, cover: Cover): Factor[] {
  const probe = { ...newPath(), share };
  probe.energy.fill(1);
  takeCover(probe, cover);
  return probe.energy.every((one) => one === 1)
    ? []
    : [factor('cover', (band) => probe.energy[band] as number)];
}

const uncovered = (energy: Bands, covers: readonly Factor[]): Bands =>
  energy.map((one, band) => covers.reduce((left, { by }) => left / (by[band] as number), one));
