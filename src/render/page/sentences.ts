/** What the report for terminals says in sentences, taken over as it stands: one wording, two pages. */
import { paint } from '../paint.ts';
import type { ReportLayout } from '../text/layout.ts';

const layout = (brief: boolean): ReportLayout => ({
  width: Number.POSITIVE_INFINITY,
  paint: paint(false),
  all: false,
  brief,
});

type Section<T> = (about: T, layout: ReportLayout) => string[];

/** A section without its title, each sentence whole; in full only where it says nothing in tables. */
export const sentencesOf = <T>(section: Section<T>, about: T, how: 'brief' | 'full'): string[] =>
  section(about, layout(how === 'brief'))
    .slice(1)
    .map((line) => line.trim().replace(/^- /, ''));
