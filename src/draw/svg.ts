/** SVG elements, style, palette, text width, scale bar and page. */
import { RADIANS } from '../geometry.ts';
import type { LengthUnit } from '../plan/document.ts';
import { FOOT } from '../plan/units.ts';
import { rounded } from '../statistics.ts';
import { escapeControl, xmlAttribute, xmlText } from '../text.ts';

/** Sizes of text, mm. */
export const SIZES = { title: 5.2, subtitle: 2.9, entry: 2.5, name: 2.7, note: 2.2 } as const;

/** Style of every class. Widths in millimetres. */
export const style = (p: Palette): string =>
  [
    `text{font-family:sans-serif;fill:${p.ink};unicode-bidi:isolate}`,
    `.paper{fill:${p.paper}}.floor,.hole{fill:${p.floor}}`,
    `.shell{fill:${p.wall};stroke:${p.wall};stroke-width:${2 * SHELL};stroke-linejoin:miter}.wall{fill:${p.wall}}`,
    `.jamb,.sill,.lintel,.leaf,.pane,.swing{fill:none;stroke:${p.ink};stroke-width:0.25}`,
    `.leaf{stroke-width:0.7}.pane{stroke-width:0.4}.swing{stroke-dasharray:0.6 0.6}.lintel{stroke-dasharray:1.2 0.8}`,
    `.baffle{fill:${p.baffle}}.foot{stroke:${p.baffle};stroke-width:0.5;stroke-linecap:round}`,
    `.section,.cabinet{fill:${p.source};fill-opacity:0.1;stroke:${p.source};stroke-width:0.3}`,
    `.disc{fill:${p.source};fill-opacity:0.14;stroke:${p.source};stroke-width:0.25}.centre{fill:${p.source}}`,
    `.axis{stroke:${p.source};stroke-width:0.35;stroke-linecap:round}`,
    `.body,.rest{stroke:${p.source};stroke-width:0.4;stroke-linejoin:round;stroke-linecap:round;fill:${p.floor}}`,
    `.standing{fill:${p.source}}.rest{fill:none;stroke-width:0.55}.listening{stroke-dasharray:0.8 0.6}`,
    `.pattern{fill:${p.mic};fill-opacity:0.16;stroke:${p.mic};stroke-width:0.3}`,
    `.pair{stroke:${p.mic};stroke-width:0.5}.aim{fill:none;stroke:${p.mic};stroke-width:0.3;stroke-linecap:round}`,
    `.capsule{fill:${p.mic};stroke:${p.floor};stroke-width:0.2}.aside{opacity:0.55}`,
    `.path{fill:none;stroke-linejoin:round}.path.plain{stroke:${p.ink}}.path.short{stroke:${p.short}}`,
    `.path.marginal{stroke:${p.marginal};stroke-dasharray:2.6 1.3}`,
    `.path.clear{stroke:${p.clear};stroke-dasharray:0.7 1}.path.own{stroke:${p.source};stroke-dasharray:5 0.9 0.9 0.9}`,
    `.barb.short{fill:${p.short}}.barb.marginal{fill:${p.marginal}}.barb.clear{fill:${p.clear}}.barb.own{fill:${p.source}}`,
    `.level{stroke:${p.ink};stroke-width:0.12;stroke-opacity:0.55}`,
    ...p.levels.map((fill, i) => `.shade-${i}{fill:${fill}}`),
    `.leader{stroke:${p.faint};stroke-width:0.18;fill:none}`,
    `.label{text-anchor:middle;font-size:${SIZES.name}px;stroke:${p.floor};stroke-width:0.55;paint-order:stroke;stroke-linejoin:round}`,
    `.label.player,.label.source{font-weight:600}.label.room{letter-spacing:0.12px;fill:${p.faint};font-weight:600}`,
    `.label.wall,.label.faint{fill:${p.faint}}.label.small{font-size:${SIZES.note}px;font-weight:400}`,
    `.title{font-size:${SIZES.title}px;font-weight:700}.subtitle{font-size:${SIZES.subtitle}px;fill:${p.faint}}`,
    `.heading{font-size:${SIZES.entry}px;font-weight:700;fill:${p.faint};letter-spacing:0.15px}.entry{font-size:${SIZES.entry}px}`,
    `.rule{stroke:${p.faint};stroke-width:0.2}.north{fill:${p.ink}}.bar-dark{fill:${p.ink}}`,
    `.bar-light{fill:${p.floor};stroke:${p.ink};stroke-width:0.2}`,
  ].join('\n');

