/** Finding an entry by its name, or saying which one was probably meant. */
import type { Path } from '../finding.ts';
import { nearestName } from '../plan/nearest.ts';
import { fault, type Notes } from './notes.ts';

/** The catalogue's entry of that name; where there is none, a fault at `path` and null. `what` names the kind: "finish". */
export function lookUp<T>(
  entries: ReadonlyMap<string, T>,
  name: string,
  what: string,
  at: { readonly path: Path; readonly notes: Notes },
): T | null {
  const entry = entries.get(name);
  if (entry !== undefined) return entry;
  const like = [...entries.keys()].filter((one) => sharesWord(one, name)).slice(0, FEW);
  const otherwise =
    like.length > 0 ? `there are ${like.join(', ')}` : 'spillcheck catalogue lists what there is';
  unknownName(entries.keys(), name, what, at, otherwise);
  return null;
}

/** So many names that share a word with the one written are told. */
const FEW = 5;

const sharesWord = (known: string, written: string): boolean => {
  const words = written.toLowerCase().split(/[^\p{L}\p{N}]+/u);
  return known
    .split('-')
    .some((word) => words.some((one) => one.length > 2 && (word.startsWith(one) || one.startsWith(word))));
};

export function unknownName(
  known: Iterable<string>,
  name: string,
  what: string,
  at: { readonly path: Path; readonly notes: Notes },
  otherwise?: string,
): void {
  const near = nearestName(name, [...known]);
  const mend = near ? `did you mean "${near}"?` : otherwise;
  fault(at.notes, 'UNKNOWN_NAME', at.path, `there is no ${what} "${name}"`, mend);
}
