/** Findings as text for people: place, source line, caret and mend. */
import type { Finding } from '../finding.ts';
import { escapeControl } from '../text.ts';
import type { Source } from './document.ts';

/** Faults told at once: whoever has mistaken the file has one in every line. */
export const MOST_TOLD = 100;

/** Each with the file that holds it. Of very many the first by place, and how many more there are. */
export function firstErrors(found: readonly Finding[], spotOf: (finding: Finding) => Spot): Finding[] {
  if (found.length <= MOST_TOLD) return found.map((finding) => ({ ...finding, file: spotOf(finding).file }));
  const placed = found.map((finding) => ({ finding, spot: spotOf(finding) }));
  placed.sort((a, b) => inOrder(a.spot, b.spot));
  const told = placed.slice(0, MOST_TOLD).map(({ finding, spot }) => ({ ...finding, file: spot.file }));
  const last = told.at(-1) as Finding;
  const message = `and ${found.length - MOST_TOLD} more faults, which are told once these are mended`;
  return [...told, { ...last, message, mend: 'begin at the top' }];
}

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
  const placed = findings.map((finding) => ({ finding, spot: spotOf(finding) }));
  placed.sort((a, b) => inOrder(a.spot, b.spot));
  return placed.map(({ finding, spot }) => frame(finding, spot, width)).join('\n');
}

/** One finding; ends in a line break. */
export function frame(finding: Finding, spot: Spot, width = 80): string {
  const head = `${escapeControl(spot.file)}:${spot.line}:${spot.column} ${finding.code} ${escapeControl(finding.message)}`;
  const lines = [head, ...caretLines(spot, width)];
  if (finding.mend) lines.push(`  mend: ${escapeControl(finding.mend)}`);
  return `${lines.join('\n')}\n`;
}

function inOrder(a: Spot, b: Spot): number {
  if (a.file !== b.file) return a.file < b.file ? -1 : 1;
  return a.line - b.line || a.column - b.column;
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
