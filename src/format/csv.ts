/** RFC 4180 writer, ndjson. */

import type { Node, Scalar } from '../plan/document.ts';
import { flowText } from '../plan/nodes.ts';
import type { List, Sheet } from '../report/view.ts';
import { rounded } from '../statistics.ts';
import type { TrialRow } from '../suggest/sweep.ts';
import { visible } from '../text.ts';
import { jsonText } from './ci.ts';

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

// Rows of trials as text, one line each: CSV (RFC 4180), or JSON a line (shape version 1: shared/schemas/try.schema.json).

type TrialHeads = { readonly axes: readonly string[]; readonly columns: readonly string[] };

type TrialFormat = {
  /** What stands before the rows. */
  readonly head: (heads: TrialHeads) => string;
  readonly row: (row: TrialRow, heads: TrialHeads) => string;
};

const line = (cells: readonly string[]): string => `${cells.map(cell).join(',')}\n`;

const cell = (text: string): string => trialQuoted(visible(text));

const trialQuoted = (text: string): string => (/[",]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

const csv: TrialFormat = {
  head: ({ axes, columns }) => line(['row', ...axes, ...columns, 'fault']),
  row: ({ row, values, figures, fault }) =>
    line([
      String(row),
      ...values.map(flowText),
      ...figures.map((figure) => String(thousandth(figure) ?? '')),
      fault ?? '',
    ]),
};

/** A bare number or word as it is, all else as one would write it in a plan. */
const plainValue = (node: Node): string | number | boolean | null =>
  node.kind === 'scalar' && isPlain(node.value) ? node.value : flowText(node);

/** JSON has no number without end, and none that is none. */
const isPlain = (value: Scalar['value']): boolean => typeof value !== 'number' || Number.isFinite(value);

const ndjson: TrialFormat = {
  head: () => '',
  row: ({ row, values, figures, fault }, { axes, columns }) => {
    const shape = {
      spillcheck: 1,
      command: 'try',
      row,
      values: Object.fromEntries(values.map((value, i) => [axes[i], plainValue(value)])),
      figures: Object.fromEntries(figures.map((figure, i) => [columns[i], thousandth(figure)])),
      fault,
    };
    return `${jsonText(shape)}\n`;
  },
};

export const trialFormats = { csv, ndjson } satisfies Record<string, TrialFormat>;

export type TrialFormatName = keyof typeof trialFormats;

export const isTrialFormat = (name: string): name is TrialFormatName => Object.hasOwn(trialFormats, name);

/** To 0.001; null for what is not there. */
function thousandth(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return rounded(value, 3);
}
