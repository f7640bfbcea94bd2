/** Signal to bleed of a microphone in its worst passage, with the shares of its bleed and the octaves that count. */
import {
  allBands,
  BAND_COUNT,
  type Bands,
  bands,
  decibels,
  energyOf,
  NOMINAL_BANDS,
  sameInAllBands,
  WEIGHTS,
  weightedSum,
} from '../acoustics/bands.ts';
import type { Vec3 } from '../geometry.ts';
import type { Capsule, Limits, Mic, Passage, Scene } from '../scene/scene.ts';
import { SHARES, type Share } from '../transfer/path-energy.ts';
import { PAIR_SIZE, type Transfer } from '../transfer/transfer.ts';
import { type Basis, basisOf, hasReadings, SAME, sounding, type Verdict } from './verdict.ts';

/** Energies of one capsule's bleed by share. */
export type Shares = Readonly<Record<Share, number>>;

/**
 * What a source is to a mic in the passage it is judged in; other pieces of the same kit or part are neither signal nor bleed, and
 * what is silent in that passage is none of these.
 */
export type Role = 'signal' | 'same-kit' | 'bleed' | 'silent';

export type LevelRow = {
  readonly source: string;
  readonly role: Role;
  /** As it plays; of a silent one as it would. */
  readonly level: number | null;
  readonly byBand: readonly (number | null)[];
  readonly distance: number | null;
  readonly micOffAxis: number | null;
  /** Energy in the octaves that this mic is judged in: what makes a bleeder loud here. */
  readonly judgedLevel: number | null;
  /** Of this source's energy here (judged octaves), what each share brings; fractions of one. */
  readonly shares: Shares;
};

/** One capsule; a pair is its worse channel, or where it is not judged an energy sum (`PairRow`). Levels in dB re 20 µPa. */
export type MicRow = {
  readonly name: string;
  /** The pair it belongs to, or null. */
  readonly pair: string | null;
  readonly purpose: 'parts' | 'all' | 'room';
  readonly for: readonly string[];
  readonly at: Vec3;
  /** Where it is aimed, degrees. */
  readonly bearing: number;
  readonly tilt: number;
  readonly room: string | null;
  readonly pattern: string;
  /** The passage it is judged in, the worst, or of a mic that is not judged the loudest; null where the plan has none. */
  readonly passage: string | null;
  readonly signal: number | null;
  readonly bleed: number | null;
  /** As judged, in the weighting of the plan. */
  readonly signalToBleed: number | null;
  readonly signalToBleedUnweighted: number | null;
  /** As judged, but for the channel's filters; the same where it has none. */
  readonly signalToBleedUnfiltered: number | null;
  readonly signalToDirectBleed: number | null;
  /** Octaves it is judged in, as nominal hertz. */
  readonly judgedBands: readonly number[];
  readonly limit: number | null;
  readonly limitFrom: string | null;
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  /** Why there is no value, or why there is no verdict, in words. */
  readonly remark: string | null;
  /** Share of the judged bleed by kind, fractions of one; null without bleed. */
  readonly bleedShares: Shares | null;
  /** What baffles that stop all direct sound and every first reflection would gain, dB; null where nothing would be left. */
  readonly baffleGainMax: number | null;
  readonly levels: readonly LevelRow[];
  /** Whether its S/B was measured; null without measured levels. */
  readonly basis: Basis | null;
};

export type PairRow = MicRow & {
  readonly capsules: readonly string[];
  /** The channel that its values are of; null where they are of both. */
  readonly worse: string | null;
};

/** Energy of a source in the octaves that the mic is judged in. */
export const judgedEnergy = (row: LevelRow | undefined): number =>
  row?.judgedLevel == null ? 0 : energyOf(row.judgedLevel);

/** Of a kit's piece the kit: no name holds a dot of its own. */
export const kitOf = (source: string): string => source.split('.')[0] ?? source;

/** Name of the worst bleed, a kit as a whole; null where there is none. */
export function worstBleeder(levels: readonly LevelRow[]): string | null {
  const whole = new Map<string, number>();
  for (const level of levels)
    if (level.role === 'bleed' && judgedEnergy(level) > 0)
      whole.set(kitOf(level.source), (whole.get(kitOf(level.source)) ?? 0) + judgedEnergy(level));
  const [worst] = [...whole].sort(([one, a], [other, b]) => b - a || one.localeCompare(other, 'en'));
  return worst?.[0] ?? null;
}

type MicRows = { readonly mics: readonly MicRow[]; readonly pairs: readonly PairRow[] };

/** As the plan names them: pairs, and mics that are not half of one. */
export const micsAsNamed = ({ mics, pairs }: MicRows): (MicRow | PairRow)[] => [
  ...pairs,
  ...mics.filter(({ pair }) => pair === null),
];

