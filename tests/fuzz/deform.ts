/** Plans as values, deformed: keys of the schema added, values swapped for others, taken out, moved, pushed to their bounds. */

import { planSchema } from '../../src/plan/plan.ts';
import type { Shape } from '../../src/plan/schema.ts';
import type { Dice } from './dice.ts';
import { type Ground, keyValue } from './grammar.ts';
import { HOSTILE_NAMES, HOSTILE_VALUES } from './hostile.ts';
import { nobody } from './words.ts';

type Holder = Record<string, unknown> | unknown[];

/** In place. */
export function deform(plan: Record<string, unknown>, dice: Dice, times: number): void {
  const ground = { dice, given: givenBy(plan) };
  for (let i = 0; i < times; i++) {
    if (dice.chance(0.5)) grow(plan, planSchema.shape, ground);
    else dice.pick(WAYS)(dice, dice.pick(holdersIn(plan)), plan);
  }
}

function givenBy(plan: Record<string, unknown>) {
  const names = (section: string) => {
    const held = plan[section];
    return typeof held === 'object' && held !== null ? Object.keys(held) : [];
  };
  const given = { ...nobody(), rooms: names('rooms'), players: names('players'), sources: names('sources') };
  return { ...given, parts: [...given.players], mics: names('mics'), baffles: names('baffles') };
}

/** A key that the schema has and the plan has not, somewhere on a way down. */
function grow(value: unknown, shape: Shape, ground: Ground): void {
  const { dice } = ground;
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return;
  const map = value as Record<string, unknown>;
  if (shape.kind === 'record') {
    const name = dice.pick(Object.keys(map));
    if (name !== undefined) grow(map[name], shape.item.shape, ground);
  } else if (shape.kind === 'union') {
    const form = shape.forms.find((one) => one.shape.kind === 'object' || one.shape.kind === 'record');
    if (form) grow(map, form.shape, ground);
  } else if (shape.kind === 'object') {
    const name = dice.pick(Object.keys(shape.keys));
    const key = shape.keys[name];
    if (key && name in map && dice.chance(0.9)) grow(map[name], key.reader.shape, ground);
    else if (key) map[name] = keyValue(name, key, ground);
  }
}

/** Every map and list that holds something. */
function holdersIn(value: unknown): Holder[] {
  if (typeof value !== 'object' || value === null) return [];
  const below = Object.values(value).flatMap(holdersIn);
  return Object.keys(value).length > 0 ? [value as Holder, ...below] : below;
}

type Way = (dice: Dice, holder: Holder, plan: Record<string, unknown>) => void;

const keyIn = (dice: Dice, holder: Holder): string => dice.pick(Object.keys(holder));
const set = (holder: Holder, key: string, value: unknown): void => {
  Object.defineProperty(holder, key, { value, writable: true, enumerable: true, configurable: true });
};

const WAYS: readonly Way[] = [
  (dice, holder) => set(holder, keyIn(dice, holder), dice.pick(HOSTILE_VALUES)),
  (dice, holder) => {
    const key = keyIn(dice, holder);
    if (Array.isArray(holder)) holder.splice(Number(key), 1);
    else delete holder[key];
  },
  (dice, holder, plan) => {
    const other = dice.pick(holdersIn(plan));
    set(holder, keyIn(dice, holder), structuredClone(Reflect.get(other, keyIn(dice, other))));
  },
  (dice, holder) => {
    const key = keyIn(dice, holder);
    const value = Reflect.get(holder, key);
    if (typeof value === 'number') set(holder, key, value * dice.pick([-1, 0, 1e-3, 1e3, 0.5, 2, 1 + 1e-12]));
  },
  (dice, holder) => {
    if (Array.isArray(holder)) holder.push(structuredClone(dice.pick(holder)));
    else set(holder, dice.pick(HOSTILE_NAMES), structuredClone(holder[keyIn(dice, holder)]));
  },
];
