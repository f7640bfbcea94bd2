/** `spillcheck sheet`: the load-in sheet, for whoever sets up. */

import { type SheetFormat, sheetFormats } from '../render/sheet/formats.ts';
import { makeSheet } from '../render/sheet/make-sheet.ts';
import { deliver, overwritesPlan } from './deliver.ts';
import { judgePlan } from './judge-plan.ts';
import { type PlanOptions, planFile } from './plan-file.ts';

export type SheetOptions = PlanOptions & {
  readonly format: SheetFormat;
  readonly json?: true;
  readonly output: string;
};

/** Exit code: 0 done, 2 refused. */
export async function sheet(file: string, options: SheetOptions): Promise<0 | 2> {
  if (await overwritesPlan(file, options.output)) return 2;
  const judged = await judgePlan(planFile(file, options));
  if (!judged) return 2;
  const format = sheetFormats[options.json ? 'json' : options.format];
  return deliver(format(makeSheet(judged)), options.output);
}
