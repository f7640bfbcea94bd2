/** A plan as the command line names it, and the reading of it. */

import type { Finding } from '../finding.ts';
import { readText } from '../io/read.ts';
import { unreadable } from '../io/refusal.ts';
import { studioLoader } from '../io/studio.ts';
import type { From } from '../plan/file-path.ts';
import { type ReadPlan, readPlan } from '../plan/read.ts';

/** Options of every command that reads plans. */
export type PlanOptions = {
  /** What messages call a plan from standard input. */
  readonly stdinName: string;
  readonly beyondFolder?: true;
};

export type PlanFile = {
  /** `-` is standard input. */
  readonly file: string;
  readonly from: From;
};

export function planFile(file: string, { stdinName, beyondFolder: anywhere }: PlanOptions): PlanFile {
  const beyondFolder = anywhere === true;
  const load = studioLoader(file, beyondFolder);
  return { file, from: { name: file === '-' ? stdinName : file, load, beyondFolder } };
}

/** The text and what it says, faults included; or why there is no text. */
export async function readPlanFile({
  file,
  from,
}: PlanFile): Promise<(ReadPlan & { text: string }) | Finding> {
  const input = await readText(file);
  if ('problem' in input) return unreadable(from.name, input.problem);
  return { ...(await readPlan(input.text, from)), text: input.text };
}
