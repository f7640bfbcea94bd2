/** People by hand: ears and eyes at given points, headphones of plain figures, and sources that sound at 1 kHz alone. */
import { bands, sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { type Cue, OUTSIDE, type Passage, type Player, type Source } from '../../src/scene/scene.ts';
import { pointSource } from '../build-scene.ts';

export const bare: Cue = {
  wearing: 'none',
  level: null,
  leak: null,
  passes: sameInAllBands(1),
  hearsByAir: true,
};

/** Closed phones that leak 70 dB under the ear at 1 m and hold off 20 dB. */
export const closed: Cue = {
  wearing: 'closed',
  level: null,
  leak: sameInAllBands(1e-7),
  passes: sameInAllBands(0.01),
  hearsByAir: false,
};

/** Ears and eyes in one point. */
export function person(name: string, head: Vec3, options: Partial<Player> = {}): Player {
  return {
    name,
    path: ['players', name],
    at: [head[0], head[1], 0],
    facing: 0,
    standing: false,
    room: OUTSIDE,
    ears: head,
    eyes: head,
    listener: false,
    cue: bare,
    ...options,
  };
}

/** Sound power `lw` dB in the 1 kHz octave, where A and Z weigh alike, and nothing elsewhere. */
export const at1k = (lw: number) => bands((band) => (band === 4 ? 10 ** (lw / 10) : 0));

export const sounding = (name: string, at: Vec3, lw: number, options: Partial<Source> = {}): Source =>
  pointSource(at, { name, power: at1k(lw), ...options });

export const passage = (name: string, sounds: readonly boolean[]): Passage => ({
  name,
  path: ['passages', name],
  sounds,
});

/** Level at `r` metres of a sound power level: Lp = Lw − 10·lg(4π) − 20·lg r. */
export const freeLevel = (lw: number, r: number): number =>
  lw - 10 * Math.log10(4 * Math.PI) - 20 * Math.log10(r);
