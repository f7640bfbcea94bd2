/**
 * The decay of a room from a recorded clap, balloon or impulse response, by octave: ISO 3382-2, by backward integration (Schroeder
 * 1965) up to where the sound meets the noise, the noise taken off (Chu 1978) and what lies past that added (Lundeby et al. 1995).
 */
import { BAND_EDGE, decibels, energyOf, MID_BANDS } from '../acoustics/bands.ts';
import { octaveFilters } from '../acoustics/octave-filters.ts';
import { median } from '../statistics.ts';
import { clipCounter, type Wave } from './wave.ts';

/** One clap on one channel. */
export type Clap = {
  /** Which of the recording, from 0, and on which channel, from 0. */
  readonly number: number;
  readonly channel: number;
  /** When it was, s from the start of the recording. */
  readonly at: number;
  readonly clipped: boolean;
  /** By octave; null where the sample rate is too low for it. */
  readonly octaves: readonly (OctaveDecay | null)[];
};

export type OctaveDecay = {
  /** By how much the decay falls until it meets the noise, or the recording ends, dB. */
  readonly range: number;
  /** Mean square, dB re full scale; null where the recording ends before the sound meets it. */
  readonly noise: number | null;
  /** Sum of squares, re full scale, of the whole decay. */
  readonly energy: number;
  /** When it has fallen by 0, 1, 2 … dB, s. */
  readonly falls: readonly number[];
  /** Most of it leaked in from octaves above: the clap or the recorder has no bass. */
  readonly leaked: boolean;
  readonly times: DecayTimes;
};

/** Seconds for 60 dB; null where they cannot be read. */
export type DecayTimes = { readonly [name in TimeName]: number | null };

export const TIME_NAMES = ['edt', 't20', 't30'] as const;
export type TimeName = (typeof TIME_NAMES)[number];

/** Where each time is read on the curve, dB below its start. ISO 3382-1, ISO 3382-2. */
const READ_BETWEEN: Readonly<Record<TimeName, readonly [from: number, to: number]>> = {
  edt: [0, 10],
  t20: [5, 25],
  t30: [5, 35],
};

/** The noise must be so far below the end of the part that is read, dB. ISO 3382-2. */
const ABOVE_NOISE = 10;
/** Range in dB that a time needs. */
export const rangeFor = (name: TimeName): number => READ_BETWEEN[name][1] + ABOVE_NOISE;

/**
 * Bandwidth times decay time must be at least this: for a filter that runs backwards 4, ISO 3382-2. Where it is less than 16, as that
 * asks of one that runs forwards, an early decay time reads up to a quarter long (found on made decays).
 */
const LEAST_BANDWIDTH_TIME: Readonly<Record<TimeName, number>> = { edt: 16, t20: 4, t30: 4 };
const bandwidth = (band: number): number => (MID_BANDS[band] ?? 0) * (BAND_EDGE - 1 / BAND_EDGE);
/** Delay of the octave filters in the middle of the band, s: 2·(sin π/8 + sin 3π/8)/(π·bandwidth). */
const filterDelay = (band: number): number => 2.613 / (Math.PI * bandwidth(band));

/** What can be doubtful about a time, in words that follow an octave, and what to do. */
export type Doubt = 'early' | 'steeper' | 'disagree' | 'clipped';
const AGAIN = 'make more noise, or record when it is quieter';
export const DOUBTS: Readonly<Record<Doubt, { readonly what: string; readonly fix: string }>> = {
  early: { what: 'the range suffices for the early decay time only', fix: AGAIN },
  steeper: {
    what: 'the decay steepens, which no room does',
    fix: 'switch off noise reduction and automatic gain, and clap again',
  },
  disagree: {
    what: 'claps disagree',
    fix: 'listen for another sound in one of them, or leave out a place unlike the others',
  },
  clipped: {
    what: 'the early decay time may read long, since it clips',
    fix: 'step back, or lower the gain',
  },
};

