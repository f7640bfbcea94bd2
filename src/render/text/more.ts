import { ANSWERS, SECTIONS } from '../sections.ts';
import { wrap } from '../wrap.ts';
import type { ReportLayout } from './layout.ts';

/** The way to what a brief page says nothing of. */
export function more({ width, paint }: ReportLayout): string[] {
  const unsaid = SECTIONS.filter((section) => !ANSWERS.includes(section) || section === 'unsure');
  return wrap(`More: --mic NAME; --all; --tolerance; --show ${unsaid.join(', ')}`, width, '', '  ').map(
    paint.faint,
  );
}
