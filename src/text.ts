/** Other people's text: made harmless, compared (edit distance, words), offered as "did you mean". */

/**
 * Controls (C0, C1), format marks that turn or hide text, line separators, lone surrogates. Not among them: the joiners that scripts
 * and emoji need, and the tags by which a black flag becomes another.
 */
const UNSAFE =
  /(?![\u200c\u200d]|(?<=\u{1f3f4}[\u{e0020}-\u{e007f}]*)[\u{e0020}-\u{e007f}])[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/gu;

/** Nearly every text: spares the search among all of Unicode. */
const PLAIN = /^[ -~]*$/;

/** Writes each unsafe character as `\u{1b}`. */
export const escapeControl = (text: string): string =>
  PLAIN.test(text) ? text : text.replace(UNSAFE, byCodePoint);

const byCodePoint = (one: string): string => `\\u{${one.codePointAt(0)?.toString(16)}}`;

/** The same, with the line breaks of the text left as they are. */
export const escapeControlLines = (text: string): string => text.split('\n').map(escapeControl).join('\n');

/** What a build server obeys in the output of a job: `::` at the start of a line, colours aside, and `##[` or `##word[`. */
const COMMANDS = /(?<=^(?:\s|\p{Cc}\[[\d;]*m)*):(?=:)|#(?=#\w*\[)/gmu;

/** Text in which a build server finds no command: the first mark of each is spelled as `escapeControl` would. */
export const escapeCommands = (text: string, spelled = byCodePoint): string =>
  text.replace(COMMANDS, (one) => spelled(one));

/**
 * Plain data as JSON that a terminal can show: what would steer it, or a build server, stands as `\u009b`, which reads back as it was (RFC 8259,
 * section 7). `indent` as of `JSON.stringify`.
 */
export const jsonText = (value: unknown, indent?: number): string =>
  escapeCommands(JSON.stringify(value, null, indent), inUnits).replace(/[^\n -~]/gu, (one) =>
    escapeControl(one) === one ? one : one.replace(/./gs, inUnits),
  );

const inUnits = (unit: string): string => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`;

/** A copy of plain data with every text in it made harmless to a terminal; arrays of numbers stay as they are. */
export function escapeAll<T>(value: T): T;
export function escapeAll(value: unknown): unknown {
  if (typeof value === 'string') return escapeControl(value);
  if (Array.isArray(value)) return value.map(escapeAll);
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, escapeAll(item)]));
}

/** Section 2.2 of XML 1.0, lone surrogates among it. */
const NOT_IN_XML = /[^\t\n\r\u{20}-\u{d7ff}\u{e000}-\u{fffd}\u{10000}-\u{10ffff}]/gu;

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
};

/** Between two tags; `]]>` may not stand there, and a lone CR would be read as a line break (section 2.11). */
export const xmlText = (text: string): string => escapedXml(text, /[&<>\r]/g);
/** Between quotes, where white space other than spaces would be lost (section 3.3.3). */
export const xmlAttribute = (text: string): string => escapedXml(text, /[&<>"'\t\n\r]/g);

const escapedXml = (text: string, marks: RegExp): string => {
  const marked = text
    .replace(NOT_IN_XML, escapeControl)
    .replace(marks, (one) => ENTITIES[one] ?? byNumber(one))
    .replace(/[^\t\n\r -~]/gu, (one) => (escapeControl(one) === one ? one : byNumber(one)));
  return escapeCommands(marked, byNumber);
};

/** A character reference of XML and HTML. */
export const byNumber = (one: string): string => `&#${one.codePointAt(0)};`;
/** What goes by a name, and what else people call it: as they would say it, "upright bass". */
export type Aliased = { readonly name: string; readonly also: readonly string[] };
/** The most names worth offering; where more are as near, none stands out. */
export const MOST_OFFERED = 3;
/** Of more names than this not all are listed. */
const MOST_LISTED = 24;

/** `what` is as "microphone". */
type Asked = { readonly what: string; readonly name: string; readonly known: readonly string[] };

/** A name that is absent, as a finding without its place; `where` is an option. `instead` is what to do where no name is near. */
export function unknownName(where: string | null, { what, name, known }: Asked, instead?: string) {
  const near = closestFew(name, known);
  return {
    code: 'UNKNOWN_NAME',
    severity: 'error',
    path: [],
    message: `${where === null ? '' : `${where}: `}no ${what} named "${name}"`,
    fix: near.length > 0 ? didYouMean(near) : (instead ?? knownNames(known)),
  } as const;
}

function knownNames(names: readonly string[]): string {
  const more = names.length - MOST_LISTED;
  const some = names.slice(0, MOST_LISTED).join(', ');
  return names.length === 0
    ? 'this plan has none'
    : `use one of ${some}${more > 0 ? ` and ${more} more` : ''}`;
}

/** `did you mean "tuba" or "tubular-bells"?` */
export const didYouMean = (names: readonly string[]): string =>
  `did you mean ${oneOf(names.map((name) => `"${name}"`))}?`;