/** Every clap on every channel, in the order of the recording, without those too faint to tell anything where others do. */
export function clapsIn(wave: Wave): Clap[] {
  const [first, last] = [Math.round(LEAD * wave.rate), Math.round(LONGEST * wave.rate)];
  const claps = onsetsIn(wave).flatMap(({ onset, end }, i, all) => {
    const from = Math.max(all[i - 1]?.end ?? 0, onset - first);
    const channels = binsOf(wave, from, Math.min(end, onset + last));
    return channels.flatMap((bins, channel) => {
      const clap = clapOf(bins, from / wave.rate);
      return clap ? [{ number: i, channel, ...clap }] : [];
    });
  });
  const clear = claps.filter(({ octaves }) => octaves.some((one) => one && one.times.edt !== null));
  return clear.length > 0 ? clear : claps;
}

// Onsets: where the sound rises steeply. Differences of neighbouring samples keep rumble out of it.

/** Stretches in which onsets are looked for, s. */
const STRETCH = 0.005;
/**
 * Energy of a clap over that of what came just before, and over the loudest clap's; of another sound in the decay over what came just
 * before; of what follows over the clap's. Common practice, no source.
 */
const [STEEP, QUIETEST, ANOTHER, LOUDER] = [100, 0.01, 10, 2];
/** In stretches: what came before, of which the last is left out; the peak of a clap; what belongs to it at least. */
const [BEFORE, PEAK, AT_LEAST] = [12, 4, 10];
/** What is read before a clap and of it at most, s. */
const [LEAD, LONGEST] = [0.15, 20];

/** Frames at which claps begin, and up to where each is alone: before the next sound. */
function onsetsIn(wave: Wave): { readonly onset: number; readonly end: number }[] {
  const length = Math.round(STRETCH * wave.rate);
  const rises = risesIn(wave, length);
  const peakIn = (from: number, to: number) => rises.subarray(from, to).reduce((a, b) => Math.max(a, b), 0);
  const rise = (i: number) => {
    const before = rises.subarray(Math.max(0, i - BEFORE), Math.max(0, i - 1));
    return (rises[i] as number) / (before.reduce((sum, one) => sum + one, 0) / Math.max(1, before.length));
  };
  const found: { at: number; end: number }[] = [];
  for (let at = 0; at < rises.length; at++) {
    if (!(rise(at) > STEEP)) continue;
    let end = at + AT_LEAST;
    while (end < rises.length && !(rise(end) > ANOTHER)) end++;
    found.push({ at, end: Math.min(end, rises.length) });
    at = end - 1;
  }
  // what grows, as speech does, or goes on, as noise does from where it was cut, is no clap
  const claps = found.filter(({ at, end }) => {
    const peak = peakIn(at, at + PEAK);
    return (
      LOUDER * peak >= peakIn(at, end) &&
      ANOTHER * meanOf(rises, Math.floor(end - (end - at) / 10), end) < peak
    );
  });
  const loudest = claps.reduce((most, { at }) => Math.max(most, peakIn(at, at + PEAK)), 0);
  return claps
    .filter(({ at }) => peakIn(at, at + PEAK) >= QUIETEST * loudest)
    .map(({ at, end }) => ({
      onset: Math.max(0, (at - 1) * length),
      end: end === rises.length ? wave.frames : (end - 1) * length,
    }));
}

/** Stretches that are read at once. */
const AT_ONCE = 200;

/** Energy of differences by stretch, all channels together. */
function risesIn(wave: Wave, length: number): Float64Array {
  const rises = new Float64Array(Math.floor(wave.frames / length));
  for (let first = 0; first < rises.length; first += AT_ONCE) {
    for (const samples of wave.read(first * length, AT_ONCE * length)) {
      for (let i = 1; i < samples.length; i++) {
        const at = first + Math.floor(i / length);
        const difference = (samples[i] as number) - (samples[i - 1] as number);
        if (at < rises.length) rises[at] = (rises[at] as number) + difference * difference;
      }
    }
  }
  return rises;
}

