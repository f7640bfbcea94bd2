/** Rows of trials as text, one line each: CSV (RFC 4180), or JSON a line (shape version 1: shared/schemas/try.schema.json). */
import { flowText } from '../advise/flow-text.ts';
import type { TrialRow } from '../advise/try-all.ts';
import type { Node, Scalar } from '../plan/tree.ts';
import { visible } from '../plan/visible.ts';
import { jsonText } from './json-text.ts';

export type TrialHeads = { readonly axes: readonly string[]; readonly columns: readonly string[] };

type TrialFormat = {
  /** What stands before the rows. */
  readonly head: (heads: TrialHeads) => string;
  readonly row: (row: TrialRow, heads: TrialHeads) => string;
};

const csv: TrialFormat = {
  head: ({ axes, columns }) => line(['row', ...axes, ...columns, 'fault']),
  row: ({ row, values, figures, fault }) =>
    line([
      String(row),
      ...values.map(flowText),
      ...figures.map((figure) => String(rounded(figure) ?? '')),
      fault ?? '',
    ]),
};

const ndjson: TrialFormat = {
  head: () => '',
  row: ({ row, values, figures, fault }, { axes, columns }) => {
    const shape = {
      spillcheck: 1,
      command: 'try',
      row,
      values: Object.fromEntries(values.map((value, i) => [axes[i], plainValue(value)])),
      figures: Object.fromEntries(figures.map((figure, i) => [columns[i], rounded(figure)])),
      fault,
    };
    return `${jsonText(shape)}\n`;
  },
};

export const trialFormats = { csv, ndjson } satisfies Record<string, TrialFormat>;
export type TrialFormatName = keyof typeof trialFormats;
export const isTrialFormat = (name: string): name is TrialFormatName => Object.hasOwn(trialFormats, name);

const line = (cells: readonly string[]): string => `${cells.map(cell).join(',')}\n`;

const cell = (text: string): string => quoted(visible(text));

const quoted = (text: string): string => (/[",]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** A bare number or word as it is, all else as one would write it in a plan. */
const plainValue = (node: Node): string | number | boolean | null =>
  node.kind === 'scalar' && isPlain(node.value) ? node.value : flowText(node);

/** JSON has no number without end, and none that is none. */
const isPlain = (value: Scalar['value']): boolean => typeof value !== 'number' || Number.isFinite(value);

/** To 0.001; null for what is not there. */
function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}
