/** Names offered for one that is not there, in words. */
import type { Called } from './called.ts';
import { meant } from './meant.ts';

/** So many are offered; where more fit as well, none stands out. */
export const MOST_OFFERED = 3;

/** Up to three names that may have been meant; none where nothing is near, or too much is as near. */
export function offered(written: string, known: Iterable<string | Called>): string[] {
  const names = meant(written, known);
  return names.length > MOST_OFFERED ? [] : names;
}

/** `did you mean "tuba" or "tubular-bells"?`; null where none is offered. */
export function didYouMean(written: string, known: Iterable<string | Called>): string | null {
  const names = offered(written, known);
  return names.length === 0 ? null : `did you mean ${oneOf(names.map((name) => `"${name}"`))}?`;
}

/** `a`, `a or b`, `a, b or c`. */
export const oneOf = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`;

/** What to write instead: the names offered, or all that there are. */
export function mendedName(written: string, known: readonly string[]): string {
  return didYouMean(written, known) ?? `there are ${known.join(', ') || 'none'}`;
}
