/** Margins of one part: its ghost, and editing it alone, where a limit asks for them. */
import type { Transfer } from '../acoustics/transfer.ts';
import { editableLimit, editableRow } from '../judge/parts/editable.ts';
import { ghostOf } from '../judge/parts/ghost.ts';
import type { Mix } from '../judge/parts/mix.ts';
import { ghostLimit } from '../judge/parts/parts.ts';
import type { Scene } from '../scene/scene.ts';
import type { MarginRow } from './margin.ts';

export function partMargins(scene: Scene, result: Transfer, mix: Mix, part: number): MarginRow[] {
  return [...ghostMargin(scene, mix, part), ...editableMargin(scene, result, part)];
}

function ghostMargin(scene: Scene, mix: Mix, part: number): MarginRow[] {
  const limit = ghostLimit(scene, part);
  if (limit === null) return [];
  const { kind, level } = ghostOf(scene, mix, part);
  if (kind === 'no mic' || kind === 'never sounds') return [];
  const name = scene.parts[part]?.name ?? '';
  if (kind === 'nothing stays') return [{ kind: 'ghost', name, margin: Number.POSITIVE_INFINITY }];
  return [{ kind: 'ghost', name, margin: level === null ? Number.NEGATIVE_INFINITY : limit - level }];
}

function editableMargin(scene: Scene, result: Transfer, part: number): MarginRow[] {
  if (editableLimit(scene, part) === null) return [];
  const { margin, verdict } = editableRow(scene, result, part);
  if (verdict === null) return [];
  const end = verdict === 'short' ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  return [{ kind: 'editable', name: scene.parts[part]?.name ?? '', margin: margin ?? end }];
}
