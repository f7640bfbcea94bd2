/** `spillcheck completion`: the script for a shell, and the candidates it asks for. */
import { catalogueNames, isKind, KINDS } from '../catalogue/entries.ts';
import { isPlainFile, readFile, studioLoader } from '../io/files.ts';
import { print } from '../io/terminal.ts';
import { type MapNode, pathsIn, readDocument } from '../plan/document.ts';
import { layOverStudio } from '../plan/files.ts';
import { isPlain, type NameKind, namesIn } from '../plan/names.ts';
import { type Shell, shippedCatalogue, shippedCompletion } from '../shipped.ts';
import { deliver } from './output.ts';

/** Names from the plan on the command line, plain or with a prefix, or from the catalogue. */
export type NamesOffer =
  | { readonly from: 'plan'; readonly names: NameKind }
  | { readonly from: 'columns' | 'paths' | 'catalogue' | 'explained' };

export type Candidate = { readonly word: string; readonly about: string };
/** Names from the plan or the catalogue, given the arguments before them. */
export type Lookup = (offer: NamesOffer, given: readonly string[]) => Promise<readonly string[]>;
export const completionScript = (shell: Shell): Promise<0 | 2> => deliver(shippedCompletion(shell), '-');
type Find = (lookup: Lookup) => Promise<readonly Candidate[] | null>;

/** `find` returns candidates for the last word, null for a file. Exit code: always 0. */
export async function completionWords(find: Find): Promise<0> {
  const found = (await find(namesFor)) ?? [{ word: '', about: 'file' }];
  await print(found.map(({ word, about }) => `${word}\t${about}\n`).join(''));
  return 0;
}

async function namesFor(offer: NamesOffer, given: readonly string[]): Promise<readonly string[]> {
  if (offer.from === 'catalogue') return catalogueWords(given);
  if (offer.from === 'explained') return (await import('../report/explain.ts')).explainedWords();
  const tree = await planOf(given[0]);
  if (!tree) return [];
  if (offer.from === 'paths') return [...pathsIn(tree)].filter(isPlain).map((path) => `${path}=`);
  const { kits } = shippedCatalogue();
  const pieces = (instrument: string) => [...(kits.get(instrument)?.parts.keys() ?? [])];
  const names = (kind: NameKind) => namesIn(tree, kind, pieces);
  if (offer.from === 'plan') return names(offer.names);
  return [
    ...['worst-margin', 'shortfall'],
    ...names('mics').map((mic) => `signal-to-bleed.${mic}`),
    ...names('parts').flatMap((part) => [`ghost.${part}`, `isolation.${part}`]),
  ];
}

/** Names of a kind after that kind; otherwise all kinds and names. */
function catalogueWords([kind]: readonly string[]): readonly string[] {
  const catalogue = shippedCatalogue();
  if (kind !== undefined) return isKind(kind) ? catalogueNames(catalogue, kind) : [];
  return [...KINDS, ...new Set(KINDS.flatMap((each) => catalogueNames(catalogue, each)))];
}

/** As much as can be read of a plan that may still be invalid. */
async function planOf(file: string | undefined): Promise<MapNode | null> {
  if (file === undefined || !isPlainFile(file)) return null;
  const input = readFile(file);
  if ('problem' in input) return null;
  const { tree } = readDocument({ name: file, text: input.text });
  if (tree?.kind !== 'map') return null;
  const from = { name: file, load: studioLoader(file, false), allowOutside: false };
  return (await layOverStudio(tree, from)).tree;
}
