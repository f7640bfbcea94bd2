/** S/B, shares, bands that count; used for readings too (today the 20 dB rule stands twice). */
import {
  BAND_COUNT,
  type Bands,
  bands,
  decibels,
  NOMINAL_BANDS,
  sameInAllBands,
  WEIGHTS,
  weightedSum,
} from '../acoustics/bands.ts';
import type { Capsule, Limits, Mic, Passage, Scene } from '../scene/scene.ts';
import { SHARES, type Share } from '../transfer/path-energy.ts';
import { PAIR_SIZE, type Transfer } from '../transfer/transfer.ts';
import type { LevelRow, MicRow, Shares } from './rows.ts';
import { type Basis, basisOf, hasReadings, SAME, sounding, verdictOf } from './verdict.ts';

// Signal to bleed of a mic: energy of the sources it is for, over that of every other source.
type Judged = Pick<
  MicRow,
  | 'passage'
  | 'signal'
  | 'bleed'
  | 'signalToBleed'
  | 'signalToBleedUnweighted'
  | 'signalToBleedUnfiltered'
  | 'signalToDirectBleed'
  | 'judgedBands'
  | 'limit'
  | 'limitFrom'
  | 'margin'
  | 'verdict'
  | 'remark'
  | 'bleedShares'
  | 'screensBuyAtMost'
>;

/**
 * Judges a mic in the worst passage in which its own source sounds. A mic for everyone, or for the room, has figures but no
 * verdict; so has one whose source never sounds.
 */
export function judgeBleed(
  atMic: MicEnergies,
  { passages, limits }: Pick<Scene, 'passages' | 'limits'>,
): Judged {
  const { mic } = atMic;
  const own = passages.filter(({ sounds }) => mic.wanted.some((source) => sounds[source]));
  const judged = own.map((passage) => judgeIn(atMic, passage, limits.weighting));
  const worst = judged.reduce<Judged | null>((a, b) => (a === null || rank(b) < rank(a) ? b : a), null);
  return worst ?? { ...judgeIn(atMic, NOBODY, limits.weighting), margin: null, ...NEVER };
}

const NOBODY: Passage = { name: null, path: [], sounds: [] };

const NEVER = { verdict: null, remark: 'its source sounds in no passage: not judged' } as const;

/** Passages in order of their ratio; one without bleed is never the worst, one without signal always. */
const rank = ({ signalToBleed, verdict }: Judged): number =>
  signalToBleed ?? (verdict === 'short' ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY);

function judgeIn(atMic: MicEnergies, passage: Passage, weighting: Scene['limits']['weighting']): Judged {
  const { mic } = atMic;
  const { wanted, bleeders } = sidesOf(mic, passage);
  const signal = pickedUp(atMic, wanted, { filtered: true });
  const bleed = pickedUp(atMic, bleeders, { filtered: true });
  const weights = weightsFor(weighting, signal);
  const signalSum = weightedSum(signal, weights);
  const bleedSum = weightedSum(bleed, weights);
  const shares = sharesOf(atMic, bleeders, weights);
  const ratio = ratioDb(signalSum, bleedSum);
  const parts = mic.purpose === 'parts';
  const margin = parts && ratio !== null ? ratio - mic.limit : null;
  return {
    passage: passage.name,
    signal: levelOf(pickedUp(atMic, wanted, { filtered: false })),
    bleed: levelOf(pickedUp(atMic, bleeders, { filtered: false })),
    signalToBleed: ratio,
    signalToBleedUnweighted: ratioDb(total(signal), total(bleed)),
    signalToBleedUnfiltered: mic.filter ? unfiltered(atMic, wanted, bleeders, weighting) : ratio,
    signalToDirectBleed: ratioDb(signalSum, shares?.direct ?? 0),
    judgedBands: countedBands(weights).map((band) => NOMINAL_BANDS[band] ?? 0),
    limit: parts ? mic.limit : null,
    limitFrom: parts ? mic.limitFrom : null,
    margin,
    ...wordFor(mic, signalSum, bleedSum, margin),
    bleedShares: shares && fractions(shares),
    screensBuyAtMost: shares && boughtAtMost(shares),
  };
}

