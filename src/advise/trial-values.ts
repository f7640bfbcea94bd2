/** What values an entry is to take in turn: a list, or a range with its step and unit. */
import type { Finding } from '../finding.ts';
import { readUncommon } from '../plan/any-unit.ts';
import { readDocument } from '../plan/document.ts';
import { type LengthUnit, type MapNode, type Node, unitsOf } from '../plan/tree.ts';

export type Values =
  | { readonly kind: 'list'; readonly nodes: readonly Node[] }
  | {
      readonly kind: 'range';
      readonly from: number;
      readonly to: number;
      /** Null for a range without: any value between is drawn. */
      readonly step: number | null;
      /** What follows each number: a unit, or words as in "dBA at 1 m"; may be empty. */
      readonly unit: string;
      readonly units: LengthUnit;
    };

const ONE_UNIT = 'write its unit once, at the end: 10..50/5 cm';
const NUMBER = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)`;
const RANGE = new RegExp(String.raw`^(${NUMBER})\s*\.\.\s*(${NUMBER})(?:\s*\/\s*(${NUMBER}))?\s*(.*)$`, 's');

/** `0..350/10`, `10..50/5 cm`, `cardioid, figure-8`, `[1, 2], [2, 2]`; ~ takes the entry out. Bare lengths are in the plan's units. */
export async function trialValues(text: string, tree: MapNode): Promise<Values | Finding> {
  const units = unitsOf(tree);
  const [, from, to, step, unit = ''] = RANGE.exec(text.trim()) ?? [];
  if (from !== undefined && to !== undefined) return rangeOf(text, [from, to, step], unit, units);
  if (text.includes('..')) return refusal(`the range "${text}" cannot be read`, ONE_UNIT);
  const { tree: read, findings } = readDocument({
    name: '--each',
    text: `units: ${units}\nvalues: [${text}]\n`,
  });
  const list = read?.kind === 'map' ? read.entries.get('values')?.node : undefined;
  if (findings.length > 0 || list?.kind !== 'list') return refusal(`"${text}" cannot be read as values`);
  if (list.items.length === 0) return refusal('no values are given');
  await readUncommon(list);
  return { kind: 'list', nodes: list.items };
}

function rangeOf(
  text: string,
  [from, to, step]: readonly [string, string, string | undefined],
  unit: string,
  units: LengthUnit,
): Values | Finding {
  if (unit.includes('..') || unit.includes('/')) {
    return refusal(`the range "${text}" cannot be read`, ONE_UNIT);
  }
  const size = step === undefined ? null : Math.abs(Number(step));
  if (size === 0) return refusal(`the range "${text}" has a step of nothing`, 'write 0..350/10');
  return { kind: 'range', from: Number(from), to: Number(to), step: size, unit: unit.trim(), units };
}

/** How many values there are; null for a range without a step. */
export function countOf(values: Values): number | null {
  if (values.kind === 'list') return values.nodes.length;
  const { from, to, step } = values;
  return step === null ? null : Math.floor(Math.abs(to - from) / step + 1e-9) + 1;
}

export function valueAt(values: Values, index: number): Node {
  if (values.kind === 'list') return values.nodes[index] as Node;
  const { from, to, step } = values;
  return numberNode(values, from + Math.sign(to - from) * index * (step ?? 0));
}

/** A share of the way through, 0 to below 1: of a list, or a range with a step, one of its values. */
export function valueDrawn(values: Values, share: number): Node {
  const count = countOf(values);
  if (count !== null) return valueAt(values, Math.min(count - 1, Math.floor(share * count)));
  const { from, to } = values as Extract<Values, { kind: 'range' }>;
  return numberNode(values as Extract<Values, { kind: 'range' }>, from + share * (to - from));
}

/** To nine figures, so that 0.1 thrice is 0.3. */
function numberNode({ unit, units }: Extract<Values, { kind: 'range' }>, exact: number): Node {
  const value = Number(exact.toPrecision(9));
  const text = unit === '' ? String(value) : `${value} ${unit}`;
  return { kind: 'scalar', value: unit === '' ? value : text, text, units, mark: NOWHERE, foreign: null };
}

const NOWHERE = { source: { name: '--each', text: '' }, offset: 0 };

const refusal = (
  message: string,
  mend = 'write a range as 0..350/10, or a list as cardioid, omni',
): Finding => ({
  code: 'BAD_QUANTITY',
  severity: 'error',
  path: [],
  message,
  mend,
});
