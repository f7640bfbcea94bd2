/** Which bleed is drawn, and what is said of it. */
import type { Verdict } from '../../judge/report.ts';
import { figure } from '../words.ts';
import type { Told } from './sheet.ts';
import { type Row, type Stream, streamsAt } from './streams.ts';

export type BleedLine = {
  readonly row: Row;
  readonly stream: Stream;
  readonly kind: Verdict | 'own';
  /** dB that set the weight: over the microphone's own sound, or over the loudest there. */
  readonly weight: number;
  readonly label: string;
};

/** Of as many microphones at most, the worst first; of a clear one only from this level on, dB over its own sound. */
const MOST = 10;
const TELLING = -30;

/** The loudest bleeder of each microphone, where the margins are smallest. */
export function worstLines(told: Told): BleedLine[] {
  const { mics, pairs } = told.report;
  const judged = [...pairs, ...mics.filter(({ pair }) => pair === null)].filter(
    ({ verdict }) => verdict !== null,
  );
  const lines = judged.flatMap((row) => {
    const worst = streamsAt(told, row).find(({ wanted }) => !wanted);
    if (!worst || worst.relative === null || row.verdict === null) return [];
    if (row.verdict === 'clear' && worst.relative < TELLING) return [];
    return [{ row, stream: worst, kind: row.verdict, weight: worst.relative, label: signed(worst.relative) }];
  });
  return lines.sort((a, b) => (a.row.margin ?? 0) - (b.row.margin ?? 0)).slice(0, MOST);
}

/** Everything that one microphone hears. */
export function allLines(told: Told, row: Row): BleedLine[] {
  const streams = streamsAt(told, row);
  const loudest = Math.max(...streams.map(({ level }) => level));
  return streams.map((stream) => ({
    row,
    stream,
    kind: stream.wanted ? 'own' : aloneAgainst(row, stream),
    weight: stream.relative ?? stream.level - loudest,
    label: labelOf(stream),
  }));
}

function labelOf({ wanted, relative, level }: Stream): string {
  if (relative === null) return `${figure(level, 0)} dB`;
  return wanted ? `own, ${figure(level, 0)} dB` : signed(relative);
}

/** What one bleeder alone would make of the microphone's limit, by the report's own steps of 3 dB. */
function aloneAgainst({ limit }: Row, { relative }: Stream): Verdict {
  const margin = -(relative ?? Number.NEGATIVE_INFINITY) - (limit ?? 0);
  if (margin < 0) return 'short';
  return margin < 3 ? 'marginal' : 'clear';
}

const signed = (db: number): string => `${db >= 0.5 ? '+' : ''}${figure(db, 0).replace('-', '−')} dB`;
