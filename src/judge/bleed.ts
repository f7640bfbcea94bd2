/** Signal to bleed of a mic: energy of the sources it is for, over that of every other source. */
import { type Bands, decibels, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { SHARES } from '../acoustics/transfer.ts';
import { weightedSum } from '../acoustics/weighting.ts';
import type { Mic, Passage, Scene } from '../scene/scene.ts';
import { heard, type Listening, sidesOf } from './listening.ts';
import type { LevelRow, MicRow, Shares } from './rows.ts';
import { verdictOf } from './verdict.ts';
import { countedBands, weightsFor } from './weights.ts';

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
  listening: Listening,
  { passages, limits }: Pick<Scene, 'passages' | 'limits'>,
): Judged {
  const { mic } = listening;
  const own = passages.filter(({ sounds }) => mic.wanted.some((source) => sounds[source]));
  const judged = own.map((passage) => judgeIn(listening, passage, limits.weighting));
  const worst = judged.reduce<Judged | null>((a, b) => (a === null || rank(b) < rank(a) ? b : a), null);
  return worst ?? { ...judgeIn(listening, NOBODY, limits.weighting), margin: null, ...NEVER };
}

const NOBODY: Passage = { name: null, path: [], sounds: [] };
const NEVER = { verdict: null, remark: 'its source sounds in no passage: not judged' } as const;

/** Passages in order of their ratio; one without bleed is never the worst, one without signal always. */
const rank = ({ signalToBleed, verdict }: Judged): number =>
  signalToBleed ?? (verdict === 'short' ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY);

function judgeIn(listening: Listening, passage: Passage, weighting: Scene['limits']['weighting']): Judged {
  const { mic } = listening;
  const { wanted, bleeders } = sidesOf(mic, passage);
  const signal = heard(listening, wanted, { filtered: true });
  const bleed = heard(listening, bleeders, { filtered: true });
  const weights = weightsFor(weighting, signal);
  const signalSum = weightedSum(signal, weights);
  const bleedSum = weightedSum(bleed, weights);
  const shares = sharesOf(listening, bleeders, weights);
  const ratio = ratioDb(signalSum, bleedSum);
  const parts = mic.purpose === 'parts';
  const margin = parts && ratio !== null ? ratio - mic.limit : null;
  return {
    passage: passage.name,
    signal: levelOf(heard(listening, wanted, { filtered: false })),
    bleed: levelOf(heard(listening, bleeders, { filtered: false })),
    signalToBleed: ratio,
    signalToBleedUnweighted: ratioDb(total(signal), total(bleed)),
    signalToBleedUnfiltered: mic.filter ? unfiltered(listening, wanted, bleeders, weighting) : ratio,
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
  listening: Listening,
  wanted: readonly number[],
  bleeders: readonly number[],
  weighting: Scene['limits']['weighting'],
): number | null {
  const signal = heard(listening, wanted, { filtered: false });
  const weights = weightsFor(weighting, signal);
  return ratioDb(
    weightedSum(signal, weights),
    weightedSum(heard(listening, bleeders, { filtered: false }), weights),
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
  listening: Listening,
  geometry: (source: number) => Pick<LevelRow, 'distance' | 'offAxis'>,
): LevelRow[] {
  const { mic } = listening;
  const weights = weightsFor(scene.limits.weighting, heard(listening, mic.wanted, { filtered: true }));
  return scene.sources.map((source, index) => {
    const energies = heard(listening, [index], { filtered: false });
    const shares = sharesOf(listening, [index], weights);
    return {
      source: source.name,
      wanted: mic.wanted.includes(index),
      ignored: mic.ignored.includes(index),
      level: levelOf(energies),
      byBand: Array.from(energies, (energy) => levelOrNull(energy)),
      ...geometry(index),
      judgedLevel: levelOrNull(weightedSum(heard(listening, [index], { filtered: true }), weights)),
      shares: shares ? fractions(shares) : { direct: 0, reflections: 0, room: 0, walls: 0 },
    };
  });
}

/** Weighted energies of some sources by share; null where they bring nothing. */
function sharesOf(listening: Listening, sources: readonly number[], weights: Bands): Shares | null {
  const [direct, reflections, room, walls] = SHARES.map((share) =>
    weightedSum(heard(listening, sources, { filtered: true, share }), weights),
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
