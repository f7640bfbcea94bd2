/** One pair explained: groups traced paths of a section, shares. */
import { BAND_COUNT, type Bands, bands, decibels, NOMINAL_BANDS, weightedSum } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { Mic, Scene } from '../scene/scene.ts';
import { unknownName } from '../text.ts';
import { type Cover, coverBetween, takeCover } from '../transfer/override.ts';
import { newPath, type PathKind, type Share, type SoundPath } from '../transfer/path-energy.ts';
import type { PreparedScene } from '../transfer/prepared-scene.ts';
import { linkOf } from '../transfer/source-receiver.ts';
import {
  type Between,
  type Course,
  type EdgeTrace,
  type Factor,
  factor,
  GAIN_KINDS,
  type GainKind,
  inOrder,
  type Met,
  type Told,
  tellWay,
} from '../transfer/trace.ts';
import { eachPath, energyAt, type Transfer } from '../transfer/transfer.ts';
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
  const ways = waysOf(result.prepared, pair.source, pair.capsule);
  const total = energiesOf(result, pair);
  mustAddUp(ways, total);
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
    paths: rowsOf(ways, weights, weightedSum(total, weights), scene.air.soundSpeed),
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

/** All ways together are the level that every other answer rests on; 0.001 dB leaves room for the order of adding only. */
function mustAddUp(ways: readonly { readonly energy: Float64Array }[], total: Float64Array): void {
  total.forEach((whole, band) => {
    const sum = ways.reduce((so, way) => so + (way.energy[band] as number), 0);
    if (sum === whole || (sum > 0 && whole > 0 && Math.abs(decibels(sum / whole)) < 0.001)) return;
    throw new Error(`ways add up to ${sum} where the level rests on ${whole} in band ${band}`);
  });
}

function schroederOf(scene: Scene, result: Transfer, capsule: number): number | null {
  const index = scene.capsules[capsule]?.room ?? -1;
  const room = scene.rooms[index];
  const absorption = result.prepared.absorptions[index];
  return room && absorption ? roomFigures(room, absorption, scene.air.soundSpeed).schroeder : null;
}

// Ways put together: those of a section's points that go alike are one row, added as energies.

/** Losses of this many dB stand for nothing left. */
const GONE = 299;

/** Rows of what carries sound, largest share first. `weights` say which octaves count, `whole` is all that arrives in them. */
function rowsOf(ways: readonly Way[], weights: Bands, whole: number, soundSpeed: number): WhyPath[] {
  const alike = new Map<string, Way[]>();
  for (const way of ways) {
    const key = JSON.stringify([way.kind, way.of, way.by]);
    alike.set(key, [...(alike.get(key) ?? []), way]);
  }
  return [...alike.values()]
    .map((group) => rowOf(group, weights, whole, soundSpeed))
    .filter(({ level }) => level !== null)
    .sort((a, b) => b.fraction - a.fraction || (b.level ?? -Infinity) - (a.level ?? -Infinity));
}

function rowOf(group: readonly Way[], weights: Bands, whole: number, soundSpeed: number): WhyPath {
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
    length: over(({ travelled }) => travelled),
    delay: over(({ travelled }) => travelled / soundSpeed),
    offAxis: over(({ cosLeave }) => degrees(cosLeave)),
    offAim: over(({ cosArrive }) => degrees(cosArrive)),
    gains: gainsOf(group),
    screens: loudest.barriers.map(screenOf),
    edges: edgesOf(loudest.edges),
  };
}

/** Each gain is what the energies of all points together rise by as it acts on each: they multiply to the whole. */
function gainsOf(group: readonly Way[]): WhyGain[] {
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

const factorOf = (way: Way, kind: GainKind): Bands | undefined =>
  way.factors.find((one) => one.kind === kind)?.by;

const multiplied = (energy: Bands, by: Bands | undefined): Bands =>
  by ? energy.map((one, band) => one * (by[band] as number)) : energy;

function added(energies: readonly Bands[]): Bands {
  return bands((band) => energies.reduce((total, energy) => total + (energy[band] as number), 0));
}

const sum = (energy: Bands): number => energy.reduce((total, one) => total + one, 0);

function rangeOf(group: readonly Way[], value: (course: Course) => number): Range | null {
  const values = group.flatMap(({ course }) => (course ? [value(course)] : []));
  return values.length > 0 ? { from: Math.min(...values), to: Math.max(...values) } : null;
}

const degrees = (cosine: number): number => (Math.acos(Math.min(1, Math.max(-1, cosine))) * 180) / Math.PI;

const screenOf = ({ where, panels, tau, past, loss, edges }: Met): WhyScreen => ({
  panels,
  where,
  through: inDb(tau),
  past: inDb(past),
  whole: lossDb(loss),
  edges: edgesOf(edges),
});

const SIDES = ['left', 'right', 'top', 'bottom'] as const;

const edgesOf = (edges: readonly EdgeTrace[]): WhyEdge[] =>
  SIDES.flatMap((side) => edges.filter((edge) => edge.side === side)).map(edgeOf);

const edgeOf = ({ side, detour, clear, loss }: EdgeTrace): WhyEdge => ({
  side,
  detour,
  hidden: !clear,
  wave: lossDb(loss),
});

/** A loss as a gain; what nothing is left of has none. */
const lossDb = (loss: Bands): (number | null)[] => Array.from(loss, (db) => (db < GONE ? -db : null));

const inDb = (energies: Bands): (number | null)[] => Array.from(energies, dbOf);

const dbOf = (energy: number): number | null =>
  energy > 0 && Number.isFinite(energy) ? decibels(energy) : null;

// Every way from each point of a source to a capsule, with what it gains and loses.

/** One way of one point; energy by band as it arrives. */
type Way = Told & Pick<SoundPath, 'kind' | 'share'> & { readonly energy: Bands };

function waysOf(prepared: PreparedScene, source: number, capsule: number): Way[] {
  const receiver = prepared.scene.capsules[capsule];
  const sourceEmitters = prepared.emitters[source];
  if (!receiver || !sourceEmitters) return [];
  const cover = coverBetween(prepared.scene, source, receiver);
  return sourceEmitters.points.flatMap((emitter, point) => {
    const firstSurfaceAlpha = sourceEmitters.firstSurfaceAlphas[point] as Bands;
    const between = { prepared, link: linkOf(emitter, receiver, prepared.medium), firstSurfaceAlpha };
    return pathsOf(between, source, capsule).map((path) => wayOf(between, path, cover));
  });
}

/** Copies of the ways of one point alone. */
function pathsOf(
  { prepared, link, firstSurfaceAlpha }: Between,
  source: number,
  capsule: number,
): SoundPath[] {
  const alone = { points: [link.emitter], firstSurfaceAlphas: [firstSurfaceAlpha] };
  const emitters = prepared.emitters.map((sourceEmitters, i) => (i === source ? alone : sourceEmitters));
  const found: SoundPath[] = [];
  eachPath({ ...prepared, emitters }, source, capsule, (path) => {
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
