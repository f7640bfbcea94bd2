/** Headers of WAVE files (RIFF, RF64), and their samples by stretches. Whatever a broken header says, nothing beyond the file is read. */

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

/** The wave, or what is wrong with the file, in words. */
export function openWave(source: ByteSource): Wave | { readonly problem: string } {
  const head = textAt(source, 0, 4);
  if ((head !== 'RIFF' && head !== 'RF64') || textAt(source, 8, 4) !== 'WAVE')
    return { problem: 'it is no WAVE file' };
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
        : { problem: 'its samples come before it says what they are' };
    }
    at += 8 + size + (size % 2);
  }
  return { problem: 'it holds no samples' };
}

function numbersAt(source: ByteSource, offset: number, length: number): DataView | null {
  const bytes = source.read(offset, length);
  return bytes.length < length ? null : new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
}

const textAt = (source: ByteSource, offset: number, length: number): string =>
  String.fromCharCode(...source.read(offset, length));

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;

function formatAt(source: ByteSource, offset: number, size: number): Format | { problem: string } {
  const head = size < 16 ? null : numbersAt(source, offset, 16);
  if (!head) return { problem: 'its header is cut short' };
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
  if (known.length === 0) return { problem: `its samples are of a kind (${tag}) other than PCM or float` };
  if (!known.includes(bits))
    return { problem: `its samples have ${bits} bits; ${known.join(', ')} are read` };
  if (channels < 1 || channels > MOST_CHANNELS)
    return { problem: `it has ${channels} channels; 1 to ${MOST_CHANNELS} are read` };
  if (rate < RATES[0] || rate > RATES[1])
    return { problem: `its sample rate of ${rate} Hz is outside ${RATES.join(' to ')} Hz` };
  return { float: tag === FLOAT, bits, channels, rate };
}

/** A size beyond the file's end, as of a recording that was broken off, counts to the end. */
function waveOf(source: ByteSource, format: Format, start: number, size: number): Wave | { problem: string } {
  const { channels, rate, bits } = format;
  const frameSize = (channels * bits) / 8;
  const frames = Math.floor(Math.min(size, source.size - start) / frameSize);
  if (frames < 1) return { problem: 'it holds no samples' };
  const read = (frame: number, count: number): Float64Array[] => {
    const asked = Math.max(0, Math.min(count, frames - frame));
    const bytes = source.read(start + frame * frameSize, asked * frameSize);
    return samplesOf(bytes, format, Math.floor(bytes.length / frameSize));
  };
  return { channels, rate, frames, read };
}

function samplesOf(bytes: Uint8Array, format: Format, frames: number): Float64Array[] {
  const { channels, bits } = format;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const sample = readerOf(view, format);
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
