/** Quantities read and shown: dimensions with their common units, any other unit by a library, lengths said in m or ft. */
import type { Fault, Foreign, LengthUnit, Node, Scalar } from './document.ts';
import { scalarsOf, shown } from './document.ts';

/** Exact by definition: 1 ft = 0.3048 m and 1 in = 25.4 mm (international yard and pound agreement, 1959). */
export const FOOT = 0.3048;
export const INCH = 0.0254;
/** 1 lb = 0.45359237 kg, exact (1959). */
const POUND = 0.45359237;

/**
 * What a value may be a quantity of: its name in messages; `base`, the unit of results and of a bare number unless the file
 * sets one; how it may be written, in messages and, each way by itself, in the schema; and the SI value of 1 of each common unit
 * (°C, degrees, dB as they are).
 */
export const DIMENSIONS = {
  length: {
    name: 'a length',
    base: 'm',
    example: '2.5, 250 cm, 6 ft or 5 ft 3 in',
    written: ['30 cm', '6 ft', 2.5, '10 cm'],
    units: units(
      { m: 1, metre: 1, metres: 1, meter: 1, meters: 1, cm: 0.01, mm: 0.001 },
      { ft: FOOT, foot: FOOT, feet: FOOT, "'": FOOT, in: INCH, inch: INCH, inches: INCH, '"': INCH },
    ),
  },
  area: {
    name: 'an area',
    base: 'm²',
    example: '6, 6 m2 or 64 ft2',
    written: ['6 m2'],
    units: units(
      { m2: 1, 'm²': 1, cm2: 1e-4, 'cm²': 1e-4 },
      { ft2: FOOT * FOOT, 'ft²': FOOT * FOOT, sqft: FOOT * FOOT },
    ),
  },
  'surface-mass': {
    name: 'a mass per area',
    base: 'kg/m²',
    example: '12 or 12 kg/m2',
    written: ['12 kg/m2'],
    units: units({ 'kg/m2': 1, 'kg/m²': 1, 'lb/ft2': POUND / FOOT ** 2, 'lb/ft²': POUND / FOOT ** 2 }),
  },
  frequency: {
    name: 'a frequency',
    base: 'Hz',
    example: '100, 100 Hz or 1.2 kHz',
    written: ['100 Hz'],
    units: units({ Hz: 1, hz: 1, HZ: 1, kHz: 1000, khz: 1000, KHz: 1000, k: 1000 }),
  },
  angle: {
    name: 'an angle',
    base: '°',
    example: '30 or 30 deg',
    written: [30],
    units: units({ deg: 1, '°': 1, degree: 1, degrees: 1 }),
  },
  temperature: {
    name: 'a temperature',
    base: '°C',
    example: '20 or 68 °F',
    written: ['20 °C'],
    units: units({ C: 1, '°C': 1, degC: 1 }),
  },
  time: {
    name: 'a time',
    base: 's',
    example: '0.4 s or 3 h',
    written: ['0.6 s', '3 h'],
    units: units({ s: 1, sec: 1, ms: 0.001, min: 60, h: 3600, hour: 3600, hours: 3600 }),
  },
  ratio: {
    name: 'a number',
    base: '',
    example: '0.2 or 20 %',
    written: [0.2],
    units: units({ '%': 0.01 }),
  },
  percent: {
    name: 'a percentage',
    base: '%',
    example: '50 or 50 %',
    written: ['50 %'],
    units: units({ '%': 1 }),
  },
  decibel: {
    name: 'a value in dB',
    base: 'dB',
    example: '20 or 20 dB',
    written: ['12 dB', '3 dB', '-25 dB'],
    units: units({ dB: 1, db: 1, DB: 1 }),
  },
  count: { name: 'a number', base: '', example: '3', written: [4], units: units() },
} as const satisfies Readonly<Record<string, DimensionEntry>>;

