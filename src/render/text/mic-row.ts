import type { LineRow, MicRow } from '../../judge/report.ts';
import { type Cell, type Column, plain } from '../table.ts';
import { figureOr, micVerdict, round } from '../words.ts';
import { isWide, type Layout, verdictPaint } from './layout.ts';

/** Columns of the table of microphones. */
export const micColumns = (layout: Layout): Column[] => [
  { head: 'microphone', align: 'left', flexible: true },
  { head: 'for', align: 'left', flexible: true },
  ...(isWide(layout) ? [{ head: 'pattern', align: 'left', flexible: true } as const] : []),
  { head: 'S/B dB', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'verdict', align: 'left' },
];

export function micRow(mic: MicRow, label: string, layout: Layout): Cell[] {
  const judged = mic.purpose === 'parts';
  return [
    { text: label, paint: layout.paint.strong },
    plain(judged ? mic.for.join(', ') : mic.purpose),
    ...(isWide(layout) ? [plain(mic.pattern)] : []),
    plain(judged ? figureOr(mic.signalToBleed, 1, 'none') : ''),
    plain(mic.limit === null ? '' : round(mic.limit)),
    { text: micVerdict(mic), paint: verdictPaint(mic.verdict, layout.paint) },
  ];
}

export function lineRow(line: LineRow, layout: Layout): Cell[] {
  const pattern = isWide(layout) ? [''] : [];
  return [line.name, line.for.join(', '), ...pattern, '', '', 'line, no bleed'].map(plain);
}

/** What the columns had no room for, in full; null where nothing was cut. */
export function uncut(cells: readonly Cell[], line: string): string | null {
  const [name, what] = cells;
  if (!name || !what || (line.includes(name.text) && line.includes(what.text))) return null;
  return `${name.text.trim()}, for ${what.text}`;
}
