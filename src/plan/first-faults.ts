import type { Finding } from '../finding.ts';
import { inOrder, type Spot } from './frame.ts';

/** Faults told at once: whoever has mistaken the file has one in every line. */
export const MOST_TOLD = 100;

/** Each with the file that holds it. Of very many the first by place, and how many more there are. */
export function firstFaults(found: readonly Finding[], spotOf: (finding: Finding) => Spot): Finding[] {
  if (found.length <= MOST_TOLD) return found.map((finding) => ({ ...finding, file: spotOf(finding).file }));
  const placed = found.map((finding) => ({ finding, spot: spotOf(finding) }));
  placed.sort((a, b) => inOrder(a.spot, b.spot));
  const told = placed.slice(0, MOST_TOLD).map(({ finding, spot }) => ({ ...finding, file: spot.file }));
  const last = told.at(-1) as Finding;
  const message = `and ${found.length - MOST_TOLD} more faults, which are told once these are mended`;
  return [...told, { ...last, message, mend: 'begin at the top' }];
}
