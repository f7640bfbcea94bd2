import { existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { glob } from 'tinyglobby';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { spillcheck } from '../spillcheck.ts';
import { bearingPicture, PICTURE, pointsOf, x, y } from './bearing-picture.ts';
import { blocksIn, PAGES, pageOf, README } from './pages.ts';
import { shownIn } from './shown.ts';

describe.each(PAGES)('%s', (file) => {
  const page = pageOf(file);
  const blocks = blocksIn(page);
  const prose = blocks.reduce((text, { whole }) => text.replace(whole, ''), page);

  test('has no block of a kind that nothing checks', () => {
    const known = ['', 'console', 'yaml', 'yaml fragment', 'sh', 'js'];
    expect(blocks.map(({ kind }) => kind).filter((kind) => !known.includes(kind))).toEqual([]);
  });

  test.for(shownIn(page))('shows what $command prints', ({ output, cut, today }) => {
    const now = today();
    expect(cut ? now.slice(0, output.length) : now).toEqual(output);
  });

  test.for(blocks.filter(({ kind }) => kind === 'yaml'))(
    'shows a plan without a fault: $text',
    ({ text }) => {
      const { status, stderr } = spillcheck(['report', '-'], {
        input: text,
      });
      expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    },
  );

  test.for(blocks.filter(({ kind }) => kind === 'sh'))('names commands that run: $text', ({ text }) => {
    const folder = mkdtempSync(join(tmpdir(), 'spillcheck-pages-'));
    symlinkSync(resolve('fixtures'), join(folder, 'fixtures'));
    for (const words of commandsIn(text)) {
      const { status, stderr } = spillcheck(words, {
        cwd: folder,
      });
      expect({ words, status, stderr }).toEqual({ words, status: 0, stderr: '' });
    }
    rmSync(folder, { recursive: true });
  });

  test('links to files that are there', () => {
    const links = [...prose.matchAll(/\]\(([^)#:]+)\)/g)].map(([, to = '']) => join(dirname(file), to));
    expect(links.filter((link) => !existsSync(link))).toEqual([]);
  });

  test('names files and folders that are there', async () => {
    const there = await Promise.all(
      namedIn(prose).map(async (path) => ({ path, found: await glob(path, { onlyFiles: false }) })),
    );
    expect(there.filter(({ path, found }) => found.length === 0 && !existsSync(path))).toEqual([]);
  });
});

/** Paths in backticks, as patterns: a bare file after one that is named in full lies in the same folder, or else anywhere. */
function namedIn(prose: string): string[] {
  const found = prose.split('\n').flatMap((line) => {
    let folder = '**';
    const names = line.matchAll(/`((?:bin|src|shared|tests|fixtures)\/[^\s`]*|[^\s`/]+\.ts)`/g);
    return [...names].map(([, name = '']) => {
      if (!name.includes('/')) return `${folder}/${name}`;
      folder = name.replace(/\/?[^/]*\.ts$/, '').replace(/\/$/, '');
      return name;
    });
  });
  return [...new Set(found)].map((path) => path.replace('NAME', '*').replace(/^\*\*\//, '{src,tests}/**/'));
}

/** The words after "spillcheck" of each line that is a command of ours, without the remark behind it. */
const commandsIn = (block: string): string[][] =>
  [...block.matchAll(/^spillcheck (.*?)(?: +#.*)?$/gm)].map(([, words = '']) => words.split(' '));

test('the first plan of the README is the one whose report it shows', () => {
  const [first] = blocksIn(pageOf(README)).filter(({ kind }) => kind === 'yaml');
  expect(parse(first?.text ?? '')).toEqual(parse(readFileSync('fixtures/two-guitars.yaml', 'utf8')));
});

/** S/B of a mic as the README shows it in the report on a plan, dB. */
function shownRatio(plan: string, mic: string): number {
  const shown = shownIn(pageOf(README)).find(({ command }) =>
    command.startsWith(`spillcheck report ${plan} `),
  );
  const line = shown?.output.find((one) => one.startsWith(`  ${mic} `)) ?? '';
  return Number(/ (-?\d+\.\d) /.exec(line)?.[1]);
}

test.each([
  {
    words: 'Nine decibels are gone',
    from: 'two-guitars-indoors',
    to: 'two-guitars',
    mic: 'left-mic',
    gain: 9,
  },
  { words: 'worth thirty decibels', from: 'folk-barn', to: 'folk-barn-store', mic: 'voice-mic', gain: 30 },
])('what the README shows bears out its "$words"', ({ words, from, to, mic, gain }) => {
  expect(pageOf(README).replace(/\s+/g, ' ')).toContain(words);
  const found = shownRatio(`fixtures/${to}.yaml`, mic) - shownRatio(`fixtures/${from}.yaml`, mic);
  expect(Math.abs(found - gain)).toBeLessThan(1);
});

test('the README shows some output', () => expect(shownIn(pageOf(README)).length).toBeGreaterThan(3));

test('the picture is drawn of a run of today', () => {
  expect(readFileSync(PICTURE, 'utf8')).toBe(bearingPicture());
});

test('a row stands in the picture by its bearing and its figure', () => {
  const [point] = pointsOf(['row,pattern,bearing,figure,fault', '1,omni,90,5,']);
  // 90 of 360 degrees in a frame from 60 to 560; 5 dB half way up from -10 to 20, in a frame from 275 to 20
  expect([x(point?.bearing ?? 0), y(point?.decibels ?? 0)]).toEqual([185, 147.5]);
});
