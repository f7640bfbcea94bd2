/** Values that the schema itself describes: every key of the format can come up, with figures at and between its bounds. */
import type { Key, Keys, Shape, ShapeOf } from '../../src/plan/schema.ts';
import type { Dice } from './dice.ts';
import { HOSTILE_NAMES } from './hostile.ts';
import { type Given, nameIn, wordFor } from './words.ts';

export type Ground = { readonly dice: Dice; readonly given: Given };

const BANDS = [63, 125, 250, 500, 1000, 2000, 4000, 8000];

/** `key` is the nearest key above, by which words are chosen. */
export function valueFor(shape: Shape, key: string, ground: Ground): unknown {
  const { dice, given } = ground;
  const word = () => (dice.chance(0.01) ? dice.pick(HOSTILE_NAMES) : wordFor(key, dice, given));
  switch (shape.kind) {
    case 'object':
      return mapOf(shape.keys, ground);
    case 'record':
      return namedOf(shape, key, ground);
    case 'list':
      return listOf(shape, key, ground);
    case 'union':
      return valueFor(dice.pick(shape.forms).shape, key, ground);
    case 'choice':
      return dice.pick(shape.choices);
    case 'quantity':
      return quantityOf(shape, dice);
    case 'bands':
      return bandsOf(shape, key, ground);
    case 'flag':
      return dice.chance(0.5);
    default:
      return word();
  }
}

/** Keys that must be there, and a few of the others. */
function mapOf(keys: Keys, ground: Ground): Record<string, unknown> {
  const { dice } = ground;
  const share = dice.pick([0.05, 0.2, 0.5]);
  const taken = Object.entries<Key>(keys).filter(
    ([, { presence }]) => presence === 'required' || dice.chance(share),
  );
  return Object.fromEntries(taken.map(([name, key]) => [name, keyValue(name, key, ground)]));
}

export const keyValue = (name: string, { reader }: Key, ground: Ground): unknown =>
  valueFor(reader.shape, name, ground);

function namedOf(shape: ShapeOf<'record'>, key: string, ground: Ground): unknown {
  const { dice, given } = ground;
  const names = Array.from({ length: dice.whole(0, 3) }, () =>
    dice.chance(0.02) ? dice.pick(HOSTILE_NAMES) : nameIn(key, dice, given),
  );
  return Object.fromEntries(
    names.map((name) => [
      name,
      shape.removable && dice.chance(0.2) ? null : valueFor(shape.item.shape, key, ground),
    ]),
  );
}

function listOf({ items, least, most }: ShapeOf<'list'>, key: string, ground: Ground): unknown {
  const length = ground.dice.whole(least, Math.min(most, least + 3));
  return Array.from({ length }, (_, i) => {
    const item = items[i] ?? items[0];
    return item ? valueFor(item.shape, key, ground) : null;
  });
}

function bandsOf({ item, beside }: ShapeOf<'bands'>, key: string, ground: Ground): unknown {
  const { dice } = ground;
  if ('angle_deg' in beside) return tableOf(dice);
  if (dice.chance(0.4)) return valueFor(item.shape, key, ground);
  const bands = BANDS.filter(() => dice.chance(0.4));
  const written = bands.length > 0 ? bands : [1000];
  const others = Object.entries(beside).filter(() => dice.chance(0.3));
  return Object.fromEntries([
    ...written.map((band) => [band, valueFor(item.shape, key, ground)]),
    ...others.map(([name, { shape }]) => [name, valueFor(shape, name, ground)]),
  ]);
}

function tableOf(dice: Dice): unknown {
  const angles = [0, ...[30, 60, 90, 120, 150].filter(() => dice.chance(0.5)), 180];
  const column = () => angles.map(() => dice.pick([0, -3, -20, -100, 20]));
  return { angle_deg: angles, 1000: column(), ...(dice.chance(0.5) && { 250: column() }) };
}

function quantityOf({ min, max, dimension }: ShapeOf<'quantity'>, dice: Dice): unknown {
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
