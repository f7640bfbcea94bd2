/**
 * Auxiliary Fresnel functions f and g (defined in Abramowitz and Stegun, 7.3.5 and 7.3.6), and a table of f + g and f − g, of which edge waves are
 * made: quadratic pieces over the logarithm of x, 1e-7 off the fits. x grows by one factor from band to band, so that on this scale
 * bands lie whole pieces apart: one logarithm and one share of a piece serve all eight.
 */
import { BAND_EDGE } from './bands.ts';

/** Pieces from one band to the next: x goes with the root of the frequency. */
const PIECES_A_BAND = 12;
const PIECES_PER_LOG = PIECES_A_BAND / Math.log(BAND_EDGE);
/** Numbers a piece takes: three coefficients of f + g, three of f − g, by powers of the share of the piece. */
export const PIECE_SIZE = 6;
/** What the place in the table grows by from one band to the next. */
export const BAND_STEP = PIECES_A_BAND * PIECE_SIZE;
/** Of the lowest band; with the bands above it x reaches from 1e-4 to a kilometre's detours. */
const LEAST = 1e-4;
const MOST = 100;
const FIRST = Math.log(LEAST);
const PIECES = Math.ceil((Math.log(MOST) - FIRST) * PIECES_PER_LOG) + 1 + 7 * PIECES_A_BAND;
/** Whether the table holds the x of all bands, given that of the lowest. */
export const isInTable = (x: number): boolean => x >= LEAST && x < MOST;
/** Where x of the lowest band lies, in pieces: the whole part tells the piece, the rest the share of it. */
export const fresnelPlace = (x: number): number => (Math.log(x) - FIRST) * PIECES_PER_LOG;

/** Of f + g or, 3 numbers on, of f − g: the quadratic of a piece at a share of it. */
export const quadraticAt = (pieces: Float64Array, at: number, share: number): number =>
  (pieces[at] as number) + share * ((pieces[at + 1] as number) + share * (pieces[at + 2] as number));

/** Where in a piece a quadratic is held to the function: Chebyshev's points, which leave the least error. */
const HELD = [1, 3, 5].map((i) => (1 - Math.cos((i * Math.PI) / 6)) / 2);

/** Packed [piece][f + g, f − g][power]. */
export function fresnelTable(): Float64Array {
  const packed = new Float64Array(PIECES * PIECE_SIZE);
  const [sums, differences] = [new Float64Array(3), new Float64Array(3)];
  for (let piece = 0; piece < PIECES; piece++) {
    for (let held = 0; held < HELD.length; held++) {
      const x = LEAST * Math.exp((piece + (HELD[held] as number)) / PIECES_PER_LOG);
      const [f, g] = [auxiliaryF(x), auxiliaryG(x)];
      sums[held] = f + g;
      differences[held] = f - g;
    }
    setQuadratic(packed, piece * PIECE_SIZE, sums);
    setQuadratic(packed, piece * PIECE_SIZE + 3, differences);
  }
  return packed;
}

/** The quadratic through three values, by divided differences. */
function setQuadratic(packed: Float64Array, at: number, values: Float64Array): void {
  const [p, q, r] = HELD as [number, number, number];
  const [a = 0, b = 0, c = 0] = values;
  const first = (b - a) / (q - p);
  const second = ((c - b) / (r - q) - first) / (r - p);
  packed[at] = a - p * (first - q * second);
  packed[at + 1] = first - (p + q) * second;
  packed[at + 2] = second;
}

/** Falls as 1/(πx). */
export function auxiliaryF(x: number): number {
  const over =
    0.5000001017 +
    x * (1.061149724 + x * (0.8115003401 + x * (0.6977067479 + x * (0.2266543055 + x * 0.1704163378))));
  const under =
    1 +
    x *
      (2.122338237 +
        x * (3.192619612 + x * (2.648405339 + x * (2.176533997 + x * (0.7131304482 + x * 0.5353541358)))));
  return over / under;
}

/** Falls as 1/(π²x³). */
export function auxiliaryG(x: number): number {
  const over =
    0.5000000122 + x * (0.1203187564 + x * (0.1260010617 + x * (0.03876949825 + x * 0.01503770214)));
  const under =
    1 +
    x *
      (2.240642553 +
        x *
          (3.162325285 +
            x *
              (2.88467062 + x * (2.052533214 + x * (1.071658594 + x * (0.3998661884 + x * 0.1477444812))))));
  return over / under;
}
