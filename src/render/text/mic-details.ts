import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { MicRow } from '../../judge/report.ts';
import { figure, octaves } from '../words.ts';
import { wrap } from '../wrap.ts';
import { bleederLines } from './bleeders.ts';
import { cures } from './cures.ts';
import type { InUnits, Layout } from './layout.ts';

/** Own octaves and all octaves that differ by less need no telling apart, dB. */
const SAME_FIGURE = 3;
/** What stands under a row is set in by this. */
export const INDENT = '      ';

/** What stands under a microphone's row: its other figures, what spills into it, what that is made of and what helps. */
export function details(mic: MicRow, layout: Layout & InUnits, heading?: string): string[] {
  const phrases = [...basis(mic), ...(mic.remark === null ? [] : [mic.remark])];
  const title = heading === undefined ? '' : `${heading}: `;
  const about = phrases.length > 0 ? wrap(title + phrases.join('; '), layout.width, INDENT) : [];
  const helps = cures(mic).flatMap((phrase) => wrap(phrase, layout.width, INDENT, `${INDENT}  `));
  return [...about, ...bleederLines(mic, layout, INDENT), ...helps];
}

/** In which octaves it is judged, and the figures that stand beside the judged one. */
function basis(mic: MicRow): string[] {
  const { signalToBleed: judged, signalToBleedUnweighted: whole, signalToDirectBleed: direct } = mic;
  if (judged === null) return [];
  const differs = whole !== null && Math.abs(whole - judged) >= SAME_FIGURE;
  return [
    `judged in ${octaves(mic.judgedBands, NOMINAL_BANDS)}`,
    ...limitPhrase(mic.limitFrom),
    ...(differs ? [`${figure(whole, 1)} dB unweighted`] : []),
    ...(direct === null || figure(direct, 1) === figure(judged, 1)
      ? []
      : [`${figure(direct, 1)} dB against the direct bleed alone`]),
  ];
}

/** "limits" where the plan sets it, else what is to be done with the part later. */
function limitPhrase(from: string | null): string[] {
  if (from === null) return [];
  return [from === 'limits' ? 'limit set in the plan' : `limit for later: ${from}`];
}
