import type { Citation } from '../../scene/catalogue.ts';
import type { CatalogueEntry } from '../../scene/catalogue-entry.ts';
import type { Origin } from '../../scene/origin.ts';
import { wrap } from '../wrap.ts';
import type { Layout } from './layout.ts';

export type Cited = ReadonlyMap<string, Citation>;

/** What the keys of the sources stand for, in the order in which they first come up. */
export function citations(entries: readonly CatalogueEntry[], cited: Cited, layout: Layout): string[] {
  const lines = citedKeys(entries, cited).flatMap((key) => {
    const { cite = '', read, where, note } = cited.get(key) ?? {};
    const known = [cite, read && `read: ${read}`, where && `read at ${where}`, note].filter(Boolean);
    return wrap(`[${key}] ${known.join('; ')}`, layout.width, '  ', '    ');
  });
  return [layout.paint.strong('Sources'), ...lines];
}

/** Keys that origins give or their notes mention. */
export function citedKeys(entries: readonly CatalogueEntry[], cited: Cited): string[] {
  const keys = entries.flatMap(({ figures }) =>
    figures.flatMap(({ origins }) =>
      origins.flatMap(({ origin }) => [...origin.sources, ...mentioned(origin)]),
    ),
  );
  return [...new Set(keys)].filter((key) => cited.has(key));
}

/** Only keys in capitals stand in notes; any other word that is a key means itself. */
const mentioned = ({ note }: Origin): readonly string[] => note?.match(/\b[A-Z][A-Z0-9_]+\b/g) ?? [];
