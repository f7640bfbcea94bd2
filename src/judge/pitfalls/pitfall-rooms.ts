/** Verdicts that rest on octaves in which single modes of the room rule. */
import { type Bands, bands, MID_BANDS } from '../../acoustics/bands.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import { weightedSum } from '../../acoustics/weighting.ts';
import type { Scene } from '../../scene/scene.ts';
import { heard } from '../listening.ts';
import type { Report } from '../report.ts';
import { weightsFor } from '../weights.ts';
import { inDb } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';
import { type JudgedMic, judgedMics } from './pitfall-mics.ts';

/** Levels below the Schroeder frequency are uncertain by so much, dB. From memory. */
const UNCERTAIN = 5;
/** Share of a mic's own sound, or of its bleed, from which on these octaves decide. */
const MOST = 0.5;

export function roomPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
  return judgedMics(scene, result, report).flatMap((judged) => {
    const { row } = judged;
    const schroeder = report.rooms.find(({ name }) => name === row.room)?.schroeder ?? 0;
    const isTight = row.margin !== null && Math.abs(row.margin) < UNCERTAIN;
    return isTight ? resting(scene, judged, schroeder) : [];
  });
}

function resting(scene: Scene, judged: JudgedMic, schroeder: number): Pitfall[] {
  const { mic, row, listening, wanted, bleeders } = judged;
  const weights = weightsFor(scene.limits.weighting, heard(listening, wanted, { filtered: true }));
  const low = bands((band) => ((MID_BANDS[band] ?? 0) < schroeder ? (weights[band] ?? 0) : 0));
  const shareOf = (energies: Bands) => weightedSum(energies, low) / weightedSum(energies, weights);
  const share = Math.max(
    ...[wanted, bleeders].map((sources) => shareOf(heard(listening, sources, { filtered: true }))),
  );
  if (!(share >= MOST) || row.signalToBleed === null) return [];
  const sentence = `${mic.name} is judged mostly below the Schroeder frequency of ${row.room}, ${Math.round(schroeder)} Hz: its ${inDb(row.signalToBleed)} dB may be off by ${UNCERTAIN} dB, more than its margin`;
  const mend = 'trust the meter on the day more than this figure';
  return [{ kind: 'below-schroeder', about: [mic.name], weight: share, sentence, mend, path: mic.path }];
}
