/** Maps of fixed keys as JSON Schema: each key with what it means, what it counts in, and an example. */
import type { About, Bond, Entries } from '../schema-frame.ts';
import { entryOf } from './entry.ts';
import { exampleOfKey } from './example-of.ts';
import { anyOf, type Json } from './json.ts';
import { jsonOf, orNothing, type Whole } from './json-of.ts';
import type { Shelves } from './shelves.ts';
import { quantityWords } from './words.ts';

type Map = Extract<About, { takes: 'map' }>;

/** Over a studio any key may be missing, since the studio may have it. */
export function mapJson({ what, entries, bonds }: Map, whole: Whole, shelves: Shelves): Json {
  const keys = Object.keys(entries);
  const required = whole.laid ? [] : keys.filter((key) => entryOf(entries, key).needed);
  const held = whole.laid ? [] : bonds.flatMap(bondJson);
  return {
    title: what,
    type: 'object',
    properties: Object.fromEntries(keys.map((key) => [key, keyJson(entries, key, whole, shelves)])),
    additionalProperties: false,
    ...(required.length > 0 && { required }),
    ...(held.length > 0 && { allOf: held }),
  };
}

function keyJson(entries: Entries, key: string, whole: Whole, shelves: Shelves): Json {
  const entry = entryOf(entries, key);
  const value = jsonOf(entry.about, whole);
  // a heading with nothing below it yet holds nothing
  const heading = !entry.needed && ['map', 'named'].includes(entry.about.takes);
  const json = heading ? anyOf([value, { type: 'null' }]) : orNothing(value, whole);
  return {
    description: words(entry.about, entry.description),
    ...('$ref' in json ? { allOf: [json] } : json),
    ...(entry.default !== undefined && { default: entry.default }),
    examples: [exampleOfKey(entries, key, shelves)],
  };
}

/** The key's own words, and what the value counts in. */
function words(about: About, description: string): string {
  const quantity = quantityIn(about);
  return quantity ? `${description} (${quantityWords(quantity)})` : description;
}

/** The quantity that a value is, or is made of, in whatever form. */
function quantityIn(about: About): Extract<About, { takes: 'quantity' }> | null {
  if (about.takes === 'quantity') return about;
  if (about.takes === 'bands') return quantityIn(about.item.about);
  const inner =
    about.takes === 'forms'
      ? about.forms
      : about.takes === 'list'
        ? about.items.slice(0, 1)
        : about.takes === 'named'
          ? [about.item]
          : [];
  return inner.map((each) => quantityIn(each.about)).find((found) => found !== null) ?? null;
}

function bondJson({ among, least, most, when }: Bond): Json[] {
  const each = among.map((key) => ({ required: [key] }));
  const some: Json[] = least
    ? [most ? { oneOf: each } : each.length === 1 ? (each[0] ?? {}) : { anyOf: each }]
    : [];
  const pairs = most && !least ? pairsOf(among).map((required) => ({ not: { required } })) : [];
  const all = [...some, ...pairs];
  return when ? all.map((then) => ({ if: { required: [when] }, then })) : all;
}

const pairsOf = (keys: readonly string[]): string[][] =>
  keys.flatMap((first, i) => keys.slice(i + 1).map((second) => [first, second]));
