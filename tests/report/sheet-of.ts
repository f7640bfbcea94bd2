/** Load-in sheets of plans given as text. */

import { judge } from '../../src/judge/judge.ts';
import { readPlan } from '../../src/plan/plan.ts';
import type { Sheet } from '../../src/report/sheet.ts';
import { makeSheet } from '../../src/report/sheet.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { catalogue } from '../scene/resolved.ts';

export async function sheetOf(text: string, studios: Readonly<Record<string, string>> = {}): Promise<Sheet> {
  const load = async (path: string) => {
    const studio = studios[path];
    return studio === undefined ? { problem: 'there is none' } : { text: studio };
  };
  const { plan, findings, show } = await readPlan(`spillcheck: 1\n${text}`, {
    name: 'plan.yaml',
    load,
  });
  const resolved = plan && resolve(plan, catalogue);
  const scene = resolved?.scene;
  if (!plan || !scene) throw new Error(show([...findings, ...(resolved?.findings ?? [])]));
  return makeSheet({ scene, report: judge(scene, transfer(scene)), plan });
}

/** Cells of the row that `name` stands in, by head; of two like heads the second has a prime. */
export function rowOf(sheet: Sheet, list: string, name: string): Readonly<Record<string, string>> {
  const { columns = [], rows = [] } = sheet.lists.find(({ key }) => key === list) ?? {};
  const naming = Math.max(
    0,
    columns.findIndex(({ naming }) => naming === true),
  );
  const row = rows.find((cells) => cells[naming] === name);
  if (!row) throw new Error(`no ${name} in ${list}`);
  const cells: Record<string, string> = {};
  for (const [i, { head }] of columns.entries()) cells[head in cells ? `${head}′` : head] = row[i] ?? '';
  return cells;
}
