/** One pair explained: groups traced paths of a section, shares. */
import { BAND_COUNT, type Bands, bands, decibels, NOMINAL_BANDS, weightedSum } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { Mic, Room, Scene } from '../scene/scene.ts';
import { unknownName } from '../text.ts';
import type { PathKind, Share, SoundPath } from '../transfer/path-energy.ts';
import {
  type BarrierTrace,
  type Course,
  type EdgeTrace,
  GAIN_KINDS,
  type GainKind,
  type PathRecord,
} from '../transfer/trace.ts';
import { eachRecordedPath, energyAt, type Transfer } from '../transfer/transfer.ts';
import { type Report, roomFigures } from './report.ts';
import {
  countedBands,
  type LevelRow,
  type MicRow,
  micEnergies,
  pickedUp,
  type Shares,
  weightsFor,
} from './signal-to-bleed.ts';

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
  const row = capsule.levels[pair.source] as LevelRow;
  const mic = scene.mics[scene.capsules[pair.capsule]?.mic ?? -1] as Mic;
  const { bands, weights } = weightsAt(scene, result, mic, pair.capsule);
  const paths = pathsOf(result, pair);
  const total = energiesOf(result, pair);
  return {
    mic: capsule.name,
    pattern: capsule.pattern,
    source: row.source,
    role: row.wanted ? 'own' : row.ignored ? 'mate' : 'bleed',
    level: row.level,
    byBand: row.byBand,
    judgedLevel: row.judgedLevel,
    judgedBands: bands,
    filtered: mic.filter !== null,
    distance: row.distance,
    points: result.prepared.emitters[pair.source]?.points.length ?? 0,
    shares: row.shares,
    schroeder: schroederOf(scene, result, pair.capsule),
    paths: rowsOf(paths, weights, weightedSum(total, weights), scene.air.soundSpeed),
  };
}

/** As for the report's shares: octaves of its own sound, or the plan's weighting; after the channel's filters. */
function weightsAt(scene: Scene, result: Transfer, mic: Mic, capsule: number): Weights {
  const wanted = pickedUp(micEnergies(result, mic, [capsule]), mic.wanted, { filtered: true });
  const counted = weightsFor(scene.limits.weighting, wanted);
  return {
    bands: countedBands(counted).map((band) => NOMINAL_BANDS[band] as number),
    weights: counted.map((one, band) => one * (mic.filter?.[band] ?? 1)),
  };
}

type Weights = { readonly bands: readonly number[]; readonly weights: Bands };

const energiesOf = (result: Transfer, { source, capsule }: Pair): Float64Array =>
  Float64Array.from({ length: BAND_COUNT }, (_, band) => energyAt(result, source, capsule, band));

function schroederOf(scene: Scene, result: Transfer, capsule: number): number | null {
  const index = scene.capsules[capsule]?.room ?? -1;
  const room = scene.rooms[index];
  const absorption = result.prepared.absorptions[index];
  return room && absorption ? roomFigures(room, absorption, scene.air.soundSpeed).schroeder : null;
}

// Ways put together: those of a section's points that go alike are one row, added as energies.

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
  const over = (value: (course: Course) => number) => rangeOf(group, value);
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
    offAxis: over(({ cosLeave }) => degrees(cosLeave)),
    offAim: over(({ cosArrive }) => degrees(cosArrive)),
    gains: gainsOf(group),
    screens: loudest.barriers.map(screenOf),
    edges: edgesOf(loudest.edges),
  };
}

