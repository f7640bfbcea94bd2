/**
 * The conclusion that heads a report: what bleeds most into the mics that are short, what that bleed is made of, and the one cause
 * behind most of what is missing, each held against usual practice.
 */
import { type Bands, decibels, KILOHERTZ, middleMean } from '../acoustics/bands.ts';
import { NEAREST, planeResponse } from '../acoustics/directivity.ts';
import { type Capsule, OUTSIDE, type Scene, type Source } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import type { HeadphoneLeakRow, Hearing } from './hearing.ts';
import { bafflesBetween } from './sight.ts';
import type { LevelRow, MicRow, PairRow, Shares } from './signal-to-bleed.ts';
import { judgedEnergy, kitOf, micsAsNamed, worstBleeder } from './signal-to-bleed.ts';

const CAUSES = ['aim', 'distance', 'level', 'place', 'baffle', 'room', 'door', 'headphones'] as const;

export type MainCause = {
  readonly kind: (typeof CAUSES)[number];
  /** Whom it is about: a mic and its source, a bleeder and a mic, a room, or a door. */
  readonly about: readonly string[];
  /** What it costs where it costs most, against usual practice, dB. */
  readonly costs: number;
  /** Mics, or players for headphones, that it is behind. */
  readonly at: readonly string[];
  /** Degrees off axis (aim), distance in m (distance, place), RT60 in s (room), a leak in dB re signal (headphones); else null. */
  readonly measure: number | null;
};

export type Conclusion = {
  /** Mics that are short, as the plan names them. */
  readonly short: readonly string[];
  /** The source, or kit, that is the worst bleed at most of them. */
  readonly worstBleed: { readonly source: string; readonly at: number } | null;
  /** What the bleed at these mics is made of, each mic alike; fractions of one. */
  readonly shares: Shares | null;
  /** What baffles would gain at most, where least and where most of them, dB; null where they could stop all bleed somewhere. */
  readonly baffleGainMax: readonly [least: number, most: number] | null;
  readonly cause: MainCause | null;
};

/** What one cause costs at one mic. */
type Loss = Omit<MainCause, 'at'> & { readonly at: string };

/** Less than this is no cause, dB. */
const LEAST = 1.5;

type Judged = {
  readonly mics: readonly MicRow[];
  readonly pairs: readonly PairRow[];
  readonly phones: readonly HeadphoneLeakRow[];
  readonly hearing: Hearing;
  /** RT60 by band, s. */
  readonly rooms: readonly {
    readonly name: string;
    readonly eyring: Bands;
    readonly measured: Bands | null;
  }[];
};

export function conclude(scene: Scene, result: Transfer, report: Judged): Conclusion {
  const short = micsAsNamed(report).filter(({ verdict }) => verdict === 'short');
  const bleeders = short.flatMap(({ levels }) => worstBleeder(levels) ?? []);
  const known = [...new Set(bleeders)];
  const timesOf = (name: string) => bleeders.filter((one) => one === name).length;
  const [source] = known.sort((a, b) => timesOf(b) - timesOf(a));
  const made = short.flatMap(({ bleedShares }) => bleedShares ?? []);
  const gains = short.flatMap(({ baffleGainMax }) => baffleGainMax ?? []);
  return {
    short: short.map(({ name }) => name),
    worstBleed: source === undefined ? null : { source, at: timesOf(source) },
    shares: made.length === 0 ? null : meanShares(made),
    baffleGainMax:
      gains.length < short.length || gains.length === 0 ? null : [Math.min(...gains), Math.max(...gains)],
    cause: mainCause(scene, result, report, short),
  };
}

const meanShares = (all: readonly Shares[]): Shares => {
  const mean = (key: keyof Shares) => all.reduce((sum, one) => sum + one[key], 0) / all.length;
  return {
    direct: mean('direct'),
    reflections: mean('reflections'),
    room: mean('room'),
    walls: mean('walls'),
  };
};

