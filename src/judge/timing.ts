/** Arrival times at microphones, the comb filtering they make, and the delays that align them. */
import { BAND_COUNT, decibels, KILOHERTZ } from '../acoustics/bands.ts';
import type { Mic, Scene } from '../scene/scene.ts';
import type { Share } from '../transfer/path-energy.ts';
import type { PreparedScene } from '../transfer/prepared-scene.ts';
import { eachPath, energyAt, type Transfer } from '../transfer/transfer.ts';
import { type Mix, mixOf } from './ghost.ts';
import { restingMics } from './muting.ts';

export const USUAL_REACH = 20;
/** Samples per second. */
export const USUAL_RATE = 48000;

export type TimingRow = Comb & {
  /** From peak to notch in all that both pick up of it: reflections and room sound fill the notches, dB. */
  readonly rippleWithRoom: number;
  readonly part: string;
  /** The source of the part that is strongest at the other mic. */
  readonly source: string;
  readonly own: string;
  readonly other: string;
  /** The source at the other mic re its own, in the mix, dB: by all paths, and by direct sound alone. */
  readonly level: number;
  readonly directLevel: number;
  /** How much later it reaches the other, s; negative where it comes earlier. */
  readonly late: number;
  readonly samples: number;
  /** One of the two picks it up on a rear lobe, with inverted polarity. */
  readonly polarityInverted: boolean;
  /** The other mic's own source is silent whenever this part sounds: it can be muted then. */
  readonly otherRests: boolean;
  /** What brings both together: this mic delayed by so much; null where they are. */
  readonly align: { readonly mic: string; readonly by: number } | null;
};

export type Timings = {
  readonly sampleRate: number;
  /** Deepest ripple first. */
  readonly rows: readonly TimingRow[];
  readonly overheads: readonly OverheadRow[];
};

/** A mic counts that picks up a part within `reach` dB of the part's own mic, both as they are in the mix. */
export function timings(
  scene: Scene,
  result: Transfer,
  { reach = USUAL_REACH, sampleRate = USUAL_RATE }: { reach?: number; sampleRate?: number } = {},
): Timings {
  const carriers = partPickups(scene, result, mixOf(scene, result), reach);
  const rows = carriers.flatMap((carrier) => timingRow(scene, result, carrier, sampleRate) ?? []);
  return {
    sampleRate,
    rows: rows.sort((a, b) => b.ripple - a.ripple),
    overheads: overheadRows(scene, result, sampleRate),
  };
}

/** Null where one of the two has no direct path to the source: there is nothing to align with. */
function timingRow(
  scene: Scene,
  result: Transfer,
  carrier: PartPickup,
  sampleRate: number,
): TimingRow | null {
  const { source, own, other } = carrier;
  const arrivals = [own, other].map(({ capsule }): Arrival | null =>
    capsule === null ? AT_ONCE : arrivalAt(result.prepared, source, capsule),
  );
  const [first, second] = arrivals;
  if (!first || !second || carrier.direct === null) return null;
  const late = (second.way - first.way) / scene.air.soundSpeed;
  const polarityInverted = first.rear !== second.rear;
  const comb = combOf(carrier.direct, late, polarityInverted);
  const { part, name } = scene.sources[source] ?? { part: -1, name: '' };
  return {
    part: scene.parts[part]?.name ?? name,
    source: name,
    own: own.name,
    other: other.name,
    level: carrier.level,
    directLevel: 20 * Math.log10(carrier.direct),
    rippleWithRoom: rippleWith(carrier),
    late,
    samples: late * sampleRate,
    polarityInverted,
    otherRests: scene.passages.every(
      (passage) => !passage.sounds[source] || restingMics(scene, passage).includes(other.mic),
    ),
    align: comb.notches && { mic: late > 0 ? own.name : other.name, by: Math.abs(late) },
    ...comb,
  };
}

export type OverheadRow = {
  readonly pair: string;
  /** Spots for what the pair is for too. */
  readonly spots: readonly SpotDelay[];
  readonly snare: SnareRow | null;
};

/** A snare equidistant from both capsules is centred in the image, and sums in phase in mono. */
type SnareRow = {
  readonly source: string;
  /** The capsule that has it first; null where both have it at once. */
  readonly nearer: string | null;
  /** How much further the other is, m. */
  readonly apart: number;
  /** How much later the other picks it up, s. */
  readonly late: number;
};

function overheadRows(scene: Scene, result: Transfer, sampleRate: number): OverheadRow[] {
  const own = scene.mics.filter(({ purpose }) => purpose === 'parts');
  return own.flatMap((pair) => {
    if (pair.capsules.length < 2) return [];
    const spots = own.filter(
      ({ capsules, wanted }) => capsules.length < 2 && wanted.every((source) => pair.wanted.includes(source)),
    );
    const delays = spotDelays(scene, result, pair, { spots, sampleRate });
    const snare = snareUnder(scene, result, pair);
    return delays.length > 0 || snare ? [{ pair: pair.name, spots: delays, snare }] : [];
  });
}

