/** Worst first: what a reader should see before the rest. */
import type { MicRow, PairRow, Report } from '../judge/report.ts';

/** A microphone of its own, or a pair (energy sum) with its capsules. */
export type Entry = { readonly row: MicRow | PairRow; readonly capsules: readonly MicRow[] };

/** A pair stands where its worse capsule would. */
export function worstFirst(report: Report): Entry[] {
  const pairs = report.pairs.map((row) => ({
    row,
    capsules: report.mics.filter((m) => m.pair === row.name),
  }));
  const paired = new Set(pairs.map((pair) => pair.row.name));
  const single = report.mics.filter((m) => m.pair === null || !paired.has(m.pair));
  const entries = [...pairs, ...single.map((row) => ({ row, capsules: [] }))];
  return entries.sort((a, b) => entryUrgency(a) - entryUrgency(b));
}

/** The lower the worse: the margin; what gets nothing of its own first, what has no verdict last. */
export function urgency(mic: MicRow): number {
  if (mic.verdict === null) return Number.MAX_VALUE;
  if (mic.margin !== null) return mic.margin;
  return mic.verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE / 2;
}

const entryUrgency = (entry: Entry): number => Math.min(...[entry.row, ...entry.capsules].map(urgency));
