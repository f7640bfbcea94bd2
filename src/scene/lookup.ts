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
  unknownName(entries.keys(), name, what, at, 'spillcheck catalogue lists what there is');
  return null;
}

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
