/** Marks, style, palette, text width, scale bar. */

import { RADIANS } from '../geometry.ts';
import type { LengthUnit } from '../plan/document.ts';
import { FOOT } from '../plan/units.ts';
import { rounded } from '../statistics.ts';
import { escapeControl, xmlAttribute, xmlText } from '../text.ts';

// The looks of every mark, by class. Widths in millimetres.
export const TITLE_SIZE = 5.2;

export const SUBTITLE_SIZE = 2.9;

export const style = (palette: Palette): string =>
  [...plan(palette), ...sound(palette), ...writing(palette)].join('\n');

function plan(p: Palette): string[] {
  return [
    `text{font-family:sans-serif;fill:${p.ink};unicode-bidi:isolate}`,
    `.paper{fill:${p.paper}}.floor,.hole{fill:${p.floor}}`,
    `.shell{fill:${p.wall};stroke:${p.wall};stroke-width:${2 * SHELL};stroke-linejoin:miter}.wall{fill:${p.wall}}`,
    `.jamb,.sill,.lintel,.leaf,.pane,.swing{fill:none;stroke:${p.ink};stroke-width:0.25}`,
    `.leaf{stroke-width:0.7}.pane{stroke-width:0.4}.swing{stroke-dasharray:0.6 0.6}.lintel{stroke-dasharray:1.2 0.8}`,
    `.screen{fill:${p.screen}}.foot{stroke:${p.screen};stroke-width:0.5;stroke-linecap:round}`,
    `.section,.cabinet{fill:${p.source};fill-opacity:0.1;stroke:${p.source};stroke-width:0.3}`,
    `.disc{fill:${p.source};fill-opacity:0.14;stroke:${p.source};stroke-width:0.25}.centre{fill:${p.source}}`,
    `.axis{stroke:${p.source};stroke-width:0.35;stroke-linecap:round}`,
    `.body,.rest{stroke:${p.source};stroke-width:0.4;stroke-linejoin:round;stroke-linecap:round;fill:${p.floor}}`,
    `.stands{fill:${p.source}}.rest{fill:none;stroke-width:0.55}.listens{stroke-dasharray:0.8 0.6}`,
    `.pattern{fill:${p.mic};fill-opacity:0.16;stroke:${p.mic};stroke-width:0.3}`,
    `.pair{stroke:${p.mic};stroke-width:0.5}.aim{fill:none;stroke:${p.mic};stroke-width:0.3;stroke-linecap:round}`,
    `.capsule{fill:${p.mic};stroke:${p.floor};stroke-width:0.2}.aside{opacity:0.55}`,
  ];
}

function sound(p: Palette): string[] {
  return [
    `.way{fill:none;stroke-linejoin:round}.way.plain{stroke:${p.ink}}.way.short{stroke:${p.short}}`,
    `.way.marginal{stroke:${p.marginal};stroke-dasharray:2.6 1.3}`,
    `.way.clear{stroke:${p.clear};stroke-dasharray:0.7 1}.way.own{stroke:${p.source};stroke-dasharray:5 0.9 0.9 0.9}`,
    `.barb.short{fill:${p.short}}.barb.marginal{fill:${p.marginal}}.barb.clear{fill:${p.clear}}.barb.own{fill:${p.source}}`,
    `.level{stroke:${p.ink};stroke-width:0.12;stroke-opacity:0.55}`,
    ...p.levels.map((fill, i) => `.shade-${i}{fill:${fill}}`),
  ];
}

function writing(p: Palette): string[] {
  return [
    `.leader{stroke:${p.faint};stroke-width:0.18;fill:none}`,
    `.label{text-anchor:middle;font-size:${SIZES.name}px;stroke:${p.floor};stroke-width:0.55;paint-order:stroke;stroke-linejoin:round}`,
    `.label.player,.label.source{font-weight:600}.label.room{letter-spacing:0.12px;fill:${p.faint};font-weight:600}`,
    `.label.wall,.label.faint{fill:${p.faint}}.label.small{font-size:${SIZES.note}px;font-weight:400}`,
    `.title{font-size:${TITLE_SIZE}px;font-weight:700}.subtitle{font-size:${SUBTITLE_SIZE}px;fill:${p.faint}}`,
    `.heading{font-size:2.5px;font-weight:700;fill:${p.faint};letter-spacing:0.15px}.entry{font-size:2.5px}`,
    `.rule{stroke:${p.faint};stroke-width:0.2}.north{fill:${p.ink}}.bar-dark{fill:${p.ink}}`,
    `.bar-light{fill:${p.floor};stroke:${p.ink};stroke-width:0.2}`,
  ];
}
/**
 * The colours, as a light and a dark sheet. Seven of them tell things apart (ink, source, mic, screen, and the bleed that is
 * short, marginal or clear): found by search for the set whose closest pair stays furthest apart as seen by a normal eye and
 * without red, green or blue cones (Machado 2009), each with a contrast of at least 3 to 1 against the floor. The closest
 * pair is 28 apart on the light sheet and 32 on the dark (ΔE*ab 1976); tests/render/draw-colours.test.ts holds them to 24.
 * None is needed to read the plan: players, microphones and screens differ in shape, verdicts in dashes and in words.
 */
