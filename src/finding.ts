/** What can be wrong with what the user gave us: as data, and as text with its place, source line, caret and mend. */
import { escapeControl } from './text.ts';

export type Severity = 'error' | 'warning';
/** Keys and list positions from the top of a plan: ['mics', 'voice-mic', 'at', 0]. */
export type Path = readonly (string | number)[];

export type FindingCode =
  | 'FILE_UNREADABLE' // the file is not there, a folder, too large, not permitted
  | 'PLAN_SYNTAX' // not YAML, a tab, a duplicate key, a tag, an alias bomb
  | 'PLAN_VERSION' // `spillcheck:` missing or of a version we do not read
  | 'UNKNOWN_KEY' // a key the plan format does not have
  | 'WRONG_SHAPE' // a list where a name was expected and the like
  | 'BAD_QUANTITY' // a number or unit that cannot be read
  | 'BAD_RANGE' // a number outside what makes sense
  | 'BAD_NAME' // a name that the format does not allow, or one used twice
  | 'UNKNOWN_NAME' // a target, instrument, pattern, finish … that is not there
  | 'MISSING' // a needed value that is not given
  | 'BAD_PLACE' // outside every room, two things at one point, an outline that crosses itself …
  | 'CAUTION'; // computed, but to be checked

/** One fault or caution. `path` names the plan entry; the place in the text is looked up from it when printed. */
export type Finding = {
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly path: Path;
  readonly message: string;
  /** What would mend it, where that can be said. */
  readonly mend?: string;
  /** Place in the text where the fault is known only there (syntax), counted from 0. */
  readonly offset?: number;
  /** File that holds the fault; the plan itself when left out. */
  readonly file?: string;
};

/** A value of the command line, or of a call, that cannot be read: no place in a plan belongs to it. */
export function usageError(message: string, mend: string): Finding {
  return { code: 'BAD_QUANTITY', severity: 'error', path: [], message, mend };
}

export const hasErrors = (findings: readonly Finding[]): boolean =>
  findings.some((f) => f.severity === 'error');

/** Whether one is the other, or lies within it. */
export function pathsOverlap(one: Path, other: Path): boolean {
  const [short, long] = one.length < other.length ? [one, other] : [other, one];
  return short.every((step, i) => String(step) === String(long[i]));
}

/** Faults told at once: whoever has mistaken the file has one in every line. */
export const MOST_TOLD = 100;

/** Each with the file that holds it. Of very many the first by place, and how many more there are. */
export function firstErrors(found: readonly Finding[], spotOf: (finding: Finding) => Spot): Finding[] {
  if (found.length <= MOST_TOLD) return found.map((finding) => ({ ...finding, file: spotOf(finding).file }));
  const told = byPlace(found, spotOf)
    .slice(0, MOST_TOLD)
    .map(({ finding, spot }) => ({ ...finding, file: spot.file }));
  const last = told.at(-1) as Finding;
  const message = `and ${found.length - MOST_TOLD} more faults, which are told once these are mended`;
  return [...told, { ...last, message, mend: 'begin at the top' }];
}

/** A file with its text, as places in it are shown. */
export type Source = { readonly name: string; readonly text: string };

export type Spot = {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly text: string;
};

/** All findings, sorted by file and place, each with its line of source no wider than `width` columns. */
export function frameAll(
  findings: readonly Finding[],
  spotOf: (finding: Finding) => Spot,
  width = 80,
): string {
  return byPlace(findings, spotOf)
    .map(({ finding, spot }) => frame(finding, spot, width))
    .join('\n');
}

const byPlace = (findings: readonly Finding[], spotOf: (finding: Finding) => Spot) =>
  findings
    .map((finding) => ({ finding, spot: spotOf(finding) }))
    .sort(({ spot: a }, { spot: b }) => {
      if (a.file !== b.file) return a.file < b.file ? -1 : 1;
      return a.line - b.line || a.column - b.column;
    });

/** One finding; ends in a line break. */
export function frame(finding: Finding, spot: Spot, width = 80): string {
  const head = `${escapeControl(spot.file)}:${spot.line}:${spot.column} ${finding.code} ${escapeControl(finding.message)}`;
  const mend = finding.mend ? [`  mend: ${escapeControl(finding.mend)}`] : [];
  return [head, ...caretLines(spot, width), ...mend, ''].join('\n');
}

/** Line and column, both from 1 and in characters, of an offset counted from 0 in UTF-16 units. */
export function spotAt({ name, text }: Source, offset: number, starts = lineStarts(text)): Spot {
  const end = Math.min(Math.max(offset, 0), text.length);
  let [low, high] = [0, starts.length];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((starts[middle] ?? 0) <= end) low = middle;
    else high = middle;
  }
  const start = starts[low] ?? 0;
  const line = text.slice(start, (starts[low + 1] ?? text.length + 1) - 1).replace(/\r$/, '');
  return { file: name, line: low + 1, column: [...text.slice(start, end)].length + 1, text: line };
}

/** Where each line begins: whoever asks for many spots of a text hands them on. */
export const lineStarts = (text: string): readonly number[] => [
  0,
  ...[...text.matchAll(/\n/g)].map((match) => match.index + 1),
];

const INDENT = '  ';
/** Cut to the width around the caret, so that a long line never wraps and never hides what is meant; between characters alone. */
function caretLines(spot: Spot, width: number): string[] {
  const cells = Array.from(spot.text, (one) => (one === '\t' ? ' ' : escapeControl(one)));
  if (cells.join('').trim() === '') return [];
  const room = Math.max(width - INDENT.length, 20);
  const lengthOf = (some: readonly string[]) => some.reduce((sum, cell) => sum + cell.length, 0);
  const caretAt = lengthOf(cells.slice(0, spot.column - 1));
  const wanted = Math.max(0, Math.min(caretAt - Math.floor(room / 2), lengthOf(cells) - room));
  let [first, from] = [0, 0];
  while (from < wanted) from += cells[first++]?.length ?? 1;
  let [end, used] = [first, 0];
  while (end < cells.length && used + (cells[end]?.length ?? 0) <= room) used += cells[end++]?.length ?? 0;
  return [INDENT + cells.slice(first, end).join(''), `${INDENT + ' '.repeat(caretAt - from)}^`];
}
