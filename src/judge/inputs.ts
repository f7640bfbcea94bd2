/** Levels at each input: peaks, pads, the quietest signal over noise. */
import { type Bands, decibels, KILOHERTZ, WEIGHTS, weightedSum } from '../acoustics/bands.ts';
import type { Capsule, Limits, Mic, Passage, Scene } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import type { MicEnergies, Role } from './signal-to-bleed.ts';
import { micEnergies, pickedUp, roleOf, sidesOf, weightsFor } from './signal-to-bleed.ts';

export type InputRow = {
  /** A capsule: "overheads.left" of a pair. */
  readonly mic: string;
  /** The highest peak, signal or bleed; null where the mic picks up nothing. */
  readonly peak: Peak | null;
  /** Whether the input needs a pad: from 130 dB on; close to it from 125. */
  readonly pad: 'pad' | 'pad at hand' | null;
  /** Level of the signal in its quietest passage, dBA; null where there never is any. */
  readonly signal: number | null;
  readonly quietest: string | null;
  /** Room noise as this pattern picks it up, dBA, and the signal over it, dB; null where the plan gives none. */
  readonly noise: number | null;
  readonly overNoise: number | null;
  /** The same for the noise of the microphone itself; null where unknown. */
  readonly selfNoise: number | null;
  readonly overSelfNoise: number | null;
};

type Peak = {
  /** Level of the loudest source plus its crest factor, dB unweighted, as the mic picks it up. */
  readonly level: number;
  readonly source: string;
  readonly role: Role;
  readonly passage: string | null;
  /** True where the crest factor is assumed. */
  readonly guessed: boolean;
};

/** From these levels on an input needs a pad, or one ready, dB. Common practice, no source. */
const PAD = 130;
const PAD_AT_HAND = 125;

export function inputLevels(scene: Scene, result: Transfer): InputRow[] {
  return scene.capsules.map((capsule, index) => {
    const mic = scene.mics[capsule.mic] as Mic;
    const atMic = micEnergies(result, mic, [index]);
    const peak = peakOf(scene, atMic);
    const level = peak?.level ?? 0;
    const pad = level >= PAD ? 'pad' : level >= PAD_AT_HAND ? 'pad at hand' : null;
    return { mic: capsule.name, peak, pad, ...overNoises(scene, capsule, atMic) };
  });
}

/** Crest factor of a source that the catalogue says nothing of, dB: the middle of the usual 10 to 20, unverified. */
const USUAL_CREST = 15;

/** Peaks of several sources hardly ever meet: the highest single one counts, those of the same kit or part included. */
function peakOf({ sources, passages }: Scene, atMic: MicEnergies): Peak | null {
  const { mic } = atMic;
  const levels = sources.map((_, i) => weightedSum(pickedUp(atMic, [i], { filtered: false }), WEIGHTS.Z));
  const all = passages.flatMap((passage) =>
    sources.flatMap((source, i): Peak[] => {
      const energy = levels[i] ?? 0;
      if (!passage.sounds[i] || energy <= 0) return [];
      const guessed = source.crest <= 0;
      const level = decibels(energy) + (guessed ? USUAL_CREST : source.crest);
      return [{ level, source: source.name, role: roleOf(mic, i, passage), passage: passage.name, guessed }];
    }),
  );
  return all.reduce<Peak | null>((a, b) => (a === null || b.level > a.level ? b : a), null);
}

type OverNoises = Omit<InputRow, 'mic' | 'peak' | 'pad'>;

function overNoises({ rooms, passages }: Scene, capsule: Capsule, atMic: MicEnergies): OverNoises {
  const quietest = softestPassage(atMic, passages, { filtered: false, weighting: 'A' });
  const signal = quietest && decibels(quietest.energy);
  const inRoom = rooms[capsule.room]?.noise ?? null;
  // diffuse, and of unknown spectrum: taken at 1 kHz, where the A curve is 0
  const noise = inRoom === null ? null : inRoom + decibels(capsule.ree[KILOHERTZ] ?? 1);
  const selfNoise = capsule.pattern.selfNoise ?? null;
  return {
    signal,
    quietest: quietest?.passage ?? null,
    noise,
    overNoise: over(signal, noise),
    selfNoise,
    overSelfNoise: over(signal, selfNoise),
  };
}

const over = (signal: number | null, noise: number | null): number | null =>
  signal === null || noise === null ? null : signal - noise;

type SoftestPassage = {
  /** Null where the plan has no passages. */
  readonly passage: string | null;
  /** Of each band, by the weighting asked for. */
  readonly weights: Bands;
  /** Weighted energy of the signal. */
  readonly energy: number;
};

/** Null where the mic never has any signal. */
export function softestPassage(
  atMic: MicEnergies,
  passages: readonly Passage[],
  { filtered, weighting }: { readonly filtered: boolean; readonly weighting: Limits['weighting'] },
): SoftestPassage | null {
  const all = passages.flatMap((passage): SoftestPassage[] => {
    const wanted = pickedUp(atMic, sidesOf(atMic.mic, passage).wanted, { filtered });
    const weights = weightsFor(weighting, wanted);
    const energy = weightedSum(wanted, weights);
    return energy > 0 ? [{ passage: passage.name, weights, energy }] : [];
  });
  return all.reduce<SoftestPassage | null>((a, b) => (a === null || b.energy < a.energy ? b : a), null);
}