type Palette = {
  readonly paper: string;
  readonly floor: string;
  readonly ink: string;
  /** Text of the second rank. */
  readonly faint: string;
  readonly wall: string;
  readonly source: string;
  readonly mic: string;
  readonly screen: string;
  readonly short: string;
  readonly marginal: string;
  readonly clear: string;
  /** From softest to loudest: one way in lightness, so that it reads without colour as well. */
  readonly levels: readonly string[];
};

export const palettes = {
  light: {
    paper: '#f6f5f1',
    floor: '#ffffff',
    ink: '#1d242a',
    faint: '#59636d',
    wall: '#3d464e',
    source: '#0641b1',
    mic: '#38a36a',
    screen: '#6c3a7a',
    short: '#c51129',
    marginal: '#d87900',
    clear: '#8492a2',
    levels: ['#fdfbf4', '#f7efd9', '#f2e2bc', '#efd39c', '#ebc27d', '#e6b061', '#de9d4b', '#d38a3b'],
  },
  dark: {
    paper: '#14191f',
    floor: '#1d242c',
    ink: '#e3f0fb',
    faint: '#a3b1be',
    wall: '#8b99a6',
    source: '#007bfc',
    mic: '#80f3a3',
    screen: '#e0a3ff',
    short: '#ed5c43',
    marginal: '#fda404',
    clear: '#7a7c7f',
    levels: ['#1e262f', '#20303b', '#223b47', '#244653', '#26525f', '#295e6b', '#2c6873', '#31747d'],
  },
} as const satisfies Record<string, Palette>;

/** Those that tell things apart. */
export const TELLING = ['ink', 'source', 'mic', 'screen', 'short', 'marginal', 'clear'] as const;

// How much room a name takes.

export const SIZES = { name: 2.7, note: 2.2 } as const;

// A bar to measure by, in the plan's own unit, and the scale in figures.

const LENGTHS = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];

const PARTS = 4;

const HIGH = 1.5;

/** As long as fits into `width` mm; `x` and `y` are its upper left corner. */
export function scaleBar(
  [x, y]: readonly [number, number],
  width: number,
  { perMetre, units }: { readonly perMetre: number; readonly units: LengthUnit },
): string {
  const perUnit = perMetre * (units === 'ft' ? FOOT : 1);
  const length = LENGTHS.filter((one) => one * perUnit <= width).at(-1) ?? 0.5;
  const part = (length * perUnit) / PARTS;
  const fields = Array.from({ length: PARTS }, (_, i) =>
    mark('rect', {
      class: i % 2 === 0 ? 'bar-dark' : 'bar-light',
      x: x + i * part,
      y,
      width: part,
      height: HIGH,
    }),
  );
  const figure = (value: number, label: string) =>
    mark(
      'text',
      { class: 'entry', x: x + value * perUnit, y: y + HIGH + 3.2, 'text-anchor': 'middle' },
      label,
    );
  const figures = [
    figure(0, '0'),
    figure(length / 2, String(length / 2)),
    figure(length, `${length} ${units}`),
  ];
  return fields.join('') + figures.join('');
}

// How wide a text is taken to be, in units of its size. Made to err on the wide side of common sans-serif faces: what is
// placed by it has room, whatever face the reader has.

