/** Who hears and sees whom, and how long ears may stay where the plan says how long the session lasts. */
import type { Heard } from '../judge/people/heard-in.ts';
import type { Report } from '../judge/report.ts';
import type { ComparedRow } from './compared-row.ts';
import { comparedRows, type Told, verdictRank } from './compared-rows.ts';

export function peopleRows(reports: readonly Report[]): ComparedRow[] {
  return [
    ...comparedRows('hears', reports, hears),
    ...comparedRows('sees', reports, sees),
    ...comparedRows('session', reports, sessions),
  ];
}

const WORDS: readonly Heard[] = ['does not hear', 'strains to hear', 'hears'];

const hears = ({ hearing }: Report): Told[] =>
  hearing.rows.map(({ player, whom, ratio, hears: word }) => ({
    about: [player, whom],
    reached: { figure: ratio, verdict: null, words: word, rank: WORDS.indexOf(word) },
  }));

const sees = ({ sight }: Report): Told[] =>
  sight.rows.map(({ players, sees: seen, hiddenBy }) => ({
    about: players,
    reached: {
      figure: null,
      verdict: null,
      words: seen ? 'see each other' : `hidden by ${hiddenBy.join(', ')}`,
      rank: seen ? 1 : 0,
    },
  }));

const sessions = ({ exposure }: Report): Told[] =>
  exposure
    .filter(({ verdict }) => verdict !== null)
    .map(({ player, minutes, verdict }) => ({
      about: [player],
      reached: { figure: minutes, verdict, words: null, rank: verdictRank(verdict) },
    }));