function unfiltered(
  atMic: MicEnergies,
  wanted: readonly number[],
  bleeders: readonly number[],
  weighting: Scene['limits']['weighting'],
): number | null {
  const signal = pickedUp(atMic, wanted, { filtered: false });
  const weights = weightsFor(weighting, signal);
  return ratioDb(
    weightedSum(signal, weights),
    weightedSum(pickedUp(atMic, bleeders, { filtered: false }), weights),
  );
}

function wordFor(
  mic: Mic,
  signal: number,
  bleed: number,
  margin: number | null,
): Pick<Judged, 'verdict' | 'remark'> {
  if (mic.purpose === 'all') return { verdict: null, remark: 'on everyone: nobody is bleed here' };
  if (mic.purpose === 'room') return { verdict: null, remark: 'for the room: not judged' };
  if (signal <= 0) return { verdict: 'short', remark: 'gets nothing of its own source' };
  if (bleed <= 0) return { verdict: 'clear', remark: 'no other source sounds' };
  return { verdict: verdictOf(margin ?? 0), remark: null };
}

/** Rows of every source at a mic, in the order of the scene. `geometry` gives distance and angle of each. */
export function levelRows(
  scene: Scene,
  atMic: MicEnergies,
  geometry: (source: number) => Pick<LevelRow, 'distance' | 'offAxis'>,
): LevelRow[] {
  const { mic } = atMic;
  const weights = weightsFor(scene.limits.weighting, pickedUp(atMic, mic.wanted, { filtered: true }));
  return scene.sources.map((source, index) => {
    const energies = pickedUp(atMic, [index], { filtered: false });
    const shares = sharesOf(atMic, [index], weights);
    return {
      source: source.name,
      wanted: mic.wanted.includes(index),
      ignored: mic.ignored.includes(index),
      level: levelOf(energies),
      byBand: Array.from(energies, (energy) => levelOrNull(energy)),
      ...geometry(index),
      judgedLevel: levelOrNull(weightedSum(pickedUp(atMic, [index], { filtered: true }), weights)),
      shares: shares ? fractions(shares) : { direct: 0, reflections: 0, room: 0, walls: 0 },
    };
  });
}

/** Weighted energies of some sources by share; null where they bring nothing. */
function sharesOf(atMic: MicEnergies, sources: readonly number[], weights: Bands): Shares | null {
  const [direct, reflections, room, walls] = SHARES.map((share) =>
    weightedSum(pickedUp(atMic, sources, { filtered: true, share }), weights),
  );
  const shares = { direct: direct ?? 0, reflections: reflections ?? 0, room: room ?? 0, walls: walls ?? 0 };
  return shares.direct + shares.reflections + shares.room + shares.walls > 0 ? shares : null;
}

function fractions(shares: Shares): Shares {
  const sum = shares.direct + shares.reflections + shares.room + shares.walls;
  return {
    direct: shares.direct / sum,
    reflections: shares.reflections / sum,
    room: shares.room / sum,
    walls: shares.walls / sum,
  };
}

/** What is left where screens stop all direct sound and every first reflection; null where nothing would be. */
function boughtAtMost({ direct, reflections, room, walls }: Shares): number | null {
  const rest = room + walls;
  return rest > 0 ? decibels((direct + reflections + rest) / rest) : null;
}

const total = (energies: Bands): number => energies.reduce((sum, energy) => sum + energy, 0);

const levelOrNull = (energy: number): number | null => (energy > 0 ? decibels(energy) : null);

const levelOf = (energies: Bands): number | null => levelOrNull(total(energies));

const ratioDb = (signal: number, bleed: number): number | null =>
  signal > 0 && bleed > 0 ? decibels(signal / bleed) : null;

// Which octaves count: those within 20 dB of the wanted sound's strongest, or a sound level meter's weighting.

/** An octave further below the wanted sound's strongest can be filtered away, dB. */
const OWN_REACH = 20;

