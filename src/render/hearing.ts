import type { EarRow, Report } from '../judge/report.ts';
import { figure } from './words.ts';

/** From here on a day has fewer safe hours than eight: NIOSH 98-126, 85 dB(A) for 8 h, 3 dB exchange. */
const LIMIT = 85;

/** Who sits too loud for a full day, and for how long it holds; null where nobody does. */
export function hearingCaution({ ears }: Report): string | null {
  const loud = ears.filter((ear) => ear.level > LIMIT).sort((a, b) => b.level - a.level);
  if (loud.length === 0) return null;
  const who = loud.map(
    (ear) => `${ear.player} ${figure(ear.level, 0)} dBA (${duration(safeMinutes(ear))} a day)`,
  );
  return (
    `Hearing, for playing without a break: ${who.join(', ')}. This is the usual caution, ` +
    '85 dBA for 8 hours and half the time for every 3 dB more; rules that hold where you are go before it.'
  );
}

/** NIOSH: 8 h / 2^((L − 85)/3). */
const safeMinutes = (ear: EarRow): number => 480 / 2 ** ((ear.level - LIMIT) / 3);

function duration(minutes: number): string {
  if (minutes < 1) return 'under a minute';
  return minutes < 90 ? `${figure(minutes, 0)} min` : `${figure(minutes / 60, 1)} h`;
}
