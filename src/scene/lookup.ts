/** Finding an entry by its name, or saying which one was probably meant. */
import type { Path } from '../finding.ts';
import type { Called } from '../plan/called.ts';
import { didYouMean, MOST_OFFERED, oneOf } from '../plan/did-you-mean.ts';
import { meant } from '../plan/meant.ts';
import { wordsOf } from '../plan/name-words.ts';
import { fault, type Notes } from './notes.ts';

type At = { readonly path: Path; readonly notes: Notes };

/** The catalogue's entry of that name; where there is none, a fault at `path` and null. `what` names the kind: "finish". */
export function lookUp<T extends Called>(
  entries: ReadonlyMap<string, T>,
  name: string,
  what: string,
  at: At,
): T | null {
  const entry = entries.get(name);
  if (entry !== undefined) return entry;
  notInCatalogue([...entries.values()], name, what, at);
  return null;
}

/** A name that no entry has: those that come near by name, word, or what else they are called. */
export function notInCatalogue(entries: readonly Called[], name: string, what: string, at: At): void {
  const near = meant(name, entries);
  const few = near.slice(0, MOST_OFFERED).map((one) => `"${one}"`);
  const more = near.length > MOST_OFFERED ? moreLike(name, near) : '';
  const mend =
    near.length > 0 ? `did you mean ${oneOf(few)}?${more}` : 'spillcheck catalogue lists what there is';
  fault(at.notes, 'UNKNOWN_NAME', at.path, `there is no ${what} "${name}"`, mend);
}

/** Which word finds the others, where they have one in common. */
function moreLike(name: string, near: readonly string[]): string {
  const common = wordsOf(name).find((word) => near.every((one) => one.includes(word)));
  return common === undefined ? '' : ` spillcheck catalogue ${common} lists more`;
}

/** A name that the plan has not given to anything, or that an entry of the catalogue has nothing for. */
export function unknownName(known: Iterable<string>, name: string, what: string, at: At): void {
  const names = [...known];
  const few = names.length > 0 && names.length <= FEW ? `there are ${names.join(', ')}` : undefined;
  fault(at.notes, 'UNKNOWN_NAME', at.path, `there is no ${what} "${name}"`, didYouMean(name, names) ?? few);
}

/** So many names that none comes near are listed. */
const FEW = 12;