// Mean squares by octave, in bins. The filters run backwards: what they ring comes before the sound, not into its decay.

type Bins = {
  /** Length of a bin, s. */
  readonly step: number;
  readonly all: Float64Array;
  readonly differences: Float64Array;
  readonly octaves: readonly (Float64Array | null)[];
  readonly clipped: boolean;
};

const BIN = 0.0005;

/** Of each channel, from one frame to another. */
function binsOf(wave: Wave, from: number, to: number): Bins[] {
  const size = Math.max(1, Math.round(BIN * wave.rate));
  const count = Math.floor((to - from) / size);
  const channels = Array.from({ length: wave.channels }, () => channelOf(wave.rate, size, count));
  const many = 10 * AT_ONCE;
  for (let end = count; end > 0; end -= many) {
    const start = Math.max(0, end - many);
    for (const [i, samples] of wave.read(from + start * size, (end - start) * size).entries())
      channels[i]?.hear(start, samples.reverse());
  }
  return channels.map(({ bins }) => bins());
}

function channelOf(rate: number, size: number, count: number) {
  const filters = octaveFilters(rate);
  const octaves = filters.map((filter) => filter && new Float64Array(count));
  const [all, differences] = [new Float64Array(count), new Float64Array(count)];
  const clip = clipCounter();
  let offset: number | null = null;
  const hear = (start: number, samples: Float64Array): void => {
    // a filter that begins within a steady voltage, or a slow wave, would ring
    offset ??= samples[0] ?? 0;
    const work = samples.slice();
    const addTo = (bins: Float64Array) => {
      let at = start + samples.length / size;
      for (let i = 0; i < work.length; ) {
        let sum = 0;
        for (const end = i + size; i < end; i++) sum += (work[i] as number) * (work[i] as number);
        bins[--at] = sum / size;
      }
    };
    clip.hear(samples);
    addTo(all);
    for (let i = 0; i < samples.length; i++) samples[i] = (samples[i] as number) - offset;
    for (let i = 1; i < work.length; i++) work[i] = (samples[i] as number) - (samples[i - 1] as number);
    work[0] = 0;
    addTo(differences);
    for (const [band, bins] of octaves.entries()) {
      filters[band]?.run(work, samples);
      if (bins) addTo(bins);
    }
  };
  const bins = (): Bins => ({ step: size / rate, all, differences, octaves, clipped: clip.isClipped() });
  return { hear, bins };
}

/** Null where the channel holds nothing. */
function clapOf(
  { step, all, differences, octaves, clipped }: Bins,
  from: number,
): Omit<Clap, 'number' | 'channel'> | null {
  const peak = differences.reduce((most, one) => Math.max(most, one), 0);
  const onset = differences.findIndex((one) => one > 0 && one >= QUIETEST * peak);
  if (onset < 0) return null;
  const end = silenceAfter(all, onset, step);
  const decays = octaves.map((bins, band) => bins && decayOf(bins, { onset, end, step, band }));
  return { at: from + onset * step, clipped, octaves: decays.map(withoutLeaks) };
}

/** Energy that a band holds against the second above it where it is no more than what the filter lets through of that. */
const LEAK = 1e-4;

function withoutLeaks(
  decay: OctaveDecay | null,
  band: number,
  all: readonly (OctaveDecay | null)[],
): OctaveDecay | null {
  const leaks = LEAK * (all[band + 2]?.energy ?? 0);
  if (!decay || decay.range < rangeFor('edt') || decay.energy >= leaks) return decay;
  return { ...decay, leaked: true, times: { edt: null, t20: null, t30: null } };
}

/** Silence that was added is no noise of the room: so far below the loudest bin, for so long, s. */
const [SILENCE, SILENT_FOR] = [1e-10, 0.02];

function silenceAfter(bins: Float64Array, onset: number, step: number): number {
  const loudest = bins.reduce((most, one) => Math.max(most, one), 0);
  const length = Math.round(SILENT_FOR / step);
  let run = 0;
  for (let i = onset; i < bins.length; i++) {
    run = (bins[i] as number) <= SILENCE * loudest ? run + 1 : 0;
    if (run === length) return i + 1 - length;
  }
  return bins.length;
}

