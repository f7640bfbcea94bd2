import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { sized } from '../sized.ts';
import { spillcheck } from '../spillcheck.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
/** The search for fixes is most of the work: where there is time. */
const FIXES = ['--no-fixes'].slice(0, sized(1, 0));
const plans = readdirSync(`${ROOT}fixtures`).filter((name) => name.endsWith('.yaml'));

test.each(plans)('%s is reported without a word against it, and says that it is invented', (name) => {
  const run = spillcheck(['report', `fixtures/${name}`, '--json', ...FIXES], { cwd: ROOT });
  expect({ status: run.status, stderr: run.stderr }).toEqual({ status: 0, stderr: '' });
  const { mics } = JSON.parse(run.stdout);
  // nothing below silence, nothing louder than a drum can be at a few centimetres
  for (const { signal_db } of mics) expect(signal_db > 40 && signal_db < 140).toBe(true);
  expect(readFileSync(`${ROOT}fixtures/${name}`, 'utf8')).toMatch(/^#.*[Ii]nvented data/m);
});
