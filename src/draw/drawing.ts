/** Layers of a drawing, the names on it, and the canvas they are drawn on. */
import type { Vec2, Vec3 } from '../geometry.ts';
import type { Session } from '../judge/session.ts';
import type { MicRow, PairRow } from '../judge/signal-to-bleed.ts';
import type { LengthUnit } from '../plan/document.ts';
import { away, type Box, type Page, type Point } from './svg.ts';

/** Marks of one part of the plan, the shapes that names must avoid, and the names it needs. */
export type Layer = {
  readonly svg: string;
  readonly keepOff: readonly Shape[];
  readonly names?: readonly Name[];
};

/** A line that no name may cover, nor the inside of a closed one. A soft line is covered only to avoid a far-off place. */
export type Shape = { readonly points: readonly Point[]; readonly closed: boolean; readonly soft?: true };

export type Name = {
  readonly kind: 'room' | 'wall' | 'player' | 'source' | 'mic' | 'baffle' | 'level' | 'contour';
  readonly text: string;
  /** Name in the key if the drawing has no space for it; default: the text. */
  readonly listed?: string;
  /** A smaller second line, and the colour class of it or of a level. */
  readonly note: string | null;
  readonly noteKind: string;
  /** Candidate anchors: the first with space around it is used. */
  readonly at: readonly Point[];
  /** Radius of the mark at the anchor, mm. */
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

/** A circle to avoid, as a dozen corners. */
export const round = (at: Point, radius: number): Shape =>
  closedLine(...Array.from({ length: 12 }, (_, i) => away(at, (2 * Math.PI * i) / 12, radius)));

/** A row of the report about one mic or pair. */
export type Row = MicRow | PairRow;
/** A computed plan. */
export type Computed = Pick<Session, 'scene' | 'result' | 'report'> & { readonly units: LengthUnit };

export type Canvas = Computed & {
  /** Index of the octave band whose patterns are drawn. */
  readonly band: number;
  /** Millimetres on paper per metre of floor. */
  readonly perMetre: number;
  readonly place: (point: Vec2 | Vec3) => Point;
};

/** Centres the plan, `extent` in metres, in the page's frame, y upward as on the plan. */
export function canvasOn(computed: Computed, band: number, { scale, frame }: Page, extent: Box): Canvas {
  const perMetre = 1000 / scale;
  const [left, top] = middleOf(frame);
  const [x0, y0] = middleOf(extent);
  const place = ([x, y]: Vec2 | Vec3): Point => [left + (x - x0) * perMetre, top - (y - y0) * perMetre];
  return { ...computed, band, perMetre, place };
}

const middleOf = ({ left, top, right, bottom }: Box): Point => [(left + right) / 2, (top + bottom) / 2];
