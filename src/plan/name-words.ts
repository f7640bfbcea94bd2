/** The words of a name, and when two of them are one. */
import { editsBetween } from './edits.ts';

/** Words that hold others together and say nothing of what is meant. */
const SMALL = new Set(['a', 'and', 'at', 'for', 'in', 'of', 'on', 'the', 'with']);

/** `Figure_of_Eight` is figure and eight: in small letters, one word for one thing and for several, without `of`. */
export function wordsOf(name: string): string[] {
  const words = name.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
  const telling = words.filter((word) => !SMALL.has(word));
  return (telling.length > 0 ? telling : words).map(single);
}

/** `toms` is tom, `brushes` is brush; a bass is no bas. */
const single = (word: string): string =>
  word.length > 3 ? word.replace(/(?<=s|sh|ch|x)es$|(?<=[^s])s$/, '') : word;

/** The same words in whatever order, or the same letters, spelled together or apart. */
export function sameName(one: string, other: string): boolean {
  const [first, second] = [one, other].map((name) => wordsOf(name).sort().join(' '));
  return (first !== '' && first === second) || (lettersOf(one) !== '' && lettersOf(one) === lettersOf(other));
}

export const lettersOf = (name: string): string => name.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');

/** 1 for the same word, less for a short form of it ("sax") or a slip of the pen, 0 for another. */
export function sameness(written: string, known: string): number {
  if (written === known) return 1;
  const slips = Math.floor(Math.max(written.length, known.length) / 4);
  const short = written.length >= 3 && known.startsWith(written);
  return short || editsBetween(written, known, slips) <= slips ? 0.75 : 0;
}
