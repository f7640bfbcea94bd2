/** What may be written as text, as regular expressions for editors: quantities, levels, bands and names, as `quantity.ts` and its neighbours read them. */
import { type Dimension, UNITS } from '../units.ts';
import { UNCOMMON } from './uncommon-units.ts';

const SIGN = '[+\\-−–]?';
const DIGITS = '(?:\\d+\\.?\\d*|\\.\\d+)';
const NUMBER = `${SIGN}${DIGITS}(?:[eE]${SIGN}\\d+)?`;
const FOOT_MARK = "['′’]";
const INCH_MARK = `(?:["″”]|${FOOT_MARK}{2})`;
const PLAIN = '\\d+(?:\\.\\d+)?';
const FEET_AND_INCHES = `${SIGN}${PLAIN}\\s*(?:${FOOT_MARK}|ft|feet|foot)\\s*${PLAIN}\\s*(?:${INCH_MARK}|in|inch|inches)?`;

const whole = (pattern: string): string => `^\\s*(?:${pattern})\\s*$`;

/** In either case, letter by letter: a pattern of JSON Schema has no flags. */
const anyCase = (word: string): string =>
  word.replace(/[a-z]/gi, (letter) => `[${letter.toLowerCase()}${letter.toUpperCase()}]`);

const MARKS: Readonly<Record<string, string>> = { "'": FOOT_MARK, '"': INCH_MARK };

const common = (dimension: Dimension): string[] =>
  [...UNITS[dimension].keys()].map((unit) => MARKS[unit] ?? unit);

/** A quantity as text; with `needsUnit` a bare number is none. */
export function quantityPattern(dimension: Dimension, needsUnit = false): string {
  const uncommon = UNCOMMON[dimension];
  const units = [...common(dimension), ...(uncommon ? [uncommon] : [])].join('|');
  const number = units === '' ? NUMBER : `${NUMBER}\\s*(?:${units})${needsUnit ? '' : '?'}`;
  return whole(dimension === 'length' ? `${number}|${FEET_AND_INCHES}` : number);
}

/** A level as a meter reads it. Its distance takes the common units alone. */
export function levelPattern(weighting: 'any' | 'A', distance: boolean): string {
  const letters = weighting === 'A' ? 'aA' : 'aAcCzZ';
  const weighted = `${anyCase('dB')}(?:[${letters}]|\\([${letters}]\\))${weighting === 'A' ? '' : '?'}`;
  const far = `\\s+(?:at|@)\\s+(?:${NUMBER}\\s*(?:${common('length').join('|')})?|${FEET_AND_INCHES})`;
  return whole(`${NUMBER}\\s*(?:${weighted})?${distance ? `(?:${far})?` : ''}`);
}

/** An octave band as a key: 63, 125 Hz, 1k, 0.5 kHz. */
export const BAND_PATTERN = whole(
  `0*(?:63|125|250|500|[1248]000)(?:\\.0+)?\\s*(?:${anyCase('Hz')})?|` +
    `(?:0*[1248](?:\\.0+)?|0+\\.(?:063|125|25|5)0*)\\s*[kK](?:${anyCase('Hz')})?`,
);

const dimensions = Object.keys(UNITS) as Dimension[];

/** What reads as a number or a quantity in a common unit, and is no name therefore. */
export const NO_NAME_PATTERN = whole(
  [
    `${NUMBER}\\s*(?:${anyCase('dB')}[aAcCzZ]?|${dimensions.flatMap(common).join('|')})?`,
    FEET_AND_INCHES,
    `${SIGN}\\d+,\\d+\\D*`,
    '0[xXoO][\\da-fA-F]+',
    `${SIGN}\\.(?:${anyCase('inf')}|${anyCase('nan')})`,
  ].join('|'),
);

const TAKEN = ['all', 'room', 'outside', '~', ...['true', 'false', 'null'].map(anyCase)];
/** Control characters, and those that turn the direction of writing. */
const CONTROL =
  '\\u0000-\\u001f\\u007f-\\u009f\\u2028\\u2029\\u061c\\u200e\\u200f\\u202a-\\u202e\\u2066-\\u2069\\ufeff';

const CHARACTER = `[^.[\\]{}()${CONTROL}]`;

/** A name that a plan gives. */
export const NAME_PATTERN = `^(?!\\s)(?!(?:${TAKEN.join('|')})$)${CHARACTER}{0,99}(?!\\s)${CHARACTER}$`;
