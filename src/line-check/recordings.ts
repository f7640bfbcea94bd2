/** Takes, of one who plays alone for some seconds, to levels by octave; those that cannot be used are refused. */
import { BAND_COUNT, BAND_EDGE, MID_BANDS, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { Scene } from '../scene/scene.ts';
import { ascending, quantile } from '../statistics.ts';
import { channelNames, type Entry, NOISE, readingError } from './readings.ts';

/** A file of a take. `mic` is null where its channels are all microphones of the plan. */
export type TakeFile = {
  readonly who: string;
  readonly mic: string | null;
  readonly file: string;
  readonly bytes: ByteSource;
};

type ReadTakes = { readonly entries: readonly Entry[]; readonly findings: readonly Finding[] };
/** Quieter than this on its loudest channel, dB re full scale, nobody played. Common practice, no source. */
const QUIET = -60;
/** Less than this tells no level, s. Common practice, no source. */
const SHORTEST = 0.5;

/** The files of one take: a file, or one for each microphone. */
export function readTake(files: readonly TakeFile[], scene: Scene): ReadTakes {
  const findings: Finding[] = [];
  const opened = files.flatMap((one) => openedTake(one, scene, findings) ?? []);
  const [first] = files;
  if (!first || findings.length > 0) return { entries: [], findings };
  const takes = measureTakes(
    opened.map(({ wave }) => wave),
    first.who === NOISE,
  );
  const measured = opened.map((one, i) => ({ ...one, take: takes[i] as Take }));
  for (const one of measured) refuseClipped(one, findings);
  if (first.who !== NOISE) refuseQuiet(first, takes, findings);
  return { entries: measured.flatMap(entriesOf), findings };
}

type Opened = { readonly file: TakeFile; readonly wave: Wave; readonly names: readonly string[] };
type Measured = Opened & { readonly take: Take };

function openedTake(file: TakeFile, scene: Scene, findings: Finding[]): Opened | null {
  const refuse = (code: Finding['code'], message: string, fix: string) => {
    findings.push(readingError(code, { file: file.file }, `${file.file} ${message}`, fix));
    return null;
  };
  const wave = openWave(file.bytes);
  if ('problem' in wave) return refuse('FILE_UNREADABLE', `cannot be read: ${wave.problem}`, FORMATS);
  const seconds = wave.frames / wave.rate;
  const fix = `trim it to one player playing alone, at most ${LONGEST} s`;
  if (seconds > LONGEST) return refuse('OUT_OF_RANGE', `lasts ${seconds.toFixed(0)} s`, fix);
  const names = channelNames(scene, file.mic, wave.channels);
  return 'problem' in names ? refuse('WRONG_TYPE', names.problem, names.fix) : { file, wave, names };
}

function refuseClipped({ file: { file }, take, names }: Measured, findings: Finding[]): void {
  const [clipped] = take.clipped;
  if (clipped === undefined) return;
  const name = names[clipped] ? `, ${names[clipped]}` : '';
  const message = `${file} clips on channel ${clipped + 1}${name}`;
  findings.push(readingError('OUT_OF_RANGE', { file }, message, 'lower the gain and record it again'));
}

const FORMATS = 'export WAVE with 16, 24 or 32 bit PCM, or float';

function refuseQuiet({ who, file }: TakeFile, takes: readonly Take[], findings: Finding[]): void {
  const loudest = Math.max(...takes.map((take) => take.loudest));
  const seconds = Math.max(...takes.map((take) => take.seconds));
  const level = Number.isFinite(loudest) ? `${loudest.toFixed(0)} dBFS` : 'silence';
  if (!(loudest >= QUIET)) {
    const message = `the take of ${who} is too quiet: ${level} on its loudest channel`;
    const fix = 'raise the gain, or check which channels were recorded';
    findings.push(readingError('OUT_OF_RANGE', { file }, message, fix));
  } else if (seconds < SHORTEST) {
    const message = `the take of ${who} has only ${seconds.toFixed(1)} s of playing`;
    findings.push(readingError('OUT_OF_RANGE', { file }, message, 'record a few seconds of playing'));
  }
}

/** An octave in which a channel holds nothing is a gap; a channel that is no microphone's says nothing. */
const entriesOf = ({ file, take, names }: Measured): Entry[] =>
  names.flatMap((mic, channel) =>
    NOMINAL_BANDS.flatMap((_, layer): Entry[] => {
      if (mic === '') return [];
      const level = take.levels[channel]?.[layer] ?? null;
      const place = { file: file.file };
      const [who, heard] = [file.who, mic].map((name) => ({ name, place })) as [Entry['who'], Entry['mic']];
      return [{ who, mic: heard, layer, level: Number.isFinite(level) ? level : null, unit: '', place }];
    }),
  );

type Take = {
  /** By channel and octave, dB re full scale, mean square; null where the sample rate is too low for the octave. */
  readonly levels: readonly (readonly (number | null)[])[];
  /** What was kept after the silence before and after was taken off, s. */
  readonly seconds: number;
  /** Level of the loudest channel, dB re full scale, all that was sampled. */
  readonly loudest: number;
  /** Channels, from 0, that were driven into full scale. */
  readonly clipped: readonly number[];
};

/** Longest take that is read, s: more is no line check. */
const LONGEST = 600;
/** Stretches over which energies are summed, s. */
const BLOCK = 0.1;
/** A block this far below the loud ones, dB, at the start or end of a take is silence. Common practice, no source. */
const SILENT = 20;
/** Share of the blocks that count as not loud. */
const LOUD = 0.9;

/**
 * Takes of one player, one for each wave. Those of one length are parts of one recording: the silence is the same in all.
 * `whole`: nothing is trimmed, as of a take of the noise.
 */
export function measureTakes(waves: readonly Wave[], whole: boolean): Take[] {
  const heard = waves.map(hearWave);
  return heard.map((one) => takeOf(one, whole ? [] : heard.filter(({ blocks }) => blocks === one.blocks)));
}

/** What was heard of a wave: how many blocks, and each channel's. */
type Heard = { readonly blocks: number; readonly channels: readonly Channel[] };

function hearWave(wave: Wave): Heard {
  const length = Math.round(BLOCK * wave.rate);
  const channels = Array.from({ length: wave.channels }, () => channelOf(wave.rate));
  for (let frame = 0; frame < wave.frames; frame += length) {
    for (const [i, samples] of wave.read(frame, length).entries()) channels[i]?.hear(samples);
  }
  return { blocks: channels[0]?.blocks.length ?? 0, channels };
}

/** Trimmed where the loudest channel of all in `together` is silent; not at all where there are none. */
function takeOf({ blocks, channels }: Heard, together: readonly Heard[]): Take {
  const loudest = loudestOf(together.flatMap((one) => one.channels));
  const [from, to] = loudest ? soundingPart(loudest) : [0, blocks];
  const kept = (loudestOf(channels) ?? []).slice(from, to);
  return {
    levels: channels.map((channel) => levelsOf(channel.blocks.slice(from, to))),
    seconds: (to - from) * BLOCK,
    loudest: 10 * Math.log10(kept.reduce((sum, one) => sum + one, 0) / kept.length),
    clipped: channels.flatMap(({ isClipped }, i) => (isClipped() ? [i] : [])),
  };
}

/** Mean squares by block of the channel whose loud blocks are the loudest; null of none. */
function loudestOf(channels: readonly Channel[]): number[] | null {
  const sums = channels.map(({ blocks }) => blocks.map(({ all, count }) => all / count));
  return sums.reduce<number[] | null>(
    (best, one) => (best && quantile(ascending(best), LOUD) >= quantile(ascending(one), LOUD) ? best : one),
    null,
  );
}

/** Sums of squares of a stretch, of all and by octave, and how many samples. */
type Block = { readonly all: number; readonly byBand: readonly (number | null)[]; readonly count: number };

type Channel = {
  readonly blocks: readonly Block[];
  readonly isClipped: () => boolean;
  readonly hear: (samples: Float64Array) => void;
};

function channelOf(rate: number): Channel {
  const filters = octaveFilters(rate);
  const blocks: Block[] = [];
  const clip = clipCounter();
  return {
    blocks,
    isClipped: clip.isClipped,
    hear: (samples: Float64Array): void => {
      clip.hear(samples);
      const filtered = new Float64Array(samples.length);
      const byBand = filters.map((filter) => {
        filter?.run(filtered, samples);
        return filter && energyOf(filtered);
      });
      blocks.push({ all: energyOf(samples), byBand, count: samples.length });
    },
  };
}

const energyOf = (samples: Float64Array): number => samples.reduce((sum, one) => sum + one * one, 0);

/** From the first block that is not silence to the last. */
function soundingPart(blocks: readonly number[]): [number, number] {
  const floor = quantile(ascending(blocks), LOUD) * 10 ** (-SILENT / 10);
  const from = blocks.findIndex((one) => one >= floor && one > 0);
  const to = blocks.findLastIndex((one) => one >= floor && one > 0) + 1;
  return from < 0 ? [0, blocks.length] : [from, to];
}

function levelsOf(blocks: readonly Block[]): (number | null)[] {
  const count = blocks.reduce((sum, block) => sum + block.count, 0);
  return Array.from({ length: BAND_COUNT }, (_, band) => {
    if (blocks.some(({ byBand }) => byBand[band] === null)) return null;
    return 10 * Math.log10(blocks.reduce((sum, { byBand }) => sum + (byBand[band] ?? 0), 0) / count);
  });
}

/** Full scale for so many samples on end is no peak but a clipped one. Common practice, no source. */
const ON_END = 3;
const FULL_SCALE = 0.9999;

function clipCounter() {
  let run = 0;
  let side = 0;
  let clipped = false;
  return {
    isClipped: () => clipped,
    hear: (samples: Float64Array): void => {
      for (const sample of samples) {
        const now = Math.abs(sample) >= FULL_SCALE ? Math.sign(sample) : 0;
        run = now === 0 ? 0 : now === side ? run + 1 : 1;
        side = now;
        if (run >= ON_END) clipped = true;
      }
    },
  };
}

// Octave filters of IEC 61260-1, class 2: Butterworth band-passes of eighth order, made digital by the bilinear transform.

/** A second-order section: `y = g·(x − x₋₂) − a1·y₋₁ − a2·y₋₂`. */
type Section = { readonly gain: number; readonly a1: number; readonly a2: number };

/** Keeps what it has heard from one stretch to the next. */
export type OctaveFilter = {
  /** Writes the filtered samples of a stretch. */
  readonly run: (into: Float64Array, samples: Float64Array) => void;
};

/** Order of the low-pass that the band-pass is made of. */
const ORDER = 4;
/** The upper edge of a band must lie below this share of the sample rate. */
const HIGHEST = 0.45;

/** One filter for each band; null where the sample rate is too low for it. */
export const octaveFilters = (rate: number): (OctaveFilter | null)[] =>
  Array.from(MID_BANDS, (mid) => (mid * BAND_EDGE < HIGHEST * rate ? octaveFilter(mid, rate) : null));

function octaveFilter(mid: number, rate: number): OctaveFilter {
  const sections = sectionsOf(mid, rate);
  // x₋₁, x₋₂, y₋₁, y₋₂ of each section
  const memory = new Float64Array(4 * sections.length);
  return {
    run: (into, samples) => {
      into.set(samples);
      for (const [i, section] of sections.entries())
        runSection(into, section, memory.subarray(4 * i, 4 * i + 4));
    },
  };
}

function runSection(samples: Float64Array, { gain, a1, a2 }: Section, memory: Float64Array): void {
  let [x1 = 0, x2 = 0, y1 = 0, y2 = 0] = memory;
  for (let i = 0; i < samples.length; i++) {
    const x = samples[i] as number;
    const y = gain * (x - x2) - a1 * y1 - a2 * y2;
    x2 = x1;
    x1 = x;
    y2 = y1;
    y1 = y;
    samples[i] = y;
  }
  memory.set([x1, x2, y1, y2]);
}

type Complex = readonly [number, number];

/**
 * Poles of the low-pass to poles of the band-pass, `s = (p·B ± √((p·B)² − 4ω₀²))/2` (B width, ω₀² product of the edges, both
 * bent beforehand by tan(πf/rate)), and those to z = (1 + s)/(1 − s). Zeros lie at z = 1 and −1. Each section is 1 at the
 * middle of the band.
 */
function sectionsOf(mid: number, rate: number): Section[] {
  const bent = (hertz: number) => Math.tan((Math.PI * hertz) / rate);
  const [low, high] = [bent(mid / BAND_EDGE), bent(mid * BAND_EDGE)];
  const [width, square] = [high - low, low * high];
  const middle = 2 * Math.atan(Math.sqrt(square));
  return Array.from({ length: ORDER / 2 }, (_, k) => lowPassPole(k)).flatMap(([re, im]) => {
    const [a, b]: Complex = [(re * width) / 2, (im * width) / 2];
    const [rootRe, rootIm] = squareRoot([a * a - b * b - square, 2 * a * b]);
    return [1, -1].map((sign) => sectionAt(toDigital([a + sign * rootRe, b + sign * rootIm]), middle));
  });
}

/** On the unit circle's left half, upper quarter. */
const lowPassPole = (k: number): Complex => {
  const angle = (Math.PI * (2 * k + 1 + ORDER)) / (2 * ORDER);
  return [Math.cos(angle), Math.sin(angle)];
};

function squareRoot([re, im]: Complex): Complex {
  const size = Math.hypot(re, im);
  const root = Math.sqrt(Math.max(0, (size + re) / 2));
  return [root, (im < 0 ? -1 : 1) * Math.sqrt(Math.max(0, (size - re) / 2))];
}

function toDigital([re, im]: Complex): Complex {
  const under = (1 - re) ** 2 + im ** 2;
  return [((1 + re) * (1 - re) - im * im) / under, (2 * im) / under];
}

/** The section of a pole and its mirror, of gain 1 at the angle `middle`. */
function sectionAt([re, im]: Complex, middle: number): Section {
  const [a1, a2] = [-2 * re, re * re + im * im];
  const [cos, sin] = [Math.cos(middle), Math.sin(middle)];
  const [cos2, sin2] = [Math.cos(2 * middle), Math.sin(2 * middle)];
  const above = Math.hypot(1 - cos2, sin2);
  const below = Math.hypot(1 + a1 * cos + a2 * cos2, a1 * sin + a2 * sin2);
  return { gain: below / above, a1, a2 };
}

/** Bytes that can be read at any place; fewer than asked for only at the end. */
export type ByteSource = {
  readonly size: number;
  readonly read: (offset: number, length: number) => Uint8Array;
};

export type Wave = {
  readonly channels: number;
  /** Samples a second. */
  readonly rate: number;
  readonly frames: number;
  /** Samples of a stretch, by channel, full scale 1. */
  readonly read: (frame: number, count: number) => Float64Array[];
};

type Format = { readonly float: boolean } & Readonly<Record<'bits' | 'channels' | 'rate', number>>;
const MOST_CHUNKS = 1000;
const MOST_CHANNELS = 128;
const RATES = [8000, 384_000] as const;

/** A WAVE file (RIFF, RF64), or what is wrong with it, in words. Whatever a broken header says, nothing beyond the file is read. */
export function openWave(source: ByteSource): Wave | { readonly problem: string } {
  const head = textAt(source, 0, 4);
  if ((head !== 'RIFF' && head !== 'RF64') || textAt(source, 8, 4) !== 'WAVE')
    return { problem: 'not a WAVE file' };
  let format: Format | null = null;
  let at = 12;
  for (let chunk = 0; chunk < MOST_CHUNKS && at + 8 <= source.size; chunk++) {
    const name = textAt(source, at, 4);
    const size = numbersAt(source, at + 4, 4)?.getUint32(0, true) ?? 0;
    if (name === 'fmt ') {
      const read = formatAt(source, at + 8, size);
      if ('problem' in read) return read;
      format = read;
    }
    if (name === 'data') {
      return format
        ? waveOf(source, format, at + 8, size)
        : { problem: 'samples come before the format chunk' };
    }
    at += 8 + size + (size % 2);
  }
  return { problem: 'no samples' };
}

const viewOf = ({ buffer, byteOffset, length }: Uint8Array) => new DataView(buffer, byteOffset, length);

function numbersAt(source: ByteSource, offset: number, length: number): DataView | null {
  const bytes = source.read(offset, length);
  return bytes.length < length ? null : viewOf(bytes);
}

const textAt = (source: ByteSource, offset: number, length: number): string =>
  String.fromCharCode(...source.read(offset, length));

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;

function formatAt(source: ByteSource, offset: number, size: number): Format | { problem: string } {
  const head = size < 16 ? null : numbersAt(source, offset, 16);
  if (!head) return { problem: 'truncated header' };
  const written = head.getUint16(0, true);
  // the true format of an extensible header is the start of its sub-format
  const tag =
    written === EXTENSIBLE && size >= 26
      ? (numbersAt(source, offset + 24, 2)?.getUint16(0, true) ?? 0)
      : written;
  const channels = head.getUint16(2, true);
  const rate = head.getUint32(4, true);
  const bits = head.getUint16(14, true);
  const known = tag === PCM ? [16, 24, 32] : tag === FLOAT ? [32, 64] : [];
  if (known.length === 0) return { problem: `sample format ${tag}; only PCM and float are read` };
  if (!known.includes(bits)) return { problem: `${bits}-bit samples; ${known.join(', ')} bits are read` };
  if (channels < 1 || channels > MOST_CHANNELS)
    return { problem: `${channels} channels; 1 to ${MOST_CHANNELS} are read` };
  if (rate < RATES[0] || rate > RATES[1])
    return { problem: `sample rate ${rate} Hz is outside ${RATES.join(' to ')} Hz` };
  return { float: tag === FLOAT, bits, channels, rate };
}

/** A size beyond the file's end, as of a recording that was broken off, counts to the end. */
function waveOf(source: ByteSource, format: Format, start: number, size: number): Wave | { problem: string } {
  const { channels, rate, bits } = format;
  const frameSize = (channels * bits) / 8;
  const frames = Math.floor(Math.min(size, source.size - start) / frameSize);
  if (frames < 1) return { problem: 'no samples' };
  const read = (frame: number, count: number): Float64Array[] => {
    const asked = Math.max(0, Math.min(count, frames - frame));
    const bytes = source.read(start + frame * frameSize, asked * frameSize);
    return samplesOf(bytes, format, Math.floor(bytes.length / frameSize));
  };
  return { channels, rate, frames, read };
}

function samplesOf(bytes: Uint8Array, format: Format, frames: number): Float64Array[] {
  const { channels, bits } = format;
  const sample = readerOf(viewOf(bytes), format);
  const step = bits / 8;
  return Array.from({ length: channels }, (_, channel) => {
    const samples = new Float64Array(frames);
    for (let i = 0; i < frames; i++) {
      const value = sample((i * channels + channel) * step);
      samples[i] = Number.isFinite(value) ? value : 0;
    }
    return samples;
  });
}

function readerOf(view: DataView, { float, bits }: Format): (at: number) => number {
  if (float) return bits === 32 ? (at) => view.getFloat32(at, true) : (at) => view.getFloat64(at, true);
  if (bits === 16) return (at) => view.getInt16(at, true) / 2 ** 15;
  if (bits === 24) return (at) => (view.getUint8(at) / 256 + view.getInt16(at + 1, true)) / 2 ** 15;
  return (at) => view.getInt32(at, true) / 2 ** 31;
}
