/** Choirs and desks as grids of points that share the power of all their players. */
import { describe, expect, test } from 'vitest';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { expectVector, faultsOf, sceneOf, sourceNamed } from './resolved.ts';

const choir = (section: string, more = '') =>
  `sources: {choir: {instrument: choir-voice, at: [10, 10, 1.5], facing: 180, dynamic: f, section: ${section}${more}}}\n`;

describe('the grid', () => {
  // 12 in 3 rows of 4 over 4 m by 2 m: across ±0.5 and ±1.5 m, rows at −2/3, 0, 2/3 m; facing down the page the front row
  // is the one nearest to us, y = 10 − 2/3, and each row stands 30 cm higher than the one before it.
  test('stands square to the facing, row behind row, each higher by the rise', async () => {
    const { points } = sourceNamed(
      await sceneOf(choir('{players: 12, rows: 3, size: [4, 2], rise: 30 cm}')),
      'choir',
    );
    expect(points).toHaveLength(12);
    const row = (i: number) => points.slice(4 * i, 4 * i + 4);
    [9.33333, 10, 10.66667].forEach((y, i) => {
      expect(row(i).map(({ at }) => Math.round(at[0] * 1e9) / 1e9)).toEqual([11.5, 10.5, 9.5, 8.5]);
      for (const { at, axis, share } of row(i)) {
        expect(at[1]).toBeCloseTo(y, 5);
        expect(at[2]).toBeCloseTo(1.5 + 0.3 * i, 9);
        expectVector(axis, [0, -1, 0]);
        expect(share).toBeCloseTo(1 / 12, 12);
      }
    });
  });

  test.each([
    [2, 4],
    [8, 8],
    [40, 12],
    [200, 12],
  ])('%i players are %i points at the least and the most', async (players, count) => {
    const { points } = sourceNamed(
      await sceneOf(choir(`{players: ${players}, rows: 2, size: [6, 2]}`)),
      'choir',
    );
    expect(points).toHaveLength(count);
    expect(points.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
  });
});

describe('the total', () => {
  test.each([4, 16, 60])('%i players sound 10 lg n dB over one, far off', async (players) => {
    const mics = 'mics: {m: {for: choir, at: [10, -290, 1.5], pattern: omni}}';
    const single = await sceneOf(
      choir('{players: 1, rows: 1, size: [0.1, 0.1]}').replace(/, section: \{.*?\]\}/, '') + mics,
    );
    const many = await sceneOf(choir(`{players: ${players}, rows: 3, size: [6, 3]}`) + mics);
    expect(single.sources[0]?.points).toHaveLength(1);
    const [one, all] = [transfer(single), transfer(many)];
    for (let band = 0; band < 8; band++) {
      const ratio = energyAt(all, 0, 0, band) / energyAt(one, 0, 0, band);
      // 300 m off, 3 m to either side and 1.5 m of depth change spreading by 0.04 dB and the air's loss little more
      expect(Math.abs(10 * Math.log10(ratio) - 10 * Math.log10(players))).toBeLessThan(0.06);
    }
  });

  test('a level is that of one player', async () => {
    const at = (section: string) => choir(section).replace('dynamic: f', 'level: 70 dB at 1 m');
    const [one, ten] = [
      await sceneOf(at('{players: 1, rows: 1, size: [1, 1]}')),
      await sceneOf(at('{players: 10, rows: 2, size: [4, 1]}')),
    ];
    ten.sources[0]?.power.forEach((w, band) => {
      const single = one.sources[0]?.power[band] ?? 0;
      if (single > 0) expect(w / single).toBeCloseTo(10, 9);
    });
  });
});

describe('in a room', () => {
  const hall = 'rooms: {hall: {size: [20, 20], height: 6, reverberation: {500: 1.5}}}\n';

  test('every singer is a person that absorbs', async () => {
    // shared/catalogue/contents.yaml, person-seated at 1 kHz: 0.45 m²
    const people = async (n: number) =>
      (await sceneOf(`${hall}${choir(`{players: ${n}, rows: 2, size: [6, 2]}`)}`)).rooms[0]?.people[4] ?? 0;
    expect((await people(30)) - (await people(10))).toBeCloseTo(20 * 0.45, 9);
  });

  test('a section that reaches through a wall is refused', async () => {
    expect(await faultsOf(`${hall}${choir('{players: 30, rows: 2, size: [24, 2]}')}`)).toEqual([
      expect.stringMatching(/^sources\.choir\.section: choir does not fit in the room/),
    ]);
  });
});
