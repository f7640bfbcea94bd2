/** Players who face somebody whom they neither see nor hear. */
import type { Player, Scene } from '../../scene/scene.ts';
import { bearingOf, subtract } from '../../scene/vector.ts';
import type { Report } from '../report.ts';
import { inDb, inWords } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';

/** Who faces another within this looks at nobody else, degrees. */
const STRAIGHT_AT = 1;

/** Whom one faces one follows; demands of the plan speak for themselves and are left out. */
export function follows(scene: Scene, report: Report): Pitfall[] {
  return scene.players.flatMap((player) => {
    const leader = player.listener ? null : facedBy(player, scene.players);
    return leader ? [...unseen(report, player, leader), ...unheard(report, player, leader)] : [];
  });
}

function facedBy(player: Player, players: readonly Player[]): Player | null {
  const ahead = players.flatMap((other) => {
    const [x, y] = subtract(other.at, player.at);
    const off = Math.abs(((bearingOf([x, y, 0]) - player.facing + 540) % 360) - 180);
    return Math.hypot(x, y) > 0.01 && off <= STRAIGHT_AT ? [{ other, away: Math.hypot(x, y) }] : [];
  });
  return ahead.sort((a, b) => a.away - b.away)[0]?.other ?? null;
}

function unseen({ sight }: Report, { name, path }: Player, leader: Player): Pitfall[] {
  const isTheirs = ({ players }: { readonly players: readonly string[] }) =>
    players.includes(name) && players.includes(leader.name);
  const row = sight.limits.some(isTheirs) ? undefined : sight.rows.find(isTheirs);
  if (!row || row.sees) return [];
  const sentence = `${name} faces ${leader.name} but does not see that far: ${inWords(row.hiddenBy)} in between`;
  const mend = 'a lower baffle, one with a window, or another place';
  return [{ kind: 'cannot-see', about: [name, leader.name], weight: 0, sentence, mend, path }];
}

function unheard({ hearing }: Report, { name, path, cue }: Player, leader: Player): Pitfall[] {
  const isTheirs = ({ player, whom }: { readonly player: string; readonly whom: string }) =>
    player === name && whom === leader.name;
  const row = hearing.limits.some(isTheirs) ? undefined : hearing.rows.find(isTheirs);
  if (row?.hears !== 'does not hear' || cue.wearing !== 'none') return [];
  const how = row.ratio === null ? 'nothing gets there' : `${inDb(-row.ratio)} dB under the rest`;
  const sentence = `${name} faces ${leader.name} but does not hear it: ${how}`;
  const mend = 'closer together, or headphones';
  return [{ kind: 'cannot-hear', about: [name, leader.name], weight: 0, sentence, mend, path }];
}
