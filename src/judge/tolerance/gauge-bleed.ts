/** S/B of every capsule and pair as it is judged, and nothing else of it: read some thousand times. */
import { decibels } from '../../acoustics/bands.ts';
import { weightedSum } from '../../acoustics/weighting.ts';
import type { Mic, Passage, Scene } from '../../scene/scene.ts';
import { heard, type Listening, listenAt, sidesOf } from '../listening.ts';
import { weightsFor } from '../weights.ts';
import type { Gauge } from './gauge.ts';

/** Capsules and pairs that are judged, by name, in the worst passage in which their own source sounds. */
export function bleedGauge(scene: Scene): Gauge {
  const rows = judgedRows(scene);
  return {
    kind: 'signal-to-bleed',
    rows: rows.map(({ name, mic }) => ({ name, limit: mic.limit })),
    limitIs: 'least',
    read: (varied, result) =>
      rows.map(({ mic, capsules }) => worstRatio(varied, listenAt(result, mic, capsules))),
  };
}

type Row = { readonly name: string; readonly mic: Mic; readonly capsules: readonly number[] };

function judgedRows({ capsules, mics }: Scene): Row[] {
  const single = capsules.map(({ name, mic }, i): Row => ({ name, mic: mics[mic] as Mic, capsules: [i] }));
  const pairs = mics.filter((mic) => mic.capsules.length > 1);
  const rows = [...single, ...pairs.map((mic): Row => ({ name: mic.name, mic, capsules: mic.capsules }))];
  return rows.filter(({ mic }) => mic.purpose === 'parts');
}

/** Null for a mic whose own source never sounds. */
function worstRatio({ passages, limits }: Scene, listening: Listening): number | null {
  const ratios = passages.flatMap((passage) => {
    const ratio = ratioIn(listening, passage, limits.weighting);
    return ratio === null ? [] : [ratio];
  });
  return ratios.length > 0 ? Math.min(...ratios) : null;
}

/** −∞ where the mic gets nothing of its own, +∞ where it gets nothing else; null where its own does not sound. */
function ratioIn(
  listening: Listening,
  passage: Passage,
  weighting: Scene['limits']['weighting'],
): number | null {
  const { wanted, bleeders } = sidesOf(listening.mic, passage);
  if (wanted.length === 0) return null;
  const signal = heard(listening, wanted, { filtered: true });
  const weights = weightsFor(weighting, signal);
  const own = weightedSum(signal, weights);
  if (own <= 0) return Number.NEGATIVE_INFINITY;
  return decibels(own) - decibels(weightedSum(heard(listening, bleeders, { filtered: true }), weights));
}
