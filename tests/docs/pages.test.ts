import { existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { glob } from 'tinyglobby';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { reportedFile } from '../published/command.ts';
import { STATED } from '../published/stated.ts';
import { spillcheck } from '../spillcheck.ts';
import { bearingPicture, PICTURE, pointsOf, x, y } from './bearing-picture.ts';
import { DRAWING, drawing } from './drawing.ts';
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

test('the plan of the README is the one whose report it shows', () => {
  const [first] = blocksIn(pageOf(README)).filter(({ kind }) => kind === 'yaml');
  expect(parse(first?.text ?? '')).toEqual(parse(readFileSync('fixtures/living-room-duo.yaml', 'utf8')));
});

test('the README can be read in one go', () => {
  expect(pageOf(README).trimEnd().split('\n').length).toBeLessThanOrEqual(150);
});

const ratio = (plan: string, mic: string): number => {
  const row = reportedFile(plan).mics.find(({ name }) => name === mic);
  return row?.signal_to_bleed_db ?? Number.NaN;
};

/** The table of before and after: its two plans, its sentence, its figures. */
describe.each([
  { from: 'two-guitars', to: 'two-guitars-indoors', mic: 'left-mic', words: 'The room costs 9 dB', gain: -9 },
  { from: 'radio-play-open', to: 'radio-play', mic: 'narrator-mic', words: 'one baffle gains 5 dB', gain: 5 },
  { from: 'folk-barn', to: 'folk-barn-store', mic: 'voice-mic', words: 'door shut, gains 32', gain: 32 },
])('the README on $to', ({ from, to, mic, words, gain }) => {
  const [before, after] = [ratio(`fixtures/${from}.yaml`, mic), ratio(`fixtures/${to}.yaml`, mic)];

  test('prints the ratios of the report', () => {
    const row =
      pageOf(README)
        .split('\n')
        .find((line) => line.includes(`fixtures/${to}.yaml`)) ?? '';
    expect(row).toContain(`${before.toFixed(1)} → ${after.toFixed(1)} dB`);
    expect(row).toContain(words);
  });

  test('rounds the difference to whole decibels', () => {
    expect(Math.abs(after - before - gain)).toBeLessThan(1);
  });
});

test('the baffle of the barn gains as little as the README says', () => {
  const row = reportedFile('fixtures/folk-barn.yaml').mics.find(({ name }) => name === 'voice-mic');
  expect(row?.baffle_gain_max_db?.toFixed(1)).toBe('0.1');
  expect(pageOf(README)).toContain('The baffle gains 0.1 dB at most.');
});

test('the README repeats three rows of the table of accuracy', () => {
  const page = pageOf(README);
  expect(page).toContain(`| ${STATED.edge.worst} at worst |`);
  expect(STATED.strips500.rms).toBe(STATED.strips1k.rms);
  expect(page).toContain(`| ${STATED.strips500.rms} rms |`);
  expect(page).toContain(`| ${STATED.roomsMiddle.rms} rms |`);
});

test('the drawing at the top of the README is the one of today', () => {
  expect(readFileSync(DRAWING, 'utf8')).toBe(drawing());
});

test('the picture is drawn of a run of today', () => {
  expect(readFileSync(PICTURE, 'utf8')).toBe(bearingPicture());
});

test('a row stands in the picture by its bearing and its figure', () => {
  const [point] = pointsOf(['row,pattern,bearing,figure,fault', '1,omni,90,5,']);
  // 90 of 360 degrees in a frame from 60 to 560; 5 dB half way up from -10 to 20, in a frame from 275 to 20
  expect([x(point?.bearing ?? 0), y(point?.decibels ?? 0)]).toEqual([185, 147.5]);
});