/** The cause that costs most of what is missing: at each mic no more counts than it is short by. */
function mainCause(
  scene: Scene,
  result: Transfer,
  report: Judged,
  short: readonly (MicRow | PairRow)[],
): MainCause | null {
  const ofMics = short.flatMap((row) =>
    lossesAt(scene, result, report, row).map((loss) => ({ loss, missing: -(row.margin ?? -LOST) })),
  );
  const losses = [...ofMics, ...ofHeadphones(report, scene)].filter(({ loss }) => loss.costs >= LEAST);
  const keyOf = ({ kind, about }: Loss) =>
    [kind, ...(kind === 'distance' || kind === 'aim' ? [] : about)].join();
  const worthOf = (key: string) =>
    losses
      .filter(({ loss }) => keyOf(loss) === key)
      .reduce((sum, { loss, missing }) => sum + Math.min(loss.costs, missing), 0);
  const [best] = [...new Set(losses.map(({ loss }) => keyOf(loss)))].sort((a, b) => worthOf(b) - worthOf(a));
  const own = losses.flatMap(({ loss }) => (keyOf(loss) === best ? [loss] : []));
  const [worst] = [...own].sort((a, b) => b.costs - a.costs);
  if (!worst || worthOf(best ?? '') < MOST_OF * missingOf(short)) return null;
  return { ...worst, at: [...new Set(own.map(({ at }) => at))] };
}

/** A main cause explains at least this share of what is missing. */
const MOST_OF = 0.3;

const missingOf = (short: readonly MicRow[]): number =>
  short.reduce((sum, { margin }) => sum - (margin ?? -LOST), 0);

/** For a mic without signal, dB. */
const LOST = 100;

const loudestOf = (levels: readonly LevelRow[]): LevelRow | undefined =>
  levels.reduce<LevelRow | undefined>(
    (top, one) => (judgedEnergy(one) > judgedEnergy(top) ? one : top),
    undefined,
  );

/** Every cause at one mic, each with what it costs against usual practice. */
function lossesAt(scene: Scene, result: Transfer, report: Judged, row: MicRow | PairRow): Loss[] {
  const name = 'worse' in row ? (row.worse ?? row.name) : row.name;
  const capsule = scene.capsules.find((one) => one.name === name);
  const own = loudestOf(row.levels.filter(({ role }) => role === 'signal'));
  const worst = worstBleeder(row.levels);
  const top = loudestOf(row.levels.filter(({ role, source }) => role === 'bleed' && kitOf(source) === worst));
  if (!capsule || !own || !top || worst === null || !row.bleedShares) return [];
  const at = row.name;
  const [signal, bleeder] = [own, top].map((level) => scene.sources.find((one) => one.name === level.source));
  const losses: Loss[] = [];
  const add = (kind: Loss['kind'], about: readonly string[], costs: number, measure: number | null = null) =>
    losses.push({ kind, about, costs, at, measure });

  // a channel of a pair is meant to aim beside its source
  if (own.micOffAxis !== null && !('worse' in row))
    add('aim', [at, own.source], offAxisLoss(capsule, own.micOffAxis), own.micOffAxis);
  if (own.distance !== null && signal) {
    const costs = 20 * Math.log10(own.distance / usualReach(signal));
    add('distance', [at, own.source], costs, own.distance);
  }
  const loud = (bleeder?.aboveMf ?? 0) - Math.max(0, signal?.aboveMf ?? 0);
  if (loud > 0) add('level', [worst], loud);

  const { direct, reflections, room, walls } = row.bleedShares;
  const isNear = top.distance !== null && top.distance < NEAR;
  if (direct >= HALF && isNear) {
    add('place', [worst, at], 20 * Math.log10(NEAR / Math.max(top.distance ?? NEAR, NEAREST)), top.distance);
  }
  const index = scene.sources.findIndex(({ name: one }) => one === top.source);
  const mic = scene.mics[capsule.mic];
  const isOpen = mic !== undefined && bafflesBetween(scene, index, mic).length === 0;
  if (direct + reflections >= HALF && isOpen && !isNear)
    add('baffle', [worst, at], Math.min(row.baffleGainMax ?? USUAL_BAFFLE, USUAL_BAFFLE));
  const place = scene.rooms[capsule.room];
  const absorption = result.prepared.absorptions[capsule.room];
  if (room >= HALF && place && absorption) {
    const costs = decibels(TREATED / middleMean(absorption.mean));
    const times = report.rooms.find(({ name: one }) => one === place.name);
    add('room', [place.name], costs, times ? middleMean(times.measured ?? times.eyring) : null);
  }
  const door = walls >= HALF ? openDoor(scene, scene.sources[index]?.points[0]?.room, capsule) : null;
  if (door) add('door', [door], Math.min(USUAL_DOOR, decibels(1 / (1 - Math.min(walls, 0.999)))));
  return losses;
}