/** The first snare that the pair is for and both capsules pick up directly. */
function snareUnder(scene: Scene, { prepared }: Transfer, pair: Mic): SnareRow | null {
  const [left, right] = pair.capsules as [number, number];
  for (const source of pair.wanted.filter((one) => isSnare(scene, one))) {
    const [one, other] = [left, right].map((capsule) => arrivalAt(prepared, source, capsule)?.way);
    if (one === undefined || other === undefined) continue;
    const apart = Math.abs(one - other);
    const nearer = apart < ROUNDING ? null : one < other ? left : right;
    return {
      source: scene.sources[source]?.name ?? '',
      nearer: nearer === null ? null : (scene.capsules[nearer]?.name ?? null),
      apart,
      late: apart / scene.air.soundSpeed,
    };
  }
  return null;
}

/** m. */
const ROUNDING = 1e-9;

/** By its instrument, or by its name in a kit. */
function isSnare(scene: Scene, source: number): boolean {
  const { instrument, name } = scene.sources[source] ?? {};
  return instrument === 'snare' || /(^|\.)snare/.test(name ?? '');
}

/** Deeper ripple is not distinguished, dB. */
const DEEPEST_RIPPLE = 30;
/** Delays below are none, s: their first notch lies far above hearing. */
const NO_DELAY = 1e-7;

type Comb = {
  /** From peak to notch in the direct sound, dB, at most 30. */
  readonly ripple: number;
  /** True where it is more than 30 dB. */
  readonly over: boolean;
  /** The first two notches in Hz, as far apart as all that follow; null without a delay. */
  readonly notches: readonly [number, number] | null;
};

/**
 * `ratio` is the amplitude of the one over the other, `delay` in s. With one of the two upside down, as on the rear lobe of a
 * microphone, the notches lie at 0 and 1/Δt instead of 1/(2Δt) and 3/(2Δt). Everest and Pohlmann, Master Handbook of
 * Acoustics, p. 201.
 */
export function combOf(ratio: number, delay: number, polarityInverted: boolean): Comb {
  const g = Math.min(ratio, 1 / ratio);
  // 20·lg((1+g)/(1−g)), infinite for equals
  const depth = 20 * Math.log10((1 + g) / (1 - g));
  const over = depth > DEEPEST_RIPPLE;
  const late = Math.abs(delay);
  const notches = polarityInverted ? ([0, 1 / late] as const) : ([1 / (2 * late), 3 / (2 * late)] as const);
  return { ripple: over ? DEEPEST_RIPPLE : depth, over, notches: late < NO_DELAY ? null : notches };
}

/**
 * The same where all else that both pick up adds to peaks and notches alike, as it arrives in no fixed phase:
 * `10·lg(((1+g)² + r)/((1−g)² + r))`, r that energy re the direct sound in the part's own mic; at most 30 dB.
 */
export function rippleWith({ direct, rest }: Pick<PartPickup, 'direct' | 'rest'>): number {
  const g = direct ?? 0;
  const [peak, notch] = [(1 + g) ** 2 + rest, (1 - g) ** 2 + rest];
  return Math.min(DEEPEST_RIPPLE, decibels(peak / notch));
}

/** One capsule, or a line. */
type Channel = { readonly name: string; readonly mic: number; readonly capsule: number | null };

type PartPickup = {
  readonly source: number;
  readonly own: Channel;
  readonly other: Channel;
  /** Of the source at the other re its own, by all paths, dB. */
  readonly level: number;
  /** The same of the direct sound alone, as an amplitude: what makes the comb filter. Null where either has none. */
  readonly direct: number | null;
  /** Energy of all other paths in both, re the direct sound in its own. */
  readonly rest: number;
};

/**
 * A source's own channel is that of the mic for the fewest, and of these the one that has most of it; a mic for a kit does for
 * those of its pieces that no other is for. Of the pieces that share it, the strongest at the other channel represents all.
 */
function partPickups(scene: Scene, result: Transfer, mix: Mix, reach: number): PartPickup[] {
  const desk = { scene, result, mix, channels: channelsOf(scene) };
  const found = new Map<string, PartPickup & { readonly amount: number }>();
  scene.sources.forEach(({ part, repeats }, source) => {
    const isSilent = !scene.passages.some(({ sounds }) => sounds[source]);
    const own = repeats || isSilent ? null : ownChannel(desk, source);
    if (!own) return;
    for (const carrier of othersOf(desk, source, own)) {
      const key = JSON.stringify([part, own.name, carrier.other.name]);
      const before = found.get(key);
      if (carrier.level < -reach || (before && before.amount >= carrier.amount)) continue;
      found.set(key, carrier);
    }
  });
  return [...found.values()];
}

type Desk = {
  readonly scene: Scene;
  readonly result: Transfer;
  readonly mix: Mix;
  readonly channels: readonly Channel[];
};

function channelsOf({ mics, capsules }: Scene): Channel[] {
  return mics.flatMap(({ name, line, capsules: own }, mic): Channel[] =>
    line
      ? [{ name, mic, capsule: null }]
      : own.map((capsule) => ({ name: capsules[capsule]?.name ?? name, mic, capsule })),
  );
}