// One octave: from where the sound begins to where it meets the noise.

/** A decay in bins: where it meets the noise or the recording ends, its slope there (1/bin), the noise, and what of it is taken off. */
type Model = Readonly<Record<'cross' | 'slope' | 'noise' | 'taken', number>>;
type Within = readonly [start: number, end: number];

const ROUNDS = 10;

function decayOf(
  bins: Float64Array,
  { onset, end: last, step, band }: Readonly<Record<'onset' | 'end' | 'step' | 'band', number>>,
): OctaveDecay {
  const delay = filterDelay(band) / step;
  const start = Math.max(0, Math.round(onset - delay));
  const within: Within = [start, Math.max(start + 2, Math.floor(last - 2 * delay))];
  let model = firstModel(bins, within, step);
  let curve = curveOf(bins, start, model);
  for (let round = 0; round < ROUNDS; round++) {
    const next = nextModel(bins, within, model, curve);
    if (!next) break;
    const settled = next.cross === model.cross;
    model = next;
    curve = curveOf(bins, start, model);
    if (settled) break;
  }
  return { noise: model.taken > 0 ? decibels(model.taken) : null, ...readOff(curve, step, band) };
}

/** Windows of the first guess, s. */
const WINDOW = 0.03;

/** The noise of the last tenth, and where the sound first comes near it. */
function firstModel(bins: Float64Array, [start, end]: Within, step: number): Model {
  const noise = meanOf(bins, end - Math.ceil((end - start) / 10), end);
  const width = Math.round(WINDOW / step);
  let cross = Math.min(start + width, end);
  while (cross < end && meanOf(bins, cross - width, cross) >= 2 * noise) cross += Math.ceil(width / 10);
  return { cross: Math.min(cross, end), slope: (3 * Math.LN10) / (cross - start), noise, taken: noise };
}

/**
 * The slope from the curve 10 to 25 dB above its end, the crossing from slope and noise, the noise from 6 dB past the crossing on.
 * Where that leaves nothing the recording ended first: no noise is known. Null where there is no slope.
 */
function nextModel(
  bins: Float64Array,
  [start, end]: Within,
  { noise }: Model,
  curve: Float64Array,
): Model | null {
  const line = lateLine(curve);
  if (!line) return null;
  const slope = -line.slope;
  const met = start + (line.atStart - Math.log(noise / slope)) / slope;
  const past = (0.6 * Math.LN10) / slope;
  if (!(met + 2 * past <= end)) return { cross: end, slope, noise, taken: 0 };
  const until = Math.ceil(met + past + Math.max(met - start, 4 * past));
  const heard = meanOf(bins, Math.ceil(met + past), Math.min(end, until));
  return { cross: Math.max(start + 2, Math.round(met)), slope, noise: heard, taken: heard };
}

/**
 * Energy from each bin on, less noise, and with what lies past the crossing: a decay of that slope that begins at the noise, or where
 * none is known goes on from its last 10 dB.
 */
function curveOf(bins: Float64Array, start: number, { cross, slope, taken }: Model): Float64Array {
  const curve = new Float64Array(cross - start + 1);
  const span = Math.min(cross - start, Math.ceil(Math.LN10 / slope));
  const goesOn = () => (meanOf(bins, cross - span, cross) * span) / Math.expm1(slope * span);
  let sum = Math.max(taken > 0 ? taken / slope : goesOn(), Number.MIN_VALUE);
  curve[cross - start] = sum;
  for (let i = cross - 1; i >= start; i--) {
    sum += (bins[i] as number) - taken;
    curve[i - start] = sum;
  }
  return curve;
}

