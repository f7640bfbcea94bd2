/** `spillcheck catalogue`, `start` and `schema`: instruments and materials, a plan to start from, the plan format for editors. */

import * as entries from '../catalogue/entries.ts';
import type { Finding } from '../finding.ts';
import { catalogueJson } from '../format/json.ts';
import { renderText } from '../format/text.ts';
import { relativePath } from '../io/files.ts';
import { conceptOf } from '../plan/concepts.ts';
import { planJsonSchema } from '../plan/json-schema.ts';
import { catalogueAnswer, catalogueOverview } from '../report/catalogue.ts';
import { planSchemaFile, type Starter, shippedCatalogue, shippedStarter } from '../shipped.ts';
import { didYouMean, jsonText, unknownName } from '../text.ts';
import { deliver, pageOf, refused } from './output.ts';

export type CatalogueOptions = { readonly json?: true; readonly output: string };

/** `words`: a kind, a name, a kind and a name, or words to search for. Exit code: 0 done, 2 refused. */
export async function catalogue(words: readonly string[], options: CatalogueOptions): Promise<0 | 2> {
  const shipped = shippedCatalogue();
  const all = entries.catalogueEntries(shipped);
  const asked = words.flatMap((word) => word.split(/\s+/)).filter((word) => word !== '');
  const found = find(all, asked);
  const shown = [...found.whole, ...found.listed];
  const concept =
    found.whole.length > 0 || entries.isKind(asked[0] ?? '') ? null : conceptOf(asked.join(' '));
  if (shown.length === 0 && !concept && asked.length > 0) return refused(unknown(all, asked));
  if (options.json) return deliver(catalogueJson(all, shown, concept, shipped.citations), options.output);
  const view =
    asked.length === 0 ? catalogueOverview(all) : catalogueAnswer(found, shipped.citations, concept);
  return deliver(renderText(view, pageOf(options)), options.output);
}

function find(all: readonly entries.CatalogueEntry[], asked: readonly string[]): entries.Found {
  const [first = '', ...rest] = asked;
  if (!entries.isKind(first))
    return asked.length === 0 ? { whole: [], listed: [] } : entries.findEntries(all, asked);
  const kin = all.filter(({ kind }) => kind === first);
  if (rest.length === 0) return { whole: [], listed: kin };
  const found = entries.findEntries(kin, rest);
  return found.whole.length > 0 ? { whole: found.whole, listed: [] } : found;
}

function unknown(all: readonly entries.CatalogueEntry[], asked: readonly string[]): Finding {
  const [first = '', ...rest] = asked;
  const kind = entries.isKind(first) ? first : null;
  const words = kind ? rest : asked;
  const near = entries.nearestEntries(kind ? all.filter((one) => one.kind === kind) : all, words);
  const what = kind ? `catalogue entry in ${kind}` : 'catalogue entry';
  const fix = near.length > 0 ? didYouMean(near) : 'spillcheck catalogue lists all entries';
  return unknownName(null, { what, name: words.join(' '), known: [] }, fix);
}

export type StartOptions = { readonly room: Starter; readonly output: string; readonly force?: true };

/** Exit code: 0 done, 2 not written. */
export async function start({ room, output, force }: StartOptions): Promise<0 | 2> {
  const name = output === '-' ? 'plan.yaml' : output;
  const [, ...lines] = shippedStarter(room).split('\n');
  const modeline = `# yaml-language-server: $schema=${relativePath(planSchemaFile(), name)}`;
  return deliver([modeline, ...lines].join('\n').replaceAll(' plan.yaml', ` ${name}`), output, ontoOf(force));
}

/** An existing file, which may be a plan, stays unless it is to be overwritten. */
const ontoOf = (force: true | undefined) => (force ? 'any' : 'none');

export type SchemaOptions = { readonly output: string; readonly force?: true };

/** Exit code: 0 done, 2 not written. */
export const schema = ({ output, force }: SchemaOptions): Promise<0 | 2> =>
  deliver(`${jsonText(planJsonSchema(entries.shelvesOf(shippedCatalogue())), 1)}\n`, output, ontoOf(force));
