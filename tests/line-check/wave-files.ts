/** WAVE files made by hand, byte for byte as the RIFF format has them. */
import type { ByteSource } from '../../src/recording/wave.ts';

export type WaveKind = {
  readonly tag?: number;
  readonly bits?: number;
  readonly rate?: number;
  readonly extensible?: boolean;
};

/** Samples by channel, full scale 1. */
export function waveFile(channels: readonly ArrayLike<number>[], kind: WaveKind = {}): Uint8Array {
  const { tag = 1, bits = 24, rate = 48_000, extensible = false } = kind;
  const frames = channels[0]?.length ?? 0;
  const step = bits / 8;
  const data = new Uint8Array(frames * channels.length * step);
  const view = new DataView(data.buffer);
  for (let i = 0; i < frames; i++)
    for (const [c, samples] of channels.entries())
      writeSample(view, (i * channels.length + c) * step, samples[i] ?? 0, { tag, bits });
  const format = new Uint8Array(extensible ? 40 : 16);
  const head = new DataView(format.buffer);
  head.setUint16(0, extensible ? 0xfffe : tag, true);
  head.setUint16(2, channels.length, true);
  head.setUint32(4, rate, true);
  head.setUint32(8, rate * channels.length * step, true);
  head.setUint16(12, channels.length * step, true);
  head.setUint16(14, bits, true);
  if (extensible) head.setUint16(24, tag, true);
  return riff([chunk('fmt ', format), chunk('LIST', new Uint8Array(5)), chunk('data', data)]);
}

function writeSample(
  view: DataView,
  at: number,
  value: number,
  { tag, bits }: { tag: number; bits: number },
): void {
  const whole = Math.max(
    -(2 ** (bits - 1)),
    Math.min(2 ** (bits - 1) - 1, Math.round(value * 2 ** (bits - 1))),
  );
  if (tag === 3) bits === 64 ? view.setFloat64(at, value, true) : view.setFloat32(at, value, true);
  else if (bits === 16) view.setInt16(at, whole, true);
  else if (bits === 32) view.setInt32(at, whole, true);
  else {
    view.setUint8(at, whole & 0xff);
    view.setInt16(at + 1, whole >> 8, true);
  }
}

const ascii = (text: string): number[] => [...text].map((char) => char.charCodeAt(0));
const uint32 = (value: number): number[] => [0, 8, 16, 24].map((shift) => (value >>> shift) & 0xff);

/** Padded to an even length. */
export const chunk = (name: string, body: Uint8Array, size = body.length): Uint8Array =>
  Uint8Array.from([...ascii(name), ...uint32(size), ...body, ...(body.length % 2 === 1 ? [0] : [])]);

export function riff(chunks: readonly Uint8Array[]): Uint8Array {
  const body = chunks.flatMap((one) => [...one]);
  return Uint8Array.from([...ascii('RIFF'), ...uint32(body.length + 4), ...ascii('WAVE'), ...body]);
}

export const bytesOf = (file: Uint8Array): ByteSource => ({
  size: file.length,
  read: (offset, length) => file.slice(Math.min(offset, file.length), Math.min(offset + length, file.length)),
});

/** A tone with silence before and after it, seconds. */
export const tone = (
  hertz: number,
  peak: number,
  { before = 0, during = 1, after = 0, rate = 48_000 } = {},
): Float64Array =>
  Float64Array.from({ length: Math.round((before + during + after) * rate) }, (_, i) => {
    const time = i / rate - before;
    return time < 0 || time >= during ? 0 : peak * Math.sin(2 * Math.PI * hertz * time);
  });
