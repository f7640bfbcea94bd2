/** Every move of every fixture, by the table of what one would make on the day. */
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { sized } from '../sized.ts';
import { spillcheck } from '../spillcheck.ts';
import { JUDGED } from './practice.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
type Told = { readonly suggestions: readonly { readonly fixes: readonly Moved[] }[] };
type Moved = { readonly kind: string; readonly about: readonly string[] };

/** Few there, all of them where there is time. */
const FEW = ['church-choir', 'folk-barn', 'four-piece'];
const FIXTURES = [...FEW, ...Object.keys(JUDGED).filter((name) => !FEW.includes(name))].slice(
  0,
  sized(3, 99),
);

test.each(FIXTURES)(
  '%s: nothing that one would refuse, and nearly all of it judged',
  (name) => {
    const { stdout } = spillcheck(['suggest', `fixtures/${name}.yaml`, '--all', '--json'], { cwd: ROOT });
    const { suggestions }: Told = JSON.parse(stdout);
    const offered = suggestions.flatMap(({ fixes }) =>
      fixes.map(({ kind, about }) => [kind, ...about].join(' ')),
    );
    const { made = [], refused = {} } = JUDGED[name] ?? {};
    expect(offered.filter((one) => one in refused).map((one) => `${one}: ${refused[one]}`)).toEqual([]);
    const unread = offered.filter((one) => !made.includes(one));
    expect(unread.length, `not in the table: ${unread.join(', ')}`).toBeLessThanOrEqual(offered.length / 5);
  },
  120_000,
);