/** `a`, `a or b`, `a, b or c`. */
export const oneOf = (names: readonly string[], word = 'or'): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} ${word} ${names.at(-1)}`;

/** `a`, `a and b`, `a, b and c`. */
export const allOf = (names: readonly string[]): string => oneOf(names, 'and');

/** A value with so many decimals, never −0; "none" of what is no finite number. */
export function figure(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return 'none';
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** Minutes in words, rounded down, so that no limit is said longer than it is: "under 1 min", "77 min", "2.7 h", "all day". */
export function duration(minutes: number): string {
  if (minutes < 1) return 'under 1 min';
  if (minutes >= 24 * 60) return 'all day';
  const down = (value: number, decimals: number) =>
    figure(Math.floor(value * 10 ** decimals + 1e-6) / 10 ** decimals, decimals).replace(/\.0$/, '');
  return minutes < 90 ? `${down(minutes, 0)} min` : `${down(minutes / 60, 1)} h`;
}

/** Up to three names that may have been meant; none where nothing is near, or more are as near. */
export function closestFew(written: string, known: Iterable<string | Aliased>): string[] {
  const names = closestNames(written, known);
  return names.length > MOST_OFFERED ? [] : names;
}

/**
 * Those that fit best, one as well as another, in their order; none where nothing is near. Each way of being near is asked
 * of all names before the next: the same words, a slip of the pen, some of the words, a likeness of letters. A name is as
 * near as the nearest of its aliases.
 */
export function closestNames(written: string, known: Iterable<string | Aliased>): string[] {
  const aliased = [...known].map((one) => (typeof one === 'string' ? { name: one, also: [] } : one));
  const asked = { text: written, words: wordsOf(written), vain: vainWords(aliased) };
  for (const { near, second } of NEARNESS) {
    const found = aliased.map(({ name, also }) =>
      Math.max(near(asked, name), ...also.map((one) => second * near(asked, one))),
    );
    const best = Math.max(0, ...found);
    if (best > 0) return aliased.flatMap(({ name }, i) => ((found[i] ?? 0) > best - 0.01 ? [name] : []));
  }
  return [];
}

/** `vain` are words that tell nothing here. */
type AskedFor = {
  readonly text: string;
  readonly words: readonly string[];
  readonly vain: ReadonlySet<string>;
};

/** Where most names hold a word, as `mic`, sharing it says nothing. */
function vainWords(names: readonly Aliased[]): Set<string> {
  const words = names.flatMap(({ name }) => [...new Set(wordsOf(name))]);
  const count = new Map<string, number>();
  for (const word of words) count.set(word, (count.get(word) ?? 0) + 1);
  return new Set(
    [...count].flatMap(([word, times]) => (names.length > 3 && times > names.length / 2 ? [word] : [])),
  );
}

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

/** Words that hold others together and say nothing of what is meant. */
const SMALL = new Set(['a', 'and', 'at', 'for', 'in', 'of', 'on', 'the', 'with']);

/** `toms` is tom, `brushes` is brush; a bass is no bas. */
const single = (word: string): string =>
  word.length > 3 ? word.replace(/(?<=s|sh|ch|x)es$|(?<=[^s])s$/, '') : word;

const lettersOf = (name: string): string => name.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');

type Nearness = { readonly near: (asked: AskedFor, name: string) => number; readonly second: number };

/** `second`: what it is worth to come so near to what a thing is also called. */
const NEARNESS: readonly Nearness[] = [
  { near: ({ text }, name) => (sameName(text, name) ? 1 : 0), second: 1 },
  { near: ({ text }, name) => likeness(text, name, 5), second: 1 },
  { near: sharedWords, second: 0.8 },
  { near: ({ text }, name) => likeness(text, name, 3), second: 0 },
];

/** `Figure_of_Eight` is figure and eight: in small letters, one word for one thing and for several, without `of`. */
export function wordsOf(name: string): string[] {
  const words = name.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
  const telling = words.filter((word) => !SMALL.has(word));
  return (telling.length > 0 ? telling : words).map(single);
}

/** The same words in whatever order, or the same letters, spelled together or apart. */
export function sameName(one: string, other: string): boolean {
  const [first, second] = [one, other].map((name) => wordsOf(name).sort().join(' '));
  return (first !== '' && first === second) || (lettersOf(one) !== '' && lettersOf(one) === lettersOf(other));
}

/** 1 for the same word, less for a short form of it ("sax") or a slip of the pen, 0 for another. */
function sameness(written: string, known: string): number {
  if (written === known) return 1;
  const slips = Math.floor(Math.max(written.length, known.length) / 4);
  const short = written.length >= 3 && known.startsWith(written);
  return short || editsBetween(written, known, slips) <= slips ? 0.75 : 0;
}

/** Letters put in, left out, replaced, or swapped with their neighbour; anything over `cap` may be returned as cap + 1. */
function editsBetween(a: string, b: string, cap: number): number {
  if (Math.abs(a.length - b.length) > cap) return cap + 1;
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      const plain = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + same);
      row.push(swapped ? Math.min(plain, (before[j - 2] ?? 0) + 1) : plain);
    }
    [before, last] = [last, row];
  }
  return last[b.length] ?? 0;
}
