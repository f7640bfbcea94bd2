/**
 * The auxiliary Fresnel functions as cubic pieces over the logarithm of x, 2e-10 off the fits. Past panels nothing is asked more
 * often, and always for all octave bands, whose x = Γ|cos| grows by the same factor from band to band: on this scale bands lie
 * whole pieces apart, so that one logarithm and one share of a piece serve all eight, without a division.
 */
import { BAND_EDGE } from './bands.ts';
import { auxiliaryF, auxiliaryG } from './fresnel.ts';
import { quickLog } from './quick-log.ts';

/** Pieces from one band to the next: x goes with the root of the frequency. */
const PIECES_A_BAND = 12;
const PIECES_PER_LOG = PIECES_A_BAND / Math.log(BAND_EDGE);
/** Numbers a piece takes: four coefficients of f, four of g, by powers of the share of the piece. */
export const PIECE_SIZE = 8;
/** What the place in the table grows by from one band to the next. */
export const BAND_STEP = PIECES_A_BAND * PIECE_SIZE;

/** Of the lowest band; with the bands above it x reaches from 1e-4 to a kilometre's detours. */
const LEAST = 1e-4;
const MOST = 100;
const FIRST = Math.log(LEAST);
const PIECES = Math.ceil((Math.log(MOST) - FIRST) * PIECES_PER_LOG) + 1 + 7 * PIECES_A_BAND;

/** Packed [piece][f, g][power]; made when first asked, since most plans have no screens. */
let table: Float64Array | null = null;
export const fresnelTable = (): Float64Array => (table ??= fresnelPieces());

/** Whether the table holds the x of all bands, given that of the lowest. */
export const isInTable = (x: number): boolean => x >= LEAST && x < MOST;

/** Where x of the lowest band lies, in pieces: the whole part tells the piece, the rest the share of it. */
export const fresnelPlace = (x: number): number => (quickLog(x) - FIRST) * PIECES_PER_LOG;

/** Of f or, 4 numbers on, of g: the cubic of a piece at a share of it. */
export const cubicAt = (pieces: Float64Array, at: number, share: number): number =>
  (pieces[at] as number) +
  share *
    ((pieces[at + 1] as number) + share * ((pieces[at + 2] as number) + share * (pieces[at + 3] as number)));

function fresnelPieces(): Float64Array {
  const packed = new Float64Array(PIECES * PIECE_SIZE);
  const points = Float64Array.from(
    { length: 3 * PIECES + 1 },
    (_, i) => LEAST * Math.exp(i / 3 / PIECES_PER_LOG),
  );
  setCubics(packed, 0, points.map(auxiliaryF));
  setCubics(packed, 4, points.map(auxiliaryG));
  return packed;
}

/** Cubics through four points of each piece, a third of it apart. */
function setCubics(packed: Float64Array, place: number, values: Float64Array): void {
  for (let piece = 0; piece < PIECES; piece++) {
    const [a = 0, b = 0, c = 0, d = 0] = values.subarray(3 * piece, 3 * piece + 4);
    const from = piece * PIECE_SIZE + place;
    packed[from] = a;
    packed[from + 1] = (-11 * a + 18 * b - 9 * c + 2 * d) / 2;
    packed[from + 2] = (9 * (2 * a - 5 * b + 4 * c - d)) / 2;
    packed[from + 3] = (9 * (-a + 3 * b - 3 * c + d)) / 2;
  }
}
