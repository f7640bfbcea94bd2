import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { openWave, type Wave } from '../../src/recording/wave.ts';
import { bytesOf, chunk, riff, waveFile } from './wave-files.ts';

const opened = (file: Uint8Array): Wave => {
  const wave = openWave(bytesOf(file));
  if ('problem' in wave) throw new Error(wave.problem);
  return wave;
};

const LEFT = [0, 0.5, -0.5, 0.25, -1];
const RIGHT = [0.125, -0.25, 0, 0.75, 0.0625];

describe.each([
  { tag: 1, bits: 16 },
  { tag: 1, bits: 24 },
  { tag: 1, bits: 32 },
  { tag: 3, bits: 32 },
  { tag: 3, bits: 64 },
])('kind $tag of $bits bits', (kind) => {
  test.each([false, true])('is read sample by sample, its header extensible: %s', (extensible) => {
    const wave = opened(waveFile([LEFT, RIGHT], { ...kind, extensible }));
    expect(wave).toMatchObject({ channels: 2, rate: 48_000, frames: 5 });
    expect(wave.read(0, 5).map((one) => [...one])).toEqual([LEFT, RIGHT]);
    expect(wave.read(3, 99).map((one) => [...one])).toEqual([LEFT.slice(3), RIGHT.slice(3)]);
    expect(wave.read(5, 1).map((one) => [...one])).toEqual([[], []]);
  });
});

describe('a header that lies', () => {
  const format = waveFile([[0, 0.5]], { bits: 16 }).slice(20, 36);
  const data = Uint8Array.from([0, 0, 0, 64]);

  test('about the length of its samples is read to the end of the file', () => {
    expect(opened(riff([chunk('fmt ', format), chunk('data', data, 0xffffffff)])).read(0, 99)).toEqual([
      Float64Array.from([0, 0.5]),
    ]);
  });

  /** EBU Tech 3306: a chunk ds64 holds the sizes of RIFF, data and sample count, 8 bytes each. */
  test('but says in ds64 where they end is read to there', () => {
    const sizes = Uint8Array.from([...new Uint8Array(8), 2, ...new Uint8Array(7), ...new Uint8Array(8)]);
    const chunks = [chunk('ds64', sizes), chunk('fmt ', format), chunk('data', data, 0xffffffff)];
    expect(opened(riff(chunks)).read(0, 99)).toEqual([Float64Array.from([0])]);
  });

  test.each([
    { says: /not a WAVE/, file: Uint8Array.from([82, 73, 70, 70]) },
    { says: /no samples/, file: riff([chunk('fmt ', format)]) },
    { says: /before the format/, file: riff([chunk('data', data), chunk('fmt ', format)]) },
    { says: /truncated/, file: riff([chunk('fmt ', format.slice(0, 8)), chunk('data', data)]) },
    { says: /no samples/, file: riff([chunk('fmt ', format), chunk('data', new Uint8Array(0))]) },
    { says: /12-bit/, file: riff([chunk('fmt ', withNumber(format, 14, 12)), chunk('data', data)]) },
    { says: /0 channels/, file: riff([chunk('fmt ', withNumber(format, 2, 0)), chunk('data', data)]) },
    { says: /format 85/, file: riff([chunk('fmt ', withNumber(format, 0, 85)), chunk('data', data)]) },
    {
      says: /sample rate 0/,
      file: riff([chunk('fmt ', withNumber(withNumber(format, 4, 0), 6, 0)), chunk('data', data)]),
    },
  ])('is refused in words: $says', ({ file, says }) => {
    const wave = openWave(bytesOf(file));
    expect('problem' in wave && wave.problem).toMatch(says);
  });
});

function withNumber(bytes: Uint8Array, at: number, value: number): Uint8Array {
  const copy = bytes.slice();
  new DataView(copy.buffer).setUint16(at, value, true);
  return copy;
}

test('no file whatever stops the reader, or makes it read what is not there', () => {
  const good = waveFile([LEFT, RIGHT], { bits: 16 });
  const broken = fc
    .array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), { maxLength: 12 })
    .chain((changes) => fc.tuple(fc.constant(changes), fc.nat(good.length)));
  fc.assert(
    fc.property(broken, ([changes, length]) => {
      const file = good.slice(0, length);
      for (const [at, value] of changes) if (at < file.length) file[at] = value;
      const wave = openWave(bytesOf(file));
      if ('problem' in wave) return;
      const samples = wave.read(0, 1000);
      expect(samples.every((one) => one.length <= wave.frames && one.every(Number.isFinite))).toBe(true);
    }),
    { numRuns: 2000 },
  );
});
