/** Page and sheet as a screen reader goes through them: every landmark by a name of its own, every column by its head. */
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const fixture = (name: string) => fileURLToPath(new URL(`../../fixtures/${name}.yaml`, import.meta.url));

/** Text of every match's first group. */
const all = (page: string, pattern: RegExp): string[] =>
  [...page.matchAll(pattern)].map(([, text = '']) => text);

test.each([
  ['report', fixture('trio-and-singer'), '--no-fixes', '--html', '-'],
  ['sheet', fixture('folk-barn-store'), '--format', 'html'],
])('%s %s', (...args) => {
  const { stdout: page, stderr } = spillcheck(args);
  expect(stderr).toBe('');
  expect(all(page, /(<(?:th|h\d|caption|summary)[^>]*>\s*<\/)/g)).toEqual([]);
  expect(all(page, /<thead><tr>(<td)/g)).toEqual([]);
  // a section with a heading is a landmark (region); what scrolls within it is a group
  const ids = all(page, /\sid="([^"]*)"/g);
  expect(new Set(ids).size).toBe(ids.length);
  const sections = all(page, /<section aria-labelledby="([^"]*)"/g);
  const heads = sections.map((id) => new RegExp(`<h2 id="${id}">([^<]+)</h2>`).exec(page)?.[1]);
  expect(heads.length).toBeGreaterThan(2);
  expect(new Set(heads).size).toBe(sections.length);
  expect(heads).not.toContain(undefined);
  expect(page).not.toContain('role="region"');
  const scrolls = page.match(/class="scroll"/g)?.length ?? 0;
  expect(scrolls).toBeGreaterThan(0);
  expect(all(page, /class="scroll" role="group" tabindex="0" aria-label="([^"]+)"/g)).toHaveLength(scrolls);
  // nothing stands outside a landmark
  const body = /<body>([\s\S]*)<\/body>/.exec(page)?.[1] ?? '';
  const outside = body.replace(/<(header|nav|main)\b[\s\S]*?<\/\1>/g, '').trim();
  expect(outside).toBe('');
  for (const landmark of ['header', 'main'])
    expect(body.match(new RegExp(`<${landmark}\\b`, 'g'))).toHaveLength(1);
});