type DimensionEntry = {
  readonly name: string;
  readonly base: string;
  readonly example: string;
  readonly written: readonly (number | string)[];
  readonly units: ReadonlyMap<string, number>;
};

export type Dimension = keyof typeof DIMENSIONS;

function units(...tables: readonly Readonly<Record<string, number>>[]): ReadonlyMap<string, number> {
  return new Map(tables.flatMap((table) => Object.entries(table)));
}

type Bounds = { readonly min: number; readonly max: number };
type Reading = { readonly ok: true; readonly value: number } | ({ readonly ok: false } & Omit<Fault, 'path'>);

const refused = (code: Fault['code'], message: string, fix: string): Reading => {
  return { ok: false, code, message, fix };
};

const NUMBER = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`;
const UNIT = String.raw`[\p{L}°'"²%][\p{L}\d°'"²%^/]*`;
const SPLIT = new RegExp(String.raw`^(${NUMBER})\s*(${UNIT})?$`, 'u');
const FEET_AND_INCHES =
  /^([+-]?)(\d+(?:\.\d+)?)\s*(?:'|ft|feet|foot)\s*(\d+(?:\.\d+)?)\s*(?:"|in|inch|inches)?$/;

const COMMA_DECIMAL = /^([+-]?\d+),(\d+)(\D*)$/;

/** The number a scalar stands for, within bounds. `bareFactor` is what one of a bare number is in SI. */
export function readQuantity(
  scalar: Scalar,
  dimension: Dimension,
  bounds: Bounds,
  bareFactor = bareIn(scalar, dimension),
): Reading {
  const value = inSi(scalar, dimension, bareFactor);
  if (value === null) return unreadable(scalar, dimension);
  const such = `write ${DIMENSIONS[dimension].example}`;
  if (!Number.isFinite(value))
    return refused('BAD_VALUE', `must be a finite number, got ${shown(scalar.text)}`, such);
  if (value < bounds.min || value > bounds.max) return outside(scalar, dimension, bounds);
  return { ok: true, value };
}

/** A number and its unit ('' for none), marks and signs of the page brought to plain ones; null where it is neither. */
export function numberAndUnit(text: string): { number: number; unit: string } | null {
  const [whole, digits = '', unit = ''] = SPLIT.exec(plainMarks(text)) ?? [];
  return whole === undefined ? null : { number: Number(digits), unit };
}

/** True for what the format reads as a number or as a quantity in a common unit. */
export function readsAsQuantity(text: string): boolean {
  const marked = plainMarks(text);
  if (FEET_AND_INCHES.test(marked) || COMMA_DECIMAL.test(marked) || /^0[xo][\da-f]+$/i.test(marked))
    return true;
  if (/^[+-]?\.(?:inf|nan)$/i.test(marked)) return true;
  const parts = numberAndUnit(text);
  if (!parts) return false;
  return (
    parts.unit === '' ||
    /^dB[ACZ]?$/i.test(parts.unit) ||
    Object.values(DIMENSIONS).some(({ units }) => units.has(parts.unit))
  );
}

function inSi(scalar: Scalar, dimension: Dimension, bareFactor: number): number | null {
  if (typeof scalar.value === 'number') return scalar.value * bareFactor;
  if (typeof scalar.value !== 'string') return null;
  const compound = dimension === 'length' ? FEET_AND_INCHES.exec(plainMarks(scalar.text)) : null;
  if (compound) {
    const [, sign, feet, inches] = compound;
    return (sign === '-' ? -1 : 1) * (Number(feet) * FOOT + Number(inches) * INCH);
  }
  const parts = numberAndUnit(scalar.text);
  if (parts?.unit === '') return parts.number * bareFactor;
  const factor = parts && DIMENSIONS[dimension].units.get(parts.unit);
  if (parts && factor) return parts.number * factor;
  return scalar.foreign?.dimension === dimension ? scalar.foreign.value : null;
}

const bareIn = (scalar: Scalar, dimension: Dimension): number =>
  dimension === 'length' && scalar.units === 'ft' ? FOOT : 1;

function plainMarks(text: string): string {
  return text.trim().replace(/[−–]/g, '-').replace(/[′’]/g, "'").replace(/[″”]/g, '"').replace(/''/g, '"');
}

function unreadable(scalar: Scalar, dimension: Dimension): Reading {
  const { name: kind, example } = DIMENSIONS[dimension];
  const fail = (message: string, fix = `write ${example}`) => refused('BAD_VALUE', message, fix);
  if (scalar.text.trim() === '') return fail('is empty');
  const comma = COMMA_DECIMAL.exec(plainMarks(scalar.text));
  const text = shown(scalar.text);
  if (comma) return fail(`is ${text}, which is not a number`, `write ${comma[1]}.${comma[2]}${comma[3]}`);
  const unit = numberAndUnit(scalar.text)?.unit;
  return fail(unit ? `is ${text}, which is not ${kind}` : `must be ${kind}, got ${text}`);
}

function outside(scalar: Scalar, dimension: Dimension, { min, max }: Bounds): Reading {
  const feet = dimension === 'length' && scalar.units === 'ft';
  const unit = feet ? 'ft' : DIMENSIONS[dimension].base;
  const inUnit = (value: number) => String(Number((feet ? value / FOOT : value).toPrecision(3)));
  const span = `${inUnit(min)} to ${inUnit(max)}${unit && ` ${unit}`}`;
  return refused('OUT_OF_RANGE', `must be ${span}, got ${shown(scalar.text)}`, `write a value from ${span}`);
}

// Quantities in uncommon units, read by a library that is loaded only where a plan has one.
const BASES = {
  length: 'm',
  area: 'm^2',
  'surface-mass': 'kg/m^2',
  frequency: 'Hz',
  angle: 'deg',
  temperature: 'degC',
  time: 's',
};
const LONGEST = 40;

/** Gives every scalar of a tree that is a quantity in an uncommon unit its value in SI. */
export async function readUncommon(tree: Node): Promise<void> {
  for (const scalar of scalarsOf(tree)) {
    if (typeof scalar.value !== 'string' || !mayBeUncommon(scalar.text)) continue;
    scalar.foreign = await uncommon(scalar.text);
  }
}

/** A quantity in any unit, in SI (°C for temperatures, degrees for angles); null where it is none. */
export async function uncommon(text: string): Promise<Foreign | null> {
  const parts = numberAndUnit(text);
  if (!parts) return null;
  const { unit } = await import('mathjs');
  try {
    const quantity = unit(parts.number, spelling(parts.unit));
    for (const [dimension, base] of Object.entries(BASES)) {
      if (quantity.equalBase(unit(base))) return { dimension, value: quantity.toNumber(base) };
    }
  } catch {
    // the library throws on a unit it does not know, and the schema then says so of the value
  }
  return null;
}

const mayBeUncommon = (text: string): boolean =>
  text.length <= LONGEST && (numberAndUnit(text)?.unit ?? '') !== '' && !readsAsQuantity(text);

const spelling = (unit: string): string =>
  unit
    .replace(/^°(?=[CFK]$)/, 'deg')
    .replace(/^[F]$/, 'degF')
    .replace('²', '^2');

type Say = (amount: number) => string;
type Ends = { readonly from: number; readonly to: number };

/** All take metres, square metres and cubic metres. */
export type Lengths = {
  readonly units: LengthUnit;
  /** As a tape shows it, to 1 cm or half an inch: "120 cm", "3 ft 11½ in". */
  readonly tape: Say;
  /** Of a thing, as one would write it: "1.2 m", "3 ft 11½ in". */
  readonly size: Say;
  /** Between two things: "1.20 m", "3 ft 11 in"; under a foot to half an inch. */
  readonly apart: Say;
  /** The same in a column of them: "4.17 m"; "13.7 ft", under 3 ft "8 in". */
  readonly away: Say;
  /** A short distance, as a plan may hold it: "15 cm", "6.5 in". */
  readonly close: Say;
  /** "6 m²", "64.6 sq ft". */
  readonly area: Say;
  /** "81" and "m³", "2860" and "cu ft". */
  readonly volume: (cubic: number) => readonly [figure: string, unit: string];
  /** A way of sound, along which nobody lays a tape: "4.13 m", "13.5 ft", or "3.9–5.2 m" between two ends. `digits` are those of metres. */
  readonly way: (way: number | Ends, digits: number) => string;
  /** A point of the page in bare numbers, as the plan has it: "(3, 2.5)". */
  readonly spot: (at: readonly number[]) => string;
};

export const lengthsIn = (units: LengthUnit): Lengths => (units === 'ft' ? FEET : METRES);
const rounded = (value: number, digits: number): number => Number(value.toFixed(digits)) + 0;
const centimetres: Say = (metres) => `${Math.round(metres * 100) + 0} cm`;
const twoDecimals: Say = (metres) => `${metres.toFixed(2)} m`;

export const METRES: Lengths = {
  units: 'm',
  tape: centimetres,
  size: (metres) => `${rounded(metres, 3)} m`,
  apart: twoDecimals,
  away: twoDecimals,
  close: centimetres,
  area: (square) => `${rounded(square, 2)} m²`,
  volume: (cubic) => [cubic.toFixed(0), 'm³'],
  way: (way, digits) => `${fromTo(way, 1, digits)} m`,
  spot: (at) => `(${at.map((metres) => rounded(metres, 2)).join(', ')})`,
};

const inches: Say = (metres) => `${Math.round((metres / INCH) * 2) / 2} in`;

/** Parts of an inch that are shown. */
const [WHOLE, HALVES] = [1, 2] as const;
const INCHES = 12;
const SHORT = 3 * FOOT;
const farEnd = (way: number | Ends): number => (typeof way === 'number' ? way : way.to);

const FEET: Lengths = {
  units: 'ft',
  tape: (metres) => feetAndInches(metres, HALVES),
  size: (metres) => feetAndInches(metres, HALVES),
  apart: (metres) => feetAndInches(metres, Math.abs(metres) < FOOT ? HALVES : WHOLE),
  away: (metres) => (metres < SHORT ? inches(metres) : `${(metres / FOOT).toFixed(1)} ft`),
  close: inches,
  area: (square) => `${rounded(square / FOOT ** 2, 1)} sq ft`,
  volume: (cubic) => [(cubic / FOOT ** 3).toFixed(0), 'cu ft'],
  // a tenth of a foot is 3 cm, which is little enough unless the way is short
  way: (way, digits) => `${fromTo(way, FOOT, farEnd(way) < SHORT ? digits : digits - 1)} ft`,
  spot: (at) => `(${at.map((metres) => rounded(metres / FOOT, 2)).join(', ')})`,
};

function feetAndInches(metres: number, parts: typeof WHOLE | typeof HALVES): string {
  const count = Math.round((Math.abs(metres) / INCH) * parts);
  const sign = metres < 0 && count > 0 ? 'minus ' : '';
  const feet = Math.floor(count / parts / INCHES);
  const inches = inchesName(count / parts - feet * INCHES);
  return sign + (feet > 0 ? `${feet} ft ${inches}` : inches);
}

function inchesName(inches: number): string {
  const whole = Math.floor(inches);
  if (inches === whole) return `${whole} in`;
  return whole > 0 ? `${whole}½ in` : '½ in';
}

/** Never "-0.00": what a way is longer by may compute a hair below nothing. */
function fromTo(way: number | Ends, unit: number, digits: number): string {
  const ends = typeof way === 'number' ? [way] : [way.from, way.to];
  const told = ends.map((end) => Math.max(0, end / unit).toFixed(digits));
  return [...new Set(told)].join('–');
}
