/** What parts of the drawing are made of, and the sheet that they are drawn on. */
import type { Vec2, Vec3 } from '../geometry.ts';
import type { Session } from '../judge/session.ts';
import type { MicRow, PairRow } from '../judge/signal-to-bleed.ts';
import type { LengthUnit } from '../plan/document.ts';
import { away, type Box, type Page, type Point } from './svg.ts';

/** What a part of the plan gives to the drawing: its marks, what names must keep off, and the names it asks for, if any. */
export type Layer = {
  readonly svg: string;
  readonly keepOff: readonly Shape[];
  readonly names?: readonly Name[];
};

/** A line that no name may lie on; of a closed one, nor inside. On a soft one it lies only where it would have to go far off. */
export type Shape = { readonly points: readonly Point[]; readonly closed: boolean; readonly soft?: true };

export type Name = {
  readonly kind: 'room' | 'wall' | 'player' | 'source' | 'mic' | 'screen' | 'figure' | 'contour';
  readonly text: string;
  /** What it is called where the drawing has no room for it; the text itself by default. */
  readonly listed?: string;
  /** A smaller second line, and what it or a value is coloured as. */
  readonly note: string | null;
  readonly noteKind: string;
  /** Where it may belong to: its first place that has room around it is taken. */
  readonly at: readonly Point[];
  /** How far from there the name's own mark reaches, mm. */
  readonly reach: number;
};

/** A name without a second line. */
export function nameOf(kind: Name['kind'], text: string, at: readonly Point[], reach: number): Name {
  return { kind, text, note: null, noteKind: '', at, reach };
}

export const together = (layers: readonly Layer[]): Required<Layer> => ({
  svg: layers.map(({ svg }) => svg).join(''),
  keepOff: layers.flatMap(({ keepOff }) => keepOff),
  names: layers.flatMap(({ names = [] }) => names),
});

export const openLine = (...points: readonly Point[]): Shape => ({ points, closed: false });
export const closedLine = (...points: readonly Point[]): Shape => ({ points, closed: true });

/** For keeping off a round mark: a dozen corners. */
export const round = (at: Point, radius: number): Shape =>
  closedLine(...Array.from({ length: 12 }, (_, i) => away(at, (2 * Math.PI * i) / 12, radius)));

/** A row of the report that is about one microphone or pair. */
export type Row = MicRow | PairRow;
/** A plan as it was computed. */
export type Told = Pick<Session, 'scene' | 'result' | 'report'> & { readonly units: LengthUnit };

export type Sheet = Told & {
  /** Number of the octave band whose patterns are drawn. */
  readonly band: number;
  /** Millimetres on paper for a metre of floor. */
  readonly perMetre: number;
  readonly place: (point: Vec2 | Vec3) => Point;
};

/** The plan, which reaches so far in metres, in the middle of the page's frame, y upward as on the plan. */
export function sheetOn(told: Told, band: number, { scale, frame }: Page, extent: Box): Sheet {
  const perMetre = 1000 / scale;
  const [left, top] = middleOf(frame);
  const [x0, y0] = middleOf(extent);
  const place = ([x, y]: Vec2 | Vec3): Point => [left + (x - x0) * perMetre, top - (y - y0) * perMetre];
  return { ...told, band, perMetre, place };
}

const middleOf = ({ left, top, right, bottom }: Box): Point => [(left + right) / 2, (top + bottom) / 2];
