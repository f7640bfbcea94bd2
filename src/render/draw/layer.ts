/** What a part of the plan gives to the drawing: its marks, what names must keep off, and the names it asks for. */
import { away, type Point } from './plane.ts';

export type Layer = {
  readonly svg: string;
  readonly keepOff: readonly Shape[];
  readonly names: readonly Name[];
};

/** A line that no name may lie on; of a closed one, nor inside. On a soft one it lies only where it would have to go far off. */
export type Shape = { readonly points: readonly Point[]; readonly closed: boolean; readonly soft?: true };

export type Name = {
  readonly text: string;
  /** What it is called where the drawing has no room for it; the text itself if unsaid. */
  readonly listed?: string;
  /** A smaller second line, and what it is coloured as. */
  readonly note: string | null;
  readonly noteKind: string;
  readonly kind: 'room' | 'wall' | 'player' | 'source' | 'mic' | 'screen' | 'figure' | 'contour';
  /** Where it may belong to: its first place that has room around it is taken. */
  readonly at: readonly Point[];
  /** How far from there the name's own mark reaches, mm. */
  readonly reach: number;
};

export const emptyLayer: Layer = { svg: '', keepOff: [], names: [] };

export const together = (layers: readonly Layer[]): Layer => ({
  svg: layers.map(({ svg }) => svg).join(''),
  keepOff: layers.flatMap(({ keepOff }) => keepOff),
  names: layers.flatMap(({ names }) => names),
});

export const openLine = (...points: readonly Point[]): Shape => ({ points, closed: false });
export const closedLine = (...points: readonly Point[]): Shape => ({ points, closed: true });

/** Corners for keeping off a round mark. */
const ROUND = 12;
export const round = (at: Point, radius: number): Shape =>
  closedLine(...Array.from({ length: ROUND }, (_, i) => away(at, (2 * Math.PI * i) / ROUND, radius)));
