/** The names someone most likely meant by one that is not there. */
import type { Called } from './called.ts';
import { editsBetween } from './edits.ts';
import { lettersOf, sameName, sameness, wordsOf } from './name-words.ts';

/**
 * Those that fit best, one as well as another, in their order; none where nothing is near. Each way of being near is asked
 * of all names before the next: the same words, a slip of the pen, some of the words, a likeness of letters. A name is as
 * near as the nearest that it is called by.
 */
export function meant(written: string, known: Iterable<string | Called>): string[] {
  const called = [...known].map((one) => (typeof one === 'string' ? { name: one, also: [] } : one));
  const asked = { text: written, words: wordsOf(written), vain: vainWords(called) };
  for (const { near, second } of NEARNESS) {
    const found = called.map(({ name, also }) =>
      Math.max(near(asked, name), ...also.map((one) => second * near(asked, one))),
    );
    const best = Math.max(0, ...found);
    if (best > 0) return called.flatMap(({ name }, i) => ((found[i] ?? 0) > best - 0.01 ? [name] : []));
  }
  return [];
}

type AskedFor = {
  readonly text: string;
  readonly words: readonly string[];
  /** Words that tell nothing here. */
  readonly vain: ReadonlySet<string>;
};

/** Where most names hold a word, as `mic`, sharing it says nothing. */
function vainWords(called: readonly Called[]): Set<string> {
  const words = called.flatMap(({ name }) => [...new Set(wordsOf(name))]);
  const count = new Map<string, number>();
  for (const word of words) count.set(word, (count.get(word) ?? 0) + 1);
  return new Set(
    [...count].flatMap(([word, times]) => (called.length > 3 && times > called.length / 2 ? [word] : [])),
  );
}

const sameWords = ({ text }: AskedFor, name: string): number => (sameName(text, name) ? 1 : 0);

const slip = ({ text }: AskedFor, name: string): number => likeness(text, name, 5);

const likeLetters = ({ text }: AskedFor, name: string): number => likeness(text, name, 3);

/** The more, the fewer letters are amiss; 0 for more than one in `each`, or where there are but two letters. */
function likeness(written: string, name: string, each: number): number {
  const [a, b] = [lettersOf(written), lettersOf(name)];
  const longer = Math.max(a.length, b.length);
  const most = Math.max(1, Math.floor(longer / each));
  const edits = editsBetween(a, b, most);
  return longer > 2 && edits <= most ? 1 / (1 + edits) : 0;
}

/** Words in common among all words of both; 0 below two fifths, as for one of three and one of three. */
function sharedWords({ words, vain }: AskedFor, name: string): number {
  const others = wordsOf(name);
  const shared = words
    .filter((word) => !vain.has(word))
    .reduce((sum, word) => sum + Math.max(0, ...others.map((other) => sameness(word, other))), 0);
  const share = (2 * shared) / (words.length + others.length);
  return share >= 0.4 ? share : 0;
}

/** `second`: what it is worth to come so near to what a thing is also called. */
const NEARNESS = [
  { near: sameWords, second: 1 },
  { near: slip, second: 1 },
  { near: sharedWords, second: 0.8 },
  { near: likeLetters, second: 0 },
] as const;
