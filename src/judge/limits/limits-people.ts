/** What players must hear, whom they must see, and how long their ears must bear it. */
import type { Scene } from '../../scene/scene.ts';
import { LISTENS } from '../people/heard-in.ts';
import type { Report } from '../report.ts';
import type { Unfounded } from './limit-row.ts';

export const peopleLimits = (scene: Scene, report: Report): Unfounded[] => [
  ...sightLimits(report),
  ...hearLimits(report),
  ...sessionLimits(scene, report),
];

const sightLimits = ({ sight }: Report): Unfounded[] =>
  sight.limits.map(({ players, sees, hiddenBy, verdict }) => ({
    kind: 'see-each-other',
    about: players,
    path: ['limits', 'see-each-other'],
    reached: null,
    limit: null,
    margin: null,
    verdict,
    remark: sees ? 'nothing is in the way' : `hidden by ${hiddenBy.join(', ')}`,
  }));

function hearLimits({ hearing }: Report): Unfounded[] {
  const rows = hearing.limits;
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

function sessionLimits(scene: Scene, { exposure }: Report): Unfounded[] {
  const seconds = scene.limits.sessionLength;
  if (seconds === null) return [];
  return exposure.map(({ player, minutes, margin, verdict, remark }) => ({
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
