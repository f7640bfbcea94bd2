import { describe, expect, test } from 'vitest';
import { soundSpeed } from '../../src/acoustics/air.ts';
import { bands, sameInAllBands } from '../../src/acoustics/bands.ts';
import {
  criticalDistance,
  eyringAbsorption,
  eyringTime,
  roomConstant,
  sabineTime,
  schroederFrequency,
} from '../../src/acoustics/room-acoustics.ts';
import { roomRow } from '../../src/judge/rooms.ts';
import type { Air, Room } from '../../src/scene/scene.ts';
import { roomAbsorption } from '../../src/transfer/diffuse-field.ts';
import { prepareScene } from '../../src/transfer/prepared-scene.ts';
import { boxRoom, losslessAir, none, roomAir, sceneOf } from '../build-scene.ts';

/** The speed at which 24·ln 10/c is the constant that a book uses. */
const speedFor = (constant: number): number => (24 * Math.LN10) / constant;

const rowOf = (room: Room, air: Air) =>
  roomRow(prepareScene(sceneOf({ air, rooms: [room], sources: [], capsules: [] })), room, 0);

type Patch = readonly [area: number, alpha: number | readonly number[]];

/** A room known by its volume and the areas of its surfaces alone. */
function roomOfPatches(volume: number, patches: readonly Patch[]): Room {
  const surfaces = patches.map(([area, alpha], i) => ({
    name: `surface ${i}`,
    area,
    alpha: bands((band) => (typeof alpha === 'number' ? alpha : (alpha[band] ?? 0))),
    open: 0,
    elements: [],
  }));
  return { ...boxRoom(1, 1, 1), volume, surfaces };
}

describe('Sabine’s decay', () => {
  // EN 12354-6:2003, annex E: a room of 29.75 m³, constant 0.16.
  const bare: Patch[] = [
    [12.39, 0.05],
    [12.39, 0.02],
    [10.9, 0.04],
    [10.9, 0.04],
    [6.55, 0.04],
    [6.55, 0.04],
  ];
  const lined: Patch[] = [...bare.slice(0, 2), [1.09, 0.04], [9.81, 0.85], ...bare.slice(3)];

  test.each([
    { name: 'bare', patches: bare, area: 2.26, seconds: 2.1 },
    { name: 'with one wall lined', patches: lined, area: 10.21, seconds: 0.5 },
  ])('of the standard’s room, $name, takes $seconds s with $area m²', ({ patches, area, seconds }) => {
    const absorption = roomAbsorption(roomOfPatches(29.75, patches), losslessAir);
    expect(Math.abs((absorption.area[4] ?? 0) - area)).toBeLessThan(0.01);
    expect(Math.abs(sabineTime(29.75, absorption.area[4] ?? 0, speedFor(0.16)) - seconds)).toBeLessThan(0.05);
  });

  // The same annex with air: it prints 0.12 m² for 4mV; at 20 °C and 50 % ISO 9613-1 gives 4·0.001074·29.75 = 0.128 m².
  test('of the standard’s bare room with air takes 2.0 s', () => {
    const absorption = roomAbsorption(roomOfPatches(29.75, bare), roomAir);
    expect((absorption.area[4] ?? 0) - 2.263).toBeCloseTo(0.128, 3);
    expect(Math.abs(sabineTime(29.75, absorption.area[4] ?? 0, speedFor(0.16)) - 2.0)).toBeLessThan(0.05);
  });

  // Everest & Pohlmann, Master Handbook of Acoustics, 4th ed., fig. 7-22, example 1: 23.3 × 16 × 10 ft, concrete floor,
  // gypsum board on the walls and the ceiling, constant 0.049 in feet (0.161 in metres).
  test('of the handbook’s bare room takes 0.54 to 3.39 s by octave', () => {
    const floor = [0, 0.01, 0.01, 0.015, 0.02, 0.02, 0.02, 0];
    const shell = [0, 0.29, 0.1, 0.05, 0.04, 0.07, 0.09, 0];
    const room = roomOfPatches(105.565, [
      [34.653, floor],
      [107.675, shell],
    ]);
    const { area } = roomAbsorption(room, losslessAir);
    [0.54, 1.53, 2.87, 3.39, 2.06, 1.63].forEach((seconds, i) => {
      expect(Math.abs(sabineTime(105.565, area[i + 1] ?? 0, speedFor(0.161)) - seconds)).toBeLessThan(0.015);
    });
  });

  // Avilés López & Perera Martín, Manual de acústica ambiental y arquitectónica, examples 8.1 to 8.3: T = 0.16·V/A.
  test.each([
    {
      name: 'with a hard ceiling',
      volume: 214.2,
      areas: [34.83, 14.36, 9.74, 7.94, 10.39, 12.67],
      seconds: [0.98, 2.39, 3.52, 4.31, 3.3, 2.71],
    },
    {
      name: 'with an absorbent ceiling',
      volume: 189.7,
      areas: [34.74, 19.8, 25.0, 41.09, 58.44, 47.0],
      seconds: [0.87, 1.53, 1.21, 0.74, 0.52, 0.65],
    },
  ])('of a classroom $name takes $seconds s', ({ volume, areas, seconds }) => {
    areas.forEach((area, i) => {
      expect(Math.abs(sabineTime(volume, area, speedFor(0.16)) - (seconds[i] ?? 0))).toBeLessThan(0.01);
    });
  });
});

