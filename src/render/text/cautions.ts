import type { Report } from '../../judge/report.ts';
import { wrap } from '../wrap.ts';
import type { ReportLayout } from './layout.ts';

/** What was computed but deserves a word. */
export function cautions(report: Pick<Report, 'cautions'>, layout: ReportLayout): string[] {
  const texts = report.cautions.map(({ message, mend }) => (mend ? `${message}; ${mend}` : message));
  if (texts.length === 0) return [];
  return [
    layout.paint.strong('Cautions'),
    ...texts.flatMap((line) => wrap(line, layout.width, '  ', '    ')),
  ];
}
