/** Other people's text made harmless to whoever shows it: nothing from a plan, a file's name or an option steers a terminal. */

/**
 * Controls (C0, C1), format marks that turn or hide text, line separators, lone surrogates. Not among them: the joiners that scripts
 * and emoji need, and the tags by which a black flag becomes another.
 */
const UNSAFE =
  /(?![\u200c\u200d]|(?<=\u{1f3f4}[\u{e0020}-\u{e007f}]*)[\u{e0020}-\u{e007f}])[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/gu;

/** Nearly every text: spares the search among all of Unicode. */
const PLAIN = /^[ -~]*$/;

/** Writes each unsafe character as `\u{1b}`. */
export const visible = (text: string): string =>
  PLAIN.test(text) ? text : text.replace(UNSAFE, (one) => `\\u{${one.codePointAt(0)?.toString(16)}}`);

/** The same, with the line breaks of the text left as they are. */
export const visibleLines = (text: string): string => text.split('\n').map(visible).join('\n');
