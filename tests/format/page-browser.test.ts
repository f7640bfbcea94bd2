/** The report's page in a real browser, where there is one. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { browserHere } from '../browser.ts';
import { spillcheck } from '../spillcheck.ts';
import { pageOf } from './page-of.ts';

const browser = browserHere();
const HALL = readFileSync(new URL('../../fixtures/brass-hall.yaml', import.meta.url), 'utf8');

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** The page as the browser holds it, and what it complained of. */
function shown(page: string): { readonly dom: string; readonly complaints: string[] } {
  const file = join(folder, 'page.html');
  writeFileSync(file, page);
  const { stdout, stderr } = spawnSync(
    browser ?? '',
    [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      `--user-data-dir=${join(folder, 'profile')}`,
      '--enable-logging=stderr',
      '--dump-dom',
      pathToFileURL(file).href,
    ],
    { encoding: 'utf8', timeout: 900_000 },
  );
  return { dom: stdout, complaints: stderr.split('\n').filter((line) => line.includes('CONSOLE')) };
}

if (!browser) {
  test.skip('NOT TRIED: no browser is to be had here (looked where Chromium usually is, and at CHROME_PATH)', () => {});
}

describe.skipIf(!browser)('in Chromium', () => {
  test('the page shows whole and breaks none of its own policy', async () => {
    const { dom, complaints } = shown(await pageOf(HALL));
    expect(complaints).toEqual([]);
    expect(dom.match(/<details /g)?.length).toBe(11);
    expect(dom.match(/<svg/g)?.length).toBe(1);
    expect(dom).toMatch(/<\/main>\s*<\/body>/);
  });

  test('a style of anybody else is refused and said', async () => {
    const page = (await pageOf(HALL)).replace('</main>', '<p style="color:red">x</p></main>');
    expect(shown(page).complaints.join(' ')).toMatch(/Content Security Policy/);
  });

  test('a plan in which every name is hostile makes nothing but text, drawing and moves included', async () => {
    const evil = (n: number) =>
      JSON.stringify(`<img src=x onerror=go${n}>"'&</style><script>go${n}</script>`);
    const plan = join(folder, 'hostile.yaml');
    writeFileSync(
      plan,
      `spillcheck: 1
title: ${evil(0)}
rooms: {${evil(1)}: {size: [7, 5], height: 3}}
players:
  ${evil(2)}: {at: [1.5, 2], plays: {${evil(3)}: tuba}}
  ${evil(4)}: {at: [5, 3], plays: cornet}
mics:
  ${evil(5)}: {for: ${evil(2)}, near: {distance: 50 cm}}
  ${evil(6)}: {for: ${evil(4)}, near: {distance: 60 cm}}
passages: {${evil(7)}: [${evil(2)}, ${evil(4)}]}
baffles: {${evil(8)}: {from: [3, 1], to: [3, 3], height: 1.6, made-of: upholstered-baffle}}
`,
    );
    const out = join(folder, 'hostile.html');
    const { status, stderr } = spillcheck(['report', plan, '--html', out]);
    expect([status, stderr]).toEqual([0, '']);
    const { dom, complaints } = shown(readFileSync(out, 'utf8'));
    expect(complaints).toEqual([]);
    expect(dom).not.toMatch(/<img|<script/);
    for (const n of [0, 1, 2, 4, 5, 6, 8]) expect(dom).toContain(`&lt;img src=x onerror=go${n}&gt;`);
    expect(dom).toContain('Fix first');
  });

  test('a hostile title stays text', async () => {
    const title = '</title><img src=x onerror=alert(1)><script>document.title=1</script>';
    const { dom, complaints } = shown(await pageOf(HALL, (answer) => ({ ...answer, title })));
    expect(complaints).toEqual([]);
    expect(dom).not.toMatch(/<img|<script/);
    expect(dom).toContain('&lt;img src=x onerror=alert(1)&gt;');
  });
});
