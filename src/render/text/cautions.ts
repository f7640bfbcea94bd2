import type { Report } from '../../judge/report.ts';
import { hearingCaution } from '../hearing.ts';
import { wrap } from '../wrap.ts';
import type { Layout } from './layout.ts';

/** What was computed but deserves a word; hearing last. */
export function cautions(report: Report, layout: Layout): string[] {
  const hearing = hearingCaution(report);
  const texts = report.cautions.map(({ message, mend }) => (mend ? `${message}; ${mend}` : message));
  const all = hearing === null ? texts : [...texts, hearing];
  if (all.length === 0) return [];
  return [layout.paint.strong('Cautions'), ...all.flatMap((line) => wrap(line, layout.width, '  ', '    '))];
}
