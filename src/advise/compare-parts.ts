/** What stays of every part, and what can be edited alone. */
import type { PartRow } from '../judge/parts/parts.ts';
import type { Report } from '../judge/report.ts';
import type { ComparedRow } from './compared-row.ts';
import { comparedRows, rankOfWord, type Told } from './compared-rows.ts';

export function partRows(reports: readonly Report[]): ComparedRow[] {
  return [
    ...comparedRows('ghost', reports, ({ parts }) => parts.map(ghostOf)),
    ...comparedRows('editable', reports, ({ parts }) => parts.flatMap(editableOf)),
  ];
}

/** A ghost that nobody asks for is shown, and is neither better nor worse. */
const ghostOf = ({ name, ghost, verdict, remark }: PartRow): Told => ({
  about: [name],
  reached: {
    figure: ghost,
    verdict,
    words: remark,
    rank: verdict === null || ghost === null ? rankOfWord(verdict) : -ghost,
  },
});

function editableOf({ name, editable }: PartRow): Told[] {
  const { limit, signalToBleed, verdict, remark } = editable;
  if (limit === null) return [];
  const rank = signalToBleed ?? rankOfWord(verdict);
  return [{ about: [name], reached: { figure: signalToBleed, verdict, words: remark, rank } }];
}