/**
 * Colours of the light and the dark version. Seven of them tell things apart (ink, source, mic, baffle, and the bleed that is
 * short, marginal or clear): found by search for the set whose closest pair stays furthest apart as seen by a normal eye and
 * without red, green or blue cones (Machado 2009), each with a contrast of at least 3 to 1 against the floor. The closest
 * pair is 28 apart on the light sheet and 32 on the dark (ΔE*ab 1976); tests/draw/colours.test.ts holds them to 24.
 * None is needed to read the plan: players, mics and baffles differ in shape, verdicts in dashes and words.
 */
const COLOURS = {
  paper: ['#f6f5f1', '#14191f'],
  floor: ['#ffffff', '#1d242c'],
  ink: ['#1d242a', '#e3f0fb'],
  /** Secondary text. */
  faint: ['#59636d', '#a3b1be'],
  wall: ['#3d464e', '#8b99a6'],
  source: ['#0641b1', '#007bfc'],
  mic: ['#38a36a', '#80f3a3'],
  baffle: ['#6c3a7a', '#e0a3ff'],
  short: ['#c51129', '#ed5c43'],
  marginal: ['#d87900', '#fda404'],
  clear: ['#8492a2', '#7a7c7f'],
} as const;

/** Softest to loudest, monotonic in lightness, so that they read without colour too. */
const LEVELS = [
  ['#fdfbf4', '#f7efd9', '#f2e2bc', '#efd39c', '#ebc27d', '#e6b061', '#de9d4b', '#d38a3b'],
  ['#1e262f', '#20303b', '#223b47', '#244653', '#26525f', '#295e6b', '#2c6873', '#31747d'],
] as const;

type Palette = Record<keyof typeof COLOURS, string> & { readonly levels: readonly string[] };

export function paletteOf(sheet: 'light' | 'dark'): Palette {
  const i = sheet === 'light' ? 0 : 1;
  const colours = Object.entries(COLOURS).map(([name, both]) => [name, both[i]]);
  return { ...Object.fromEntries(colours), levels: LEVELS[i] };
}

const LENGTHS = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
const PARTS = 4;
const HIGH = 1.5;
/** The scale of "1:50", and the unit of the bar. */
export type Scale = { readonly scale: number; readonly units: LengthUnit };

/** A bar in the plan's unit, as long as fits into `width` mm; `x` and `y` are its upper left corner. */
export function scaleBar([x, y]: Point, width: number, { scale, units }: Scale): string {
  const perUnit = (1000 / scale) * (units === 'ft' ? FOOT : 1);
  const length = LENGTHS.filter((one) => one * perUnit <= width).at(-1) ?? 0.5;
  const part = (length * perUnit) / PARTS;
  const fields = Array.from({ length: PARTS }, (_, i) => {
    const shade = i % 2 === 0 ? 'bar-dark' : 'bar-light';
    return mark('rect', { class: shade, x: x + i * part, y, width: part, height: HIGH });
  });
  const numbers = [0, length / 2, length].map((value) => {
    const shown = value === length ? `${length} ${units}` : String(value);
    return text('entry', shown, [x + value * perUnit, y + HIGH + 3.2], { 'text-anchor': 'middle' });
  });
  return fields.join('') + numbers.join('');
}

