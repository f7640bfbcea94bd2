/** One pair explained: groups traced paths of a section, shares. */
import { type Bands, bands, decibels, MID_BANDS, NOMINAL_BANDS, weightedSum } from '../acoustics/bands.ts';
import { type Finding, takes } from '../finding.ts';
import type { Mic, Passage, Room, Scene } from '../scene/scene.ts';
import { unknownName } from '../text.ts';
import { lossShares } from '../transfer/combined-loss.ts';
import type { SoundPath } from '../transfer/path-energy.ts';
import * as trace from '../transfer/trace.ts';
import { eachRecordedPath, energyAt, type Transfer } from '../transfer/transfer.ts';
import type { Report } from './report.ts';
import { roomRow } from './rooms.ts';
import type { LevelRow, MicEnergies, MicRow } from './signal-to-bleed.ts';
import { countedBands, energiesIn, micEnergies, SILENCE } from './signal-to-bleed.ts';

export function why(scene: Scene, result: Transfer, report: Report, asked: Asked): Why {
  const pairs = asked.capsules.flatMap((capsule) =>
    asked.sources
      .map((source) => pairOf(scene, result, report, { source, capsule }))
      .sort((a, b) => (b.judgedLevel ?? -Infinity) - (a.judgedLevel ?? -Infinity)),
  );
  return { title: scene.title, mic: asked.mic, source: asked.source, line: asked.line, pairs };
}

type Pair = { readonly source: number; readonly capsule: number };

function pairOf(scene: Scene, result: Transfer, report: Report, pair: Pair): WhyPair {
  const capsule = report.mics[pair.capsule] as MicRow;
  const { micOffAxis: _, ...row } = capsule.levels[pair.source] as LevelRow;
  const mic = scene.mics[scene.capsules[pair.capsule]?.mic ?? -1] as Mic;
  const passage = scene.passages.find(({ name }) => name === capsule.passage);
  const { judgedBands, weights } = weightsAt(scene, micEnergies(result, mic, [pair.capsule]), passage);
  const paths = pathsOf(result, pair);
  const total = bands((band) => energyAt(result, pair.source, pair.capsule, band));
  return {
    mic: capsule.name,
    pattern: capsule.pattern,
    passage: capsule.passage,
    ...row,
    judgedBands,
    filtered: mic.filter !== null,
    points: result.prepared.emitters[pair.source]?.points.length ?? 0,
    schroeder: schroederOf(scene, result, pair.capsule),
    paths: rowsOf(paths, weights, weightedSum(total, weights), scene.air.soundSpeed),
  };
}

/** As for the report's shares: octaves of its signal in that passage, or the plan's weighting; after the channel's filters. */
function weightsAt(scene: Scene, atMic: MicEnergies, passage: Passage = SILENCE) {
  const { weights: counted } = energiesIn(atMic, passage, scene.limits.weighting);
  return {
    judgedBands: countedBands(counted).map((band) => NOMINAL_BANDS[band] as number),
    weights: counted.map((one, band) => one * (atMic.mic.filter?.[band] ?? 1)),
  };
}

function schroederOf(scene: Scene, result: Transfer, capsule: number): number | null {
  const index = scene.capsules[capsule]?.room ?? -1;
  const room = scene.rooms[index];
  return room ? roomRow(result.prepared, room, index).schroeder : null;
}

/** Energy factors down to this, −299 dB, stand for nothing left. */
const LEAST = 10 ** -29.9;

/** Rows of what carries sound, largest share first. `weights` say which octaves count, `whole` is all that arrives in them. */
function rowsOf(paths: readonly TracedPath[], weights: Bands, whole: number, soundSpeed: number): WhyPath[] {
  const alike = new Map<string, TracedPath[]>();
  for (const way of paths) {
    const key = JSON.stringify([way.kind, way.of, way.by]);
    alike.set(key, [...(alike.get(key) ?? []), way]);
  }
  return [...alike.values()]
    .map((group) => rowOf(group, weights, whole, soundSpeed))
    .filter(({ level }) => level !== null)
    .sort((a, b) => b.fraction - a.fraction || (b.level ?? -Infinity) - (a.level ?? -Infinity));
}

function rowOf(group: readonly TracedPath[], weights: Bands, whole: number, soundSpeed: number): WhyPath {
  const loudest = group.reduce((best, way) => (sum(way.energy) > sum(best.energy) ? way : best));
  const energy = added(group.map((way) => way.energy));
  const over = (value: (course: trace.Course) => number) => rangeOf(group, value);
  return {
    kind: loudest.kind,
    share: loudest.share,
    by: loudest.by,
    of: loudest.of,
    points: group.length,
    fraction: whole > 0 ? weightedSum(energy, weights) / whole : 0,
    level: dbOf(sum(energy)),
    byBand: inDb(energy),
    length: over(({ length }) => length),
    delay: over(({ length }) => length / soundSpeed),
    sourceOffAxis: over(({ cosLeave }) => degrees(cosLeave)),
    micOffAxis: over(({ cosArrive }) => degrees(cosArrive)),
    gains: gainsOf(group),
    baffles: bafflesOf(loudest.barriers),
    edges: edgesOf(loudest.edges),
  };
}

