/** One plan held against its limits, every row and fault with its place in the text. */
import type { Finding } from '../finding.ts';
import { fromHere, type Named } from '../io/plan-files.ts';
import type { CheckedPlan, Place, PlacedFinding } from '../judge/limits/checked.ts';
import { limitRows } from '../judge/limits/limits.ts';
import { visible } from '../plan/visible.ts';
import { type Examined, examinePlan } from './examine-plan.ts';
import { type PlanOptions, planFile } from './plan-file.ts';

/** Null where readings were refused, which has then been said. */
export async function checkPlan(
  { name, file }: Named,
  options: PlanOptions & { readonly readings: readonly string[] },
): Promise<CheckedPlan | null> {
  const start = performance.now();
  const named = planFile(file ?? name, options);
  const examined = file === null ? matchesNothing(name) : await examinePlan(named, options.readings);
  if (examined.refused) return null;
  return { ...checkedOf(examined, named.from.name), seconds: (performance.now() - start) / 1000 };
}

export function checkedOf(examined: Examined, name: string): Omit<CheckedPlan, 'seconds'> {
  const { judged, text } = examined;
  const rows = judged ? limitRows(judged.scene, judged.report) : [];
  return {
    name,
    title: judged?.scene.title ?? '',
    limits: rows.flatMap((row) => (text ? { ...row, place: placeAt(text.locate(row.path, 'key')) } : [])),
    readings: judged?.readings ?? null,
    faults: faultsOf(examined, name),
  };
}

const matchesNothing = (pattern: string): Examined => ({
  findings: [
    {
      code: 'FILE_UNREADABLE',
      severity: 'error',
      path: [],
      message: `${pattern} matches no file`,
      mend: 'see that it is written from here, and that its files are there',
    },
  ],
  text: null,
  judged: null,
});

/** Errors by place; a caution is for `report` to tell. */
function faultsOf({ findings, text }: Examined, name: string): PlacedFinding[] {
  const faults = findings
    .filter(({ severity }) => severity === 'error')
    .map((finding) => placed(finding, text, name));
  return faults.sort((a, b) => inOrder(a.place, b.place));
}

function placed(finding: Finding, text: Examined['text'], name: string): PlacedFinding {
  if (text) return { ...finding, place: placeAt(text.spotOf(finding)), shown: text.show([finding]) };
  const mend = finding.mend === undefined ? '' : `  mend: ${visible(finding.mend)}\n`;
  return {
    ...finding,
    place: { file: fromHere(name), line: null, column: null },
    shown: `${finding.code} ${visible(finding.message)}\n${mend}`,
  };
}

const placeAt = ({ file, line, column }: { file: string; line: number; column: number }): Place => ({
  file: fromHere(file),
  line,
  column,
});

function inOrder(a: Place, b: Place): number {
  if (a.file !== b.file) return a.file < b.file ? -1 : 1;
  return (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0);
}
