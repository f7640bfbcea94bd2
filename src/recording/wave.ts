/** Recordings: WAVE files of any length, read by stretches, and whether a channel is driven into full scale. */

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

/** What to do with a file that is not read. */
export const FORMATS = 'export WAVE with 16, 24 or 32 bit PCM, or float';

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
  let long: number | null = null;
  let at = 12;
  for (let chunk = 0; chunk < MOST_CHUNKS && at + 8 <= source.size; chunk++) {
    const name = textAt(source, at, 4);
    const size = numbersAt(source, at + 4, 4)?.getUint32(0, true) ?? 0;
    if (name === 'fmt ') {
      const read = formatAt(source, at + 8, size);
      if ('problem' in read) return read;
      format = read;
    }
    if (name === 'ds64') long = longSizeAt(source, at + 16);
    if (name === 'data') {
      return format
        ? waveOf(source, format, at + 8, size === LONG ? (long ?? size) : size)
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

/** What stands for a size of 4 GB or more, which a chunk called ds64 gives. EBU Tech 3306. */
const LONG = 0xffffffff;

function longSizeAt(source: ByteSource, offset: number): number | null {
  const words = numbersAt(source, offset, 8);
  return words && words.getUint32(0, true) + 2 ** 32 * words.getUint32(4, true);
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

/** Full scale for so many samples on end is no peak but a clipped one. Common practice, no source. */
const ON_END = 3;
const FULL_SCALE = 0.9999;

export function clipCounter() {
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
