/** The files that the bundler writes into dist, and what each loads. */
import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const DIST = new URL('../../dist/', import.meta.url);

/** A static import or re-export of a file beside it, in minified code. */
const LOADED =
  /(?:^|[;\n}])(?:import|export)\s*(?:[\w*${},\s]+\bfrom|[\w*${},\s]*\}from)?\s*["']\.\/([^"']+)["']/g;

const loads = new Map(
  readdirSync(DIST)
    .filter((file) => file.endsWith('.js'))
    .map((file) => {
      const text = readFileSync(new URL(file, DIST), 'utf8');
      return [file, [...text.matchAll(LOADED)].map(([, other = '']) => other)] as const;
    }),
);

/** All that is loaded with a file, itself included unless only a circle leads back to it. */
function behind(file: string): Set<string> {
  const met = new Set<string>();
  const ahead = [...(loads.get(file) ?? [])];
  for (let next = ahead.pop(); next !== undefined; next = ahead.pop()) {
    if (met.has(next)) continue;
    met.add(next);
    ahead.push(...(loads.get(next) ?? []));
  }
  return met;
}

/** Minified code in a circle would run before what it needs is there. */
test('no file loads itself by way of others', () => {
  const circles = [...loads.keys()].filter((file) => behind(file).has(file));
  expect(circles).toEqual([]);
  expect(loads.get('index.js')?.length).toBeGreaterThan(0);
});

test('a report is loaded from few files, and each that is loaded is there', () => {
  for (const others of loads.values()) for (const other of others) expect(loads.has(other)).toBe(true);
  const report = [...loads.keys()].filter((file) => /^part-report-/.test(file));
  expect(report.length).toBeGreaterThan(0);
  for (const file of report) expect(behind(file).size).toBeLessThanOrEqual(8);
});
