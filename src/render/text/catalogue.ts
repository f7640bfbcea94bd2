import type { CatalogueEntry, Kind } from '../../scene/catalogue-entry.ts';
import type { Found } from '../../scene/catalogue-search.ts';
import { counted } from '../words.ts';
import { wrap } from '../wrap.ts';
import { wholeEntry } from './catalogue-entry.ts';
import { kindTable } from './catalogue-kind.ts';
import { type Cited, citations } from './catalogue-sources.ts';
import type { Layout } from './layout.ts';

/** What the catalogue holds: every kind with its names. */
export function catalogueOverview(entries: readonly CatalogueEntry[], layout: Layout): string[] {
  const kinds = byKind(entries).flatMap(([kind, members]) => [
    '',
    `${layout.paint.strong(kind)} (${members.length}): ${PURPOSES[kind]}`,
    ...wrap(members.map(({ name }) => name).join(', '), layout.width, '  '),
  ]);
  const [, first = ''] = kinds;
  return [first, ...kinds.slice(2), '', ...wrap(HINT, layout.width)];
}

const HINT =
  'spillcheck catalogue finishes lists a kind with figures; spillcheck catalogue cello shows an entry whole, with the source of every figure; any other words are searched for.';

/** Entries whole, the sources they cite, then the rest of what was found as tables. */
export function catalogueAnswer({ whole, listed }: Found, cited: Cited, layout: Layout): string[] {
  const pages = whole.flatMap((entry) => [...wholeEntry(entry, layout), '']);
  const sources = whole.length > 0 ? [...citations(whole, cited, layout), ''] : [];
  const more =
    whole.length > 0 && listed.length > 0
      ? [`${counted(listed.length, 'other')} by name or description:`, '']
      : [];
  const tables = byKind(listed).flatMap(([kind, members]) => [...kindTable(kind, members, layout), '']);
  return [...pages, ...sources, ...more, ...tables].slice(0, -1);
}

function byKind(entries: readonly CatalogueEntry[]): (readonly [Kind, readonly CatalogueEntry[]])[] {
  const kinds = [...new Set(entries.map(({ kind }) => kind))];
  return kinds.map((kind) => [kind, entries.filter((entry) => entry.kind === kind)]);
}

/** Where in a plan the names go. */
const PURPOSES: Readonly<Record<Kind, string>> = {
  instruments: 'what players and sources play',
  kits: 'several pieces that a player plays as one',
  covers: 'what lies over a source',
  headphones: 'what players wear',
  finishes: 'surfaces of rooms',
  contents: 'what stands and sits in rooms',
  constructions: 'walls between rooms',
  doors: 'leaves of doors',
  glazings: 'panes of windows',
  panels: 'what baffles are made of',
  patterns: 'responses of microphones',
};
