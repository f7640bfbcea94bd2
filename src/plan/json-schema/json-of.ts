/** What a schema takes, as JSON Schema (draft 7). Texts by pattern, names and maps are looked up among the definitions. */
import type { About, Described } from '../schema-frame.ts';
import { EXAMPLES } from '../units.ts';
import { BAND_PATTERN, levelPattern, quantityPattern } from './text-patterns.ts';

export type Json = { readonly [key: string]: unknown };

/** What stands once and is pointed at: the answer points at it. */
export type Define = (name: string, make: () => Json) => Json;

/** Where a value stands: `map` and `names` tell what there is only in the whole. */
export type Whole = {
  readonly define: Define;
  readonly map: (about: Extract<About, { takes: 'map' }>) => Json;
  readonly shelf: (about: Extract<About, { takes: 'name' | 'text' }>) => Json;
  readonly keys: (keys: Extract<About, { takes: 'named' }>['keys']) => Json;
  /** True where a plan lies over a studio, so that any value of a map may be taken out. */
  readonly laid: boolean;
};

export function jsonOf(about: About, whole: Whole): Json {
  switch (about.takes) {
    case 'quantity':
      return quantityJson(about, whole.define);
    case 'level':
      return levelJson(about, whole.define);
    case 'flag':
      return { type: 'boolean' };
    case 'choice':
      return { enum: about.choices.flatMap(numberAsWell) };
    case 'name':
    case 'text':
      return whole.shelf(about);
    case 'list':
      return listJson(about, whole);
    case 'forms':
      return anyOf(about.forms.map((form: Described) => jsonOf(form.about, whole)));
    case 'bands':
      return bandsJson(about, whole);
    case 'named':
      return namedJson(about, whole);
    case 'map':
      return whole.map(about);
  }
}

/** One of several, each once, those of its own kind taken in. */
export function anyOf(all: readonly Json[]): Json {
  const flat = all.flatMap((each) =>
    Object.keys(each).join() === 'anyOf' ? (each.anyOf as Json[]) : [each],
  );
  const once = [...new Map(flat.map((each) => [JSON.stringify(each), each])).values()];
  return once.length === 1 && once[0] ? once[0] : { anyOf: once };
}

/** A word such as 1 is a number to YAML. */
const numberAsWell = (word: string): (string | number)[] =>
  word !== '' && String(Number(word)) === word ? [Number(word), word] : [word];

/** Bare lengths may count in feet: what is too much in metres is not in feet. */
const LARGEST_BARE = 1 / 0.3048;

function quantityJson(about: Extract<About, { takes: 'quantity' }>, define: Define): Json {
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

function levelJson({ weighting, distance }: Extract<About, { takes: 'level' }>, define: Define): Json {
  const text = define(`level-${weighting}${distance ? '-at-distance' : ''}`, () => ({
    type: 'string',
    pattern: levelPattern(weighting, distance),
    patternErrorMessage: `write it such as ${distance ? '88 dB, 88 dBA or 88 dBA at 1 m' : '85 or 85 dBA'}`,
  }));
  return anyOf([text, { type: 'number', minimum: 0, maximum: 160 }]);
}

const MANY = 100_000;

function listJson({ items: [item], least, most }: Extract<About, { takes: 'list' }>, whole: Whole): Json {
  return {
    type: 'array',
    ...(item && { items: jsonOf(item.about, whole) }),
    ...(least > 0 && { minItems: least }),
    ...(most < MANY && { maxItems: most }),
  };
}

/** One value for all bands, or a map of them; a table has no single value. */
function bandsJson(about: Extract<About, { takes: 'bands' }>, whole: Whole): Json {
  const { item, beside, needed } = about;
  const value = jsonOf(item.about, whole);
  const map = {
    type: 'object',
    properties: Object.fromEntries(
      Object.entries(beside).map(([key, each]) => [key, orNothing(jsonOf(each.about, whole), whole)]),
    ),
    patternProperties: { [BAND_PATTERN]: orNothing(value, whole) },
    additionalProperties: false,
    minProperties: needed && !whole.laid ? 2 : 1,
    ...(needed && !whole.laid && { required: [needed] }),
  };
  return needed ? map : anyOf([value, map]);
}

function namedJson({ item, removable, keys }: Extract<About, { takes: 'named' }>, whole: Whole): Json {
  const value = jsonOf(item.about, whole);
  return {
    type: 'object',
    propertyNames: whole.keys(keys),
    additionalProperties: removable ? anyOf([value, { type: 'null' }]) : orNothing(value, whole),
  };
}

export const orNothing = (json: Json, { laid }: { readonly laid: boolean }): Json =>
  laid ? anyOf([json, { type: 'null' }]) : json;
