/** A place on a wall: where the middle of a door or window comes to lie. */
import { distanceToStretch, span } from './polygon.ts';
import type { Vec2 } from './vector.ts';
import type { WallPiece } from './wall-pieces.ts';

export type WallSpot = {
  readonly piece: WallPiece;
  /** How far along the piece, from its first end, and how long the piece is, m. */
  readonly along: number;
  readonly length: number;
  /** How far the wanted place is from the wall, m. */
  readonly away: number;
  /** The point so far along the wall from the spot, m. */
  readonly point: (further: number) => Vec2;
};

/** A door may be drawn this far from its wall, m. */
export const FURTHEST_FROM_WALL = 0.3;

/** The spot on the nearest piece, the place set square onto it; null where there is no wall or none within 30 cm. */
export function onWall(pieces: readonly WallPiece[], at: Vec2): WallSpot | null {
  const [nearest] = pieces.map((piece) => spotOn(piece, at)).sort((one, other) => one.away - other.away);
  return nearest && nearest.away <= FURTHEST_FROM_WALL + 1e-9 ? nearest : null;
}

function spotOn(piece: WallPiece, at: Vec2): WallSpot {
  const { a, b } = piece;
  const length = span(a, b);
  const ux = (b[0] - a[0]) / length;
  const uy = (b[1] - a[1]) / length;
  const along = (at[0] - a[0]) * ux + (at[1] - a[1]) * uy;
  const point = (further: number): Vec2 => [a[0] + ux * (along + further), a[1] + uy * (along + further)];
  return { piece, along, length, away: distanceToStretch(at, a, b), point };
}
