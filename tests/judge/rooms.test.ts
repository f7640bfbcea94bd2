import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import { oddDecays, roomRows } from '../../src/judge/rooms.ts';
import type { MeasuredTime } from '../../src/scene/scene.ts';
import { prepareScene } from '../../src/transfer/prepared-scene.ts';
import { boxRoom, losslessAir, sceneOf } from '../build-scene.ts';

/** 8 × 5 × 3 m with 0.2 all over: V = 120 m³, S = 158 m², Eyring 24·ln 10·120/(343.2·158·0.22314) = 0.548 s. */
function rowsOf(measured: MeasuredTime | null, alpha = 0.2) {
  const rooms = [boxRoom(8, 5, 3, { alpha, measured, path: ['rooms', 'hall'] })];
  const scene = sceneOf({ air: losslessAir, rooms, sources: [], capsules: [] });
  return { rooms, rows: roomRows(prepareScene(scene)) };
}

const late = (seconds: number, named = true): MeasuredTime => ({
  times: sameInAllBands(seconds),
  earlyBands: Array(8).fill(false),
  setUp: false,
  named,
});

describe('a measured time against what a clap would show by the finishes', () => {
  // In a room of even absorption both ends of the decay are Eyring's, times w = 1.1 at 500 Hz, within a few percent: more than 1.5
  // times that is odd.
  test.each([
    { seconds: 0.58, says: null },
    { seconds: 0.75, says: null },
    {
      seconds: 1.2,
      says: /^the measured RT60 is (1\.9|2\.[0-2]) times longer than a clap would show by the finishes of /,
    },
    {
      seconds: 0.25,
      says: /^the measured RT60 is (2\.[0-5]) times shorter .*wrong finishes, or uneven absorption$/,
    },
  ])('of $seconds s where 0.58 s are due says $says', ({ seconds, says }) => {
    const { rooms, rows } = rowsOf(late(seconds));
    const [odd] = oddDecays(rows, rooms);
    if (!says) expect(odd).toBeUndefined();
    else expect(odd?.message).toMatch(says);
    if (odd) expect(odd.path).toEqual(['rooms', 'hall', 'reverberation']);
  });

  test('is not doubted where there are no finishes, and known to be a bound', () => {
    const { rooms, rows } = rowsOf(late(3, false), 0);
    expect(oddDecays(rows, rooms)).toEqual([]);
    expect(rows[0]).toMatchObject({ clap: null, finishes: null, lateAlone: true });
  });
});

describe('a room', () => {
  test('shows what its finishes alone would give beside what was measured', () => {
    const { rows } = rowsOf(late(0.8));
    expect(rows[0]?.finishes?.[4]).toBeCloseTo(0.548, 3);
    // ᾱ(0.8/1.3) = 1 − exp(−24·ln 10·120/(343.2·158·0.61538)) = 0.18023; √(0.2·0.18023) = 0.18986; Eyring 0.5808 s
    expect(rows[0]?.eyring[4]).toBeCloseTo(0.5808, 3);
  });

  // w = 1 + S·λ/(8V): 1.4 × 1.2 × 2 m has S/V = 13.76/3.36 = 4.095: 1 + 4.095·5.438/8 = 3.78 at 63 Hz, 2.39 at 125 Hz.
  test('names the octaves in which it is smaller than any that was tried', () => {
    const scene = sceneOf({ rooms: [boxRoom(1.4, 1.2, 2)], sources: [], capsules: [] });
    expect(roomRows(prepareScene(scene))[0]?.tooSmall).toEqual([63]);
    expect(rowsOf(null).rows[0]?.tooSmall).toEqual([]);
  });
});