describe('a box of 8 × 5 × 3 m with 0.2 everywhere at 343 m/s', () => {
  // By hand: V = 120, S = 158, A = 31.6; 24·ln 10·120/(343·31.6) = 0.611825; with 158·0.223144 = 35.2567: 0.548369.
  const room = boxRoom(8, 5, 3, { alpha: 0.2 });
  const figures = rowOf(room, { soundSpeed: 343, loss: none });

  test('decays in 0.611825 s by Sabine and 0.548369 s by Eyring', () => {
    expect(figures.sabine[4]).toBeCloseTo(0.611825, 5);
    expect(figures.eyring[4]).toBeCloseTo(0.548369, 5);
  });

  // R = 31.6/0.8 = 39.5; √(39.5/16π) = 0.88646 m; 2000·√(0.548369/120) = 135.20 Hz.
  test('has a critical distance of 0.886 m and a Schroeder frequency of 135.2 Hz', () => {
    expect(figures.criticalDistance).toBeCloseTo(0.88646, 4);
    expect(figures.schroeder).toBeCloseTo(135.2, 1);
    expect(figures.volume).toBeCloseTo(120, 9);
  });
});

describe('absorption of a furnished room', () => {
  // By hand: 126 m² · 0.1 = 12.6, contents 3, people 2, baffles 1, 4mV = 4·0.001074·90 = 0.387 m².
  test('is that of its surfaces, contents, people, baffles and air', () => {
    const furnished = {
      contents: sameInAllBands(3),
      people: sameInAllBands(2),
      added: sameInAllBands(1),
    };
    const { area, mean, surface } = roomAbsorption(boxRoom(6, 5, 3, { alpha: 0.1, ...furnished }), roomAir);
    expect(surface).toBeCloseTo(126, 9);
    expect(area[4]).toBeCloseTo(18.987, 3);
    expect(mean[4]).toBeCloseTo(18.987 / 126, 5);
  });

  test('has a mean of 0.99 at most', () => {
    const { mean } = roomAbsorption(boxRoom(6, 5, 3, { alpha: 0.9, people: sameInAllBands(60) }), roomAir);
    expect(mean[4]).toBe(0.99);
  });

  // An opening takes all in A for the decay and nothing in A within the walls: 12.6 + 0.9·4 (its wall had 0.1 there) and less 4.
  test('counts an opening for the decay and not for the balance', () => {
    const room = boxRoom(6, 5, 3, { alpha: 0.1 });
    const surfaces = room.surfaces.map((surface, i) =>
      i === 2 ? { ...surface, open: 4, alpha: sameInAllBands((14 * 0.1 + 4) / 18) } : surface,
    );
    const { area, areaWithinWalls } = roomAbsorption({ ...room, surfaces }, losslessAir);
    expect(area[4]).toBeCloseTo(16.2, 9);
    expect(areaWithinWalls[4]).toBeCloseTo(12.2, 9);
  });
});

describe('absorption from a measured time', () => {
  // A worked examination question (shaalaa.com): 10 × 8 × 6 m, 3 s, constant 0.161: A = 25.76 m², mean 0.068. It inverts
  // Sabine; we invert Eyring, whose −ln(1 − ᾱ) is that mean, so ᾱ = 1 − e^(−0.0685) = 0.0662.
  test('of 3 s in 480 m³ is 25.76 m² by Sabine: a mean of 0.0685, by Eyring 0.0662', () => {
    const mean = eyringAbsorption(480, 376, 3, speedFor(0.161));
    expect(sabineTime(480, 25.76, speedFor(0.161))).toBeCloseTo(3, 3);
    expect(-Math.log1p(-mean) * 376).toBeCloseTo(25.76, 2);
    expect(mean).toBeCloseTo(0.0662, 4);
  });

  const measured = { times: sameInAllBands(0.5), earlyBands: Array(8).fill(true), setUp: true, named: true };

  test.each([
    { name: 'without finishes', alpha: 0 },
    { name: 'with even finishes', alpha: 0.4 },
    { name: 'with one lined wall', alpha: (surface: number) => (surface === 3 ? 0.8 : 0.05) },
  ])('gives the measured time back $name, by Eyring', ({ alpha }) => {
    const room = boxRoom(6, 5, 3, { alpha, measured });
    const { mean, surface, surfaces } = roomAbsorption(room, roomAir);
    expect(eyringTime(room.volume, surface, mean[4] ?? 0, roomAir.soundSpeed)).toBeCloseTo(0.5, 9);
    // The area mean of the scaled finishes is that mean too.
    const finishes = room.surfaces.reduce((sum, s, i) => sum + s.area * (surfaces[i * 8 + 4] ?? 0), 0);
    expect(finishes / surface).toBeCloseTo(mean[4] ?? 0, 6);
  });

  // By hand: 0.141·√R with R = A/(1 − ᾱ): at 0.5 s A = 25.892, ᾱ = 0.20549, R = 32.589; 2000·√(0.5/90) = 149.07 Hz; the time
  // by Eyring's formula is the measured one, that of the finishes (0.4) would be far shorter.
  test('goes before the computed one in the figures of a room', () => {
    const room = boxRoom(6, 5, 3, { alpha: 0.4, measured });
    const figures = rowOf(room, roomAir);
    expect(figures.measured?.[4]).toBe(0.5);
    expect(figures.criticalDistance).toBeCloseTo(0.8052, 3);
    expect(figures.schroeder).toBeCloseTo(149.07, 2);
  });

  // People are added to a time measured empty; the measured time itself still sets the Schroeder frequency (design 2.5).
  test('sets the Schroeder frequency of a room with people added', () => {
    const room = boxRoom(6, 5, 3, {
      alpha: 0.4,
      people: sameInAllBands(8),
      measured: { ...measured, setUp: false },
    });
    const figures = rowOf(room, roomAir);
    expect(figures.schroeder).toBeCloseTo(149.07, 2);
    expect(figures.eyring[4]).toBeLessThan(0.4);
  });

  test('of an empty room has the people added, of a room as set up has not', () => {
    const people = sameInAllBands(2);
    const added = sameInAllBands(1);
    const area = (setUp: boolean) =>
      roomAbsorption(boxRoom(6, 5, 3, { people, added, measured: { ...measured, setUp } }), roomAir)
        .area[4] ?? 0;
    // By hand: V = 90, S = 126; ᾱ = 1 − exp(−24·ln 10·90/(343.2·126·0.5)) = 0.20549, A = 25.892; a panel's 1 m² always.
    expect(area(true)).toBeCloseTo(26.892, 3);
    expect(area(false)).toBeCloseTo(28.892, 3);
  });
});

