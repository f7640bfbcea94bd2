/** Paths of a plan as one says them, mics.voice-mic.aim.bearing, held against the format and the plan. */
import type * as v from 'valibot';
import type { Finding, Path } from '../finding.ts';
import { offered, oneOf } from '../plan/did-you-mean.ts';
import { planSchema } from '../plan/schema.ts';
import type { About } from '../plan/schema-frame.ts';
import type { MapNode, Node } from '../plan/tree.ts';

/** The path of an entry that the plan has or may have; or why there can be none, with the nearest that can. */
export function planPath(text: string, tree: MapNode): Path | Finding {
  const words = text.split(/\.|\[(\d+)\]/).filter((word) => word !== undefined && word !== '');
  if (words.length === 0) return refusal(text, 'is no path of a plan', 'write one such as mics.voice-mic.at');
  let places: readonly About[] = [planSchema.about];
  let node: Node | null = tree;
  const path: (string | number)[] = [];
  for (const word of words) {
    const step = node?.kind === 'list' || places.some(({ takes }) => takes === 'list') ? asIndex(word) : word;
    const next = places.flatMap((about) => below(about, step, node));
    if (next.length === 0) return unknown(path, word, places, node);
    path.push(step);
    node = childOf(node, step);
    places = next;
  }
  return path;
}

const asIndex = (word: string): string | number => (/^\d+$/.test(word) ? Number(word) : word);

function childOf(node: Node | null, step: string | number): Node | null {
  if (node?.kind === 'map') return node.entries.get(String(step))?.node ?? null;
  return node?.kind === 'list' ? (node.items[Number(step)] ?? null) : null;
}

type Schema = v.GenericSchema<unknown, unknown>;

/** What a key that may be left out takes where it is written. */
function aboutOf(schema: Schema): About[] {
  const inner = 'wrapped' in schema ? (schema.wrapped as Schema) : schema;
  return 'about' in inner ? [inner.about as About] : [];
}

/** What stands below; names and items must be there already, keys need not. */
function below(about: About, step: string | number, node: Node | null): About[] {
  if (about.takes === 'forms') return about.forms.flatMap((form) => below(form.about, step, node));
  if (about.takes === 'map') {
    const schema = Object.hasOwn(about.entries, step) ? about.entries[step] : undefined;
    return schema ? aboutOf(schema) : [];
  }
  if (about.takes === 'named') return childOf(node, step) ? [about.item.about] : [];
  if (about.takes === 'bands') return /^\d+$/.test(String(step)) ? [about.item.about] : [];
  if (about.takes !== 'list' || typeof step !== 'number' || !childOf(node, step)) return [];
  const item = about.items[step] ?? about.items[0];
  return item ? [item.about] : [];
}

/** Steps that could be taken instead. */
function known(about: About, node: Node | null): string[] {
  if (about.takes === 'forms') return about.forms.flatMap((form) => known(form.about, node));
  if (about.takes === 'map') return Object.keys(about.entries);
  if (about.takes === 'named') return node?.kind === 'map' ? [...node.entries.keys()] : [];
  return about.takes === 'list' && node?.kind === 'list' ? node.items.map((_, i) => String(i)) : [];
}

function unknown(path: Path, word: string, places: readonly About[], node: Node | null): Finding {
  const steps = places.flatMap((about) => known(about, node));
  const start = path.length === 0 ? '' : `${path.join('.')}.`;
  const near = offered(word, steps).map((step) => start + step);
  const mend =
    near.length > 0
      ? `write ${oneOf(near)}`
      : steps.length > 0
        ? `there are ${steps.map((step) => start + step).join(', ')}`
        : `set ${path.join('.')} as a whole`;
  return refusal(`${start}${word}`, 'is no entry of this plan', mend);
}

const refusal = (path: string, what: string, mend: string): Finding => ({
  code: 'UNKNOWN_NAME',
  severity: 'error',
  path: [],
  message: `${path} ${what}`,
  mend,
});
