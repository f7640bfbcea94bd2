/** The sheet as plain text, 80 columns: to be printed from anything. */
import { wrap } from '../wrap.ts';
import { laidOut } from './laid-out.ts';
import type { List, Sheet } from './sheet.ts';

const WIDTH = 80;
const INDENT = '  ';

export function sheetText({ title, lists }: Sheet): string {
  const head = wrap(title === '' ? 'Load-in sheet' : `Load-in sheet: ${title}`, WIDTH);
  return `${[head, ...lists.map(listLines)].map((lines) => lines.join('\n')).join('\n\n')}\n`;
}

function listLines({ title, columns, rows, notes }: List): string[] {
  const isUnder = (i: number) => columns[i]?.under === true;
  const main = (cells: readonly string[]) => cells.filter((_, i) => !isUnder(i));
  const heads = main(columns.map(({ head }) => head));
  const [headLines = [], ...blocks] = laidOut(heads, rows.map(main), WIDTH - INDENT.length);
  const under = (row: readonly string[]) => {
    const said = row.flatMap((cell, i) =>
      isUnder(i) && cell !== '' ? [`${columns[i]?.head}: ${cell}`] : [],
    );
    return said.length > 0 ? [said.join('; ')] : [];
  };
  const body = rows.flatMap((row, i) => [
    ...(blocks[i] ?? []).map((line) => INDENT + line),
    ...under(row).flatMap((text) => wrap(text, WIDTH, '      ', '        ')),
  ]);
  return [
    title.toUpperCase(),
    ...notes.flatMap((note) => wrap(note, WIDTH, INDENT)),
    ...(heads.length > 1 ? headLines.map((line) => INDENT + line) : []),
    ...body,
  ];
}
