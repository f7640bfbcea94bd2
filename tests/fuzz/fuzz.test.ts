/** Some hundreds of the inputs of `npm run fuzz`, and whether the run would see it if something went wrong. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { sized } from '../sized.ts';
import { amissIn, strangeIn } from './amiss.ts';
import { type Drive, drive } from './drive.ts';
import { inputAt, shelfOf } from './inputs.ts';
import type { Outcome } from './runner.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const fixtures = join(ROOT, 'fixtures');
const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function outcomesOf(job: Partial<Drive> & Pick<Drive, 'runner'>): Promise<Outcome[]> {
  const outcomes: Outcome[] = [];
  const usual = {
    fixtures,
    work: join(folder, 'work'),
    run: 1,
    from: 0,
    to: 1,
    processes: 1,
    patience: 600_000,
    mostTime: 5000,
  };
  await drive({ ...usual, ...job, onOutcome: (outcome) => void outcomes.push(outcome) });
  return outcomes.sort((a, b) => a.index - b.index);
}

const COUNT = sized(30, 2000);

test(`${COUNT} random plans and torn fixtures go through the whole line`, async () => {
  const dir = join(folder, 'dist');
  execFileSync(process.execPath, ['src/build/bundle.js', dir, 'tests/fuzz/fuzz.ts', 'tests/fuzz/runner.ts'], {
    cwd: ROOT,
    stdio: 'ignore',
  });
  const outcomes = await outcomesOf({ runner: join(dir, 'runner.js'), to: COUNT, processes: 2 });
  expect(outcomes.flatMap(({ index, faults }) => faults.map((fault) => `input ${index}: ${fault}`))).toEqual(
    [],
  );
  expect(outcomes.map(({ index }) => index)).toEqual(Array.from({ length: COUNT }, (_, i) => i));
  // a run that has everything refused at the door would try nothing
  expect(outcomes.filter(({ stood }) => stood).length).toBeGreaterThan(COUNT / 10);
});

test('the same number gives the same input', () => {
  const shelf = shelfOf(fixtures);
  const bytes = (run: number, index: number) =>
    Buffer.from(inputAt(shelf, run, index).bytes).toString('latin1');
  for (let index = 0; index < 40; index++) expect(bytes(7, index)).toBe(bytes(7, index));
  expect(new Set(Array.from({ length: 40 }, (_, index) => bytes(7, index))).size).toBeGreaterThan(35);
});

const runnerThat = (does: string): string => {
  const file = join(folder, 'planted.mjs');
  const sound = "{ index, kind: 'torn', stood: true, faults: [], time: 1, memory: 100 }";
  writeFileSync(
    file,
    `process.on('message', ({ index }) => { const sound = ${sound}; if (index === 1) { ${does} } process.send(sound); });\n`,
  );
  return file;
};

describe('the run names', () => {
  test.each([
    {
      what: 'a hang',
      does: 'for (;;);',
      says: /^it hangs: no answer (?:after \d s of work|in)/,
      mostTime: 100,
    },
    {
      what: 'a wait for ever',
      does: 'return;',
      says: /^it hangs: no answer in 5 s of sleep/,
      patience: 5_000,
    },
    { what: 'a crash', does: 'process.exit(70);', says: /^the process ends with 70/ },
    {
      what: 'a flood',
      does: 'const all = []; for (;;) all.push(new Array(1e6).fill(0));',
      says: /^the process ends/,
    },
    { what: 'slow work', does: 'sound.time = 5001;', says: /^it takes 5\.0 s/ },
    { what: 'a swollen process', does: 'sound.memory = 513;', says: /^the process has held 513 MB/ },
  ])('$what, and goes on with the next', async ({ does, says, patience = 300_000, mostTime = 5000 }) => {
    const outcomes = await outcomesOf({ runner: runnerThat(does), to: 4, patience, mostTime });
    expect(outcomes.map(({ index, faults }) => [index, faults])).toEqual([
      [0, []],
      [1, [expect.stringMatching(says)]],
      [2, []],
      [3, []],
    ]);
  });

  test.each([
    { what: 'a lost number', text: 'clear by NaN dB', says: /NaN/ },
    { what: 'a lost word', text: 'for undefined', says: /undefined/ },
    { what: 'an object as text', text: 'at [object Map]', says: /object/ },
    { what: 'no end', text: 'off by Infinity', says: /Infinity/ },
    { what: 'an escape', text: 'a\u001b[2Jb', says: /control/ },
    { what: 'a turn of direction', text: 'a\u202eb', says: /control/ },
    { what: 'nothing at all', text: '\n', says: /empty/ },
  ])('$what in an output', ({ text, says }) => {
    expect(amissIn(text, 'text')).toEqual([expect.stringMatching(says)]);
    expect(amissIn('all is well: 3 dB\n', 'text')).toEqual([]);
  });

  test('a number that is none, however deep', () => {
    expect(strangeIn({ a: [{ b: Number.NaN }] })).toBe('.a.0.b is NaN');
    expect(strangeIn(new Map([['m', Float64Array.of(1, Number.POSITIVE_INFINITY)]]))).toBe(
      '.m[1] is Infinity',
    );
    expect(strangeIn({ a: [1, null, 'x'] })).toBeNull();
  });
});