/**
 * S/B in the worst passage in which the mic's own source sounds, dB: +∞ without bleed, −∞ without signal. Of equals the loudest
 * counts, so that a main mic, which has no bleed, shows the tutti.
 */
export type SignalToBleed = { readonly ratio: number; readonly passage: Passage };

/** Null for a mic whose own source never sounds. */
export function signalToBleed(
  atMic: MicEnergies,
  { passages, limits: { weighting } }: Pick<Scene, 'passages' | 'limits'>,
): SignalToBleed | null {
  let worst: SignalToBleed | null = null;
  let loudest = 0;
  for (const passage of passages) {
    const sides = energiesIn(atMic, passage, weighting);
    if (sides.wanted.length === 0) continue;
    const signal = weightedSum(sides.signal, sides.weights);
    const ratio = ratioOf(signal, weightedSum(sides.bleed, sides.weights));
    if (worst !== null && (ratio > worst.ratio || (ratio === worst.ratio && signal <= loudest))) continue;
    worst = { ratio, passage };
    loudest = signal;
  }
  return worst;
}

const ratioOf = (signal: number, bleed: number): number =>
  signal <= 0 ? Number.NEGATIVE_INFINITY : decibels(signal / bleed);

/** Why a mic has no value, or is not judged; null where its S/B says all. */
export function bleedRemark({ purpose }: Mic, ratio: number | null): string | null {
  if (ratio === null) return 'silent in every passage; not judged';
  if (purpose === 'all') return 'picks up everyone by design; not judged';
  if (purpose === 'room') return 'room mic; not judged';
  if (ratio === Number.NEGATIVE_INFINITY) return 'no signal';
  return ratio === Number.POSITIVE_INFINITY ? 'no bleed' : null;
}

/** Sides, energies by band, and the weights of the bands that count; after the mic's filters unless stated. */
export function energiesIn(
  atMic: MicEnergies,
  passage: Passage,
  weighting: Limits['weighting'],
  filtered = true,
) {
  const { wanted, bleeders } = sidesOf(atMic.mic, passage);
  const signal = pickedUp(atMic, wanted, { filtered });
  const bleed = pickedUp(atMic, bleeders, { filtered });
  return { wanted, bleeders, signal, bleed, weights: weightsFor(weighting, signal) };
}

/** All values of a mic in a passage, as a rule the worst; with null of one in which nothing sounds. */
export function bleedFigures(atMic: MicEnergies, passage: Passage | null, weighting: Limits['weighting']) {
  const { mic } = atMic;
  const { bleeders, signal, bleed, weights } = energiesIn(atMic, passage ?? SILENCE, weighting);
  const plain = energiesIn(atMic, passage ?? SILENCE, weighting, false);
  const signalSum = weightedSum(signal, weights);
  const shares = sharesOf(atMic, bleeders, weights);
  const ratio = ratioDb(signalSum, weightedSum(bleed, weights));
  const isJudged = mic.purpose === 'parts';
  return {
    passage: passage?.name ?? null,
    signal: levelOf(plain.signal),
    bleed: levelOf(plain.bleed),
    signalToBleed: ratio,
    signalToBleedUnweighted: ratioDb(allBands(signal), allBands(bleed)),
    signalToBleedUnfiltered: ratioDb(
      weightedSum(plain.signal, plain.weights),
      weightedSum(plain.bleed, plain.weights),
    ),
    signalToDirectBleed: ratioDb(signalSum, shares?.direct ?? 0),
    judgedBands: countedBands(weights).map((band) => NOMINAL_BANDS[band] ?? 0),
    limit: isJudged ? mic.limit : null,
    limitFrom: isJudged ? mic.limitFrom : null,
    bleedShares: shares && fractions(shares),
    baffleGainMax: shares && boughtAtMost(shares),
  };
}

/** What bleeds into a mic in the passage it is judged in; nothing where its own source never sounds. */
export function judgedBleeders(scene: Scene, result: Transfer, mic: Mic): number[] {
  const channels = mic.capsules.flatMap((one) => signalToBleed(micEnergies(result, mic, [one]), scene) ?? []);
  const [first, ...rest] = channels;
  const worst = first && rest.reduce((a, b) => (b.ratio < a.ratio ? b : a), first);
  return sidesOf(mic, worst?.passage ?? SILENCE).bleeders;
}

/** A passage in which nothing sounds. */
export const SILENCE: Passage = { name: null, path: [], sounds: [] };

