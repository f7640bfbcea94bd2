import type { Report } from '../judge/report.ts';
import { figure } from './words.ts';

/** Eight hours: whoever may play that long is in no danger by this criterion. */
const DAY = 480;

export type Loud = { readonly player: string; readonly minutes: number; readonly level: number };

/** Who sits too loud for a full day, shortest first. */
export function tooLoud({ exposure }: Pick<Report, 'exposure'>): Loud[] {
  const loud = exposure.flatMap(({ player, minutes, level }) =>
    minutes !== null && level !== null && minutes < DAY ? [{ player, minutes, level }] : [],
  );
  return loud.sort((a, b) => a.minutes - b.minutes);
}

export const USUAL_CAUTION =
  '85 dBA for 8 hours and half the time for every 3 dB more; local rules, and a meter at the ear, go before it.';

/** Who sits too loud for a full day, and for how long it holds; null where nobody does. */
export function hearingCaution(report: Report): string | null {
  const loud = tooLoud(report);
  if (loud.length === 0) return null;
  const who = loud.map(
    ({ player, minutes, level }) => `${player} ${figure(level, 0)} dBA (${duration(minutes)} a day)`,
  );
  return `Hearing, for playing without a break: ${who.join(', ')}. This is the usual caution, ${USUAL_CAUTION}`;
}

/** Minutes in words. */
export function duration(minutes: number): string {
  if (minutes < 1) return 'under a minute';
  if (minutes >= 24 * 60) return 'all day';
  return minutes < 90 ? `${figure(minutes, 0)} min` : `${figure(minutes / 60, 1)} h`;
}
