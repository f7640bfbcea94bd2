/** Signal to bleed of every capsule, and the 3:1 rule where a plan has it judged. */
import type { MicRow, Report } from '../judge/report.ts';
import type { ComparedRow } from './compared-row.ts';
import { comparedRows, rankOfWord, type Told, verdictRank } from './compared-rows.ts';

export function micRows(reports: readonly Report[]): ComparedRow[] {
  return [
    ...comparedRows('signal-to-bleed', reports, ({ mics }) => mics.flatMap(toldOf)),
    ...comparedRows('three-to-one', reports, spacings),
  ];
}

function toldOf({ purpose, name, signalToBleed, verdict, remark }: MicRow): Told[] {
  if (purpose !== 'parts') return [];
  return [
    {
      about: [name],
      reached: { figure: signalToBleed, verdict, words: remark, rank: signalToBleed ?? rankOfWord(verdict) },
    },
  ];
}

function spacings({ threeToOne }: Report): Told[] {
  return threeToOne
    .filter(({ verdict }) => verdict !== null)
    .map(({ mics, ratio, verdict }) => ({
      about: mics,
      reached: { figure: ratio, verdict, words: null, rank: verdictRank(verdict) },
    }));
}
