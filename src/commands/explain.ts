/** `spillcheck explain`: what a key of a plan or an error code means. */
import { shelvesOf } from '../catalogue/entries.ts';
import { explainJson } from '../format/json.ts';
import { renderText } from '../format/text.ts';
import { openPlan } from '../judge/session.ts';
import { readPlan } from '../plan/plan.ts';
import * as explained from '../report/explain.ts';
import { shippedCatalogue } from '../shipped.ts';
import { unknownName } from '../text.ts';
import { deliver, messageOf, pageOf, refused } from './output.ts';

export type ExplainOptions = { readonly json?: true; readonly output: string };

/** `words`: a key, an error code, what the trade calls something, or none. Exit code: 0 done, 2 refused. */
export async function explain(words: readonly string[], options: ExplainOptions): Promise<0 | 2> {
  const asked = words.join(' ').trim();
  const shelves = shelvesOf(shippedCatalogue());
  const code = explained.codeNamed(asked);
  const places = asked === '' || code ? [] : explained.findKeys(asked);
  if (asked !== '' && !code && places.length === 0) {
    const unknown = { what: 'key or error code', name: asked, known: [] };
    return refused(unknownName(null, unknown, explained.fixForKey(asked, shelves)));
  }
  const keys =
    asked === '' ? explained.topKeys(shelves) : places.map((one) => explained.explainKey(one, shelves));
  const codes = code ? [await explained.explainCode(code, exampleOutput)] : [];
  if (options.json) return deliver(explainJson(keys, codes), options.output);
  const [only] = keys;
  const view = codes[0]
    ? explained.codeView(codes[0])
    : asked === ''
      ? explained.explainOverview(keys)
      : only && keys.length === 1
        ? explained.keyView(only)
        : explained.keysView(asked, keys);
  return deliver(renderText(view, pageOf(options)), options.output);
}

/** What is said of the example of a code. */
async function exampleOutput(example: explained.CodeExample): Promise<string> {
  if ('says' in example) return messageOf(example.says);
  const read = await readPlan(example.plan.join('\n'), { name: 'plan.yaml' });
  return read.show(openPlan(read, shippedCatalogue()).findings);
}
