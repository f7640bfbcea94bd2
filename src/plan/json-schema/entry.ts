/** A key of a map as the plan's schema holds it. */
import * as v from 'valibot';
import type { About, Described, Entries } from '../schema-frame.ts';

export type Entry = {
  readonly about: About;
  /** Without what wraps it where it may be left out. */
  readonly schema: Entries[string];
  readonly description: string;
  readonly needed: boolean;
  /** What it is read as where it is left out; undefined where that is nothing one could write. */
  readonly default: string | number | boolean | undefined;
};

export function entryOf(entries: Entries, key: string): Entry {
  const outer = entries[key] as Entries[string];
  const schema = 'wrapped' in outer ? (outer.wrapped as Entries[string]) : outer;
  const value =
    outer.type === 'optional' ? v.getDefault(outer as v.OptionalSchema<v.GenericSchema, unknown>) : undefined;
  return {
    schema,
    about: (schema as unknown as Described).about,
    description: v.getDescription(schema) ?? '',
    needed: outer === schema,
    default: ['string', 'number', 'boolean'].includes(typeof value)
      ? (value as string | number | boolean)
      : undefined,
  };
}
