/** People who do not hear or see whom they must or follow, whose ears get too much, whose headphones the mics hear. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Scene } from '../../scene/scene.ts';
import { LISTENS } from '../people/heard-in.ts';
import type { Report } from '../report.ts';
import { inDb, inWords } from './pitfall-figures.ts';
import { follows } from './pitfall-follow.ts';
import type { Pitfall } from './pitfall-kinds.ts';

/** Without a session length of the plan's, ears that may do no longer than this deserve a word, minutes. Our own choice. */
const HARDLY = 60;

export function peoplePitfalls(scene: Scene, _result: Transfer, report: Report): Pitfall[] {
  return [
    ...tooLoud(scene, report),
    ...unheard(scene, report),
    ...unseen(report),
    ...follows(scene, report),
    ...leaks(scene, report),
  ];
}

function tooLoud({ limits, players }: Scene, { exposure }: Report): Pitfall[] {
  const session = limits.sessionLength === null ? null : limits.sessionLength / 60;
  return exposure.flatMap(({ player, minutes, level, verdict }, index) => {
    const isOver = verdict === 'short' || (verdict === null && minutes !== null && minutes < HARDLY);
    if (!isOver || minutes === null || level === null) return [];
    const asked = session === null ? '' : `, not ${Math.round(session)}`;
    const sentence = `${player} gets ${inDb(level)} dBA: by NIOSH that may last ${Math.floor(minutes)} min a day${asked}`;
    const mend = 'ear protection, breaks, softer or further apart';
    const path = session === null ? (players[index]?.path ?? []) : ['limits', 'session-length'];
    return [{ kind: 'ears', about: [player], weight: level, sentence, mend, path }];
  });
}

function unheard({ limits }: Scene, { hearing }: Report): Pitfall[] {
  return hearing.limits.flatMap(({ player, whom, verdict, ratio, margin }, index) => {
    if (verdict !== 'short') return [];
    const place = limits.hear
      .slice(0, index)
      .filter((one) => limits.hear[index]?.player === one.player).length;
    const how =
      ratio === null
        ? 'nothing of it gets there'
        : `${inDb(-ratio)} dB under all else there, ${inDb(-LISTENS)} at most`;
    return [
      {
        ...{ kind: 'cannot-hear', about: [player, whom], weight: -(margin ?? Number.NEGATIVE_INFINITY) },
        sentence: `${player} must hear ${whom} and cannot: ${how}`,
        mend: 'closer together, or headphones',
        path: ['limits', 'hear', player, place],
      },
    ];
  });
}

function unseen({ sight }: Report): Pitfall[] {
  return sight.limits.flatMap(({ players: [one, other], verdict, hiddenBy }) =>
    verdict === 'clear'
      ? []
      : [
          {
            ...{ kind: 'cannot-see', about: [one, other], weight: hiddenBy.length },
            sentence: `${one} and ${other} must see each other and cannot: ${inWords(hiddenBy)} in between`,
            mend: 'a lower baffle, one with a window, or another place',
            path: ['limits', 'see-each-other'],
          },
        ],
  );
}

function leaks(scene: Scene, { phones }: Report): Pitfall[] {
  return phones.flatMap(({ player, mic, leak, audible }) => {
    const heardBy = scene.mics.find(({ name }) => name === mic);
    if (!audible || leak === null || heardBy?.purpose !== 'parts') return [];
    const wearer = scene.players.find(({ name }) => name === player);
    const sentence = `the headphones of ${player} leak into ${mic}, ${inDb(-leak)} dB under its own sound where that is softest`;
    const mend = wearer?.cue.wearing === 'closed' ? 'a softer cue, no click in it' : 'closed headphones';
    const about = [player, mic];
    return [{ kind: 'headphones', about, weight: leak, sentence, mend, path: wearer?.path ?? [] }];
  });
}
