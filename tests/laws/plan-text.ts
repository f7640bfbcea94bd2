/** One invented session as plan text, written in any unit, at any place, turned or mirrored. */
import fc from 'fast-check';
import { span } from './scenes.ts';

/** How the session is put down on paper. */
export type Hand = {
  /** What a bare number means: `m`, or `ft` at 0.3048 m. */
  readonly units: 'm' | 'ft';
  readonly place: (x: number, y: number) => readonly [number, number];
  readonly bearing: (degrees: number) => number;
  /** Left becomes right. */
  readonly mirrored: boolean;
};

export const plain: Hand = { units: 'm', place: (x, y) => [x, y], bearing: (b) => b, mirrored: false };
export const inFeet: Hand = { ...plain, units: 'ft' };
export const movedBy = (dx: number, dy: number): Hand => ({ ...plain, place: (x, y) => [x + dx, y + dy] });
export const turnedBy = (degrees: number): Hand => {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return {
    ...plain,
    place: (x, y) => [x * cos + y * sin, -x * sin + y * cos],
    bearing: (b) => (((b + degrees) % 360) + 360) % 360,
  };
};
export const mirror: Hand = {
  ...plain,
  place: (x, y) => [-x, y],
  bearing: (b) => (360 - b) % 360,
  mirrored: true,
};

export type Session = {
  readonly tuba: readonly [number, number];
  readonly voice: readonly [number, number];
  readonly amp: readonly [number, number];
  readonly far: readonly [number, number];
  readonly main: readonly [number, number];
  readonly facings: readonly [number, number, number, number];
  readonly screen: readonly [number, number];
  readonly turn: number;
  readonly near: number;
  readonly above: number;
};

const within = (x0: number, x1: number, y0: number, y1: number) => fc.tuple(span(x0, x1), span(y0, y1));
const facing = span(0, 359);

/** Everyone well inside the rooms of `planText`. */
export const session: fc.Arbitrary<Session> = fc.record({
  tuba: within(1, 3, 1, 2.4),
  voice: within(4.4, 6, 1, 2.4),
  amp: within(1, 1.8, 4, 5),
  far: within(8.2, 10, 1.2, 4.8),
  main: within(4.4, 6, 4, 5),
  facings: fc.tuple(facing, facing, facing, facing),
  screen: within(3.4, 3.9, 2.8, 3.4),
  turn: span(0, 180),
  near: span(0.3, 0.8),
  above: span(0, 0.2),
});

export function planText(one: Session, hand: Hand): string {
  const { units, place, bearing } = hand;
  const n = (metres: number) => String(metres / (units === 'ft' ? 0.3048 : 1));
  const at = ([x, y]: readonly [number, number], z?: number) => {
    const [px, py] = place(x, y);
    return `[${n(px)}, ${n(py)}${z === undefined ? '' : `, ${n(z)}`}]`;
  };
  const side = hand.mirrored ? 'left' : 'right';
  const [dx, dy] = [Math.sin((one.turn * Math.PI) / 180) * 0.7, Math.cos((one.turn * Math.PI) / 180) * 0.7];
  const outline = (corners: readonly (readonly [number, number])[]) =>
    `[${corners.map((c) => at(c)).join(', ')}]`;
  const [f1 = 0, f2 = 0, f3 = 0, f4 = 0] = one.facings.map(bearing);
  return `spillcheck: 1
title: An invented session
units: ${units}
rooms:
  hall:
    outline: ${outline([
      [0, 0],
      [7, 0],
      [7, 6],
      [0, 6],
    ])}
    height: ${n(3.4)}
    floor: wood-on-joists
    ceiling: acoustic-tile
    walls: [plaster, curtain-heavy, 0.3, plaster]
    contents: {chair-wooden: 4}
  store:
    outline: ${outline([
      [7, 0],
      [11, 0],
      [11, 6],
      [7, 6],
    ])}
    height: ${n(2.8)}
    floor: 0.1
    ceiling: 0.2
    walls: 0.15
    floor-level: ${n(0.2)}
partitions:
  wall:
    between: [hall, store]
    wall: {reduction: 45}
    doors: [{at: ${at([7, 3])}, width: ${n(0.9)}, height: ${n(2)}, leaf: {reduction: 20, absorption: 0.1}, state: ajar}]
    windows: [{at: ${at([7, 4.6])}, width: ${n(1)}, height: ${n(0.8)}, sill: ${n(1)}, glass: {reduction: 30, absorption: 0.05}}]
baffles:
  screen: {from: ${at([one.screen[0] - dx, one.screen[1] - dy])}, to: ${at([one.screen[0] + dx, one.screen[1] + dy])}, height: ${n(1.6)}, gap: ${n(0.1)}, made-of: {reduction: 18, absorption: 0.5}}
players:
  low: {at: ${at(one.tuba)}, facing: ${f1}, riser: ${n(0.2)}, plays: {horn-amp: {spectrum: {125: 0, 500: -3, 2000: -9}, directivity: {Q: {125: 1, 2000: 4}}, level: 90 dBA at ${units === 'ft' ? '3.28083989501312 ft' : '1 m'}, radius: ${n(0.2)}}}}
  voice: {at: ${at(one.voice)}, facing: ${f2}, standing: true, plays: singing-voice, level: 84 dBA}
sources:
  amp: {instrument: bass-amp, at: ${at(one.amp, 0.4)}, facing: ${f3}, level: 92 dBC, player: {at: ${at([one.amp[0] + 0.6, one.amp[1] - 0.8])}, facing: ${f3}}}
  choir: {instrument: singing-voice, at: ${at(one.far)}, facing: ${f4}, level: 75 dBA, section: {players: 6, rows: 2, size: [${n(1.2)}, ${n(0.8)}], rise: ${n(0.2)}}}
mics:
  low-mic: {for: low, near: {distance: ${n(one.near)}, angle: 20, side: ${side}, above: ${n(one.above)}}, pattern: supercardioid}
  voice-mic: {for: voice, near: {distance: ${n(one.near * 0.6)}}, pattern: figure-8}
  amp-mic: {for: amp, near: {distance: ${n(0.15)}}}
  choir-mics: {for: choir, at: ${at([one.far[0], one.far[1]], 2.2)}, aim: {bearing: ${bearing(200)}, tilt: -20}, stereo: {spaced: ${n(0.5)}}}
  main: {for: all, at: ${at(one.main, 2.4)}, aim: low, stereo: ortf}
limits: {three-to-one: true}
`;
}
