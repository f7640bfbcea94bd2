/** Rows under heads, in which what is too long goes on below instead of being cut: nothing on a sheet may be lost. */
import { displayWidth, padEnd } from '../width.ts';
import { wrap } from '../wrap.ts';

const GAP = '  ';
const NARROWEST = 6;

/** One block of lines per row, the heads first. */
export function laidOut(
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  width: number,
): string[][] {
  const widths = fitted([heads, ...rows], width);
  return [heads, ...rows].map((row) => {
    const cells = row.map((cell, i) => wrap(cell, widths[i] ?? 0));
    const height = Math.max(1, ...cells.map((lines) => lines.length));
    return Array.from({ length: height }, (_, line) =>
      cells
        .map((lines, i) => padEnd(lines[line] ?? '', widths[i] ?? 0))
        .join(GAP)
        .trimEnd(),
    );
  });
}

/** The widest columns give way first. */
function fitted(rows: readonly (readonly string[])[], width: number): number[] {
  const widths = (rows[0] ?? []).map((_, i) => Math.max(...rows.map((row) => displayWidth(row[i] ?? ''))));
  const tooMuch = () => widths.reduce((sum, one) => sum + one, GAP.length * (widths.length - 1)) > width;
  while (tooMuch()) {
    const widest = Math.max(...widths);
    if (widest <= NARROWEST) break;
    widths[widths.indexOf(widest)] = widest - 1;
  }
  return widths;
}