export function roleOf({ wanted, ignored }: Mic, source: number, { sounds }: Passage): Role {
  if (!sounds[source]) return 'silent';
  return wanted.includes(source) ? 'signal' : ignored.includes(source) ? 'same-kit' : 'bleed';
}

/**
 * Rows of every source at a mic in a passage, in the order of the scene; with null of one in which nothing sounds. `geometry` gives
 * distance and angle of each.
 */
export function levelRows(
  scene: Scene,
  atMic: MicEnergies,
  passage: Passage | null,
  geometry: (source: number) => Pick<LevelRow, 'distance' | 'micOffAxis'>,
): LevelRow[] {
  const { mic } = atMic;
  const { weights } = energiesIn(atMic, passage ?? SILENCE, scene.limits.weighting);
  return scene.sources.map((source, index) => {
    const energies = pickedUp(atMic, [index], { filtered: false });
    const shares = sharesOf(atMic, [index], weights);
    return {
      source: source.name,
      role: roleOf(mic, index, passage ?? SILENCE),
      level: levelOf(energies),
      byBand: Array.from(energies, (energy) => levelOrNull(energy)),
      ...geometry(index),
      judgedLevel: levelOrNull(weightedSum(pickedUp(atMic, [index], { filtered: true }), weights)),
      shares: shares ? fractions(shares) : sharesBy(() => 0),
    };
  });
}

/** Weighted energies of some sources by share; null where they bring nothing. */
function sharesOf(atMic: MicEnergies, sources: readonly number[], weights: Bands): Shares | null {
  const of = (share: Share) => weightedSum(pickedUp(atMic, sources, { filtered: true, share }), weights);
  const shares = sharesBy(of);
  return sumOf(shares) > 0 ? shares : null;
}

const sharesBy = (of: (share: Share) => number): Shares =>
  Object.fromEntries(SHARES.map((share) => [share, of(share)])) as Shares;

const sumOf = ({ direct, reflections, room, walls }: Shares): number => direct + reflections + room + walls;

function fractions(shares: Shares): Shares {
  const sum = sumOf(shares);
  return sharesBy((share) => shares[share] / sum);
}

/** What is left where baffles stop all direct sound and every first reflection; null where nothing would be. */
function boughtAtMost({ direct, reflections, room, walls }: Shares): number | null {
  const rest = room + walls;
  return rest > 0 ? decibels((direct + reflections + rest) / rest) : null;
}

const levelOrNull = (energy: number): number | null => (energy > 0 ? decibels(energy) : null);
const levelOf = (energies: Bands): number | null => levelOrNull(allBands(energies));

const ratioDb = (signal: number, bleed: number): number | null =>
  signal > 0 && bleed > 0 ? decibels(signal / bleed) : null;

/** An octave further below the signal's strongest can be filtered away, dB. */
const OWN_REACH = 20;

/** Weight of each band at a mic whose signal by band is `wanted`; all alike where there is none. */
export function weightsFor(weighting: Limits['weighting'], wanted: Bands): Bands {
  if (weighting !== 'own') return WEIGHTS[weighting];
  const strongest = Math.max(...wanted);
  if (strongest <= 0) return sameInAllBands(1);
  const floor = strongest * 10 ** (-OWN_REACH / 10);
  return bands((band) => ((wanted[band] ?? 0) >= floor ? 1 : 0));
}

/** Bands that count, by number. */
export const countedBands = (weights: Bands): number[] =>
  [...weights.keys()].filter((band) => (weights[band] ?? 0) > 0);

/** Whether it was measured at the session, of the S/B at some capsules in a passage, dB as judged; null without readings. */
export function bleedBasis(
  scene: Scene,
  atMic: MicEnergies,
  capsules: readonly Capsule[],
  { passage, ratio }: SignalToBleed,
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

/** What one capsule picks up, or a pair's two together as an energy sum, of every source. */
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
    const from = source * PAIR_SIZE;
    for (let row = from + first; row < from + end; row += BAND_COUNT)
      for (let band = 0; band < BAND_COUNT; band++)
        sum[band] = (sum[band] as number) + (energy[row + band] as number);
  }
  return filtered && mic.filter ? sum.map((one, band) => one * (mic.filter?.[band] ?? 1)) : sum;
}

/** Sources that a mic is for, and those that are bleed at it, as far as they sound in the passage. */
export function sidesOf(mic: Mic, passage: Passage): Readonly<Record<'wanted' | 'bleeders', number[]>> {
  const spared = new Set([...mic.wanted, ...mic.ignored]);
  const sounding = passage.sounds.flatMap((sounds, source) => (sounds ? [source] : []));
  return {
    wanted: mic.wanted.filter((source) => passage.sounds[source]),
    bleeders: sounding.filter((source) => !spared.has(source)),
  };
}
