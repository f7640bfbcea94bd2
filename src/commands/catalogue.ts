/** `spillcheck catalogue`: what plans can name, with every figure and where it comes from. */
import type { Finding } from '../finding.ts';
import { wantsColour, widthOf } from '../io/terminal.ts';
import { oneOf } from '../plan/did-you-mean.ts';
import { catalogueJson } from '../render/catalogue-json.ts';
import { paint } from '../render/paint.ts';
import { catalogueAnswer, catalogueOverview } from '../render/text/catalogue.ts';
import type { Layout } from '../render/text/layout.ts';
import type { CatalogueEntry } from '../scene/catalogue-entry.ts';
import {
  catalogueEntries,
  type Found,
  findEntries,
  isKind,
  nearestEntries,
} from '../scene/catalogue-search.ts';
import { shippedCatalogue } from '../shipped.ts';
import { deliver } from './deliver.ts';
import { refuse } from './refuse.ts';

export type CatalogueOptions = { readonly json?: true; readonly output: string };

/** `words`: a kind, a name, a kind and a name, or what to look for. Exit code: 0 done, 2 refused. */
export async function catalogue(words: readonly string[], options: CatalogueOptions): Promise<0 | 2> {
  const { citations, ...shipped } = shippedCatalogue();
  const all = catalogueEntries({ citations, ...shipped });
  const asked = words.flatMap((word) => word.split(/\s+/)).filter((word) => word !== '');
  const found = find(all, asked);
  if (found.whole.length + found.listed.length === 0 && asked.length > 0) {
    await refuse(unknown(all, asked));
    return 2;
  }
  if (options.json)
    return deliver(catalogueJson(all, [...found.whole, ...found.listed], citations), options.output);
  const layout = layoutOf(options);
  const lines =
    asked.length === 0 ? catalogueOverview(all, layout) : catalogueAnswer(found, citations, layout);
  return deliver(`${lines.join('\n')}\n`, options.output);
}

function find(all: readonly CatalogueEntry[], asked: readonly string[]): Found {
  const [first = '', ...rest] = asked;
  if (!isKind(first)) return asked.length === 0 ? { whole: [], listed: [] } : findEntries(all, asked);
  const kin = all.filter(({ kind }) => kind === first);
  if (rest.length === 0) return { whole: [], listed: kin };
  const found = findEntries(kin, rest);
  return found.whole.length > 0 ? { whole: found.whole, listed: [] } : found;
}

function unknown(all: readonly CatalogueEntry[], asked: readonly string[]): Finding {
  const [first = '', ...rest] = asked;
  const within = isKind(first) ? ` among the ${first}` : '';
  const words = isKind(first) ? rest : asked;
  const near = nearestEntries(isKind(first) ? all.filter(({ kind }) => kind === first) : all, words);
  const mend = near.length > 0 ? `did you mean ${oneOf(near)}?` : 'spillcheck catalogue lists all there is';
  const message = `the catalogue has no "${words.join(' ')}"${within}`;
  return { code: 'UNKNOWN_NAME', severity: 'error', path: [], message, mend };
}

/** A file gets neither colour nor the terminal's width. */
function layoutOf({ output }: CatalogueOptions): Layout {
  const { stdout, env } = process;
  const toScreen = output === '-';
  const colour = toScreen && wantsColour(stdout, env);
  return { width: widthOf(toScreen ? stdout : {}, env), paint: paint(colour), all: true };
}
