import { describe, expect, test } from 'vitest';
import { decibels, energyOf } from '../../src/acoustics/bands.ts';
import { criticalDistance } from '../../src/acoustics/room-acoustics.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, pointSource, sceneOf } from '../build-scene.ts';
import { boxByHand } from './box-by-hand.ts';
import { expectStated, worst } from './expect-stated.ts';
import { STATED } from './stated.ts';

/**
 * Textbooks put all that is not direct into one diffuse term: 4/R in American books, 4/A in ISO methods. We trace the first
 * reflections apart and let the remainder be 4(1 − α₁)(1 − ᾱ)^((1 + r/ℓ)/2)/(A·w). What can be compared: in a room of even
 * absorption α₁ = ᾱ, so that our remainder over (1 − ᾱ)^((1 + r/ℓ)/2) is the book's 4/R, and over one more (1 − ᾱ) its 4/A; no book
 * lowers the interior level, so w is taken off by hand.
 */
function parts(
  size: Vec3,
  alpha: number | ((surface: number, band: number) => number),
  from: Vec3,
  to: Vec3,
) {
  const scene = sceneOf({
    rooms: [boxRoom(...size, { alpha })],
    sources: [pointSource(from, { room: 0 })],
    capsules: [capsuleOf(to, [0, 1, 0], { room: 0 })],
  });
  const result = transfer(scene);
  const mean = (band: number) => result.prepared.absorptions[0]?.mean[band] ?? 0;
  const of = (share: 'direct' | 'room', band: number) => energyAt(result, 0, 0, band, share) / 1e10;
  const { freePath, w } = boxByHand(size);
  const hits = (1 + Math.hypot(...to.map((x, i) => x - (from[i] ?? 0))) / freePath) / 2;
  const overR = (band = 4) => (of('room', band) * w(band)) / (1 - mean(band)) ** hits;
  return {
    direct: (band = 4) => of('direct', band),
    overR,
    overA: (band = 4) => overR(band) / (1 - mean(band)),
  };
}

