/** Lengths, areas and volumes as people read them, in a plan's own units. */
import type { LengthUnit } from './tree.ts';
import { FOOT, INCH } from './units.ts';

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

/** Parts of an inch that are told. */
const [WHOLE, HALVES] = [1, 2] as const;
const SHORT = 3 * FOOT;
const INCHES = 12;

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

const farEnd = (way: number | Ends): number => (typeof way === 'number' ? way : way.to);

/** Never "-0.00": what a way is longer by may compute a hair below nothing. */
function fromTo(way: number | Ends, unit: number, digits: number): string {
  const ends = typeof way === 'number' ? [way] : [way.from, way.to];
  const told = ends.map((end) => Math.max(0, end / unit).toFixed(digits));
  return [...new Set(told)].join('–');
}
