/** A take: one who plays alone for some seconds, on some channels. From samples to levels by octave. */
import { BAND_COUNT } from '../acoustics/bands.ts';
import { octaveFilters } from './octave-filters.ts';
import { quantile } from './quantile.ts';
import type { Wave } from './wav.ts';

export type Take = {
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
export const LONGEST = 600;

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
    (best, one) => (best && quantile(best, LOUD) >= quantile(one, LOUD) ? best : one),
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
  const floor = quantile(blocks, LOUD) * 10 ** (-SILENT / 10);
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