/** Over 15 dB of the curve where it falls far enough, else over what there is; null where that is less than 3 dB. */
function lateLine(curve: Float64Array) {
  const [top, bottom] = [curve[0] as number, curve.at(-1) as number];
  const [high, low] = [Math.min(bottom * energyOf(25), top * energyOf(-5)), bottom * energyOf(10)];
  if (high >= low * energyOf(5)) return lineOf(curve, high, low);
  return top >= bottom * energyOf(9) ? lineOf(curve, top * energyOf(-1), bottom * energyOf(5)) : null;
}

const firstBelow = (curve: Float64Array, level: number): number => {
  const at = curve.findIndex((one) => one <= level);
  return at < 0 ? curve.length - 1 : at;
};

/** Least squares of the curve's logarithm between two levels, by bin; null where it does not fall. */
function lineOf(curve: Float64Array, high: number, low: number) {
  const [from, to] = [firstBelow(curve, high), firstBelow(curve, low)];
  const count = to - from + 1;
  let [x, y, xx, xy] = [0, 0, 0, 0];
  for (let i = from; i <= to; i++) {
    const log = Math.log(curve[i] as number);
    x += i;
    y += log;
    xx += i * i;
    xy += i * log;
  }
  const slope = (count * xy - x * y) / (count * xx - x * x);
  return slope < 0 ? { slope, atStart: (y - slope * x) / count } : null;
}

/** No recording reaches further, dB: 24 bits end at 146. */
const FURTHEST = 200;

/** A time read off a backward integrated curve with a value every `step` seconds, s; 0 where it does not fall. ISO 3382-2. */
export function timeOn(curve: Float64Array, step: number, name: TimeName): number {
  const top = curve[0] as number;
  const [from, to] = READ_BETWEEN[name];
  const line = lineOf(curve, top * energyOf(-from), top * energyOf(-to));
  return line ? (-6 * Math.LN10 * step) / line.slope : 0;
}

function readOff(curve: Float64Array, step: number, band: number): Omit<OctaveDecay, 'noise'> {
  const [top, bottom] = [curve[0] as number, curve.at(-1) as number];
  const range =
    top > bottom && top < Number.POSITIVE_INFINITY ? Math.min(decibels(top / bottom), FURTHEST) : 0;
  const timeOf = (name: TimeName): number | null => {
    const time = range >= rangeFor(name) ? timeOn(curve, step, name) : 0;
    return time * bandwidth(band) >= LEAST_BANDWIDTH_TIME[name] ? time : null;
  };
  const falls = Array.from(
    { length: Math.floor(range) + 1 },
    (_, dB) => step * firstBelow(curve, top * energyOf(-dB)),
  );
  const times = { edt: timeOf('edt'), t20: timeOf('t20'), t30: timeOf('t30') };
  return { range, energy: top, falls, leaked: false, times };
}

function meanOf(bins: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += bins[i] as number;
  return sum / (to - from);
}

// Several claps, or one on several channels: their times are averaged. ISO 3382-2.

/** Why an octave has no time: the sample rate is too low for it, nothing but leaks from octaves above, too little range, or a decay shorter than the filter's. */
export type Lack = 'sample-rate' | 'bass' | 'range' | 'filter';

export type AverageDecay = {
  readonly band: number;
  /** Means over the claps whose range suffices, and how many those are. */
  readonly times: DecayTimes;
  readonly counts: Readonly<Record<TimeName, number>>;
  /** `100·(T30/T20 − 1)`, %: 0 to 5 of a straight decay, above 10 of one that bends. ISO 3382-2, annex B. */
  readonly curvature: number | null;
  /** Which way it bends, by more than chance: the late decay is slower, or steeper as only a recorder makes it. */
  readonly bend: 'slower' | 'steeper' | null;
  /** Median of the claps, dB; null where the sample rate is too low. */
  readonly range: number | null;
  /** When the claps of at least that range have fallen by 0, 1, 2 … dB, s, their mean. */
  readonly falls: readonly number[];
  /** Shortest and longest T20, else early decay time, where they differ by more than claps at several places do. */
  readonly disagree: readonly [number, number] | null;
  /** Null where there is a time. */
  readonly lack: Lack | null;
};

