/** What a schema takes, as JSON Schema (draft 7). Texts by pattern, names and maps are looked up among the definitions. */
import type { About, Described } from '../schema-frame.ts';
import { anyOf, type Define, type Json } from './json.ts';
import { levelJson, quantityJson } from './quantity-json.ts';
import { BAND_PATTERN } from './text-patterns.ts';

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

/** A word such as 1 is a number to YAML. */
const numberAsWell = (word: string): (string | number)[] =>
  word !== '' && String(Number(word)) === word ? [Number(word), word] : [word];

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
