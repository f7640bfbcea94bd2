/** The waves past a rectangular panel or through an opening, put into a sum: edges, corners, and straight on. */
import { BAND_COUNT } from './bands.ts';
import { BAND_SIZE, IM, PHASES, RE, STEADY } from './edge-wave.ts';
import { setPhases } from './phase.ts';
import type { Pass, Round } from './rectangle.ts';
import { EDGE_SETS, newWaveSum, WAVE_SIZE, type WaveSum } from './wave-sum.ts';

/** The places of the waves in the sum: straight on, two sides, two caps, four corners. */
export const STRAIGHT = 0;
export const SIDE = 1;
export const CAP = 3;
export const CORNER = 5;
export const WAVES = 9;

/** A sum for all of them: bits of the edges that each bends round, the sides first. */
export function newPanelSum(): WaveSum {
  const sum = newWaveSum(WAVES);
  sum.edges.set([0, 1, 2, 4, 8, 5, 9, 6, 10]);
  return sum;
}

/** Phases of every detour, before waves are summed. */
export function setAllPhases({ sides, caps, waves }: Pass): void {
  for (let i = 0; i < 2; i++) {
    const side = sides[i] as Round;
    const cap = caps[i] as Round;
    if (side.there) setPhases(side.wave, PHASES, waves.turns, side.detour);
    if (cap.there) setPhases(cap.wave, PHASES, waves.turns, cap.detour);
  }
}

/** Waves whose factor is 0 are left out of the sum; but the corners need those of their edges. */
export function gather(pass: Pass, through: number, across: number, upright: number): void {
  const { sum } = pass;
  sum.count = 0;
  setSteady(pass);
  if (through !== 0) addStraight(sum, through);
  for (let i = 0; i < 2; i++) {
    const side = pass.sides[i] as Round;
    const cap = pass.caps[i] as Round;
    if (side.there) spin(pass, side, SIDE + i);
    if (side.there && upright !== 0) sum.terms[sum.count++] = SIDE + i;
    if (cap.there) spin(pass, cap, CAP + i);
    if (cap.there && across !== 0) sum.terms[sum.count++] = CAP + i;
  }
  for (let i = 0; i < 4; i++) {
    const there = (pass.sides[i >> 1] as Round).there && (pass.caps[i & 1] as Round).there;
    if (there) addCorner(sum, CORNER + i, SIDE + (i >> 1), CAP + (i & 1));
  }
}

/** What of a phase holds that the edges of a set are part of: they are off independently of each other. */
function setSteady({ sum: { steady }, sides, caps }: Pass): void {
  for (let edge = 1; edge < EDGE_SETS; edge *= 2) {
    const { wave } = (edge < 4 ? sides[edge >> 1] : caps[edge >> 3]) as Round;
    for (let i = 0; i < edge * BAND_COUNT; i++)
      steady[edge * BAND_COUNT + i] =
        (steady[i] as number) * (wave[(i % BAND_COUNT) * BAND_SIZE + STEADY] as number);
  }
}

function addStraight(sum: WaveSum, factor: number): void {
  const { waves } = sum;
  for (let i = 0; i < WAVE_SIZE; i += 2) {
    waves[i] = factor;
    waves[i + 1] = 0;
  }
  sum.terms[sum.count++] = STRAIGHT;
}

/** A corner's wave is the product of both edges', and taken from their sum. */
function addCorner(sum: WaveSum, corner: number, side: number, cap: number): void {
  const { waves, detour } = sum;
  detour[corner] = (detour[side] as number) + (detour[cap] as number);
  let at = corner * WAVE_SIZE;
  let p = side * WAVE_SIZE;
  let q = cap * WAVE_SIZE;
  for (const end = at + WAVE_SIZE; at < end; at += 2, p += 2, q += 2) {
    const a = waves[p] as number;
    const b = waves[p + 1] as number;
    const c = waves[q] as number;
    const d = waves[q + 1] as number;
    waves[at] = b * d - a * c;
    waves[at + 1] = -a * d - b * c;
  }
  sum.terms[sum.count++] = corner;
}

/** Gives an edge wave the phase of its detour at both edges of each band, and puts it in its place in the sum. */
function spin(pass: Pass, round: Round, place: number): void {
  const { sum } = pass;
  const { wave } = round;
  const into = sum.waves;
  sum.detour[place] = round.detour;
  let at = place * WAVE_SIZE;
  for (let band = 0; band < BAND_COUNT; band++, at += 4) {
    const a = wave[band * BAND_SIZE + RE] as number;
    const b = wave[band * BAND_SIZE + IM] as number;
    const phase = PHASES + 2 * band;
    const c = wave[phase] as number;
    const s = wave[phase + 1] as number;
    const d = wave[phase + 2] as number;
    const t = wave[phase + 3] as number;
    into[at] = a * c - b * s;
    into[at + 1] = a * s + b * c;
    into[at + 2] = a * d - b * t;
    into[at + 3] = a * t + b * d;
  }
}