/** Each gain is what the energies of all points together rise by as it acts on each: they multiply to the whole. */
function gainsOf(group: readonly TracedPath[]): WhyGain[] {
  const kinds = GAIN_KINDS.filter((kind) => group.some((way) => factorOf(way, kind)));
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

const factorOf = (way: TracedPath, kind: GainKind): Bands | undefined =>
  way.factors.find((one) => one.kind === kind)?.by;

const multiplied = (energy: Bands, by: Bands | undefined): Bands =>
  by ? energy.map((one, band) => one * (by[band] as number)) : energy;

function added(energies: readonly Bands[]): Bands {
  return bands((band) => energies.reduce((total, energy) => total + (energy[band] as number), 0));
}

const sum = (energy: Bands): number => energy.reduce((total, one) => total + one, 0);

function rangeOf(group: readonly TracedPath[], value: (course: Course) => number): Range | null {
  const values = group.flatMap(({ course }) => (course ? [value(course)] : []));
  return values.length > 0 ? { from: Math.min(...values), to: Math.max(...values) } : null;
}

const degrees = (cosine: number): number => (Math.acos(Math.min(1, Math.max(-1, cosine))) * 180) / Math.PI;

const screenOf = ({ where, panels, tau, past, transmitted, edges }: BarrierTrace): WhyScreen => ({
  panels,
  where,
  through: inDb(tau),
  past: inDb(past),
  whole: reached(transmitted),
  edges: edgesOf(edges),
});

const SIDES = ['left', 'right', 'top', 'bottom'] as const;

const edgesOf = (edges: readonly EdgeTrace[]): WhyEdge[] =>
  SIDES.flatMap((side) => edges.filter((edge) => edge.side === side)).map(edgeOf);

const edgeOf = ({ side, detour, clear, energy }: EdgeTrace): WhyEdge => ({
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

// Every path from each point of a source to a capsule, with the factors that the transfer used.

/** One path of one point; energy by band as the mic picks it up. */
type TracedPath = Pick<WhyPath, 'kind' | 'share' | 'by' | 'of'> & PathRecord & { readonly energy: Bands };

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
  if (kind === 'field') return { by: null, of };
  return { by: panel?.name ?? (element || null), of: partition || null };
}

// What a pair of names on the command line stands for.

/** The capsules and sources of two names, or what is wrong with them. */
export function askedFor(scene: Scene, mic: string, source: string): Asked | Finding {
  const mics = micsByName(scene);
  const sources = sourcesByName(scene);
  const heard = mics.get(mic);
  if (!heard) return unknownName('--mic', { what: 'microphone', name: mic, known: [...mics.keys()] });
  const sounding = sources.get(source);
  if (!sounding)
    return unknownName('--source', { what: 'source, kit or part', name: source, known: [...sources.keys()] });
  return { mic, source, ...heard, sources: sounding };
}

function micsByName({ mics, capsules }: Scene): Map<string, Pick<Asked, 'capsules' | 'line'>> {
  const single = capsules.map(({ name }, i) => [name, { capsules: [i], line: false }] as const);
  return new Map([
    ...single,
    ...mics.map((mic) => [mic.name, { capsules: mic.capsules, line: mic.line }] as const),
  ]);
}

/** Players, parts, kits and sources; of equal names, a source goes before a part and that before a player. */
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

// What `why` knows, as plain values: the only thing that its rendering reads. Levels in dB re 20 µPa.

export type Why = {
  readonly title: string;
  /** As asked: a microphone, pair, capsule or line; a source, kit, part or player. */
  readonly mic: string;
  readonly source: string;
  /** A direct line: no capsule, so that nothing reaches it by air. */
  readonly line: boolean;
  /** Each capsule with each source, capsule by capsule, the loudest source first. */
  readonly pairs: readonly WhyPair[];
};

export type WhyPair = {
  readonly mic: string;
  readonly pattern: string;
  readonly source: string;
  readonly role: 'own' | 'mate' | 'bleed';
  readonly level: number | null;
  readonly byBand: readonly (number | null)[];
  /** Level in the octaves that count at this microphone, and those octaves as nominal hertz. */
  readonly judgedLevel: number | null;
  readonly judgedBands: readonly number[];
  /** The channel has filters: shares count after them, levels before. */
  readonly filtered: boolean;
  /** Distance of the source's nearest point, m. */
  readonly distance: number | null;
  /** How many points the source speaks from. */
  readonly points: number;
  /** In the octaves that count, fractions of one; all 0 where nothing arrives. */
  readonly shares: Shares;
  /** Schroeder frequency of the microphone's room, Hz; null in the open. */
  readonly schroeder: number | null;
  /** Largest share first. */
  readonly paths: readonly WhyPath[];
};

/** All ways of one kind off one thing; those of a section's points are one, added as energies. */
export type WhyPath = {
  readonly kind: PathKind;
  readonly share: Share;
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
  readonly offAxis: Range | null;
  readonly offAim: Range | null;
  /** In order; they add up to `byBand`. */
  readonly gains: readonly WhyGain[];
  /** Screens met, as the loudest point's way meets them. */
  readonly screens: readonly WhyScreen[];
  /** Edges of an opening. */
  readonly edges: readonly WhyEdge[];
};

export type Range = { readonly from: number; readonly to: number };

/** dB by band; null where nothing is left to multiply. */
export type WhyGain = { readonly kind: GainKind; readonly byBand: readonly (number | null)[] };

export type WhyScreen = {
  readonly panels: readonly string[];
  /** On the whole way, or before or after it comes off a surface or through a wall. */
  readonly where: 'whole' | 'before' | 'after';
  /** dB by band: through it, past it, and both together, without the angles in which ways leave and arrive. */
  readonly through: readonly (number | null)[];
  readonly past: readonly (number | null)[];
  readonly whole: readonly (number | null)[];
  readonly edges: readonly WhyEdge[];
};

export type WhyEdge = {
  readonly side: 'left' | 'right' | 'top' | 'bottom';
  /** How much longer the way round it is than the straight one, m. */
  readonly detour: number;
  /** The straight line passes on the screen's, or the opening's, side of it. */
  readonly hidden: boolean;
  readonly wave: readonly (number | null)[];
};

/** Capsules and sources by number, and the names they were asked for by. */
type Asked = {
  readonly mic: string;
  readonly source: string;
  readonly line: boolean;
  readonly capsules: readonly number[];
  readonly sources: readonly number[];
};
