import type { Vec2, Vec3 } from '../geometry.ts';
import type { Report } from '../judge/report.ts';
import type { MicRow, PairRow } from '../judge/signal-to-bleed.ts';
import type { Verdict } from '../judge/verdict.ts';
import type { LengthUnit } from '../plan/document.ts';
import { counted, micVerdict } from '../report/words.ts';
import type { Scene } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { away, type Page, type Point } from './svg.ts';

// What is asked of the drawing, made ready: which lines it shows, which levels, in which words.
export type Asked = {
  /** Number of the octave band whose patterns are drawn. */
  readonly band: number;
  /** The microphone, capsule or pair whose hearing is shown, or null. */
  readonly mic: Row | null;
  /** Sources whose level shades the floor and what they are called, or null. */
  readonly level: { readonly name: string; readonly sources: readonly number[] } | null;
};

export type View = {
  readonly band: number;
  readonly subtitle: string;
  /** The microphone of the plan that alone is shown with its pattern, or null for all. */
  readonly only: string | null;
  readonly lines: readonly BleedLine[];
  readonly bleedHeading: string;
  readonly words: Readonly<Record<Verdict | 'own' | 'weight', string>>;
  readonly level: {
    readonly title: string;
    readonly grids: readonly LevelGrid[];
    readonly steps: readonly number[];
  } | null;
};

export const hears = (row: Row): string => `What ${row.name} hears: ${micVerdict(row)}`;

/** How the microphones stand, in one line: single capsules, as the report counts them. */
export function tally({ report }: Told): string {
  const judged = report.mics.filter(({ verdict }) => verdict !== null);
  if (judged.length === 0) return 'No microphone is judged';
  const count = (verdict: Verdict) => judged.filter((row) => row.verdict === verdict).length;
  const [short, marginal] = [count('short'), count('marginal')];
  const met = `${short} of ${counted(judged.length, 'microphone')} short of the limit`;
  return marginal > 0 ? `${met}, ${marginal} marginal` : met;
}

export const WORDS: View['words'] = {
  own: '',
  short: 'Into a microphone short of its limit',
  marginal: 'Into one that meets it by less than 3\u00a0dB',
  clear: 'Into one that is clear of it',
  weight: '0 dB over its own sound, and more',
};

export function wordsFor({ purpose, limit }: Row): View['words'] {
  const judged = purpose === 'parts';
  return {
    own: 'What it is for',
    short: `Alone breaks its limit of ${limit}\u00a0dB`,
    marginal: 'Alone meets it by less than 3\u00a0dB',
    clear: 'Alone is clear of it',
    weight: judged ? '0 dB over its own sound, and more' : 'As loud as the loudest',
  };
}

// What a part of the plan gives to the drawing: its marks, what names must keep off, and the names it asks for.

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

// The level of some sources over the floor of a room: omnidirectional probes at ear height, by the same way as every microphone.

export type LevelGrid = {
  readonly room: number;
  readonly columns: number;
  readonly rows: number;
  readonly cell: number;
  /** Middle of the cell in a column and row, m. */
  readonly at: (column: number, row: number) => Vec2;
  /** dB re 20 µPa over all octaves, packed by row; null outside the room and where nothing gets to. */
  readonly levels: readonly (number | null)[];
};

// Which bleed is drawn, and what is said of it.

export type BleedLine = {
  readonly row: Row;
  readonly stream: Stream;
  readonly kind: Verdict | 'own';
  /** dB that set the weight: over the microphone's own sound, or over the loudest there. */
  readonly weight: number;
  readonly label: string;
};

// What a microphone hears, as the lines of a drawing: each player, loudspeaker or whole kit once.

export type Row = MicRow | PairRow;

export type Stream = {
  readonly name: string;
  readonly wanted: boolean;
  readonly sources: readonly number[];
  /** Level in the octaves that the microphone is judged in, after its filters, dB. */
  readonly level: number;
  /** The same over what the microphone is for, dB; null where it is for nothing in particular or hears none of it. */
  readonly relative: number | null;
};

// The sheet that everything is drawn on: what is drawn, to what scale, and where on the page.

/** A plan as it was computed. */
export type Told = {
  readonly scene: Scene;
  readonly result: Transfer;
  readonly report: Report;
  readonly units: LengthUnit;
};

export type Sheet = Told & {
  /** Number of the octave band whose patterns are drawn. */
  readonly band: number;
  /** Millimetres on paper for a metre of floor. */
  readonly perMetre: number;
  readonly place: (point: Vec2 | Vec3) => Point;
};

/** The plan in the middle of the page's frame, y upward as on the plan. */
export function sheetOn(told: Told, band: number, { scale, frame }: Page, extent: Extent): Sheet {
  const perMetre = 1000 / scale;
  const middle = [(frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2] as const;
  const centre = [(extent.left + extent.right) / 2, (extent.bottom + extent.top) / 2] as const;
  const place = ([x, y]: Vec2 | Vec3): Point => [
    middle[0] + (x - centre[0]) * perMetre,
    middle[1] - (y - centre[1]) * perMetre,
  ];
  return { ...told, band, perMetre, place };
}

// How far the plan reaches, in metres.

export type Extent = {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
};
