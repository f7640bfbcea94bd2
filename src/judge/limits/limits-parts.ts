/** What must not stay of a part that is replaced, and how cleanly one that is edited alone stands in its own mics. */
import type { Part, Scene } from '../../scene/scene.ts';
import type { PartRow } from '../parts/parts.ts';
import type { Report } from '../report.ts';
import type { Unfounded } from './limit-row.ts';

/** Two rows for a part at most: only of what the plan asks for, in its limits or by `later`. */
export function partLimits(scene: Scene, { parts }: Report): Unfounded[] {
  return scene.parts.flatMap((part, i) => {
    const row = parts[i];
    return row ? [...ghostLimit(part, row), ...editableLimit(part, row)] : [];
  });
}

function ghostLimit({ path }: Part, row: PartRow): Unfounded[] {
  const { name, ghost, limit, margin, verdict, mostIn, passage } = row;
  if (limit === null) return [];
  const where = [
    ...(mostIn === null ? [] : [`most of it in ${mostIn}`]),
    ...(passage === null ? [] : [`in ${passage}`]),
  ];
  const remark = row.remark ?? (where.join(', ') || null);
  return [{ kind: 'ghost', about: [name], path, reached: ghost, limit, margin, verdict, remark }];
}

function editableLimit({ path }: Part, { name, editable }: PartRow): Unfounded[] {
  const { signalToBleed: reached, limit, margin, verdict, mic } = editable;
  if (limit === null) return [];
  const remark = editable.remark ?? (mic === null ? null : `at ${mic}`);
  return [{ kind: 'editable', about: [name], path, reached, limit, margin, verdict, remark }];
}
