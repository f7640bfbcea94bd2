/** Paper and scale: the coarsest of usual scales that still fits is never taken where a finer one fits too. */
import type { LengthUnit } from '../../plan/tree.ts';
import type { Box, Point } from './plane.ts';

export type Paper = 'a4' | 'letter';

/** ISO 216 and ANSI/ASME Y14.1, upright, mm. */
const PAPERS = { a4: [210, 297], letter: [215.9, 279.4] } as const satisfies Record<
  Paper,
  readonly [number, number]
>;
export const PAPER_NAMES = Object.keys(PAPERS);
export const isPaper = (name: string): name is Paper => Object.hasOwn(PAPERS, name);

/** Scales one has rulers for; for feet those of whole parts of an inch to the foot. */
const SCALES = {
  m: [5, 10, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1500, 2000, 5000],
  ft: [6, 12, 24, 32, 48, 64, 96, 128, 192, 384, 768, 1536, 3072, 6144],
} as const;

export type Page = {
  readonly width: number;
  readonly height: number;
  /** The 50 of "1:50". */
  readonly scale: number;
  /** What drawing and names may use. */
  readonly frame: Box;
  /** Left upper corners of the columns of the key. */
  readonly columns: readonly Point[];
};

export const MARGIN = 9;
export const KEY_WIDTH = 56;
const HEAD = 15;
const GAP = 6;
/** Room about the plan for names, mm. */
const AROUND = 10;
/** Longest side of the plan where no paper is asked for, mm. */
const USUAL = 250;

/** Extent of the plan in metres; `keyHeight` tells how high the key is in so many columns. */
export type Ask = {
  readonly size: readonly [number, number];
  readonly units: LengthUnit;
  readonly paper: Paper | null;
  readonly keyHeight: (columns: number) => number;
};

export function pageFor(ask: Ask): Page {
  if (ask.paper === null) return fitted(ask);
  const [short, long] = PAPERS[ask.paper];
  const sheets = [
    beside([long, short], ask),
    beside([short, long], ask),
    below([short, long], ask),
    below([long, short], ask),
  ];
  const [finest] = sheets.flatMap((sheet) => sheet ?? []).sort((a, b) => a.scale - b.scale);
  return finest ?? fitted(ask);
}

const millimetres = (metres: number, scale: number): number => (metres * 1000) / scale;

function scaleFor({ size, units }: Ask, width: number, height: number): number | null {
  const fits = (scale: number) =>
    millimetres(size[0], scale) + 2 * AROUND <= width && millimetres(size[1], scale) + 2 * AROUND <= height;
  return SCALES[units].find(fits) ?? null;
}

/** Key at the right. Null where either does not fit. */
function beside([width, height]: readonly [number, number], ask: Ask): Page | null {
  const top = MARGIN + HEAD;
  const right = width - MARGIN - KEY_WIDTH - GAP;
  const scale = scaleFor(ask, right - MARGIN, height - MARGIN - top);
  if (scale === null || ask.keyHeight(1) > height - MARGIN - top) return null;
  const frame = { left: MARGIN, top, right, bottom: height - MARGIN };
  return { width, height, scale, frame, columns: [[right + GAP, top]] };
}

/** Key underneath, in as many columns as there is room for. */
function below([width, height]: readonly [number, number], ask: Ask): Page | null {
  const count = Math.floor((width - 2 * MARGIN + GAP) / (KEY_WIDTH + GAP));
  const key = ask.keyHeight(count);
  const frame = {
    left: MARGIN,
    top: MARGIN + HEAD,
    right: width - MARGIN,
    bottom: height - MARGIN - key - GAP,
  };
  const scale = scaleFor(ask, frame.right - frame.left, frame.bottom - frame.top);
  if (scale === null) return null;
  const columns = Array.from(
    { length: count },
    (_, i): Point => [MARGIN + i * (KEY_WIDTH + GAP), frame.bottom + GAP],
  );
  return { width, height, scale, frame, columns };
}

/** A page as large as plan and key need. */
function fitted(ask: Ask): Page {
  const [wide, deep] = ask.size;
  const all = SCALES[ask.units];
  const scale = all.find((one) => millimetres(Math.max(wide, deep), one) <= USUAL) ?? (all.at(-1) as number);
  const width = Math.max(millimetres(wide, scale) + 2 * AROUND, 80);
  const height = Math.max(millimetres(deep, scale) + 2 * AROUND, ask.keyHeight(1));
  const top = MARGIN + HEAD;
  const frame = { left: MARGIN, top, right: MARGIN + width, bottom: top + height };
  return {
    width: frame.right + GAP + KEY_WIDTH + MARGIN,
    height: frame.bottom + MARGIN,
    scale,
    frame,
    columns: [[frame.right + GAP, top]],
  };
}
