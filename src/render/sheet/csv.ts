/**
 * The sheet as comma-separated values (RFC 4180): the lists one below the other, the first field naming the list in each record,
 * heads first. All records are padded to one length.
 */
import type { List, Sheet } from './sheet.ts';

const LINE_END = '\r\n';

export function sheetCsv({ lists }: Sheet): string {
  const width = 1 + Math.max(0, ...lists.map(({ columns }) => columns.length));
  const records = lists.flatMap(recordsOf);
  return records.map((record) => `${padded(record, width).map(field).join(',')}${LINE_END}`).join('');
}

const recordsOf = ({ key, columns, rows }: List): string[][] => [
  [key, ...columns.map(({ head }) => head)],
  ...rows.map((row) => [key, ...row]),
];

const padded = (record: readonly string[], width: number): string[] =>
  Array.from({ length: width }, (_, i) => record[i] ?? '');

const field = (text: string): string => quoted(harmless(text));

/** RFC 4180, 2.6 and 2.7. */
const quoted = (text: string): string => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** What a spreadsheet would take for a formula, also after blanks and in full width, begins with an apostrophe instead. */
const harmless = (text: string): string => (/^\s*[=+\-@＝＋－＠|%]/.test(text) ? `'${text}` : text);
