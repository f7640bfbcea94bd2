/** Finding entries of the catalogue by kind, by name, or by words of their description. */
import { nearestName } from '../plan/nearest.ts';
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

/** What goes by the words as its name, whole; and what has all of them in name, heading or description. */
export function findEntries(entries: readonly CatalogueEntry[], words: readonly string[]): Found {
  const wanted = words.map((word) => word.toLowerCase());
  const whole = entries.filter(({ name }) => name === wanted.join('-'));
  const listed = entries.filter((entry) => !whole.includes(entry) && holds(entry, wanted));
  return whole.length === 0 && listed.length === 1 ? { whole: listed, listed: [] } : { whole, listed };
}

/** Up to three names, or words of names, that may have been meant, the nearest first. */
export function nearestEntries(entries: readonly CatalogueEntry[], words: readonly string[]): string[] {
  const names = new Set<string>([...entries.flatMap(({ name }) => [name, ...name.split('-')]), ...KINDS]);
  const near: string[] = [];
  for (let name = next(); name !== null && near.length < 3; name = next()) near.push(name);
  return near;

  function next(): string | null {
    return nearestName(
      words.join('-'),
      [...names].filter((name) => !near.includes(name)),
    );
  }
}

function holds({ name, group, about }: CatalogueEntry, words: readonly string[]): boolean {
  const text = `${name} ${group ?? ''} ${about}`.toLowerCase();
  return words.every((word) => text.includes(word));
}
