/** Formats of the load-in sheet and of rows of `try`. CSV follows RFC 4180. */
import type { Node } from '../plan/document.ts';
import { plainInline } from '../plan/edit.ts';
import { type Sheet, sheetView } from '../report/sheet.ts';
import type { TrialRow } from '../suggest/sweep.ts';
import { escapeControl, jsonText } from '../text.ts';
import { sheetPage } from './html.ts';
import { sheetJson, thousandth } from './json.ts';
import { renderText } from './text.ts';

/** One record without its line end, quoted as in RFC 4180, 2.6 and 2.7. */
const record = (cells: readonly string[]): string =>
  cells.map((cell) => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join(',');

/** An apostrophe before anything but a number that a spreadsheet would take for a formula, after spaces and in full width too. */
const noFormula = (text: string): string =>
  /^\s*[=+\-@＝＋－＠|%]/.test(text) && !/^-\d+(?:\.\d+)?(?:e[+-]\d+)?$/.test(text) ? `'${text}` : text;

/** Each list under its heads, with the list's key in the first column; all records are equally long. */
function sheetCsv({ lists }: Sheet): string {
  const records = lists.flatMap(({ key, columns, rows }) =>
    [columns.map(({ head }) => head), ...rows].map((row) => [key, ...row]),
  );
  const width = Math.max(0, ...records.map(({ length }) => length));
  return records
    .map((cells) => `${record(Array.from({ length: width }, (_, i) => noFormula(cells[i] ?? '')))}\r\n`)
    .join('');
}

/** Plain text of 80 columns, for any printer. */
const sheetText = (sheet: Sheet): string => renderText(sheetView(sheet), { width: 80, colour: false });

/** Formats of a load-in sheet. */
export const sheetFormats = { text: sheetText, csv: sheetCsv, html: sheetPage, json: sheetJson } as const;
export type SheetFormat = keyof typeof sheetFormats;
type TrialHeads = { readonly axes: readonly string[]; readonly columns: readonly string[] };

type TrialFormat = {
  /** Written before the rows. */
  readonly head: (heads: TrialHeads) => string;
  readonly row: (row: TrialRow, heads: TrialHeads) => string;
};

const line = (cells: readonly string[]): string =>
  `${record(cells.map((cell) => noFormula(escapeControl(cell))))}\n`;

const csv: TrialFormat = {
  head: ({ axes, columns }) => line(['row', ...axes, ...columns, 'error']),
  row: ({ row, values, results, fault }) =>
    line([
      String(row),
      ...values.map(plainInline),
      ...results.map((result) => String(thousandth(result) ?? '')),
      fault ?? '',
    ]),
};

/** One JSON object per line: shared/schemas/try.schema.json. */
const ndjson: TrialFormat = {
  head: () => '',
  row: ({ row, values, results, fault }, { axes, columns }) => {
    const shape = {
      spillcheck: 1,
      command: 'try',
      row,
      values: Object.fromEntries(values.map((value, i) => [axes[i], plainValue(value)])),
      results: Object.fromEntries(results.map((result, i) => [columns[i], thousandth(result)])),
      error: fault,
    };
    return `${jsonText(shape)}\n`;
  },
};

/** Finite numbers, words and booleans as they are; anything else as written in a plan. */
const plainValue = (node: Node): string | number | boolean | null =>
  node.kind === 'scalar' && (typeof node.value !== 'number' || Number.isFinite(node.value))
    ? node.value
    : plainInline(node);

export const trialFormats = { csv, ndjson } satisfies Record<string, TrialFormat>;
export type TrialFormatName = keyof typeof trialFormats;
export const isTrialFormat = (name: string): name is TrialFormatName => Object.hasOwn(trialFormats, name);