/** Weight of each band at a mic whose wanted sound by band is `wanted`; all alike where there is none. */
export function weightsFor(weighting: Limits['weighting'], wanted: Bands): Bands {
  if (weighting !== 'own') return WEIGHTS[weighting];
  const strongest = Math.max(...wanted);
  if (strongest <= 0) return sameInAllBands(1);
  const floor = strongest * 10 ** (-OWN_REACH / 10);
  return bands((band) => ((wanted[band] ?? 0) >= floor ? 1 : 0));
}

/** Bands that count, by number. */
export const countedBands = (weights: Bands): number[] =>
  Array.from({ length: BAND_COUNT }, (_, band) => band).filter((band) => (weights[band] ?? 0) > 0);

// Whether a figure was measured on the day, or how much of what it rests on was.

/** Of the S/B at some capsules in a passage, dB as judged; null without readings. */
export function bleedBasis(
  scene: Scene,
  atMic: MicEnergies,
  capsules: readonly Capsule[],
  { passage, ratio }: { readonly passage: Passage; readonly ratio: number },
): Basis | null {
  if (!hasReadings(scene)) return null;
  const { wanted, bleeders } = sidesOf(atMic.mic, passage);
  const sides = [wanted, bleeders].map((side) => sounding(scene, side));
  const basis = basisOf(sides, capsules);
  if (basis !== 'measured-overall') return basis;
  const over = capsules.flatMap(({ read }) => [...(read?.values() ?? [])])[0]?.over ?? 'Z';
  const [signal = 0, bleed = 0] = [wanted, bleeders].map((side) =>
    weightedSum(pickedUp(atMic, side, { filtered: true }), WEIGHTS[over]),
  );
  return Math.abs(decibels(signal / bleed) - ratio) < SAME ? 'measured' : basis;
}

// What one capsule hears, or a pair's two together as an energy sum, of every source.

export type MicEnergies = {
  readonly mic: Mic;
  /** Energies before the channel's filters, packed [source][share][band]. */
  readonly energy: Float64Array;
};

export function micEnergies(result: Transfer, mic: Mic, capsules: readonly number[]): MicEnergies {
  const energy = new Float64Array(result.sources * PAIR_SIZE);
  for (let source = 0; source < result.sources; source++) {
    for (const capsule of capsules) {
      const from = (source * result.capsules + capsule) * PAIR_SIZE;
      const at = source * PAIR_SIZE;
      for (let i = 0; i < PAIR_SIZE; i++) {
        energy[at + i] = (energy[at + i] as number) + (result.energy[from + i] as number);
      }
    }
  }
  return { mic, energy };
}

/** Sum by band of some sources, of one share or all; after the channel's filters where `filtered`. */
export function pickedUp(
  { mic, energy }: MicEnergies,
  sources: readonly number[],
  { filtered, share }: { readonly filtered: boolean; readonly share?: Share },
): Bands {
  const sum = new Float64Array(BAND_COUNT);
  const first = share ? SHARES.indexOf(share) * BAND_COUNT : 0;
  const end = share ? first + BAND_COUNT : PAIR_SIZE;
  for (const source of sources) {
    for (let i = first; i < end; i++) {
      const band = i % BAND_COUNT;
      sum[band] = (sum[band] as number) + (energy[source * PAIR_SIZE + i] as number);
    }
  }
  return filtered && mic.filter ? sum.map((one, band) => one * (mic.filter?.[band] ?? 1)) : sum;
}

/** Sources that a mic is for, and those that are bleed at it, as far as they sound in the passage. */
export function sidesOf(
  mic: Mic,
  passage: Passage,
): { readonly wanted: number[]; readonly bleeders: number[] } {
  const spared = new Set([...mic.wanted, ...mic.ignored]);
  const sounding = passage.sounds.flatMap((sounds, source) => (sounds ? [source] : []));
  return {
    wanted: mic.wanted.filter((source) => passage.sounds[source]),
    bleeders: sounding.filter((source) => !spared.has(source)),
  };
}
