/** Text to a number in SI: the door at which units end. */
import { type Scalar, shown } from './tree.ts';
import { BASE, type Dimension, EXAMPLES, FOOT, INCH, UNITS } from './units.ts';

export type Bounds = { readonly min: number; readonly max: number };
export type Reading =
  | { readonly ok: true; readonly value: number }
  | {
      readonly ok: false;
      readonly code: 'BAD_QUANTITY' | 'BAD_RANGE';
      readonly message: string;
      readonly mend: string;
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
  if (!Number.isFinite(value)) {
    return {
      ok: false,
      code: 'BAD_QUANTITY',
      message: `must be a finite number, got ${shown(scalar.text)}`,
      mend: `write ${EXAMPLES[dimension]}`,
    };
  }
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
    Object.values(UNITS).some((units) => units.has(parts.unit))
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
  const factor = parts && UNITS[dimension].get(parts.unit);
  if (parts && factor) return parts.number * factor;
  return scalar.foreign?.dimension === dimension ? scalar.foreign.value : null;
}

const bareIn = (scalar: Scalar, dimension: Dimension): number =>
  dimension === 'length' && scalar.units === 'ft' ? FOOT : 1;

function plainMarks(text: string): string {
  return text.trim().replace(/[−–]/g, '-').replace(/[′’]/g, "'").replace(/[″”]/g, '"').replace(/''/g, '"');
}

function unreadable(scalar: Scalar, dimension: Dimension): Reading {
  const fail = (message: string, mend: string): Reading => ({
    ok: false,
    code: 'BAD_QUANTITY',
    message,
    mend,
  });
  if (scalar.text.trim() === '') return fail('is empty', `write ${EXAMPLES[dimension]}`);
  const comma = COMMA_DECIMAL.exec(plainMarks(scalar.text));
  if (comma) {
    return fail(
      `${shown(scalar.text)} is no number: decimals take a point`,
      `write ${comma[1]}.${comma[2]}${comma[3]}`,
    );
  }
  const unit = numberAndUnit(scalar.text)?.unit;
  const kind = NAMES[dimension];
  if (unit)
    return fail(
      `${shown(scalar.text)} is not ${kind}: the unit ${unit} does not fit`,
      `write ${EXAMPLES[dimension]}`,
    );
  return fail(`must be ${kind}, got ${shown(scalar.text)}`, `write ${EXAMPLES[dimension]}`);
}

const NAMES: Readonly<Record<Dimension, string>> = {
  length: 'a length',
  area: 'an area',
  'surface-mass': 'a mass per area',
  frequency: 'a frequency',
  angle: 'an angle',
  temperature: 'a temperature',
  time: 'a time',
  ratio: 'a number',
  percent: 'a percentage',
  decibel: 'a figure in dB',
  count: 'a number',
};

function outside(scalar: Scalar, dimension: Dimension, { min, max }: Bounds): Reading {
  const feet = dimension === 'length' && scalar.units === 'ft';
  const unit = feet ? 'ft' : BASE[dimension];
  const inUnit = (value: number) => String(Number((feet ? value / FOOT : value).toPrecision(3)));
  const span = `${inUnit(min)} to ${inUnit(max)}${unit && ` ${unit}`}`;
  return {
    ok: false,
    code: 'BAD_RANGE',
    message: `must be ${span}, got ${shown(scalar.text)}`,
    mend: `write a value from ${span}`,
  };
}
