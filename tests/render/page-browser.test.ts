/** The report's page in a real browser, where there is one. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pageOf } from './page-of.ts';

const browser = ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find((file) => existsSync(file));
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
    { encoding: 'utf8', timeout: 60_000 },
  );
  return { dom: stdout, complaints: stderr.split('\n').filter((line) => line.includes('CONSOLE')) };
}

if (!browser) {
  test.skip('NOT TRIED: no browser is to be had here (looked for /usr/bin/chromium)', () => {});
}

describe.skipIf(!browser)('in Chromium', { timeout: 120_000 }, () => {
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

  test('a hostile title stays text', async () => {
    const title = '</title><img src=x onerror=alert(1)><script>document.title=1</script>';
    const { dom, complaints } = shown(await pageOf(HALL, (answer) => ({ ...answer, title })));
    expect(complaints).toEqual([]);
    expect(dom).not.toMatch(/<img|<script/);
    expect(dom).toContain('&lt;img src=x onerror=alert(1)&gt;');
  });
});
