/** The plan format as one JSON Schema (draft 7), from the same schema that reads plans. */
import { planSchema } from '../schema.ts';
import type { About } from '../schema-frame.ts';
import { anyOf, type Define, type Json } from './json.ts';
import { jsonOf, type Whole } from './json-of.ts';
import { mapJson } from './map-json.ts';
import type { Shelves } from './shelves.ts';
import { NAME_PATTERN, NO_NAME_PATTERN } from './text-patterns.ts';

export function planJsonSchema(shelves: Shelves): Json {
  const definitions: Record<string, Json> = {};
  const define: Define = (name, make) => {
    if (!(name in definitions)) {
      // said before it is made: a map may hold itself
      definitions[name] = {};
      definitions[name] = make();
    }
    return { $ref: `#/definitions/${name}` };
  };
  const alone = wholeOf(define, shelves, false);
  const laid = wholeOf(define, shelves, true);
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    title: 'A plan of spillcheck, format 1',
    description:
      'What a plan may hold. A plan that names a studio may leave out what the studio has, and take out by ~ what it does not want.',
    type: 'object',
    required: ['spillcheck'],
    if: { required: ['studio'] },
    // biome-ignore lint/suspicious/noThenProperty: a keyword of JSON Schema
    then: jsonOf(planSchema.about, laid),
    else: jsonOf(planSchema.about, alone),
    definitions,
  };
}

function wholeOf(define: Define, shelves: Shelves, laid: boolean): Whole {
  const names = new Map<About, string>();
  const taken = new Set<string>();
  const whole: Whole = {
    define,
    laid,
    map: (about) => define(nameOf(about), () => mapJson(about, whole, shelves)),
    shelf: (about) => wordJson(about, define, shelves),
    keys: (keys) => keysJson(keys, define, shelves),
  };
  return whole;

  /** "a room" is the definition `room`; two maps of one name are told apart by number. */
  function nameOf(about: Extract<About, { takes: 'map' }>): string {
    const known = names.get(about);
    if (known) return known;
    const plain = about.what.replace(/^(?:an?|the) /, '').replaceAll(' ', '-') + (laid ? '-over-studio' : '');
    let name = plain;
    for (let i = 2; taken.has(name); i++) name = `${plain}-${i}`;
    taken.add(name);
    names.set(about, name);
    return name;
  }
}

const TEXT: Json = { type: ['string', 'number', 'boolean'] };

/** Names of the catalogue one by one; whatever else is called something, by what no name can be. */
function wordJson(
  { takes, of, words = [] }: Extract<About, { takes: 'name' | 'text' }>,
  define: Define,
  shelves: Shelves,
): Json {
  const said: Json[] = words.length > 0 ? [{ enum: words }] : [];
  if (of) return anyOf([...said, define(`${of}-of-the-catalogue`, () => ({ enum: shelves[of] }))]);
  return anyOf([...said, takes === 'text' ? TEXT : anyName(define)]);
}

const anyName = (define: Define): Json =>
  define('name', () => ({ type: 'string', pattern: '\\S', not: { pattern: NO_NAME_PATTERN } }));

function keysJson(keys: Extract<About, { takes: 'named' }>['keys'], define: Define, shelves: Shelves): Json {
  if (keys === 'elsewhere') return anyName(define);
  if (keys !== 'given') return define(`${keys}-of-the-catalogue`, () => ({ enum: shelves[keys] }));
  return define('given-name', () => ({ pattern: NAME_PATTERN, not: { pattern: NO_NAME_PATTERN } }));
}