/** From this share of the bleed on its kind decides which remedies work. */
const HALF = 0.5;
/** A bleeder nearer than this stands beside the mic, m. Common practice, no source. */
const NEAR = 1.5;
/** What a baffle, and a closed door, usually gain where all else is well, dB. Common practice, no source. */
const USUAL_BAFFLE = 8;
const USUAL_DOOR = 20;
/** Mean absorption of a room treated for recording. Common practice, no source. */
const TREATED = 0.3;

/** As far as a close mic usually stands from an instrument, m; of one that the catalogue does not know. Common practice, no source. */
const usualReach = ({ furthest }: Source): number => (furthest > 0 ? furthest : USUAL_REACH);
const USUAL_REACH = 0.6;

/** What a direct wave at this angle loses against one on axis, at 1 kHz, dB. */
function offAxisLoss({ pattern, nullFloor }: Capsule, degrees: number): number {
  const response = (cos: number) => planeResponse(pattern, nullFloor, KILOHERTZ, cos);
  return decibels(response(1) / Math.max(response(Math.cos((degrees * Math.PI) / 180)), 1e-3));
}

/** The open or ajar door between a source and a mic in another room. */
function openDoor(scene: Scene, room: number | undefined, capsule: Capsule): string | null {
  if (room === undefined || room === capsule.room || room === OUTSIDE || capsule.room === OUTSIDE)
    return null;
  const { partitions } = scene;
  const between = partitions.filter(
    ({ rooms: [a, b] }) => (a === room && b === capsule.room) || (b === room && a === capsule.room),
  );
  const doors = between.flatMap(({ name, elements }) =>
    elements.flatMap((one) =>
      one.kind === 'door' && one.state !== 'closed' ? [`${one.state} ${one.name} of ${name}`] : [],
    ),
  );
  return doors[0] ?? null;
}

/** Leaks louder than the limit of the mic lets bleed be, and players who must hear someone and cannot by air. */
function ofHeadphones({ phones, mics, pairs, hearing }: Judged, { players }: Scene) {
  const limitOf = (mic: string) =>
    micsAsNamed({ mics, pairs }).find(({ name }) => name === mic)?.limit ?? null;
  const leaks = phones.flatMap(({ player, mic, leak }) => {
    const limit = limitOf(mic);
    if (limit === null || leak === null) return [];
    const costs = leak + limit;
    return [
      {
        loss: { kind: 'headphones', about: [player, mic], costs, at: mic, measure: leak } as const,
        missing: costs,
      },
    ];
  });
  const deaf = hearing.limits.flatMap(({ player, whom, verdict, margin }) => {
    const wears = players.find(({ name }) => name === player)?.cue.wearing ?? 'none';
    if (verdict !== 'short' || wears !== 'none') return [];
    const costs = Math.min(DEAF, -(margin ?? -DEAF));
    return [
      {
        loss: { kind: 'headphones', about: [player, whom], costs, at: player, measure: null } as const,
        missing: costs,
      },
    ];
  });
  return [...leaks, ...deaf];
}

/** What somebody who cannot be heard counts at most, dB. */
const DEAF = 20;
