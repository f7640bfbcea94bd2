/** Takes, of one who plays alone for some seconds, to levels by octave; those that cannot be used are refused. */
import { BAND_COUNT, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { octaveFilters } from '../acoustics/octave-filters.ts';
import type { Finding } from '../finding.ts';
import { type ByteSource, clipCounter, FORMATS, openWave, type Wave } from '../recording/wave.ts';
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
