/** Something that each kind of value may be written as, so that an editor has an example of every key. */
import * as v from 'valibot';
import type { About, Described, Entries } from '../schema-frame.ts';
import { FOOT } from '../units.ts';
import { entryOf } from './entry.ts';
import type { Shelves } from './shelves.ts';

type Quantity = Extract<About, { takes: 'quantity' }>;

export function exampleOf(about: About, shelves: Shelves): unknown {
  switch (about.takes) {
    case 'quantity':
      return quantityExample(about);
    case 'level':
      return about.distance ? '88 dBA at 1 m' : about.weighting === 'A' ? '35 dBA' : '85 dBA';
    case 'flag':
      return true;
    case 'choice':
      return about.choices[0];
    case 'name':
      return about.of ? shelves[about.of][0] : 'drums';
    case 'text':
      return about.words?.[0] ?? '7';
    case 'list':
      return listExample(about.items, about.least, shelves);
    case 'forms':
      return about.forms[0] && exampleOf(about.forms[0].about, shelves);
    case 'bands':
      return bandsExample(about, shelves);
    case 'named':
      return { [keyExample(about.keys, shelves)]: exampleOf(about.item.about, shelves) };
    case 'map':
      return mapExample(about.entries, [...about.bonds].flatMap(needed), shelves);
  }
}

const listExample = (items: readonly Described[], least: number, shelves: Shelves): unknown[] =>
  Array.from({ length: Math.max(1, least) }, (_, i) => {
    const item = items[i] ?? items[0];
    return item && exampleOf(item.about, shelves);
  });

function bandsExample({ item, beside, needed: key }: Extract<About, { takes: 'bands' }>, shelves: Shelves) {
  const value = exampleOf(item.about, shelves);
  const first = key && beside[key];
  // a table is filled in by hand: its columns go by its angles
  return first ? { [key]: [0, 90, 180], 1000: [0, -6, -20] } : { 125: value, 1000: value };
}

const keyExample = (keys: Extract<About, { takes: 'named' }>['keys'], shelves: Shelves): string =>
  keys === 'given' ? 'first' : keys === 'elsewhere' ? 'drums' : (shelves[keys][0] ?? '');

const needed = ({ among: [first], least, when }: { among: readonly string[]; least?: 1; when?: string }) =>
  least && !when && first ? [first] : [];

/** What must be there; of a map that needs nothing, its first key. */
function mapExample(entries: Entries, wanted: readonly string[], shelves: Shelves): unknown {
  const must = Object.keys(entries).filter((key) => entryOf(entries, key).needed || wanted.includes(key));
  const keys = must.length > 0 ? must : Object.keys(entries).slice(0, 1);
  return Object.fromEntries(keys.map((key) => [key, exampleOfKey(entries, key, shelves)]));
}

/** The example a key has been given, else one of its kind. */
export function exampleOfKey(entries: Entries, key: string, shelves: Shelves): unknown {
  const { about, schema } = entryOf(entries, key);
  const { example } = v.getMetadata(schema as v.GenericSchema) as { readonly example?: unknown };
  return example ?? exampleOf(about, shelves);
}

/** As one would write it, within bounds. */
function quantityExample({ dimension, min, max, bareFactor, step }: Quantity): unknown {
  const fits = WRITTEN[dimension].filter(([, si]) => si >= min && si <= max);
  if (bareFactor === null) return fits.find(([written]) => typeof written === 'string')?.[0] ?? min;
  const [first] = fits.filter(([, si]) => step === undefined || si % step === 0);
  return first?.[0] ?? (step === undefined ? max : Math.ceil(min / step) * step);
}

type Dimensions = Quantity['dimension'];

const WRITTEN: Readonly<Record<Dimensions, readonly (readonly [written: number | string, si: number])[]>> = {
  length: [
    ['30 cm', 0.3],
    ['6 ft', 6 * FOOT],
    [2.5, 2.5],
    ['10 cm', 0.1],
  ],
  area: [['6 m2', 6]],
  'surface-mass': [['12 kg/m2', 12]],
  frequency: [['100 Hz', 100]],
  angle: [[30, 30]],
  temperature: [['20 °C', 20]],
  time: [
    ['0.6 s', 0.6],
    ['3 h', 10_800],
  ],
  ratio: [[0.2, 0.2]],
  percent: [['50 %', 50]],
  decibel: [
    ['12 dB', 12],
    ['3 dB', 3],
    ['-25 dB', -25],
  ],
  count: [[4, 4]],
};
