/** The table of the model's accuracy as the page on the model shows it. */
import { STATED, type Stated } from '../published/stated.ts';

const HEAD = ['| against | cases | rms | at worst |', '| --- | --- | --- | --- |'];

export function accuracyTable(): string {
  const rows: readonly Stated[] = Object.values(STATED);
  const shown = rows.map(({ against, cases, rms = '', worst = '' }, i) => {
    const said = rows[i - 1]?.against === against ? '' : against;
    return `| ${said} | ${cases} | ${rms} | ${worst} |`;
  });
  return [...HEAD, ...shown].join('\n');
}

/** The page with today's table in place of its own. */
export const withAccuracy = (page: string): string =>
  page.replace(/^\| against \| cases \|(?:.*\n\|)*.*$/m, () => accuracyTable());
