/** Signal to bleed of every microphone; each capsule of a pair must meet the limit of the pair. */
import type { Mic, Scene } from '../../scene/scene.ts';
import type { Report } from '../report.ts';
import type { MicRow } from '../rows.ts';
import type { Unfounded } from './limit-row.ts';

/** A plan without a microphone for some player or part has one row, which says so. */
export function bleedLimits(scene: Scene, { mics }: Report): Unfounded[] {
  const rows = scene.capsules.flatMap((capsule, i) => {
    const [mic, row] = [scene.mics[capsule.mic], mics[i]];
    return mic && row && mic.purpose === 'parts' ? [bleedLimit(mic, row)] : [];
  });
  return rows.length > 0 ? rows : [NOTHING_TO_JUDGE];
}

const bleedLimit = (mic: Mic, row: MicRow): Unfounded => ({
  kind: 'signal-to-bleed',
  about: [row.name],
  path: mic.path,
  reached: row.signalToBleed,
  limit: mic.limit,
  margin: row.margin,
  verdict: row.verdict,
  remark: row.remark ?? setting(row),
});

function setting({ limitFrom, passage }: MicRow): string {
  const from = limitFrom === 'limits' ? 'as the limits say' : `for later: ${limitFrom}`;
  return passage === null ? from : `${from}, at worst in ${passage}`;
}

const NOTHING_TO_JUDGE: Unfounded = {
  kind: 'signal-to-bleed',
  about: [],
  path: ['mics'],
  reached: null,
  limit: null,
  margin: null,
  verdict: null,
  remark: 'there is no microphone for a player or part',
};
