/** Rows under heads, numbers to the right, laid out to a width. */
import { cut, displayWidth } from './width.ts';

export type Column = {
  readonly head: string;
  readonly align: 'left' | 'right';
  /** May be cut short where the line would be too long, down to eight columns. */
  readonly flexible?: boolean;
};

export type Cell = { readonly text: string; readonly paint: (text: string) => string };

const GAP = '  ';
const NARROWEST = 8;

/** One line per row, the heads first. `width` counts the indent too. */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  width: number,
  indent = '  ',
): string[] {
  const heads = columns.map((column) => plain(column.head));
  const widths = fitted(columns, [heads, ...rows], width - indent.length);
  return [heads, ...rows].map((row) => {
    const cells = row.map((cell, i) => laidOut(cell, columns[i]?.align ?? 'left', widths[i] ?? 0));
    return (indent + cells.join(GAP)).trimEnd();
  });
}

export const plain = (text: string): Cell => ({ text, paint: (shown) => shown });

function laidOut(cell: Cell, align: Column['align'], width: number): string {
  const text = cut(cell.text, width);
  const space = ' '.repeat(width - displayWidth(text));
  return align === 'right' ? space + cell.paint(text) : cell.paint(text) + space;
}

function fitted(columns: readonly Column[], rows: readonly (readonly Cell[])[], width: number): number[] {
  const widths = columns.map((_, i) => Math.max(...rows.map((row) => displayWidth(row[i]?.text ?? ''))));
  const tooMuch = () => widths.reduce((sum, w) => sum + w, GAP.length * (widths.length - 1)) - width;
  while (tooMuch() > 0) {
    const widest = Math.max(...widths.filter((_, i) => columns[i]?.flexible));
    if (widest <= NARROWEST) break;
    widths[widths.findIndex((w, i) => w === widest && columns[i]?.flexible)] = widest - 1;
  }
  return widths;
}
