/** Whether a part can be edited alone, pitch and time of it and nobody else's. */
import type { Transfer } from '../../acoustics/transfer.ts';
import { LATER_LIMITS } from '../../scene/later.ts';
import type { Mic, Scene } from '../../scene/scene.ts';
import { judgeBleed } from '../bleed.ts';
import { listenAt } from '../listening.ts';
import type { Verdict } from '../verdict.ts';
import { verdictOf } from '../verdict.ts';
import { ownMics } from './own-mics.ts';

export type EditableRow = {
  /** The worst S/B of the part at any mic for it, dB; null where no other source sounds at any, or there is no mic. */
  readonly signalToBleed: number | null;
  /** Where that is. */
  readonly mic: string | null;
  /** Null where nobody asks for it: shown, not judged. */
  readonly limit: number | null;
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  readonly remark: string | null;
};

/**
 * A part is editable alone when every mic for it reaches the limit: what is moved in one track would double with what was
 * left in another. At a mic shared with other parts, those count as bleed.
 */
export function editableRow(scene: Scene, result: Transfer, index: number): EditableRow {
  const limit = editableLimit(scene, index);
  const heard = readings(scene, result, index);
  const [first, ...rest] = heard;
  const plain = { signalToBleed: null, mic: null, limit, margin: null, verdict: null };
  if (!first) return { ...plain, remark: 'no mic of its own' };
  const worst = rest.reduce((a, b) => (rank(b) < rank(a) ? b : a), first);
  const { signalToBleed, verdict, remark } = worst;
  if (signalToBleed === null) {
    const mic = verdict === 'short' ? worst.mic : null;
    return { ...plain, mic, verdict: limit === null ? null : verdict, remark };
  }
  const margin = limit === null ? null : signalToBleed - limit;
  return {
    ...plain,
    signalToBleed,
    mic: worst.mic,
    margin,
    verdict: margin === null ? null : verdictOf(margin),
    remark: null,
  };
}

/** Null where nobody asks for one. */
export function editableLimit({ limits, parts }: Scene, index: number): number | null {
  return limits.editable.get(index) ?? (parts[index]?.later === 'tune' ? LATER_LIMITS.tune : null);
}

type Reading = {
  readonly mic: string;
  readonly signalToBleed: number | null;
  readonly verdict: Verdict | null;
  readonly remark: string | null;
};

/** The part's S/B at every capsule of every mic for it. */
function readings(scene: Scene, result: Transfer, part: number): Reading[] {
  const { alone, shared } = ownMics(scene, part);
  return [...alone, ...shared].flatMap((index): Reading[] => {
    const mic = scene.mics[index] as Mic;
    if (mic.line) return [lineReading(mic, shared.includes(index))];
    const own = forPartOnly(scene, mic, part);
    return mic.capsules.map((capsule) => ({
      mic: scene.capsules[capsule]?.name ?? mic.name,
      ...judgeBleed(listenAt(result, own, [capsule]), scene),
    }));
  });
}

const lineReading = ({ name }: Mic, shared: boolean): Reading => ({
  mic: name,
  signalToBleed: null,
  verdict: shared ? 'short' : 'clear',
  remark: shared ? 'shares a line with other parts' : 'no other source sounds',
});

function forPartOnly(scene: Scene, mic: Mic, part: number): Mic {
  const members = scene.parts[part]?.sources ?? [];
  const ofPart = (sources: readonly number[]) => sources.filter((source) => members.includes(source));
  return { ...mic, wanted: ofPart(mic.wanted), ignored: ofPart(mic.ignored) };
}

const rank = ({ signalToBleed, verdict }: Reading): number =>
  signalToBleed ?? (verdict === 'short' ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY);
