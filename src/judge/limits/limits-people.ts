/** What players must hear, whom they must see, and how long their ears must bear it. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Scene } from '../../scene/scene.ts';
import { earTransfer } from '../people/ears.ts';
import { exposure } from '../people/exposure.ts';
import { LISTENS } from '../people/heard-in.ts';
import { judgeHearing } from '../people/hearing.ts';
import { judgeSight } from '../people/sight.ts';
import type { LimitRow } from './limits.ts';

export function peopleLimits(scene: Scene, { stage }: Transfer): LimitRow[] {
  const { hear, sessionLength } = scene.limits;
  const sight = sightLimits(scene);
  if (hear.length === 0 && sessionLength === null) return sight;
  const ears = earTransfer(scene, stage);
  return [...sight, ...hearLimits(scene, ears), ...sessionLimits(scene, ears)];
}

const sightLimits = (scene: Scene): LimitRow[] =>
  judgeSight(scene).limits.map(({ players, sees, hiddenBy, verdict }) => ({
    kind: 'see-each-other',
    about: players,
    path: ['limits', 'see-each-other'],
    reached: null,
    limit: null,
    margin: null,
    verdict,
    remark: sees ? 'nothing is in the way' : `hidden by ${hiddenBy.join(', ')}`,
  }));

function hearLimits(scene: Scene, ears: Transfer): LimitRow[] {
  const rows = judgeHearing(scene, ears).limits;
  return rows.map(({ player, whom, ratio, margin, verdict, remark, passage }, i) => ({
    kind: 'hear',
    about: [player, whom],
    // those of one player stand in a row, as they stand in his list
    path: ['limits', 'hear', player, i - rows.findIndex((row) => row.player === player)],
    reached: ratio,
    limit: LISTENS,
    margin,
    verdict,
    remark: remark ?? (passage === null ? null : `in ${passage}`),
  }));
}

const CAUTION = 'by NIOSH 98-126; rules that hold where you are go before it';

function sessionLimits(scene: Scene, ears: Transfer): LimitRow[] {
  const seconds = scene.limits.sessionLength;
  if (seconds === null) return [];
  return exposure(scene, ears).map(({ player, minutes, margin, verdict, remark }) => ({
    kind: 'session-length',
    about: [player],
    path: ['limits', 'session-length'],
    reached: minutes,
    limit: seconds / 60,
    margin,
    verdict,
    remark:
      minutes === null
        ? 'nothing sounds at these ears'
        : [CAUTION, ...(remark === null ? [] : [remark])].join('; '),
  }));
}