// Estimated text widths, in units of the size: on the wide side of common sans-serif fonts, so that text always fits.
const NARROW = /[ijl.,:;'|!()[\]\-·]/;
const BROAD = /[mwMW@%&—…]/;
const CAPITAL = /[\p{Lu}\d_=+<>?#$−]/u;
/** East Asian wide scripts and emoji. */
const SQUARE =
  /[\p{scx=Han}\p{scx=Hira}\p{scx=Kana}\p{sc=Hangul}\u3000-\u303e\uff01-\uff60\p{ExtPict}\p{RI}]/u;
const NOTHING = /\p{M}|\u200c|\u200d|\ufe0f/u;

export const textWidth = (text: string, size: number): number =>
  [...text].reduce((ems, character) => ems + widthOf(character), 0) * size;

function widthOf(character: string): number {
  if (NOTHING.test(character)) return 0;
  if (/[A-Za-z0-9 ]/.test(character) === false && SQUARE.test(character)) return 1.35;
  if (NARROW.test(character)) return 0.4;
  if (BROAD.test(character)) return 1;
  if (character === ' ') return 0.34;
  return CAPITAL.test(character) ? 0.72 : 0.65;
}

/** Words wrapped into lines no wider than `width`; a wider word has a line of its own. */
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

/** As much of a text as fits, cut with an ellipsis. */
export function fitText(text: string, size: number, width: number): string {
  if (textWidth(text, size) <= width) return text;
  const characters = [...text];
  while (characters.length > 0 && textWidth(`${characters.join('')}…`, size) > width) characters.pop();
  return `${characters.join('')}…`;
}

/** Drawn thickness of a wall with only one face in the plan, mm. */
export const SHELL = 1.6;
type Attributes = Readonly<Record<string, string | number>>;

/** An element; attributes are escaped and rounded here, `content` is SVG already. */
export function mark(name: string, attributes: Attributes, content = ''): string {
  const written = Object.entries(attributes).map(
    ([key, value]) => ` ${key}="${typeof value === 'number' ? mm(value) : xmlAttribute(value)}"`,
  );
  const open = `<${name}${written.join('')}`;
  return content === '' ? `${open}/>` : `${open}>${content}</${name}>`;
}

/** Text of a plan, escaped: XML markup and control characters. */
export const plain = (text: string): string => xmlText(escapeControl(text));

/** Text with its baseline at a point. */
export const text = (kind: string, content: string, [x, y]: Point, more: Attributes = {}): string =>
  mark('text', { class: kind, x, y, ...more }, plain(content));

/** A group with a tooltip. */
export const named = (kind: string, name: string, content: string): string =>
  `${mark('g', { class: kind }, mark('title', {}, plain(name)) + content)}\n`;

export const circle = (kind: string, [x, y]: Point, r: number): string =>
  mark('circle', { class: kind, cx: x, cy: y, r });

export const line = (kind: string, points: readonly Point[], more: Attributes = {}): string =>
  mark('path', { class: kind, d: trace(points), ...more });

export const area = (kind: string, points: readonly Point[]): string =>
  mark('path', { class: kind, d: `${trace(points)}Z` });

export const trace = (points: readonly Point[]): string =>
  points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${mm(x)} ${mm(y)}`).join('');

/** Millimetres on paper to a hundredth, the same on every machine. */
export const mm = (value: number): string => String(rounded(value, 2));

/** ISO 216 and ANSI/ASME Y14.1, portrait, mm. */
const PAPERS = { a4: [210, 297], letter: [215.9, 279.4] } as const;
export type Paper = keyof typeof PAPERS;
export const PAPER_NAMES = Object.keys(PAPERS);
export const isPaper = (name: string): name is Paper => Object.hasOwn(PAPERS, name);

/** Scales of common rulers; for feet, whole fractions of an inch per foot. The largest that fits is used. */
const SCALES = {
  m: [5, 10, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1500, 2000, 5000],
  ft: [6, 12, 24, 32, 48, 64, 96, 128, 192, 384, 768, 1536, 3072, 6144],
} as const;

/** `frame` is the area for drawing and names, `columns` are the upper left corners of the key's columns. */
export type Page = Pick<Scale, 'scale'> & {
  readonly width: number;
  readonly height: number;
  readonly frame: Box;
  readonly columns: readonly Point[];
};

export const MARGIN = 9;
export const KEY_WIDTH = 56;
const HEAD = 15;
const GAP = 6;
/** Margin around the plan for names, mm. */
const AROUND = 10;
/** Longest side of the plan without a paper size, mm. */
const USUAL = 250;

/** Extent of the plan in metres; `keyHeight` gives the height of the key in a number of columns. */
type Ask = Pick<Scale, 'units'> &
  Readonly<{ size: readonly [number, number]; paper: Paper | null; keyHeight: (columns: number) => number }>;

export function pageFor(ask: Ask): Page {
  if (ask.paper === null) return fitted(ask);
  const [w, h] = PAPERS[ask.paper];
  const sheets = [beside(ask, h, w), beside(ask, w, h), below(ask, w, h), below(ask, h, w)];
  const [finest] = sheets.flatMap((sheet) => sheet ?? []).sort((a, b) => a.scale - b.scale);
  return finest ?? fitted(ask);
}

const millimetres = (metres: number, scale: number): number => (metres * 1000) / scale;

function scaleFor({ size, units }: Ask, { left, top, right, bottom }: Box): number | null {
  const fits = (metres: number, scale: number, room: number) =>
    millimetres(metres, scale) + 2 * AROUND <= room;
  const [wide, deep] = size;
  const within = (scale: number) => fits(wide, scale, right - left) && fits(deep, scale, bottom - top);
  return SCALES[units].find(within) ?? null;
}

/** Key at the right. Null if it does not fit. */
function beside(ask: Ask, width: number, height: number): Page | null {
  const [top, bottom] = [MARGIN + HEAD, height - MARGIN];
  const frame = { left: MARGIN, top, right: width - MARGIN - KEY_WIDTH - GAP, bottom };
  const scale = scaleFor(ask, frame);
  if (scale === null || ask.keyHeight(1) > bottom - top) return null;
  return { width, height, scale, frame, columns: [[frame.right + GAP, top]] };
}

/** Key underneath, in as many columns as fit. */
function below(ask: Ask, width: number, height: number): Page | null {
  const count = Math.floor((width - 2 * MARGIN + GAP) / (KEY_WIDTH + GAP));
  const bottom = height - MARGIN - ask.keyHeight(count) - GAP;
  const frame = { left: MARGIN, top: MARGIN + HEAD, right: width - MARGIN, bottom };
  const scale = scaleFor(ask, frame);
  if (scale === null) return null;
  const column = (_: unknown, i: number): Point => [MARGIN + i * (KEY_WIDTH + GAP), bottom + GAP];
  return { width, height, scale, frame, columns: Array.from({ length: count }, column) };
}

/** A page as large as plan and key need. */
function fitted({ size: [wide, deep], units, keyHeight }: Ask): Page {
  const all = SCALES[units];
  const scale = all.find((one) => millimetres(Math.max(wide, deep), one) <= USUAL) ?? (all.at(-1) as number);
  const top = MARGIN + HEAD;
  const right = MARGIN + Math.max(millimetres(wide, scale) + 2 * AROUND, 80);
  const bottom = top + Math.max(millimetres(deep, scale) + 2 * AROUND, keyHeight(1));
  const [width, height] = [right + GAP + KEY_WIDTH + MARGIN, bottom + MARGIN];
  return { width, height, scale, frame: { left: MARGIN, top, right, bottom }, columns: [[right + GAP, top]] };
}

/** On the page: millimetres from its top left corner, y downward. */
export type Point = readonly [number, number];
export type Box = Readonly<Record<'left' | 'top' | 'right' | 'bottom', number>>;

export function boxAt([x, y]: Point, width: number, height: number): Box {
  return { left: x - width / 2, top: y - height / 2, right: x + width / 2, bottom: y + height / 2 };
}

export function boxAround(points: readonly Point[]): Box {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) };
}

/** Corners of a box centred on a point. */
export function rectangle(at: Point, width: number, height: number): [Point, Point, Point, Point] {
  const corner = (right: number, down: number): Point => [
    at[0] + (right * width) / 2,
    at[1] + (down * height) / 2,
  ];
  return [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)];
}

/** Whether two boxes are closer than `air`. */
export const overlap = (a: Box, b: Box, air = 0): boolean =>
  a.left < b.right + air && b.left < a.right + air && a.top < b.bottom + air && b.top < a.bottom + air;

export const within = ({ left, top, right, bottom }: Box, outer: Box): boolean =>
  left >= outer.left && right <= outer.right && top >= outer.top && bottom <= outer.bottom;

/** A point at a distance from another, in radians clockwise from the right. */
export const away = ([x, y]: Point, angle: number, by: number): Point => [
  x + Math.cos(angle) * by,
  y + Math.sin(angle) * by,
];

/** The point at a fraction of the line from a to b. */
export const between = (a: Point, b: Point, part: number): Point => [
  a[0] + (b[0] - a[0]) * part,
  a[1] + (b[1] - a[1]) * part,
];

/** Page angle of a bearing (0° up, clockwise), radians clockwise from the right. */
export const pageAngle = (bearing: number): number => (bearing - 90) * RADIANS;
