import { describe, expect, test } from 'vitest';
import { channelNames } from '../../src/line-check/readings.ts';
import { measureTakes, readTake, type TakeFile } from '../../src/line-check/recordings.ts';
import { openWave } from '../../src/recording/wave.ts';
import { onALine } from '../judge/on-a-line.ts';
import { bytesOf, tone, waveFile } from './wave-files.ts';

const takesOf = (files: readonly (readonly Float64Array[])[], whole = false) => {
  const waves = files.map((channels) => openWave(bytesOf(waveFile(channels))));
  return measureTakes(
    waves.flatMap((wave) => ('problem' in wave ? [] : wave)),
    whole,
  );
};
const take = (channels: readonly Float64Array[], whole = false) => {
  const [one] = takesOf([channels], whole);
  if (!one) throw new Error('no take');
  return one;
};

/** A sine of peak a has a mean square of a²/2: 20·lg(0.5) − 3.01 = −9.03 dB. */
describe('a tone of half of full scale', () => {
  const played = tone(1000, 0.5, { before: 0.5, during: 1, after: 1.5 });

  test('reads −9.0 dB in its octave, and far less in all others', () => {
    const [levels] = take([played]).levels;
    expect(levels?.[4]).toBeCloseTo(-9.03, 1);
    for (const [band, level] of (levels ?? []).entries()) if (band !== 4) expect(level).toBeLessThan(-25);
  });

  test('is trimmed of the silence before and after', () => expect(take([played]).seconds).toBeCloseTo(1, 6));

  /** 1 s of 3: 10·lg(1/3) = 4.77 dB less. */
  test('is not trimmed where the take is of the noise', () => {
    expect(take([played], true).levels[0]?.[4]).toBeCloseTo(-9.03 - 4.77, 1);
  });

  test('sets what is kept of the other channels too', () => {
    const bleed = played.map((one) => one / 100);
    expect(take([bleed, played]).levels[0]?.[4]).toBeCloseTo(-49.03, 1);
  });
});

/** A file whose sound is drowned in its noise is trimmed as the loudest is; one of another length by itself. 20·lg(1/5000) = −73.98. */
test('files of one length are trimmed together', () => {
  const own = tone(1000, 0.5, { before: 0.5, during: 1, after: 1.5 });
  const far = own.map((one, i) => one / 5000 + 0.001 * Math.sin((2 * Math.PI * 63 * i) / 48_000));
  const [first, second] = takesOf([[own], [far]]);
  expect([first?.seconds, second?.seconds]).toEqual([1, 1]);
  expect(second?.levels[0]?.[4]).toBeCloseTo(-9.03 - 73.98, 1);
  const [, longer] = takesOf([[own], [Float64Array.from([...far, ...far])]]);
  expect(longer?.seconds).toBeCloseTo(6, 6);
});

describe('full scale', () => {
  test('on end is clipped', () => {
    const square = tone(100, 3).map((one) => Math.max(-1, Math.min(1, one)));
    expect(take([tone(100, 0.9), square]).clipped).toEqual([1]);
  });

  test('touched for a sample is not', () => {
    const touched = tone(1000, 0.5);
    touched[1000] = 1;
    expect(take([touched]).clipped).toEqual([]);
  });
});

const scene = onALine(
  { a: { at: 0 }, b: { at: 4 } },
  { 'a-mic': { at: 0.5, for: [0] }, 'b-mic': { at: 4.5, for: [1] } },
);

const fileOf = (name: string, channels: readonly Float64Array[]): TakeFile => ({
  who: 'a',
  mic: null,
  file: name,
  bytes: bytesOf(waveFile(channels)),
});
const faultsOf = (channels: readonly Float64Array[]) => readTake([fileOf('a.wav', channels)], scene).findings;

describe('a take that cannot be used is refused by name', () => {
  const good = tone(500, 0.3);
  test.each([
    { says: /^a\.wav clips on channel 2, b-mic$/, channels: [good, tone(100, 3)] },
    { says: /^the take of a is too quiet: -80 dB/, channels: [tone(500, 0.000141), tone(500, 0.00001)] },
    {
      says: /^the take of a is too quiet: silence/,
      channels: [new Float64Array(48_000), new Float64Array(48_000)],
    },
    {
      says: /^the take of a has only 0\.3 s of playing/,
      channels: [tone(500, 0.3, { before: 1, during: 0.3, after: 0.1 }), good.map(() => 0)],
    },
    { says: /^a\.wav has 1 channel; the plan has 2/, channels: [good] },
  ])('$says', ({ channels, says }) => {
    const findings = faultsOf(channels);
    expect(findings).toHaveLength(1);
    expect(findings[0]?.message).toMatch(says);
    expect(findings[0]?.file).toBe('a.wav');
  });

  test('and a good one gives a level in every octave of every microphone', () => {
    const { entries, findings } = readTake([fileOf('a.wav', [good, good.map((one) => one / 10)])], scene);
    expect(findings).toEqual([]);
    const at = (mic: string) => entries.find((one) => one.mic.name === mic && one.layer === 3)?.level ?? 0;
    expect(at('a-mic') - at('b-mic')).toBeCloseTo(20, 1);
    expect(entries).toHaveLength(16);
  });
});

describe('which channel is which microphone', () => {
  const numbered = (channels: Record<string, string[]>) =>
    onALine(
      { a: { at: 0 }, b: { at: 4 } },
      {
        'a-mic': { at: 0.5, for: [0], channels: channels['a-mic'] ?? [] },
        'b-mic': { at: 4.5, for: [1], channels: channels['b-mic'] ?? [] },
      },
    );

  test('goes by the order of the plan without channel keys', () => {
    expect(channelNames(scene, null, 2)).toEqual(['a-mic', 'b-mic']);
  });
  test('goes by the channel keys, other channels being nobody’s', () => {
    expect(channelNames(numbered({ 'a-mic': ['3'], 'b-mic': ['1'] }), null, 4)).toEqual([
      'b-mic',
      '',
      'a-mic',
      '',
    ]);
  });
  test('goes by the order of the keys where the file holds just those', () => {
    expect(channelNames(numbered({ 'a-mic': ['9'], 'b-mic': ['7'] }), null, 2)).toEqual(['b-mic', 'a-mic']);
  });
  test('is the one a file is named after', () => {
    expect(channelNames(scene, 'b-mic', 1)).toEqual(['b-mic']);
    expect(channelNames(scene, 'b-mic', 2)).toMatchObject({
      problem: expect.stringMatching(/named after one/),
    });
  });
});
