/** What headphones leak into the microphones: the click in a quiet singer's mic, foreseen. */
import { bands, decibels, energyOf, sameInAllBands } from '../../acoustics/bands.ts';
import { OMNIDIRECTIONAL } from '../../acoustics/directivity.ts';
import { pairEnergy } from '../../acoustics/pair.ts';
import { speakerOf } from '../../acoustics/stage.ts';
import { PAIR_SIZE, type Transfer } from '../../acoustics/transfer.ts';
import { WEIGHTS, weightedSum } from '../../acoustics/weighting.ts';
import type { Mic, Player, Scene, Source } from '../../scene/scene.ts';
import { heard, listenAt } from '../listening.ts';
import { quietestOf } from '../quietest.ts';

export type PhonesLeakRow = {
  readonly player: string;
  /** A pair's capsules together. */
  readonly mic: string;
  /** Of what leaks, dB unweighted, before the channel's filters; null where nothing gets there. */
  readonly level: number | null;
  /** Re the mic's wanted sound in its quietest passage, in the octaves the mic is judged in, after its filters, dB. */
  readonly leak: number | null;
  readonly passage: string | null;
  /** True from 40 dB under the wanted sound on. */
  readonly audible: boolean;
  /** At the wearer's ear, dBA; guessed where the plan gives none. */
  readonly cueLevel: number;
  readonly guessed: boolean;
};

/** Level of a cue where the plan gives none, dBA. Common practice, no source. */
const USUAL = 85;
/** From here on a leak deserves a word, dB re the wanted sound. Common practice, no source. */
const AUDIBLE = -40;

/**
 * A row for each wearer of headphones that leak and each microphone but lines. The cue is taken alike in all octaves, and the
 * headphones as a point that speaks all round from where the ears are.
 */
export function phonesLeak(scene: Scene, result: Transfer): PhonesLeakRow[] {
  const wearers = scene.players.filter(({ cue }) => cue.leak !== null);
  const leaking = leakTransfer(scene, result, wearers.map(phonesOf));
  return wearers.flatMap((wearer, phones) =>
    scene.mics
      .filter(({ line }) => !line)
      .map((mic) => rowOf(scene, result, { wearer, phones, mic, leaking })),
  );
}

/** Sound power of what leaks: `W = 4π·p²` at 1 m, p² the even cue at the ear less the kind's leak. */
function phonesOf(player: Player): Source {
  const atEar = energyOf(player.cue.level ?? USUAL) / weightedSum(sameInAllBands(1), WEIGHTS.A);
  return {
    name: player.name,
    path: player.path,
    instrument: null,
    player: null,
    kit: null,
    part: -1,
    repeats: false,
    power: bands((band) => 4 * Math.PI * atEar * (player.cue.leak?.[band] ?? 0)),
    measured: player.cue.level !== null,
    directivity: OMNIDIRECTIONAL,
    radius: 0,
    points: [{ at: player.ears, axis: [0, 0, 1], room: player.room, share: 1 }],
    cover: null,
    lowestNote: 0,
    closest: 0,
    crest: 0,
  };
}

/** Energies of the headphones alone, beside the scene's own sources so that covers keep whom they belong to. */
function leakTransfer(scene: Scene, { stage, capsules }: Transfer, phones: readonly Source[]): Transfer {
  const own = scene.sources.length;
  const speakers = [...stage.speakers, ...phones.map((one) => speakerOf(one, stage))];
  const joined = { ...stage, scene: { ...scene, sources: [...scene.sources, ...phones] }, speakers };
  const energy = new Float64Array(phones.length * capsules * PAIR_SIZE);
  for (let pair = 0; pair < phones.length * capsules; pair++) {
    const into = energy.subarray(pair * PAIR_SIZE, (pair + 1) * PAIR_SIZE);
    pairEnergy(into, joined, own + Math.floor(pair / capsules), pair % capsules);
  }
  return { sources: phones.length, capsules, energy, stage: joined };
}

type Pairing = {
  readonly wearer: Player;
  readonly phones: number;
  readonly mic: Mic;
  readonly leaking: Transfer;
};

function rowOf(scene: Scene, result: Transfer, { wearer, phones, mic, leaking }: Pairing): PhonesLeakRow {
  const listening = listenAt(leaking, mic, mic.capsules);
  const { weighting } = scene.limits;
  const quietest = quietestOf(listenAt(result, mic, mic.capsules), scene.passages, {
    filtered: true,
    weighting,
  });
  const weights = quietest?.weights ?? sameInAllBands(0);
  const leaked = weightedSum(heard(listening, [phones], { filtered: true }), weights);
  const leak = quietest && leaked > 0 ? decibels(leaked / quietest.energy) : null;
  const total = weightedSum(heard(listening, [phones], { filtered: false }), WEIGHTS.Z);
  return {
    player: wearer.name,
    mic: mic.name,
    level: total > 0 ? decibels(total) : null,
    leak,
    passage: quietest?.passage ?? null,
    audible: leak !== null && leak >= AUDIBLE,
    cueLevel: wearer.cue.level ?? USUAL,
    guessed: wearer.cue.level === null,
  };
}
