import type { Report } from '../judge/report.ts';
import { figure } from './words.ts';

/** Eight hours: whoever may play that long is in no danger by this criterion. */
const DAY = 480;

/** Who sits too loud for a full day, and for how long it holds; null where nobody does. */
export function hearingCaution({ exposure }: Report): string | null {
  const loud = exposure.flatMap(({ player, minutes, level }) =>
    minutes !== null && level !== null && minutes < DAY ? [{ player, minutes, level }] : [],
  );
  if (loud.length === 0) return null;
  const who = loud
    .sort((a, b) => a.minutes - b.minutes)
    .map(({ player, minutes, level }) => `${player} ${figure(level, 0)} dBA (${duration(minutes)} a day)`);
  return (
    `Hearing, for playing without a break: ${who.join(', ')}. This is the usual caution, ` +
    '85 dBA for 8 hours and half the time for every 3 dB more; rules that hold where you are go before it.'
  );
}

function duration(minutes: number): string {
  if (minutes < 1) return 'under a minute';
  return minutes < 90 ? `${figure(minutes, 0)} min` : `${figure(minutes / 60, 1)} h`;
}
