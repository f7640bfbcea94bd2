/** The cue list: what goes into whose headphones. */
import type { CueRow } from '../../judge/people/cue.ts';
import { figure } from '../words.ts';
import type { About } from './about.ts';
import type { List } from './sheet.ts';

export function headphones({ report, scene }: About): List {
  const levelOf = (name: string) => scene.players.find((player) => player.name === name)?.cue.level ?? null;
  return {
    key: 'headphones',
    title: 'Headphones',
    columns: [
      { head: 'who' },
      { head: 'headphones' },
      { head: 'must carry' },
      { head: 'level', under: true },
      { head: 'more of it helps', under: true },
    ],
    rows: report.cues.map((row) => {
      const level = levelOf(row.player);
      return [
        row.player,
        wearingWords(row),
        carriedWords(row),
        level === null ? '' : `${figure(level, 0)} dBA at the ear`,
        row.helps.join(', '),
      ];
    }),
    notes: [],
  };
}

/** Who has none and would need them is told so. */
const wearingWords = ({ wearing }: CueRow): string =>
  wearing === 'none' ? 'none in the plan: needs some' : wearing;

function carriedWords({ carries, himself }: CueRow): string {
  const all = [...carries, ...(himself ? ['own sound'] : [])];
  return all.length > 0 ? all.join(', ') : 'nothing';
}
