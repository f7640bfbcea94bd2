/** Values that several sections of a plan share: points and directions, levels, tables by angle, materials, patterns and pairs. */
import type { Weighting } from '../acoustics/bands.ts';
import type { Scalar } from './document.ts';
import * as s from './schema.ts';
import { numberAndUnit, readsAsQuantity } from './units.ts';

export const height = s.quantity('length', [0.1, 100]);
export const size = s.quantity('length', [0.01, 1000]);
const coordinate = s.quantity('length', [-1000, 1000]);
/** [x, y]. */
export const point = s.pairOf(coordinate, '[x, y]');
export type Point = s.Out<typeof point>;

/** Corners or points along a line. */
export const points = (...all: readonly Point[]): readonly Point[] => all;

/** [x, y] or [x, y, z]; z counts from the floor of its room. */
export const place = s.transform(
  s.tuple(coordinate, '[x, y] or [x, y, z]', [2, 3]),
  ([x, y, z]): Place => (z === undefined ? { x, y } : { x, y, z }),
);

/** A point that may go without a height. */
export type Place = { readonly x: number; readonly y: number; readonly z?: number };

/** Degrees, brought to 0 … below 360. */
export const bearing: s.Reader<number> = s.transform(
  s.quantity('angle', [-720, 720]),
  (value) => ((value % 360) + 360) % 360,
);

export const tilt: s.Reader<number> = s.quantity('angle', [-90, 90]);
/** A bearing in degrees (0 up the page, clockwise, 0 to below 360), or the name of what it faces. */
export type Facing = { readonly bearing: number } | { readonly target: string };

/** A bearing, or the name of what is faced. */
export const facing: s.Reader<Facing> = s.reader(
  { kind: 'union', forms: [bearing, s.name] },
  (node, fail) => {
    if (node.kind !== 'scalar' || node.value === null)
      return s.wrongShape(fail, node, 'a bearing in degrees or a name');
    if (isMeantAsAngle(node)) {
      const degrees = bearing.read(node, fail);
      return degrees === undefined ? undefined : { bearing: degrees };
    }
    const target = s.name.read(node, fail);
    return target === undefined ? undefined : { target };
  },
);

/** No name reads as a number or a quantity, so what does is an angle, however badly written. */
const isMeantAsAngle = (node: Scalar): boolean =>
  typeof node.value === 'number' || node.foreign !== null || readsAsQuantity(node.text);

/** What a meter read, dB re 20 µPa, and from how far. */
export type Level = {
  readonly spl: number;
  readonly weighting: Weighting;
  /** Metres; 0 at the ear. */
  readonly at: number;
  /** What was taken because it was not written: dBA for a bare number, 1 m. */
  readonly unsaid?: readonly ('weighting' | 'distance')[];
};

const LEVEL_FORMS = '88 dB, 88 dBA or 88 dBA at 1 m';
const WEIGHTING_OF: Readonly<Record<string, Weighting>> = { db: 'Z', dbz: 'Z', dba: 'A', dbc: 'C' };
const distance = s.quantity('length', [0.01, 100]);

/** As written: bare numbers are dBA, plain dB is unweighted; `at` is undefined where it is not written. */
type WrittenLevel = Pick<Level, 'spl' | 'weighting'> & {
  readonly unit: string;
  readonly at: number | undefined;
};

const writtenLevel: s.Reader<WrittenLevel> = s.reader(
  { kind: 'level', weighting: 'any', distance: true },
  (node, fail) => {
    if (node.kind !== 'scalar' || node.value === null || typeof node.value === 'boolean')
      return s.wrongShape(fail, node, `a level such as ${LEVEL_FORMS}`);
    const [figure = '', far] = node.text.split(/\s+(?:at|@)\s+/);
    const plain = figure.replace(/\(([ACZ])\)$/i, '$1');
    const parts = numberAndUnit(plain);
    const unit = parts?.unit.toLowerCase() ?? '';
    const weighting = unit === '' ? 'A' : WEIGHTING_OF[unit];
    const part = (text: string): Scalar => ({ ...node, text, value: text, foreign: null });
    const digits = parts && weighting ? plain.replace(/\s*dB[ACZ]?$/i, '') : figure;
    const spl = s.decibels([0, 160]).read(part(digits), fail);
    const at = far === undefined ? undefined : distance.read(part(far), fail);
    return spl === undefined || !weighting ? undefined : { spl, weighting, unit, at };
  },
);

