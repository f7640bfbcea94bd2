/** What can be done with each part afterwards: replaced, edited alone, or neither. */
import type { Transfer } from '../../acoustics/transfer.ts';
import { LATER_LIMITS } from '../../scene/later.ts';
import type { Later, Part, Scene } from '../../scene/scene.ts';
import { type Basis, partBasis } from '../basis.ts';
import type { Verdict } from '../verdict.ts';
import { verdictOf } from '../verdict.ts';
import { type EditableRow, editableRow } from './editable.ts';
import { type Ghost, ghostOf } from './ghost.ts';
import { type Mix, mixOf } from './mix.ts';
import { ownMics } from './own-mics.ts';

/** Most that may stay of a part that is to be replaced, dB. Common practice, no source. */
export const GHOST_LIMIT = -25;

export type PartRow = {
  readonly name: string;
  readonly later: Later;
  /** Mics and lines for it, alone or with others. */
  readonly mics: readonly string[];
  /** What stays of it when its own mics are muted, re the part in the mix, dB; null where the remark says why. */
  readonly ghost: number | null;
  /** Null where nobody asks for it: shown, not judged. */
  readonly limit: number | null;
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  readonly remark: string | null;
  /** Every mic of the part stays; `because` holds most of it. */
  readonly committed: { readonly because: string } | null;
  /** The mic that holds most of what stays. */
  readonly mostIn: string | null;
  /** The worst passage; null where the plan has none. */
  readonly passage: string | null;
  readonly editable: EditableRow;
  /** Ghost within its limit (−25 dB where none is given) and S/B of 10 dB at every mic for it; null without a mic. */
  readonly replaceable: boolean | null;
  /** Whether what its figures rest on was measured; null without readings of the day. */
  readonly basis: Basis | null;
};

/** Every part, in the order of the scene. */
export function judgeParts(scene: Scene, result: Transfer): PartRow[] {
  const mix = mixOf(scene, result);
  return scene.parts.map((part, index) => partRow(scene, result, mix, { part, index }));
}

type Indexed = { readonly part: Part; readonly index: number };

function partRow(scene: Scene, result: Transfer, mix: Mix, { part, index }: Indexed): PartRow {
  const ghost = ghostOf(scene, mix, index);
  const editable = editableRow(scene, result, index);
  const limit = ghostLimit(scene, index);
  const { alone, shared } = ownMics(scene, index);
  return {
    name: part.name,
    later: part.later,
    mics: [...alone, ...shared].map((mic) => scene.mics[mic]?.name ?? ''),
    ghost: ghost.level,
    limit,
    ...judged(ghost, limit),
    remark: REMARKS[ghost.kind],
    committed:
      ghost.kind === 'committed' ? { because: ghost.mostIn ?? scene.mics[shared[0] ?? 0]?.name ?? '' } : null,
    mostIn: ghost.kind === 'committed' ? null : ghost.mostIn,
    passage: ghost.passage,
    editable,
    replaceable: replaceable(ghost, limit ?? GHOST_LIMIT, editable),
    basis: partBasis(scene, part.sources),
  };
}

/** Null where nobody asks for one. */
export function ghostLimit({ limits, parts }: Scene, index: number): number | null {
  return limits.ghost.get(index) ?? (parts[index]?.later === 'replace' ? GHOST_LIMIT : null);
}

const REMARKS: Readonly<Record<Ghost['kind'], string | null>> = {
  level: null,
  committed: 'committed: every mic for it is for others too',
  'no mic': 'no mic of its own',
  'nothing stays': 'nothing of it stays',
  'nothing own': 'its own mics get nothing of it',
  'never sounds': 'sounds in no passage',
};

/** Words where there is no figure: a demand on a part without a mic, or one that never sounds, can be neither met nor missed. */
const VERDICTS: Readonly<Record<Exclude<Ghost['kind'], 'level'>, Verdict | null>> = {
  committed: 'short',
  'no mic': null,
  'nothing stays': 'clear',
  'nothing own': 'short',
  'never sounds': null,
};

function judged({ kind, level }: Ghost, limit: number | null): Pick<PartRow, 'margin' | 'verdict'> {
  if (limit === null) return { margin: null, verdict: null };
  if (kind !== 'level') return { margin: null, verdict: VERDICTS[kind] };
  const margin = limit - (level ?? 0);
  return { margin, verdict: verdictOf(margin) };
}

function replaceable({ kind, level }: Ghost, limit: number, editable: EditableRow): boolean | null {
  if (kind === 'no mic' || kind === 'never sounds') return null;
  const gone = kind === 'nothing stays' || (level !== null && level <= limit);
  return gone && clean(editable);
}

/** Without other sources at any of its mics there is no figure, and nothing to spoil. */
function clean({ signalToBleed, mic }: EditableRow): boolean {
  return signalToBleed === null ? mic === null : signalToBleed >= LATER_LIMITS.replace;
}