const NARROW = /[ijl.,:;'|!()[\]\-·]/;

const BROAD = /[mwMW@%&—…]/;

const CAPITAL = /[\p{Lu}\d_=+<>?#$−]/u;

/** East Asian wide scripts, and what shows as a picture. */
const SQUARE =
  /[\p{scx=Han}\p{scx=Hira}\p{scx=Kana}\p{sc=Hangul}\u3000-\u303e\uff01-\uff60\p{ExtPict}\p{RI}]/u;

const NOTHING = /\p{M}|\u200c|\u200d|\ufe0f/u;

export function textWidth(text: string, size: number): number {
  let ems = 0;
  for (const character of text) ems += widthOf(character);
  return ems * size;
}

function widthOf(character: string): number {
  if (NOTHING.test(character)) return 0;
  if (/[A-Za-z0-9 ]/.test(character) === false && SQUARE.test(character)) return 1.35;
  if (NARROW.test(character)) return 0.4;
  if (BROAD.test(character)) return 1;
  if (character === ' ') return 0.34;
  return CAPITAL.test(character) ? 0.72 : 0.65;
}

/** Words set in lines no wider than `width`; a word that is wider by itself stands alone. */
export function setInLines(text: string, size: number, width: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    const longer = last === undefined ? word : `${last} ${word}`;
    if (last === undefined || textWidth(longer, size) > width) lines.push(word);
    else lines[lines.length - 1] = longer;
  }
  return lines;
}

/** As much of a text as fits, the loss marked with an ellipsis. */
export function fitText(text: string, size: number, width: number): string {
  if (textWidth(text, size) <= width) return text;
  const characters = [...text];
  while (characters.length > 0 && textWidth(`${characters.join('')}…`, size) > width) characters.pop();
  return `${characters.join('')}…`;
}

// The body of a partition between the two faces that its rooms have of it.

/** Drawn thickness of a wall of which the plan gives one face alone, and the least of any, mm. */
export const SHELL = 1.6;

// Pieces of SVG as text. Numbers are rounded here and nowhere else; text is escaped here and nowhere else.

type Attributes = Readonly<Record<string, string | number>>;

/** `content` is SVG already. */
export function mark(name: string, attributes: Attributes, content = ''): string {
  const written = Object.entries(attributes).map(
    ([key, value]) => ` ${key}="${typeof value === 'number' ? mm(value) : xmlAttribute(value)}"`,
  );
  return content === ''
    ? `<${name}${written.join('')}/>`
    : `<${name}${written.join('')}>${content}</${name}>`;
}

/** What a plan says, made harmless: XML's own marks and whatever turns or hides text. */
export const plain = (text: string): string => xmlText(escapeControl(text));

/** A group whose name shows where one points at it. */
export const named = (kind: string, name: string, content: string): string =>
  `${mark('g', { class: kind }, mark('title', {}, plain(name)) + content)}\n`;

export const circle = (kind: string, [x, y]: Point, r: number): string =>
  mark('circle', { class: kind, cx: x, cy: y, r });

export const line = (kind: string, points: readonly Point[]): string =>
  mark('path', { class: kind, d: trace(points) });

export const area = (kind: string, points: readonly Point[]): string =>
  mark('path', { class: kind, d: `${trace(points)}Z` });

export const trace = (points: readonly Point[]): string =>
  points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${mm(x)} ${mm(y)}`).join('');
/** The one place where what is drawn becomes digits: millimetres on paper to a hundredth, the same on every machine. */
export const mm = (value: number): string => String(rounded(value, 2));

// Paper and scale: the coarsest of usual scales that still fits is never taken where a finer one fits too.

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
type Ask = {
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

// Points and boxes on the page: millimetres from its top left corner, y downward.

export type Point = readonly [number, number];

export type Box = {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
};

export const boxAt = ([x, y]: Point, width: number, height: number): Box => ({
  left: x - width / 2,
  top: y - height / 2,
  right: x + width / 2,
  bottom: y + height / 2,
});

export const grown = ({ left, top, right, bottom }: Box, by: number): Box => ({
  left: left - by,
  top: top - by,
  right: right + by,
  bottom: bottom + by,
});

export const boxAround = (points: readonly Point[]): Box => ({
  left: Math.min(...points.map(([x]) => x)),
  top: Math.min(...points.map(([, y]) => y)),
  right: Math.max(...points.map(([x]) => x)),
  bottom: Math.max(...points.map(([, y]) => y)),
});

export const overlap = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

export const within = (inner: Box, outer: Box): boolean =>
  inner.left >= outer.left &&
  inner.right <= outer.right &&
  inner.top >= outer.top &&
  inner.bottom <= outer.bottom;

/** A point so far from another in a direction of the page, radians clockwise from the right. */
export const away = ([x, y]: Point, angle: number, by: number): Point => [
  x + Math.cos(angle) * by,
  y + Math.sin(angle) * by,
];

/** Where one is after so much of the way from a to b. */
export const between = (a: Point, b: Point, part: number): Point => [
  a[0] + (b[0] - a[0]) * part,
  a[1] + (b[1] - a[1]) * part,
];

/** Angle on the page of a bearing (0° up, clockwise), radians clockwise from the right. */
export const pageAngle = (bearing: number): number => (bearing - 90) * RADIANS;