const levelInFull: s.Reader<Level> = s.transform(
  s.object('a level', {
    spl: s.required(writtenLevel, 'Gives the sound level, such as 88 dB or 88 dBA.'),
    weighting: s.optional(
      s.choice('Z', 'A', 'C'),
      'Says how the meter was weighted: Z (unweighted), A or C. Default: A.',
    ),
    at: s.optional(distance, 'Gives the distance of the meter. Default: 1 m.'),
  }),
  ({ spl, weighting, at }, fail) => {
    const twice = (key: string) => fail('WRONG_TYPE', 'is given twice', 'remove one of them', [key]);
    if (weighting && spl.unit !== '' && weighting !== spl.weighting) return twice('weighting');
    if (at !== undefined && spl.at !== undefined) return twice('at');
    return levelFrom(spl.spl, weighting ?? (spl.unit === '' ? undefined : spl.weighting), at ?? spl.at);
  },
);

function levelFrom(spl: number, weighting: Weighting | undefined, at: number | undefined): Level {
  const unsaid = [
    ...(weighting === undefined ? (['weighting'] as const) : []),
    ...(at === undefined ? (['distance'] as const) : []),
  ];
  return { spl, weighting: weighting ?? 'A', at: at ?? 1, ...(unsaid.length > 0 && { unsaid }) };
}

/** A level on axis at a distance, 1 m by default. */
export const level = s.union({
  scalar: s.transform(writtenLevel, ({ spl, weighting, unit, at }) =>
    levelFrom(spl, unit === '' ? undefined : weighting, at),
  ),
  map: levelInFull,
});

/** A level where the ear is. */
export const levelAtEar: s.Reader<Level> = s.transform(
  writtenLevel,
  ({ spl, weighting, at }, fail) =>
    at === undefined
      ? { spl, weighting, at: 0 }
      : fail('BAD_VALUE', 'takes no distance', 'write the level without `at`'),
  { kind: 'level', weighting: 'any', distance: false },
);

/** A-weighted, dB. */
export const dBA: s.Reader<number> = s.transform(
  levelAtEar,
  ({ spl, weighting }, fail) =>
    weighting === 'A' ? spl : fail('BAD_VALUE', 'must be A-weighted', `write ${spl} dBA, or ${spl} alone`),
  { kind: 'level', weighting: 'A', distance: false },
);

/** About an axis: dB re on axis at ascending angles from 0 to 180, a column for each band given (nominal hertz). */
export type AngleTable = {
  readonly angles: readonly number[];
  readonly columns: readonly { readonly hertz: number; readonly levels: readonly number[] }[];
};

export const ANGLES_KEY = 'angle_deg';

/** Table files are read, and put in place of their names, before this: a name that is left is none of a file. */
const tableByName = s.reader<AngleTable>({ kind: 'text' }, (node, fail) =>
  s.wrongShape(fail, node, `the name of a file, or a map of ${ANGLES_KEY} and a list for each band`),
);

const angles = s.listOf(s.quantity('angle', [0, 180]), 2);
const tableLevel = s.decibels([-100, 20]);

const risingAngles = s.refine(angles, (written, fail) => {
  const rises = written.every((angle, i) => i === 0 || angle > (written[i - 1] ?? 0));
  if (rises && written[0] === 0 && written.at(-1) === 180) return;
  const fix = 'write angles such as [0, 30, 60, 90, 120, 150, 180]';
  fail('OUT_OF_RANGE', 'must rise from 0 to 180°', fix);
});

