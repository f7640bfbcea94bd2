/** Quantities and levels as JSON Schema: a bare number within bounds, or a text by pattern. */
import type { About } from '../schema-frame.ts';
import { EXAMPLES, FOOT } from '../units.ts';
import { anyOf, type Define, type Json } from './json.ts';
import { levelPattern, quantityPattern } from './text-patterns.ts';

/** Bare lengths may count in feet: what is too much in metres is not in feet. */
const LARGEST_BARE = 1 / FOOT;

export function quantityJson(about: Extract<About, { takes: 'quantity' }>, define: Define): Json {
  const { dimension, min, max, bareFactor, step } = about;
  const text = define(bareFactor === null ? `${dimension}-with-unit` : dimension, () => ({
    type: 'string',
    pattern: quantityPattern(dimension, bareFactor === null),
    patternErrorMessage: `write it such as ${EXAMPLES[dimension]}`,
  }));
  if (bareFactor === null) return text;
  const feet = dimension === 'length' ? LARGEST_BARE : 1;
  const bare = bareFactor ?? 1;
  const span = {
    minimum: min < 0 ? (min * feet) / bare : min / bare,
    maximum: (max * feet) / bare,
  };
  const number =
    step === 1
      ? { type: 'integer', ...span }
      : { type: 'number', ...span, ...(step && { multipleOf: step }) };
  return anyOf([text, number]);
}

export function levelJson({ weighting, distance }: Extract<About, { takes: 'level' }>, define: Define): Json {
  const text = define(`level-${weighting}${distance ? '-at-distance' : ''}`, () => ({
    type: 'string',
    pattern: levelPattern(weighting, distance),
    patternErrorMessage: `write it such as ${distance ? '88 dB, 88 dBA or 88 dBA at 1 m' : '85 or 85 dBA'}`,
  }));
  return anyOf([text, { type: 'number', minimum: 0, maximum: 160 }]);
}