/**
 * Each gain is what the energies of all points together rise by as it acts on each: they multiply to the whole. dB by band; null
 * where nothing is left to multiply.
 */
function gainsOf(group: readonly TracedPath[]) {
  const kinds = trace.GAIN_KINDS.filter((kind) => group.some((way) => factorOf(way, kind)));
  let before = bands(() => 1);
  let running = group.map(() => bands(() => 1));
  return kinds.map((kind) => {
    running = group.map((way, w) => multiplied(running[w] as Bands, factorOf(way, kind)));
    const after = added(running);
    const byBand = inDb(bands((band) => (after[band] as number) / (before[band] as number)));
    before = after;
    return { kind, byBand };
  });
}

const factorOf = (way: TracedPath, kind: trace.GainKind): Bands | undefined =>
  way.factors.find((one) => one.kind === kind)?.by;

const multiplied = (energy: Bands, by: Bands | undefined): Bands =>
  by ? energy.map((one, band) => one * (by[band] as number)) : energy;

function added(energies: readonly Bands[]): Bands {
  return bands((band) => energies.reduce((total, energy) => total + (energy[band] as number), 0));
}

const sum = (energy: Bands): number => energy.reduce((total, one) => total + one, 0);

function rangeOf(group: readonly TracedPath[], value: (course: trace.Course) => number): Range | null {
  const values = group.flatMap(({ course }) => (course ? [value(course)] : []));
  return values.length > 0 ? { from: Math.min(...values), to: Math.max(...values) } : null;
}

const degrees = (cosine: number): number => (Math.acos(Math.min(1, Math.max(-1, cosine))) * 180) / Math.PI;

/** Of several, the share of each in what all of them take, octave by octave. */
function bafflesOf(barriers: readonly trace.BarrierTrace[]) {
  const weights = barriers.map(({ place }) => place.weight);
  const shares = Array.from(MID_BANDS, (_, band) =>
    lossShares(
      barriers.map(({ transmitted }) => transmitted[band] as number),
      weights,
    ),
  );
  return barriers.map((barrier, i) => ({
    ...baffleOf(barrier),
    share: shares.map((each) => each[i] as number),
  }));
}

/** dB by band: through it, past it, and both together, without the angles in which paths leave and arrive; `weight` is that of the state of its gaps. */
const baffleOf = ({ where, place, panels, tau, past, transmitted, edges }: trace.BarrierTrace) => ({
  panels,
  where,
  weight: place.weight,
  through: inDb(tau),
  past: inDb(past),
  whole: reached(transmitted),
  edges: edgesOf(edges),
});

const SIDES = ['left', 'right', 'top', 'bottom'] as const;

const edgesOf = (edges: readonly trace.EdgeTrace[]): WhyEdge[] =>
  SIDES.flatMap((side) => edges.filter((edge) => edge.side === side)).map(edgeOf);

/** Hidden where the straight line passes on the screen's, or the opening's, side of it. */
const edgeOf = ({ side, detour, clear, energy }: trace.EdgeTrace) => ({
  side,
  detour,
  hidden: !clear,
  wave: reached(energy),
});

/** Energy factors in dB; null where nothing is left. */
const reached = (factors: Bands): (number | null)[] =>
  Array.from(factors, (one) => (one > LEAST ? decibels(one) : null));

const inDb = (energies: Bands): (number | null)[] => Array.from(energies, dbOf);
const dbOf = (energy: number): number | null =>
  energy > 0 && Number.isFinite(energy) ? decibels(energy) : null;

/** One path of one point, with the factors that the transfer used; energy by band as the mic picks it up. */
type TracedPath = Pick<WhyPath, 'kind' | 'share' | 'by' | 'of'> &
  trace.PathRecord & { readonly energy: Bands };

function pathsOf({ prepared }: Transfer, { source, capsule }: Pair): TracedPath[] {
  const { scene } = prepared;
  const found: TracedPath[] = [];
  eachRecordedPath(prepared, source, capsule, (path, record) => {
    const { kind, share, response } = path;
    const energy = path.energy.map((one, band) => one * (response[band] as number));
    const room = scene.rooms[scene.capsules[capsule]?.room ?? -1];
    found.push({ ...record, kind, share, energy, ...namesOf(path, room) });
  });
  return found;
}

