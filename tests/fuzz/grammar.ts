/** Values that the schema itself describes: every key of the format can come up, with figures at and between its bounds. */
import type * as v from 'valibot';
import type { About, Entries } from '../../src/plan/schema.ts';
import type { Dice } from './dice.ts';
import { HOSTILE_NAMES } from './hostile.ts';
import { type Given, nameIn, wordFor } from './words.ts';

export type Ground = { readonly dice: Dice; readonly given: Given };

const BANDS = [63, 125, 250, 500, 1000, 2000, 4000, 8000];

/** `key` is the nearest key above, by which words are chosen. */
export function valueFor(about: About, key: string, ground: Ground): unknown {
  const { dice, given } = ground;
  const word = () => (dice.chance(0.01) ? dice.pick(HOSTILE_NAMES) : wordFor(key, dice, given));
  switch (about.takes) {
    case 'map':
      return mapOf(about.entries, ground);
    case 'named':
      return namedOf(about, key, ground);
    case 'list':
      return listOf(about, key, ground);
    case 'forms':
      return valueFor(dice.pick(about.forms).about, key, ground);
    case 'choice':
      return dice.pick(about.choices);
    case 'quantity':
      return quantityOf(about, dice);
    case 'bands':
      return bandsOf(about, key, ground);
    case 'flag':
      return dice.chance(0.5);
    default:
      return word();
  }
}

/** Keys that must be there, and a few of the others. */
function mapOf(entries: Entries, ground: Ground): Record<string, unknown> {
  const { dice } = ground;
  const share = dice.pick([0.05, 0.2, 0.5]);
  const taken = Object.entries(entries).filter(([, schema]) => isNeeded(schema) || dice.chance(share));
  return Object.fromEntries(taken.map(([key, schema]) => [key, keyValue(key, schema, ground)]));
}

export const keyValue = (key: string, schema: Entries[string], ground: Ground): unknown => {
  const about = aboutOf(schema);
  return about ? valueFor(about, key, ground) : null;
};

const isNeeded = ({ type }: Entries[string]): boolean => type !== 'optional' && type !== 'exact_optional';

/** What stands behind a key that may be left out. */
export function aboutOf(schema: Entries[string]): About | null {
  const inner = 'wrapped' in schema ? (schema.wrapped as v.GenericSchema) : schema;
  return 'about' in inner ? (inner.about as About) : null;
}

function namedOf(about: Extract<About, { takes: 'named' }>, key: string, ground: Ground): unknown {
  const { dice, given } = ground;
  const names = Array.from({ length: dice.whole(0, 3) }, () =>
    dice.chance(0.02) ? dice.pick(HOSTILE_NAMES) : nameIn(key, dice, given),
  );
  return Object.fromEntries(
    names.map((name) => [
      name,
      about.removable && dice.chance(0.2) ? null : valueFor(about.item.about, key, ground),
    ]),
  );
}

function listOf(
  { items, least, most }: Extract<About, { takes: 'list' }>,
  key: string,
  ground: Ground,
): unknown {
  const length = ground.dice.whole(least, Math.min(most, least + 3));
  return Array.from({ length }, (_, i) => {
    const item = items[i] ?? items[0];
    return item ? valueFor(item.about, key, ground) : null;
  });
}

function bandsOf({ item, beside }: Extract<About, { takes: 'bands' }>, key: string, ground: Ground): unknown {
  const { dice } = ground;
  if ('angle_deg' in beside) return tableOf(dice);
  if (dice.chance(0.4)) return valueFor(item.about, key, ground);
  const bands = BANDS.filter(() => dice.chance(0.4));
  const written = bands.length > 0 ? bands : [1000];
  const others = Object.entries(beside).filter(() => dice.chance(0.3));
  return Object.fromEntries([
    ...written.map((band) => [band, valueFor(item.about, key, ground)]),
    ...others.map(([name, { about }]) => [name, valueFor(about, name, ground)]),
  ]);
}

function tableOf(dice: Dice): unknown {
  const angles = [0, ...[30, 60, 90, 120, 150].filter(() => dice.chance(0.5)), 180];
  const column = () => angles.map(() => dice.pick([0, -3, -20, -100, 20]));
  return { angle_deg: angles, 1000: column(), ...(dice.chance(0.5) && { 250: column() }) };
}

function quantityOf({ min, max, dimension }: Extract<About, { takes: 'quantity' }>, dice: Dice): unknown {
  const value = dice.pick([
    () => dice.between(min, max),
    () => dice.between(Math.max(min, -6), Math.min(max, 6)),
    () => Math.round(dice.between(Math.max(min, 0), Math.min(max, 10))),
    () => dice.pick([min, max]),
    () => dice.pick([min - 1, max + 1, min - 1e-9, max * 1.000001]),
  ])();
  if (dimension === 'count') return dice.chance(0.9) ? Math.round(value) : value;
  if (dimension === 'length' && dice.chance(0.1)) return `${value / 0.3048} ft`;
  return dice.chance(0.9) ? value : String(value);
}