describe('level in a room, by the books', () => {
  // Engineering ToolBox, "Propagation of sound indoors": L_W 90 dB, A = 12.2 m², mean 0.2, 2 m: its own formula gives 84.5 dB
  // (the page prints 84.8). A box of 61 m²: 4 × 3 m, height (61 − 24)/14.
  test('90 dB of power, 12.2 m², 2 m off: 84.5 dB', () => {
    const { direct, overR } = parts([4, 3, 37 / 14], 0.2, [0.5, 0.5, 1], [2.5, 0.5, 1]);
    expect(90 + decibels(direct() + overR())).toBeCloseTo(84.5, 1);
  });

  // Barron, Industrial Noise Control and Acoustics, 2003: a machine in a room of 20 × 20 × 4 m, listener 3 m off; room
  // constants as printed, 0.1 dB for ρc.
  function machineOffs(): number[] {
    const power = [103, 109, 114, 117, 113, 107];
    const constants = [40.62, 51.55, 60.19, 84.3, 47.88, 66.44];
    const alpha = (_: number, band: number) => {
      const constant = constants[band - 1] ?? 50;
      return constant / (1120 + constant);
    };
    const { direct, overR } = parts([20, 20, 4], alpha, [5, 5, 1], [8, 5, 1]);
    return [93.4, 98.5, 102.9, 104.6, 102.8, 95.5].map((level, i) => {
      const ours = (power[i] ?? 0) + decibels(direct(i + 1) + overR(i + 1)) + 0.1;
      return ours - level;
    });
  }

  test('a machine in a 20 × 20 × 4 m room, 3 m off, octave by octave', () => {
    expect(worst(machineOffs())).toBeLessThan(0.06);
  });

  // ISO 11690-3:1998, annex B: 20 × 15 × 7 m, α 0.15, Q = 2 in every direction (twice our free field), 4/A, background 50 dB.
  const size: Vec3 = [20, 15, 7];
  type Machine = { readonly level: number; readonly at: Vec3 };
  const M1 = { level: 95, at: [10, 3, 1] } as const;
  const M2 = { level: 90, at: [17, 3, 1] } as const;
  const M4 = { level: 95, at: [3, 3, 1] } as const;
  const beside: Vec3 = [17, 4, 1.6];
  const corner: Vec3 = [3, 12, 1.6];
  const fresh: Vec3 = [3, 4, 1.6];

  /** All machines and the background at a place; at its own workstation a machine gives its emission level and its 4/A. */
  function hall(
    machines: readonly Machine[],
    to: Vec3,
    own?: { machine: Machine; emission: number },
  ): number {
    const energies = machines.map((machine) => {
      const { direct, overA } = parts(size, 0.15, machine.at, to);
      const near = machine === own?.machine ? energyOf(own.emission) : energyOf(machine.level) * 2 * direct();
      return near + energyOf(machine.level) * overA();
    });
    return decibels(energies.reduce((sum, energy) => sum + energy, energyOf(50)));
  }

  const WORKPLACES = [
    {
      name: 'beside the second machine',
      machines: [M1, M2],
      to: beside,
      own: { machine: M2, emission: 77 },
      level: 82.1,
    },
    { name: 'in the far corner', machines: [M1, M2], to: corner, level: 80.3 },
    {
      name: 'beside it with a third',
      machines: [M1, M2, M4],
      to: beside,
      own: { machine: M2, emission: 77 },
      level: 83.8,
    },
    { name: 'in the corner with a third', machines: [M1, M2, M4], to: corner, level: 82.8 },
    {
      name: 'beside the third',
      machines: [M1, M2, M4],
      to: fresh,
      own: { machine: M4, emission: 82 },
      level: 85.4,
    },
  ] as const;
  const offAt = ({ machines, to, level, ...rest }: (typeof WORKPLACES)[number]): number =>
    hall(machines, to, 'own' in rest ? rest.own : undefined) - level;

  test.each(WORKPLACES)('machines in a hall of 20 × 15 × 7 m $name: $level dB', (place) => {
    expect(Math.abs(offAt(place))).toBeLessThan(0.1);
  });

  test('are as near as the page on the model says', () => {
    expectStated(STATED.levels, { worst: worst([...machineOffs(), ...WORKPLACES.map(offAt)]) });
  });

  // A hall of 15000 m³, 3800 m² and 2.0 s, G = L_p − L_W + 31 at 10, 20 and 40 m by the classical sum (ISO 3382-1, annex A).
  // A = 0.1611·V/T = 1208.25 m²; any box of 3800 m² has that R: 40 × 20 m, height (3800 − 1600)/120.
  test.each([
    { metres: 10, strength: 5.85 },
    { metres: 20, strength: 4.9 },
    { metres: 40, strength: 4.63 },
  ])('strength in a hall of 15000 m³ at $metres m is $strength dB', ({ metres, strength }) => {
    const across = Math.sqrt(Math.max(0, metres ** 2 - 38 ** 2));
    const along = Math.min(metres, 38);
    const hallSize: Vec3 = [40, 20, 2200 / 120];
    const { direct, overR } = parts(hallSize, 1208.25 / 3800, [1, 1, 1], [1 + along, 1 + across, 1]);
    expect(Math.abs(decibels(direct() + overR()) + 31 - strength)).toBeLessThan(0.02);
  });

  // Eargle & Foreman, sound system design reference manual, ch. 5: direct to reverberant at 0.5, 1, 2, 4 critical distances,
  // and the total 1 dB above the direct sound at half, 3 dB at one, 1 dB above the reverberant at twice the distance.
  test.each([
    { times: 0.5, ratio: 6, over: 1, what: 'direct' },
    { times: 1, ratio: 0, over: 3, what: 'direct' },
    { times: 2, ratio: -6, over: 1, what: 'overR' },
    { times: 4, ratio: -12, over: 0.3, what: 'overR' },
  ] as const)('at $times critical distances the direct sound is $ratio dB over the room', (row) => {
    const surface = 2 * (12 * 10 + 12 * 5 + 10 * 5);
    const far = row.times * criticalDistance((surface * 0.25) / 0.75);
    const { [row.what]: part, direct, overR } = parts([12, 10, 5], 0.25, [1, 1, 1], [1 + far, 1, 1]);
    expect(Math.abs(decibels(direct() / overR()) - row.ratio)).toBeLessThan(0.1);
    expect(Math.abs(decibels((direct() + overR()) / part()) - row.over)).toBeLessThan(0.1);
  });
});
