/** A finding as text: place, code and message, the source line with a caret, and what would mend it. */
import type { Finding } from '../finding.ts';
import type { Source } from './tree.ts';

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
  const head = `${visible(spot.file)}:${spot.line}:${spot.column} ${finding.code} ${visible(finding.message)}`;
  const lines = [head, ...caretLines(spot, width)];
  if (finding.mend) lines.push(`  mend: ${visible(finding.mend)}`);
  return `${lines.join('\n')}\n`;
}

function inOrder(a: Spot, b: Spot): number {
  if (a.file !== b.file) return a.file < b.file ? -1 : 1;
  return a.line - b.line || a.column - b.column;
}

/** Line and column, both from 1 and in characters, of an offset counted from 0 in UTF-16 units. */
export function spotAt({ name, text }: Source, offset: number): Spot {
  const starts = lineStarts(text);
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

/** Kept for the text last asked for: findings come by the file. */
let lines: { text: string; starts: number[] } = { text: '', starts: [0] };

function lineStarts(text: string): number[] {
  if (lines.text !== text)
    lines = { text, starts: [0, ...[...text.matchAll(/\n/g)].map((match) => match.index + 1)] };
  return lines.starts;
}

const INDENT = '  ';

/** Cut to the width around the caret, so that a long line never wraps and never hides what is meant. */
function caretLines(spot: Spot, width: number): string[] {
  const cells = [...spot.text].map(visible);
  const room = Math.max(width - INDENT.length, 20);
  const caretAt = cells.slice(0, spot.column - 1).join('').length;
  const whole = cells.join('');
  if (whole.trim() === '') return [];
  const from =
    whole.length <= room ? 0 : Math.max(0, Math.min(caretAt - Math.floor(room / 2), whole.length - room));
  return [INDENT + whole.slice(from, from + room), `${INDENT + ' '.repeat(caretAt - from)}^`];
}

/** Control characters, and those that turn the direction of writing, as escapes: nothing from a plan steers a terminal. */
export function visible(text: string): string {
  return text.replace(/[\p{Cc}\p{Zl}\p{Zp}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/gu, (char) => {
    const code = char.charCodeAt(0).toString(16);
    return code.length <= 2 ? `\\x${code.padStart(2, '0')}` : `\\u${code.padStart(4, '0')}`;
  });
}