function ownChannel(desk: Desk, source: number): Channel | null {
  const { scene, channels } = desk;
  const micOf = ({ mic }: Channel) => scene.mics[mic] as Mic;
  const own = channels.filter(
    (channel) => micOf(channel).purpose === 'parts' && micOf(channel).wanted.includes(source),
  );
  const fewest = Math.min(...own.map((channel) => micOf(channel).wanted.length));
  const closest = own.filter((channel) => micOf(channel).wanted.length === fewest);
  const ranked = closest.map((channel) => ({ channel, amount: amountIn(desk, channel, source) }));
  ranked.sort((a, b) => b.amount - a.amount);
  return ranked[0] && ranked[0].amount > 0 ? ranked[0].channel : null;
}

/** Every channel of another mic that picks up the source. */
function othersOf(desk: Desk, source: number, own: Channel): (PartPickup & { readonly amount: number })[] {
  const amount = amountIn(desk, own, source);
  const direct = amountIn(desk, own, source, 'direct');
  return desk.channels.flatMap((other) => {
    const carried = other.mic === own.mic ? 0 : amountIn(desk, other, source);
    if (carried <= 0) return [];
    const carriedDirect = amountIn(desk, other, source, 'direct');
    return [
      {
        source,
        own,
        other,
        level: decibels(carried / amount),
        direct: direct > 0 && carriedDirect > 0 ? Math.sqrt(carriedDirect / direct) : null,
        rest: (amount + carried - direct - carriedDirect) / direct,
        amount: carried,
      },
    ];
  });
}

/** Energy of a source in the mix through one channel: all bands, of one share or all. */
function amountIn(
  { scene, result, mix }: Desk,
  { mic, capsule }: Channel,
  source: number,
  share?: Share,
): number {
  if (capsule === null) return mix.held(mic, [source]);
  const filter = scene.mics[mic]?.filter;
  let sum = 0;
  for (let band = 0; band < BAND_COUNT; band++) {
    sum += energyAt(result, source, capsule, band, share) * (filter?.[band] ?? 1);
  }
  return sum * (mix.gains[mic] ?? 0);
}

export type SpotDelay = {
  readonly spot: string;
  /** The spot's own source that is nearest to it. */
  readonly source: string;
  /** The sound reaches the pair so much later, s: the delay that brings the spot to the pair. */
  readonly late: number;
  readonly samples: number;
};

/**
 * Delays of the spots against a pair, each by the mean of the pair's two capsules: one delay has to do for both, and the mean
 * halves what it misses on the worse side. Spots without a direct path to both are left out, and what never sounds.
 */
export function spotDelays(
  scene: Scene,
  result: Transfer,
  pair: Mic,
  { spots, sampleRate }: { readonly spots: readonly Mic[]; readonly sampleRate: number },
): SpotDelay[] {
  return spots.flatMap((spot) => {
    const played = spot.wanted.filter((source) => scene.passages.some(({ sounds }) => sounds[source]));
    const ways = played.flatMap((source) => {
      const near = spot.line ? AT_ONCE.way : meanPath(result, spot, source);
      const far = meanPath(result, pair, source);
      return near === null || far === null ? [] : [{ source, near, far }];
    });
    const [first, ...rest] = ways;
    if (!first) return [];
    const { source, near, far } = rest.reduce((a, b) => (b.near < a.near ? b : a), first);
    const late = (far - near) / scene.air.soundSpeed;
    return [{ spot: spot.name, source: scene.sources[source]?.name ?? '', late, samples: late * sampleRate }];
  });
}

/** Mean direct path from a source to the capsules of a mic, m; null where one of them has none. */
function meanPath({ prepared }: Transfer, { capsules }: Mic, source: number): number | null {
  const ways = capsules.flatMap((capsule) => arrivalAt(prepared, source, capsule)?.way ?? []);
  if (ways.length < capsules.length || ways.length === 0) return null;
  return ways.reduce((sum, way) => sum + way, 0) / ways.length;
}

type Arrival = {
  /** Length from the source's nearest point, m: past a corner of the room, that of the straight line through the wall. */
  readonly way: number;
  /** True where the mic picks it up inverted: `A + B·cos θ` below 0 at 1 kHz. Not known of a measured table. */
  readonly rear: boolean;
};

/** A line has its signal at once. */
const AT_ONCE: Arrival = { way: 0, rear: false };

/** By the shortest direct path, bent around corners of the room included; null where there is none. */
function arrivalAt(prepared: PreparedScene, source: number, capsule: number): Arrival | null {
  const { table, a } = prepared.scene.capsules[capsule]?.pattern ?? { table: null, a: [] };
  const pressure = a[KILOHERTZ] ?? 1;
  let found: Arrival | null = null;
  eachPath(prepared, source, capsule, ({ kind, length, cosArrive }) => {
    if (kind !== 'direct' && kind !== 'corner') return;
    if (found && found.way <= length) return;
    found = { way: length, rear: table === null && pressure + (1 - pressure) * cosArrive < 0 };
  });
  return found;
}
