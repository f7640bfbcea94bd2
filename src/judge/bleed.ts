/** Signal to bleed of a mic: energy of the sources it is for, over that of every other source. */
import { BAND_COUNT, type Bands, decibels, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { energyAt, SHARES, type Share, type Transfer } from '../acoustics/transfer.ts';
import { weightedSum } from '../acoustics/weighting.ts';
import type { Limits, Mic, Scene } from '../scene/scene.ts';
import type { LevelRow, MicRow, Shares } from './report.ts';
import { verdictOf } from './verdict.ts';
import { countedBands, weightsFor } from './weights.ts';

/** Energy of a source at a listening place, by band: of one share, or of all. */
export type Heard = (source: number, band: number, share?: Share) => number;

type Judged = Pick<
  MicRow,
  | 'signal'
  | 'bleed'
  | 'signalToBleed'
  | 'signalToBleedUnweighted'
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

/** What one capsule hears, or a pair's two together as an energy sum. */
export function heardAt(result: Transfer, capsules: readonly number[]): Heard {
  return (source, band, share) =>
    capsules.reduce((sum, capsule) => sum + energyAt(result, source, capsule, band, share), 0);
}

/** Judges a mic by what it hears. A mic for everyone, or for the room, has figures but no verdict. */
export function judgeBleed(mic: Mic, heard: Heard, sources: number, limits: Limits): Judged {
  const bleeders = bleedersOf(mic, sources);
  const wanted = sumOf(heard, mic.wanted);
  const bleed = sumOf(heard, bleeders);
  const weights = weightsFor(limits.weighting, wanted);
  const signalSum = weightedSum(wanted, weights);
  const bleedSum = weightedSum(bleed, weights);
  const shares = sharesOf(heard, bleeders, weights);
  const ratio = ratioDb(signalSum, bleedSum);
  const judged = mic.purpose === 'parts';
  const margin = judged && ratio !== null ? ratio - mic.limit : null;
  return {
    signal: levelOf(wanted),
    bleed: levelOf(bleed),
    signalToBleed: ratio,
    signalToBleedUnweighted: ratioDb(total(wanted), total(bleed)),
    signalToDirectBleed: ratioDb(signalSum, shares?.direct ?? 0),
    judgedBands: countedBands(weights).map((band) => NOMINAL_BANDS[band] ?? 0),
    limit: judged ? mic.limit : null,
    limitFrom: judged ? mic.limitFrom : null,
    margin,
    ...wordFor(mic, signalSum, bleedSum, margin),
    bleedShares: shares && fractions(shares),
    screensBuyAtMost: shares && bleedSum > shares.direct ? -decibels(1 - shares.direct / bleedSum) : null,
  };
}

/** Sources that are bleed at a mic: neither wanted nor mates of what is wanted. */
export function bleedersOf(mic: Mic, sources: number): number[] {
  const spared = new Set([...mic.wanted, ...mic.ignored]);
  return Array.from({ length: sources }, (_, source) => source).filter((source) => !spared.has(source));
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
  mic: Mic,
  heard: Heard,
  geometry: (source: number) => Pick<LevelRow, 'distance' | 'offAxis'>,
): LevelRow[] {
  const weights = weightsFor(scene.limits.weighting, sumOf(heard, mic.wanted));
  return scene.sources.map((source, index) => {
    const energies = sumOf(heard, [index]);
    const shares = sharesOf(heard, [index], weights);
    return {
      source: source.name,
      wanted: mic.wanted.includes(index),
      ignored: mic.ignored.includes(index),
      level: levelOf(energies),
      byBand: Array.from(energies, (energy) => (energy > 0 ? decibels(energy) : null)),
      ...geometry(index),
      judgedLevel: levelOrNull(weightedSum(energies, weights)),
      shares: shares ? fractions(shares) : { direct: 0, reflections: 0, room: 0, walls: 0 },
    };
  });
}

function sumOf(heard: Heard, sources: readonly number[], share?: Share): Bands {
  const sum = new Float64Array(BAND_COUNT);
  for (const source of sources) {
    for (let band = 0; band < BAND_COUNT; band++) sum[band] = (sum[band] ?? 0) + heard(source, band, share);
  }
  return sum;
}

/** Weighted energies of some sources by share; null where they bring nothing. */
function sharesOf(heard: Heard, sources: readonly number[], weights: Bands): Shares | null {
  const [direct, reflections, room, walls] = SHARES.map((share) =>
    weightedSum(sumOf(heard, sources, share), weights),
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

const total = (energies: Bands): number => energies.reduce((sum, energy) => sum + energy, 0);
const levelOrNull = (energy: number): number | null => (energy > 0 ? decibels(energy) : null);
const levelOf = (energies: Bands): number | null => levelOrNull(total(energies));
const ratioDb = (signal: number, bleed: number): number | null =>
  signal > 0 && bleed > 0 ? decibels(signal / bleed) : null;