/** `angle_deg` from 0 to 180 and a column of dB for each band. */
const tableInFull: s.Reader<AngleTable> = s.reader(
  { kind: 'bands', item: s.listOf(tableLevel, 2), beside: { [ANGLES_KEY]: angles }, needed: ANGLES_KEY },
  (node, fail) => {
    if (node.kind !== 'map')
      return s.wrongShape(fail, node, `a map of ${ANGLES_KEY} and a list for each band`);
    const written = node.entries.get(ANGLES_KEY)?.node;
    if (!written)
      return fail('MISSING_KEY', 'is missing', `add \`${ANGLES_KEY}: [0, 90, 180]\``, [ANGLES_KEY]);
    const rows = s.readBelow(risingAngles, written, ANGLES_KEY, fail);
    const column = s.listOf(tableLevel, rows?.length ?? 0, rows?.length);
    const columns = s.bandsOf(node, [ANGLES_KEY], column, fail);
    if (node.entries.size === 1) s.wrongShape(fail, node, 'a table with a list for at least one band');
    return rows && { angles: rows, columns: columns.map(([hertz, levels]) => ({ hertz, levels })) };
  },
);

export const angleTable = s.union({ scalar: tableByName, map: tableInFull });

/** A word is a name; anything that reads as a number is a value. */
export const nameOr = <T>(
  what: string,
  value: s.Reader<T>,
  named: s.Reader<string> = s.name,
): s.Reader<{ readonly name: string } | T> =>
  s.reader({ kind: 'union', forms: [named, value] }, (node, fail) => {
    if (node.kind !== 'scalar' || typeof node.value === 'boolean') return s.wrongShape(fail, node, what);
    if (typeof node.value === 'number' || readsAsQuantity(node.text)) return value.read(node, fail);
    const written = named.read(node, fail);
    return written === undefined ? undefined : { name: written };
  });

/** A finish of the catalogue, or absorption (0 to 1) by band. */
export type Finish = { readonly name: string } | { readonly absorption: s.ByBand };
const share = s.quantity('ratio', [0, 1]);
const absorption = s.byBand(share);
const finishInFull = s.transform(absorption, (value): Finish => ({ absorption: value }));

/** A finish of the catalogue, or absorption, one number or by band. */
export const finish: s.Reader<Finish> = s.union({
  scalar: nameOr('a finish', finishInFull, s.nameOf('finishes')),
  map: finishInFull,
});

/**
 * A construction of the catalogue, or its sound reduction index in dB by band, or its mass in kg/m² where no more is known;
 * with the absorption of its faces.
 */
export type Construction =
  | { readonly name: string }
  | { readonly mass: number; readonly absorption?: s.ByBand }
  | { readonly reduction: s.ByBand; readonly absorption?: s.ByBand };

const BY_BAND = { 125: 20, 1000: 35 };
const reduction = s.byBand(s.decibels([0, 120]));
/** From a bed sheet to a metre of concrete. */
const mass = s.quantity('surface-mass', [0.05, 3000]);

const constructionInFull: s.Reader<Construction> = s.transform(
  s.object(
    'a construction',
    {
      reduction: s.optional(
        reduction,
        'Gives the sound reduction index in dB, one number or by octave.',
        BY_BAND,
      ),
      mass: s.optional(mass, 'Gives the mass per area, to estimate the reduction by the mass law.'),
      absorption: s.optional(absorption, 'Gives the absorption of both faces, one number or by octave.'),
    },
    { constraints: [{ among: ['reduction', 'mass'], least: 1, most: 1 }] },
  ),
  ({ reduction, mass, ...faces }, fail): Construction | undefined => {
    if (reduction !== undefined && mass === undefined) return { reduction, ...faces };
    if (reduction === undefined && mass !== undefined) return { mass, ...faces };
    const message =
      reduction === undefined ? 'has neither `reduction` nor `mass`' : 'gives both `reduction` and `mass`';
    return fail('WRONG_TYPE', message, 'give `reduction`, or `mass` to estimate it');
  },
);

