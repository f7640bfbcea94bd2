/** Comma-separated values as lines of cells, and whether they make a table by angle. */
import { TABLE_KEY } from './schema-bands.ts';
import type { Fault } from './schema-frame.ts';
import { shown } from './tree.ts';

/** Far above a table of every tenth of a degree. */
const MOST_ROWS = 2000;

/** Numbers count from 1, remarks and empty lines too. */
export type Line = { readonly number: number; readonly cells: readonly string[] };

/** Every line that is neither empty nor a remark, which begins with #. */
export function linesOf(text: string): Line[] {
  const lines = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  const written = lines.map((line, i) => ({ line: line.trim(), number: i + 1 }));
  return written
    .filter(({ line }) => line !== '' && !line.startsWith('#'))
    .map(({ line, number }) => ({ number, cells: line.split(',').map(cellOf) }));
}

const cellOf = (cell: string): string =>
  cell
    .trim()
    .replace(/^"(.*)"$/, '$1')
    .normalize('NFC');

/** What keeps lines from being a table; messages go on from the name of the file. */
export function shapeFaults(header: Line | undefined, rows: readonly Line[]): Fault[] {
  const wanted = `write a line such as ${TABLE_KEY},125,1000`;
  if (!header) return [fault('which holds no line', wanted)];
  const [first = ''] = header.cells;
  if (first !== TABLE_KEY) {
    const message = `whose cell 1 in line ${header.number} must be ${TABLE_KEY}, got ${shown(first)}`;
    return [fault(message, `${wanted}: cells are parted by commas`)];
  }
  if (header.cells.length < 2) return [fault(`whose line ${header.number} names no band`, wanted)];
  if (rows.length < 2) return [fault('whose lines must give at least two angles, 0 and 180', 'add them')];
  if (rows.length > MOST_ROWS)
    return [fault(`whose ${rows.length} angles are more than ${MOST_ROWS}`, 'take fewer angles')];
  return [...repeats(header), ...uneven(header, rows)];
}

function repeats({ number, cells }: Line): Fault[] {
  const twice = cells.flatMap((cell, i) => (cells.indexOf(cell) < i ? [i] : []));
  return twice.map((i) =>
    fault(`whose cell ${i + 1} in line ${number} repeats ${shown(cells[i] ?? '')}`, 'take one out'),
  );
}

function uneven(header: Line, rows: readonly Line[]): Fault[] {
  const wanted = header.cells.length;
  return rows
    .filter(({ cells }) => cells.length !== wanted)
    .map(({ number, cells }) => {
      const found = cells.length === 1 ? '1 cell' : `${cells.length} cells`;
      const message = `whose line ${number} has ${found}, where the header has ${wanted}`;
      return fault(message, 'write an angle and one number for each band; decimals take a point');
    });
}

const fault = (message: string, mend: string): Fault => ({ code: 'WRONG_SHAPE', message, mend });
