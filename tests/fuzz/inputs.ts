/** The inputs of a run, each from its number alone. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { parse, stringify } from 'yaml';
import { planSchema } from '../../src/plan/plan.ts';
import { deform } from './deform.ts';
import { type Dice, diceOf, seedOf } from './dice.ts';
import { valueFor } from './grammar.ts';
import { session } from './sessions.ts';
import type { PlanValue } from './stage.ts';
import { tear } from './tear.ts';
import { nobody } from './words.ts';

export type Input = {
  /** Made up whole, made of the schema alone, a fixture with some values changed, a fixture with some bytes changed. */
  readonly kind: 'session' | 'grammar' | 'bent' | 'torn';
  /** The plan, by its path below a copy of `fixtures`. */
  readonly path: string;
  readonly bytes: Uint8Array;
  /** A studio, table or file of readings that was torn instead of the plan, or beside it. */
  readonly beside: { readonly path: string; readonly bytes: Uint8Array } | null;
  /** For all further choices. */
  readonly dice: Dice;
};

export type Shelf = {
  readonly plans: readonly string[];
  readonly others: readonly string[];
  readonly read: (path: string) => Uint8Array;
};

/** Files of a copy of `fixtures`, by path. */
export function shelfOf(folder: string): Shelf {
  const all = readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort();
  const kept = new Map(
    all
      .filter((path) => /\.(?:yaml|csv)$/.test(path))
      .map((path) => [path, readFileSync(join(folder, path))] as const),
  );
  const read = (path: string): Uint8Array => kept.get(path) ?? new Uint8Array();
  const paths = [...kept.keys()];
  return {
    plans: paths.filter((path) => path.endsWith('.yaml')),
    others: paths.filter((path) => path.endsWith('.csv') || path === 'studio/hall.yaml'),
    read,
  };
}

export function inputAt(shelf: Shelf, run: number, index: number): Input {
  const dice = diceOf(seedOf(run, index));
  const kind = dice.pick(KINDS);
  if (kind === 'torn') return torn(shelf, dice);
  const base = dice.pick(soundOnes(shelf));
  const plan = { session: () => session(dice), grammar: () => grown(dice), bent: () => planIn(shelf, base) }[
    kind
  ]();
  if (kind === 'session') deform(plan, dice, dice.pick([0, 0, 0, 1, 1, 3]));
  if (kind === 'bent') deform(plan, dice, dice.pick([1, 1, 2, 3]));
  const path = join(kind === 'bent' ? dirname(base) : '', 'fuzz.yaml');
  return { kind, path, bytes: Buffer.from(written(plan, dice)), beside: null, dice };
}

const KINDS = ['session', 'session', 'session', 'grammar', 'bent', 'bent', 'torn', 'torn'] as const;

const soundOnes = ({ plans }: Shelf): string[] => plans.filter((path) => !path.startsWith('broken'));

const planIn = ({ read }: Shelf, path: string): PlanValue =>
  parse(Buffer.from(read(path)).toString('utf8')) as PlanValue;

const grown = (dice: Dice): PlanValue => ({
  ...(valueFor(planSchema.shape, '', { dice, given: nobody() }) as PlanValue),
  spillcheck: 1,
});

const written = (plan: unknown, dice: Dice): string =>
  stringify(plan, {
    collectionStyle: dice.pick(['any', 'flow', 'block'] as const),
    defaultStringType: dice.pick(['PLAIN', 'QUOTE_DOUBLE'] as const),
    lineWidth: dice.pick([0, 80]),
    aliasDuplicateObjects: dice.chance(0.5),
  });

function torn(shelf: Shelf, dice: Dice): Input {
  const base = dice.pick(dice.chance(0.8) ? soundOnes(shelf) : shelf.plans);
  const other = () => shelf.read(dice.pick(shelf.plans));
  const asIs = dice.chance(0.15);
  const bytes = asIs ? shelf.read(base) : tear(shelf.read(base), other(), dice);
  const path = join(dirname(base), 'fuzz.yaml');
  if (!asIs && dice.chance(0.8)) return { kind: 'torn', path, bytes, beside: null, dice };
  const second = dice.pick(shelf.others);
  return {
    kind: 'torn',
    path,
    bytes,
    beside: { path: second, bytes: tear(shelf.read(second), other(), dice) },
    dice,
  };
}