export function averageDecays(claps: readonly Clap[]): AverageDecay[] {
  return Array.from(MID_BANDS, (_, band) =>
    averageOf(
      claps.flatMap(({ octaves }) => octaves[band] ?? []),
      band,
    ),
  );
}

function averageOf(decays: readonly OctaveDecay[], band: number): AverageDecay {
  const read = (name: TimeName) => decays.flatMap(({ times }) => times[name] ?? []);
  const [edt, t20, t30] = [read('edt'), read('t20'), read('t30')];
  const bent = decays.flatMap(({ times }) => (times.t20 && times.t30 ? times.t30 / times.t20 : []));
  const range = decays.length > 0 ? median(decays.map((one) => one.range)) : null;
  const clear = decays.filter((one) => range !== null && one.range >= range).map(({ falls }) => falls);
  const shortest = Math.min(...clear.map(({ length }) => length));
  return {
    band,
    times: { edt: meanOr(edt), t20: meanOr(t20), t30: meanOr(t30) },
    counts: { edt: edt.length, t20: t20.length, t30: t30.length },
    ...bendOf(bent, { edt: meanOr(edt), t20: meanOr(t20) }, band),
    range,
    falls:
      clear.length > 0
        ? Array.from({ length: shortest }, (_, dB) => meanOr(clear.map((one) => one[dB] ?? 0)) ?? 0)
        : [],
    disagree: disagreement(t20.length > 0 ? t20 : edt, band),
    lack: edt.length + t20.length > 0 ? null : lackOf(decays),
  };
}

function lackOf(decays: readonly OctaveDecay[]): Lack {
  if (decays.length === 0) return 'sample-rate';
  if (decays.some(({ leaked }) => leaked)) return 'bass';
  return decays.some(({ range }) => range >= rangeFor('edt')) ? 'filter' : 'range';
}

const meanOr = (values: readonly number[]): number | null =>
  values.length > 0 ? values.reduce((sum, one) => sum + one, 0) / values.length : null;

/** Standard deviation of one T20 over itself: 0.88·√((1 + 1.9/10)/(bandwidth·T)). ISO 3382-2, of the integrated impulse response (unverified). */
const deviationOf = (time: number, band: number): number => 0.88 * Math.sqrt(1.19 / (bandwidth(band) * time));

/**
 * What counts as bent: of the curvature, ISO 3382-2, and of T20 over early decay time, and by how many deviations of a T20 each, common
 * practice, no source. An early decay time varies twice as much.
 */
const [BENT, BENT_EARLY, BENT_DEVIATIONS] = [0.1, 0.5, 2];

function bendOf(
  ratios: readonly number[],
  { edt, t20 }: Pick<DecayTimes, 'edt' | 't20'>,
  band: number,
): Pick<AverageDecay, 'curvature' | 'bend'> {
  const ratio = meanOr(ratios);
  if (t20 === null) return { curvature: null, bend: null };
  const chance = BENT_DEVIATIONS * deviationOf(t20, band);
  const late = (ratio ?? 1) - 1;
  const isSlower = late > Math.max(BENT, chance) || t20 / (edt ?? t20) - 1 > Math.max(BENT_EARLY, 2 * chance);
  const isSteeper = late < -Math.max(BENT, chance);
  return { curvature: ratio && 100 * late, bend: isSteeper ? 'steeper' : isSlower ? 'slower' : null };
}

/** Claps differ by more than this share, and by more than so many deviations, before they disagree. Common practice, no source. */
const [UNLIKE, UNLIKE_DEVIATIONS] = [0.1, 3];

function disagreement(times: readonly number[], band: number): readonly [number, number] | null {
  const mean = meanOr(times);
  if (mean === null || times.length < 2) return null;
  const spread = Math.sqrt(times.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (times.length - 1));
  const isUnlike = spread > mean * Math.max(UNLIKE, UNLIKE_DEVIATIONS * deviationOf(mean, band));
  return isUnlike ? [Math.min(...times), Math.max(...times)] : null;
}
