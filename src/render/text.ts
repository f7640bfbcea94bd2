import type { Report } from '../judge/report.ts';
import { escapeAll } from './escape.ts';
import type { RenderOptions } from './options.ts';
import { paint } from './paint.ts';
import { bleed } from './text/bleed.ts';
import { byBand } from './text/by-band.ts';
import { cautions } from './text/cautions.ts';
import { headline } from './text/headline.ts';
import { matrix } from './text/matrix.ts';
import { decays, rooms } from './text/rooms.ts';
import { spacing } from './text/spacing.ts';
import { unsure } from './text/unsure.ts';

/** The report as a page for people: the answer first, the lists after it. */
export function text(report: Report, options: RenderOptions): string {
  const safe = escapeAll(report);
  const layout = { width: options.width, paint: paint(options.colour), all: options.all };
  const sections = [
    headline(safe, layout),
    bleed(safe, layout),
    matrix(safe, layout),
    ...(options.bands ? [byBand(safe, layout)] : []),
    spacing(safe, layout),
    rooms(safe, layout),
    ...(options.bands ? [decays(safe, layout)] : []),
    cautions(safe, layout),
    unsure(escapeAll(options.assumptions), options.listAssumptions, layout),
  ];
  const written = sections.filter((lines) => lines.length > 0).map((lines) => lines.join('\n'));
  return `${written.join('\n\n')}\n`;
}
