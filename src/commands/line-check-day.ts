/** Readings of the day, fitted to a plan that is then judged as it was measured. */
import { type Day, dayOf } from '../linecheck/day.ts';
import type { Scene } from '../scene/scene.ts';
import { readReadings } from './line-check-readings.ts';
import { refuse } from './refuse.ts';

/** Null where they were refused: why has then been said on standard error. */
export async function dayFrom(files: readonly string[], scene: Scene): Promise<Day | null> {
  const readings = await readReadings(files, scene);
  return readings && dayOf(scene, readings);
}

/** Whether standard input would have to be read more than once: for a plan and for readings, or for several plans; says so. */
export async function readsTwice(plans: readonly string[], readings: readonly string[]): Promise<boolean> {
  if (!readings.includes('-')) return false;
  const both = plans.includes('-');
  if (!both && plans.length < 2 && readings.filter((file) => file === '-').length < 2) return false;
  await refuse({
    code: 'FILE_UNREADABLE',
    severity: 'error',
    path: [],
    message: both
      ? 'plan and readings cannot both come from standard input'
      : 'readings from standard input can be read once, for one plan',
    mend: both ? 'name a file for one of them' : 'name a file for the readings',
  });
  return true;
}