/** Surface, panel or element in the plan's words, and the room or partition that it belongs to. */
function namesOf(
  { kind, surface, panel, element, partition }: SoundPath,
  room: Room | undefined,
): Pick<WhyPath, 'by' | 'of'> {
  const of = room?.name ?? null;
  if (kind === 'surface') return { by: room?.surfaces[surface]?.name ?? null, of };
  if (kind === 'diffuse-field') return { by: null, of };
  return { by: panel?.name ?? (element || null), of: partition || null };
}

/** The capsules and sources of two names, or what is wrong with them. */
export function askedFor(scene: Scene, mic: string, source: string): Asked | Finding {
  takes('askedFor', 'a scene', scene, ['sources', 'capsules']);
  const mics = micsByName(scene);
  const sources = sourcesByName(scene);
  const heard = mics.get(mic);
  if (!heard) return unknownName('--mic', { what: 'mic', name: mic, known: [...mics.keys()] });
  const sounding = sources.get(source);
  if (!sounding)
    return unknownName('--source', { what: 'source, kit or part', name: source, known: [...sources.keys()] });
  return { mic, source, ...heard, sources: sounding };
}

function micsByName({ mics, capsules }: Scene): Map<string, Pick<Asked, 'capsules' | 'line'>> {
  return new Map([
    ...capsules.map(({ name }, i) => [name, { capsules: [i], line: false }] as const),
    ...mics.map(({ name, ...mic }) => [name, { capsules: mic.capsules, line: mic.line }] as const),
  ]);
}

/** Players, parts, kits and sources; of equal names, a source comes before a part and that before a player. */
export function sourcesByName({ players, parts, sources }: Scene): Map<string, readonly number[]> {
  const where = (holds: (source: Scene['sources'][number]) => boolean): number[] =>
    sources.flatMap((source, i) => (holds(source) ? [i] : []));
  const kits = [...new Set(sources.flatMap(({ kit }) => kit ?? []))];
  const names = new Map<string, readonly number[]>([
    ...players.map(({ name }, i) => [name, where(({ player }) => player === i)] as const),
    ...parts.map(({ name, sources: of }) => [name, of] as const),
    ...kits.map((name) => [name, where(({ kit }) => kit === name)] as const),
    ...sources.map(({ name }, i) => [name, [i]] as const),
  ]);
  return new Map([...names].filter(([, of]) => of.length > 0));
}

/** What `why` knows, as plain values: the only thing that its rendering reads. Levels in dB re 20 µPa. */
export type Why = {
  readonly title: string;
  /** As asked: a microphone, pair, capsule or line; a source, kit, part or player. */
  readonly mic: string;
  readonly source: string;
  /** A DI: no capsule, so that nothing reaches it by air. */
  readonly line: boolean;
  /** Each capsule with each source, capsule by capsule, the loudest source first. */
  readonly pairs: readonly WhyPair[];
};

export type WhyPair = Omit<LevelRow, 'micOffAxis'> &
  Pick<MicRow, 'pattern' | 'passage' | 'judgedBands'> & {
    readonly mic: string;
    /** The channel has filters: shares count after them, levels before. */
    readonly filtered: boolean;
    /** How many points the source speaks from. */
    readonly points: number;
    /** Schroeder frequency of the microphone's room, Hz; null in the open. */
    readonly schroeder: number | null;
    /** Largest share first. */
    readonly paths: readonly WhyPath[];
  };

/** All paths of one kind off one thing; those of a section's points are one, added as energies. */
export type WhyPath = Readonly<Pick<SoundPath, 'kind' | 'share'>> & {
  /** Surface, panel or element in the plan's words; null where there is none. */
  readonly by: string | null;
  /** The partition that the element is in, or the room whose surface it is. */
  readonly of: string | null;
  readonly points: number;
  /** Of this source's energy here, in the octaves that count; a fraction of one. */
  readonly fraction: number;
  readonly level: number | null;
  readonly byBand: readonly (number | null)[];
  /** Metres, seconds, degrees off the source's axis and off the microphone's aim; null for a field. */
  readonly length: Range | null;
  readonly delay: Range | null;
  readonly sourceOffAxis: Range | null;
  readonly micOffAxis: Range | null;
  /** In order; they add up to `byBand`. */
  readonly gains: readonly WhyGain[];
  /** Met as by the loudest point's way. */
  readonly baffles: readonly WhyBaffle[];
  /** Edges of an opening. */
  readonly edges: readonly WhyEdge[];
};

export type Range = { readonly from: number; readonly to: number };
export type WhyGain = ReturnType<typeof gainsOf>[number];
/** On the whole way, or before or after it comes off a surface or through a wall. */
export type WhyBaffle = ReturnType<typeof bafflesOf>[number];
export type WhyEdge = ReturnType<typeof edgeOf>;
/** Capsules and sources by number, and the names they were asked for by. */
type Asked = Pick<Why, 'mic' | 'source' | 'line'> & Record<'capsules' | 'sources', readonly number[]>;
