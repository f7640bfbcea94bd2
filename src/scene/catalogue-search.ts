/** Finding entries of the catalogue by kind, by name, or by words of their description. */
import { MOST_OFFERED } from '../plan/did-you-mean.ts';
import { meant } from '../plan/meant.ts';
import { sameName } from '../plan/name-words.ts';
import type { Catalogue } from './catalogue.ts';
import { type CatalogueEntry, KINDS, type Kind } from './catalogue-entry.ts';
import { gearEntries } from './catalogue-gear.ts';
import { instrumentEntries } from './catalogue-instruments.ts';
import { materialEntries } from './catalogue-materials.ts';

export type Found = {
  /** To be shown with every figure. */
  readonly whole: readonly CatalogueEntry[];
  /** To be shown in a line each. */
  readonly listed: readonly CatalogueEntry[];
};

/** All of it, kind by kind. */
export const catalogueEntries = (catalogue: Catalogue): CatalogueEntry[] => [
  ...instrumentEntries(catalogue),
  ...gearEntries(catalogue),
  ...materialEntries(catalogue.materials),
];

export const isKind = (word: string): word is Kind => KINDS.some((kind) => kind === word);

/** What goes by the words as its name, whole, or else as another name of it alone; and what has all of them in any text. */
export function findEntries(entries: readonly CatalogueEntry[], words: readonly string[]): Found {
  const wanted = words.map((word) => word.toLowerCase());
  const named = entries.filter(({ name }) => name === wanted.join('-'));
  const called = entries.filter(({ also }) => also.some((one) => sameName(one, wanted.join(' '))));
  const whole = named.length === 0 && called.length === 1 ? called : named;
  const listed = entries.filter((entry) => !whole.includes(entry) && holds(entry, wanted));
  return whole.length === 0 && listed.length === 1 ? { whole: listed, listed: [] } : { whole, listed };
}

/** Up to three names, words of names or kinds that may have been meant. */
export function nearestEntries(entries: readonly CatalogueEntry[], words: readonly string[]): string[] {
  const single = new Set<string>([...entries.flatMap(({ name }) => name.split('-')), ...KINDS]);
  return [...new Set(meant(words.join('-'), [...entries, ...single]))].slice(0, MOST_OFFERED);
}

function holds({ name, group, about, also }: CatalogueEntry, words: readonly string[]): boolean {
  const text = [name, group ?? '', about, ...also].join(' ').toLowerCase();
  return words.every((word) => text.includes(word));
}
