/** The table of the model's accuracy as the page on the model shows it. */
import { ROOM_OCTAVES, STATED, STATED_ROOMS, type Stated } from '../published/stated.ts';

const HEAD = ['| against | cases | rms | at worst |', '| --- | --- | --- | --- |'];

export function accuracyTable(): string {
  const rows: readonly Stated[] = Object.values(STATED);
  const shown = rows.map(({ against, cases, rms = '', worst = '' }, i) => {
    const said = rows[i - 1]?.against === against ? '' : against;
    return `| ${said} | ${cases} | ${rms} | ${worst} |`;
  });
  return [...HEAD, ...shown].join('\n');
}

/** Levels in solved rooms, octave by octave. */
export function roomsTable(): string {
  const heads = ['room', ...ROOM_OCTAVES.map((hertz) => (hertz < 1000 ? `${hertz}` : `${hertz / 1000}k`))];
  const rows = Object.values(STATED_ROOMS).map(({ room, levels }) => [room, ...levels.split(' ')]);
  return [heads, ['---', ...ROOM_OCTAVES.map(() => '--:')], ...rows]
    .map((row) => `| ${row.join(' | ')} |`)
    .join('\n');
}

/** The page with today's tables in place of its own. */
export const withAccuracy = (page: string): string =>
  page
    .replace(/^\| against \| cases \|(?:.*\n\|)*.*$/m, () => accuracyTable())
    .replace(/^\| room \| 63 \|(?:.*\n\|)*.*$/m, () => roomsTable());
