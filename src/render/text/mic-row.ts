import type { LineRow, MicRow } from '../../judge/report.ts';
import { basisWords } from '../readings-words.ts';
import { kindsIn } from '../shares.ts';
import { type Cell, type Column, plain } from '../table.ts';
import { figureOr, micVerdict, percent, round } from '../words.ts';
import { loudestBleeder } from './bleeders.ts';
import { isWide, type ReportLayout, verdictPaint } from './layout.ts';

/** Columns that are not always there: what spills most, where nothing stands under the rows; whether it was measured. */
export type Extra = { readonly most: boolean; readonly basis: boolean };

export const micColumns = (layout: ReportLayout, { most, basis }: Extra): Column[] => [
  { head: 'microphone', align: 'left', flexible: true },
  { head: 'for', align: 'left', flexible: true },
  ...(isWide(layout) ? [{ head: 'pattern', align: 'left', flexible: true } as const] : []),
  { head: 'S/B dB', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'verdict', align: 'left' },
  ...(basis ? [{ head: 'basis', align: 'left' } as const] : []),
  ...(most ? [{ head: 'most from', align: 'left', flexible: true } as const] : []),
  ...(most && isWide(layout) ? [{ head: 'made of', align: 'left' } as const] : []),
];

export function micRow(mic: MicRow, label: string, layout: ReportLayout, { most, basis }: Extra): Cell[] {
  const judged = mic.purpose === 'parts';
  return [
    { text: label, paint: layout.paint.strong },
    plain(judged ? mic.for.join(', ') : mic.purpose),
    ...(isWide(layout) ? [plain(mic.pattern)] : []),
    plain(judged ? figureOr(mic.signalToBleed, 1, 'none') : ''),
    plain(mic.limit === null ? '' : round(mic.limit)),
    { text: micVerdict(mic), paint: verdictPaint(mic.verdict, layout.paint) },
    ...(basis ? [plain(basisWords(mic.basis))] : []),
    ...(most ? [plain(judged ? loudestBleeder(mic) : '')] : []),
    ...(most && isWide(layout) ? [plain(judged ? mostly(mic) : '')] : []),
  ];
}

/** "room 62%": the share that makes the most of the bleed. */
function mostly({ bleedShares }: MicRow): string {
  const [kind] = bleedShares ? kindsIn(bleedShares) : [];
  return kind && bleedShares ? `${kind.name} ${percent(bleedShares[kind.key])}` : '';
}

export function lineRow(line: LineRow, layout: ReportLayout): Cell[] {
  const pattern = isWide(layout) ? [''] : [];
  return [line.name, line.for.join(', '), ...pattern, '', '', 'line, no bleed'].map(plain);
}

/** What the columns had no room for, in full; null where nothing was cut. */
export function uncut(cells: readonly Cell[], line: string): string | null {
  const [name, what] = cells;
  if (!name || !what || (line.includes(name.text) && line.includes(what.text))) return null;
  return `${name.text.trim()}, for ${what.text}`;
}
