/** Margins of what people must hear, see, and bear. */
import { stageOf } from '../acoustics/stage.ts';
import type { Transfer } from '../acoustics/transfer.ts';
import { earTransfer } from '../judge/people/ears.ts';
import { exposure } from '../judge/people/exposure.ts';
import { judgeHearing } from '../judge/people/hearing.ts';
import { judgeSight } from '../judge/people/sight.ts';
import type { Scene } from '../scene/scene.ts';
import { APART, type MarginRow } from './margin.ts';

export function peopleMargins(scene: Scene, { stage }: Transfer): MarginRow[] {
  const { hear, sessionLength } = scene.limits;
  if (hear.length === 0 && sessionLength === null) return unseen(scene);
  const ears = earTransfer(scene, stage.scene === scene ? stage : stageOf(scene));
  return [...unseen(scene), ...heard(scene, ears), ...borne(scene, ears)];
}

/** Seeing each other has no margin: it is there, or lost. */
function unseen(scene: Scene): MarginRow[] {
  if (scene.limits.seeEachOther.length === 0) return [];
  const hidden = judgeSight(scene).limits.filter(({ sees }) => !sees);
  return hidden.map(({ players }) => ({ kind: 'see-each-other', name: players.join('\n'), margin: -APART }));
}

const heard = (scene: Scene, ears: Transfer): MarginRow[] =>
  judgeHearing(scene, ears).limits.flatMap(({ player, whom, margin, verdict }): MarginRow[] =>
    verdict === null ? [] : [{ kind: 'hear', name: `${player}\n${whom}`, margin: margin ?? -APART }],
  );

const borne = (scene: Scene, ears: Transfer): MarginRow[] =>
  exposure(scene, ears).flatMap(({ player, margin }): MarginRow[] =>
    margin === null ? [] : [{ kind: 'session-length', name: player, margin }],
  );