/** What walls, doors, panes and panels are made of: a name of the catalogue, or values. */
export const construction = (shelf: s.Shelf): s.Reader<Construction> =>
  s.union({
    scalar: s.transform(s.nameOf(shelf), (written) => ({ name: written })),
    map: constructionInFull,
  });

/** A pattern of the catalogue, the A of `A + B·cos θ` by band, or a measured table. */
export type PatternEntry =
  | { readonly name: string }
  | { readonly a: s.ByBand }
  | { readonly table: AngleTable };

/** How a table by angle may be written. */
export const A_TABLE = { [ANGLES_KEY]: [0, 90, 180], 1000: [0, -6, -20] };

export const pattern: s.Reader<PatternEntry> = s.union({
  scalar: nameOr(
    'a pattern',
    s.transform(share, (a) => ({ a })),
    s.nameOf('patterns'),
  ),
  map: s.transform(
    s.object(
      'a pattern',
      {
        A: s.optional(
          s.byBand(share),
          'Gives A of the pattern A + B·cos θ with B = 1 − A, one number or by octave.',
          0.6,
        ),
        table: s.optional(
          angleTable,
          'Gives a measured pattern: angle_deg, and dB re on axis for each octave; or names a CSV file.',
          A_TABLE,
        ),
      },
      s.either('A', 'table', 'write {A: 0.5}, or {table: {angle_deg: [0, 90, 180], 1000: [0, -6, -20]}}'),
    ),
    ({ A, table }): PatternEntry | undefined => (table ? { table } : A === undefined ? undefined : { a: A }),
  ),
});

const depth = s.decibels([0, 100]);

export const nullDepth: s.Reader<number | 'textbook'> = s.transform(
  nameOr('a depth in dB, or textbook', depth),
  (value, fail) => {
    if (typeof value === 'number') return value;
    if (value.name === 'textbook') return 'textbook';
    return fail('WRONG_TYPE', `must be dB or textbook, got ${value.name}`, 'write 25 dB');
  },
  { kind: 'union', forms: [s.choice('textbook'), depth] },
);

export type StereoEntry =
  | { readonly kind: 'xy'; readonly angle: number }
  | { readonly kind: 'ortf' | 'nos' | 'crossed-8' | 'mid-side' }
  /** `line` is the bearing of the line between the two capsules. */
  | { readonly kind: 'spaced'; readonly distance: number; readonly line?: number };

const xyOrSpaced = s.either('xy', 'spaced', 'write {xy: 90} or {spaced: 90 cm}');

const stereoInFull = s.transform(
  s.object(
    'a stereo pair',
    {
      xy: s.optional(
        s.quantity('angle', [20, 180]),
        'Gives the angle between the two mics of a coincident pair.',
        90,
      ),
      spaced: s.optional(
        s.quantity('length', [0.02, 50]),
        'Gives the distance between the two mics of a spaced pair.',
        '90 cm',
      ),
      line: s.optional(
        bearing,
        'Gives the bearing of the line through the two mics. Default: across the aim.',
        90,
      ),
    },
    {
      constraints: [...xyOrSpaced.constraints, { among: ['line', 'xy'], most: 1 }],
      check: (has, fail, map) => {
        xyOrSpaced.check(has, fail, map);
        if (has('line') && has('xy')) fail('WRONG_TYPE', 'needs `spaced`', 'remove it', ['line']);
      },
    },
  ),
  ({ xy, spaced, ...line }): StereoEntry | undefined => {
    if (xy !== undefined) return { kind: 'xy', angle: xy };
    return spaced === undefined ? undefined : { kind: 'spaced', distance: spaced, ...line };
  },
);

export const stereo: s.Reader<StereoEntry> = s.union({
  scalar: s.transform(
    s.choice('ortf', 'nos', 'crossed-8', 'mid-side', 'xy'),
    (kind): StereoEntry => (kind === 'xy' ? { kind, angle: 90 } : { kind }),
  ),
  map: stereoInFull,
});
