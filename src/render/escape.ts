/** Makes what a plan says harmless to a terminal: names and titles are other people's text. */

/** Controls, format marks that turn or hide text, line separators, lone surrogates; not the joiners of scripts and emoji. */
const UNSAFE = /(?![\u200c\u200d])[\p{Cc}\p{Cf}\p{Cs}\u2028\u2029]/gu;

/** Nearly every name: spares the search among all of Unicode. */
const PLAIN = /^[ -~]*$/;

/** Writes unsafe characters as `\u{1b}`. */
export const escapeText = (text: string): string =>
  PLAIN.test(text)
    ? text
    : text.replace(UNSAFE, (character) => `\\u{${character.codePointAt(0)?.toString(16)}}`);

/** A copy of plain data with every text in it escaped; arrays of numbers stay as they are. */
export function escapeAll<T>(value: T): T {
  return escapeValue(value) as T;
}

function escapeValue(value: unknown): unknown {
  if (typeof value === 'string') return escapeText(value);
  if (Array.isArray(value)) return value.map(escapeValue);
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, escapeValue(item)]));
}
