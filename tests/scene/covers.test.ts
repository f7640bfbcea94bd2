/** Lids, quilts and boxes: what they take off, and from whom. */
import { describe, expect, test } from 'vitest';
import { SHARES, type Share } from '../../src/transfer/path-energy.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { faultsOf, micNamed, sceneOf } from './resolved.ts';

const plan = (
  cover: string,
  inside: boolean,
) => `rooms: {hall: {size: [8, 6], height: 3, reverberation: {500: 0.5}}}
sources:
  amp: {instrument: guitar-amp, at: [2, 3], facing: 90, dynamic: mf${cover}}
players: {eva: {at: [6, 3], facing: 270, plays: cello, dynamic: mf}}
mics:
  amp-mic: {for: amp, near: {distance: 10 cm, angle: 20}${inside ? ', inside: true' : ''}}
  room-mic: {for: room, at: [5, 5, 2], aim: 180}`;

/** Players come before sources. */
const AMP = 1;
const [CLOSE, FAR] = [0, 1];

/** Level change by band in dB when the cover goes on. */
async function change(
  source: string,
  capsule: number,
  inside: boolean,
  share?: Share,
  cover = '9',
): Promise<number[]> {
  const [bare, covered] = [await sceneOf(plan('', false)), await sceneOf(plan(`, cover: ${cover}`, inside))];
  const [before, after] = [transfer(bare), transfer(covered)];
  const index = bare.sources.findIndex(({ name }) => name === source);
  return Array.from({ length: 8 }, (_, band) => {
    const ratio =
      energyAt(after, index, capsule, band, share) / energyAt(before, index, capsule, band, share);
    return Math.round(1000 * 10 * Math.log10(ratio)) / 1000 + 0;
  });
}
const byBand = (value: number) => Array(8).fill(value);

describe('a cover of 9 dB', () => {
  test.each(SHARES.filter((share) => share !== 'walls'))(
    'takes 9 dB off the %s at a microphone outside',
    async (share) => {
      expect(await change('amp', FAR, false, share)).toEqual(byBand(-9));
      expect(await change('amp', CLOSE, false, share)).toEqual(byBand(-9));
    },
  );

  test('spares the direct way to a microphone inside, not what comes back from the room', async () => {
    expect(await change('amp', CLOSE, true, 'direct')).toEqual(byBand(0));
    expect(await change('amp', CLOSE, true, 'reflections')).toEqual(byBand(-9));
    expect(await change('amp', CLOSE, true, 'room')).toEqual(byBand(-9));
  });

  test('keeps the others away from a microphone inside, and from none outside', async () => {
    for (const share of ['direct', 'reflections', 'room'] as const) {
      expect(await change('eva', CLOSE, true, share)).toEqual(byBand(-9));
      expect(await change('eva', CLOSE, false, share)).toEqual(byBand(0));
      expect(await change('eva', FAR, true, share)).toEqual(byBand(0));
    }
  });
});

test('one of the catalogue takes its loss by band', async () => {
  // shared/catalogue/covers.yaml, quilt
  const loss = [1.5, 3.9, 7.1, 9.4, 10.3, 10.6, 10.7, 10.7];
  expect(await change('amp', FAR, false, undefined, 'quilt')).toEqual(loss.map((decibels) => -decibels));
});

test('one typed by band is filled in on log frequency', async () => {
  // 6 dB at 125 Hz, 12 at 500: 9 between; the ends hold
  expect(await change('amp', FAR, false, undefined, '{125: 6, 500: 12}')).toEqual([
    -6, -6, -9, -12, -12, -12, -12, -12,
  ]);
});

test('the microphone knows under which cover it is', async () => {
  expect(micNamed(await sceneOf(plan(', cover: quilt', true)), 'amp-mic').inside).toBe(AMP);
  expect(micNamed(await sceneOf(plan(', cover: quilt', false)), 'amp-mic').inside).toBeNull();
});

describe('refused', () => {
  test('a microphone inside nothing', async () => {
    expect(await faultsOf(plan('', true))).toEqual([
      expect.stringMatching(/^mics\.amp-mic\.inside: .*its source has none/),
    ]);
  });
  test('a cover that is not in the catalogue', async () => {
    expect(await faultsOf(plan(', cover: quillt', false))).toEqual([
      expect.stringMatching(/^sources\.amp\.cover: .*"quillt".*"quilt"/),
    ]);
  });
});