describe('absorption from a T20 or T30', () => {
  // By hand, as above: 0.65/1.3 = 0.5 s in 90 m³ and 126 m² is a mean of 0.20549; with finishes named the geometric mean of both:
  // √(0.4·0.20549) = 0.28670; with 6.3 m² of contents √(0.45·0.20549) = 0.30409; 12.6 m² of people count to the finishes where
  // they were there, √(0.5·0.20549) = 0.32054, else they come on top: 0.28670 + 0.1.
  const people = sameInAllBands(12.6);
  test.each([
    { what: 'without finishes', options: { alpha: 0 }, setUp: true, mean: 0.20549 },
    { what: 'with finishes of 0.4', options: { alpha: 0.4 }, setUp: true, mean: 0.2867 },
    {
      what: 'with contents',
      options: { alpha: 0.4, contents: sameInAllBands(6.3) },
      setUp: true,
      mean: 0.30409,
    },
    { what: 'with people in it', options: { alpha: 0.4, people }, setUp: true, mean: 0.32054 },
    { what: 'with people to come', options: { alpha: 0.4, people }, setUp: false, mean: 0.3867 },
  ])('of 0.65 s in 6 × 5 × 3 m $what is $mean', ({ options, setUp, mean }) => {
    const measured = {
      times: sameInAllBands(0.65),
      earlyBands: Array(8).fill(false),
      setUp,
      named: options.alpha > 0,
    };
    const absorption = roomAbsorption(boxRoom(6, 5, 3, { ...options, measured }), losslessAir);
    expect(absorption.mean[4]).toBeCloseTo(mean, 4);
  });
});

describe('critical distance', () => {
  // Eargle & Foreman, sound system design reference manual, p. 5-16: R = 200 m², Q = 1: 2 m (0.141·√200 = 1.99).
  test.each([
    { constant: 200, metres: 2, tolerance: 0.02 },
    { constant: 25, metres: 0.7052, tolerance: 0.0001 },
  ])('for a room constant of $constant m² is $metres m', ({ constant, metres, tolerance }) => {
    expect(Math.abs(criticalDistance(constant) - metres)).toBeLessThan(tolerance);
  });

  test('grows with the root of Q', () => {
    expect(criticalDistance(25, 4)).toBeCloseTo(2 * criticalDistance(25), 12);
  });

  // A hall of 15000 m³, 3800 m², 2.0 s: A = 0.1611·V/T, R = A/(1 − A/S), by hand 5.94 m.
  test('of a hall of 15000 m³ and 2 s is 5.94 m', () => {
    const area = (0.1611 * 15000) / 2;
    expect(criticalDistance(roomConstant(area, area / 3800))).toBeCloseTo(5.94, 2);
  });
});

describe('the Schroeder frequency', () => {
  // Kuttruff, Room Acoustics, 6th ed., p. 68: a classroom of 200 m³ and 1 s, about 140 Hz.
  test('of 200 m³ and 1 s is 141 Hz', () => {
    expect(schroederFrequency(1, 200)).toBeCloseTo(141.4, 1);
  });
});

test('24·ln 10/c is 0.161 at room temperature', () => {
  expect((24 * Math.LN10) / soundSpeed(20)).toBeCloseTo(0.161, 3);
});
