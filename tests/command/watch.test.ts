/** The built command line under `--watch`; `npm test` builds it first. */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';

const BIN = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));

const HALL = 'spillcheck: 1\nrooms: {hall: {size: [7, 5], height: 3, reverberation: 0.6}}\n';
const PLAN = `spillcheck: 1
title: First take
studio: hall.yaml
players:
  tuba: {at: [1.5, 2], facing: 90, plays: tuba}
  cornet: {at: [5, 3], facing: 270, plays: cornet}
mics:
  tuba-mic: {for: tuba, near: {distance: 50 cm}, pattern: {table: tables/odd.csv}}
`;
const TABLE =
  'angle_deg,63,125,250,500,1000,2000,4000,8000\n0,0,0,0,0,0,0,0,0\n180,-9,-9,-9,-9,-9,-9,-9,-9\n';

let folder = '';
const at = (name: string) => join(folder, name);
const save = (name: string, text: string) => writeFileSync(at(name), text);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  mkdirSync(at('tables'));
  save('hall.yaml', HALL);
  save('plan.yaml', PLAN);
  save('tables/odd.csv', TABLE);
});

const running = new Set<ChildProcess>();
afterEach(() => {
  for (const child of running) child.kill('SIGKILL');
  running.clear();
  rmSync(folder, { recursive: true });
});

type Watched = {
  /** Waits until it has run so many times, counted by what it says when it looks on. */
  readonly runs: (count: number) => Promise<void>;
  readonly out: () => string;
  readonly said: () => string;
  /** Ctrl-C; how it ended. */
  readonly end: () => Promise<{ readonly code: number | null; readonly signal: string | null }>;
};

function watched(args: readonly string[]): Watched {
  const child = spawn(process.execPath, [BIN, ...args, '--watch'], { cwd: folder });
  running.add(child);
  let [out, said] = ['', ''];
  child.stdout.on('data', (chunk) => (out += chunk));
  child.stderr.on('data', (chunk) => (said += chunk));
  const ended = new Promise<{ code: number | null; signal: string | null }>((done) => {
    child.on('close', (code, signal) => done({ code, signal }));
  });
  return {
    runs: (count) =>
      expect
        .poll(() => said.match(/Ctrl-C ends/g)?.length ?? 0, { timeout: 900_000 })
        .toBe(count) as Promise<void>,
    out: () => out,
    said: () => said,
    end: () => {
      child.kill('SIGINT');
      return ended;
    },
  };
}

describe('--watch', () => {
  test('reports again on every save of the plan, its studio and its tables, and ends with 0', async () => {
    const report = watched(['report', 'plan.yaml', '--show', 'rooms']);
    await report.runs(1);
    expect(report.out()).toContain('First take');
    expect(report.said()).toContain('watching plan.yaml and 2 other files');
    save('plan.yaml', PLAN.replace('First', 'Second'));
    await report.runs(2);
    expect(report.out()).toContain('Second take');
    // 7 by 5 by 3 m are 105 m³, 10 by 5 by 3 are 150
    expect(report.out()).not.toContain('150 m³');
    save('hall.yaml', HALL.replace('[7, 5]', '[10, 5]'));
    await report.runs(3);
    expect(report.out()).toContain('150 m³');
    save('tables/odd.csv', TABLE.replace('180,-9', '180,-12'));
    await report.runs(4);
    expect(report.said()).toContain('tables/odd.csv changed');
    expect(await report.end()).toEqual({ code: 0, signal: null });
  });

  test('shows what is wrong, keeps the last good drawing, and goes on when it is fixed', async () => {
    const draw = watched(['draw', 'plan.yaml', '-o', 'plan.svg']);
    await draw.runs(1);
    const good = readFileSync(at('plan.svg'), 'utf8');
    save('plan.yaml', PLAN.replace('facing: 90', 'facing: nobody'));
    await draw.runs(2);
    expect(draw.said()).toMatch(/plan\.yaml:5:\d+ UNKNOWN_NAME[^\n]*\n.*facing: nobody.*\n +\^/);
    expect(readFileSync(at('plan.svg'), 'utf8')).toBe(good);
    save('plan.yaml', PLAN.replace('First', 'Third'));
    await draw.runs(3);
    expect(readFileSync(at('plan.svg'), 'utf8')).toContain('Third take');
    expect((await draw.end()).code).toBe(0);
  });

  test('begins with a broken plan, and takes a file that an editor puts in its place', async () => {
    save('plan.yaml', 'spillcheck: 1\nplayers: [');
    const check = watched(['check', 'plan.yaml']);
    await check.runs(1);
    expect(check.out()).toContain('PLAN_SYNTAX');
    save('draft', PLAN);
    renameSync(at('draft'), at('plan.yaml'));
    await check.runs(2);
    expect(check.out()).toContain('plan.yaml (First take): 1 limit met');
    expect((await check.end()).code).toBe(0);
  });

  test('waits for a plan that is taken away and comes back', async () => {
    const report = watched(['report', 'plan.yaml']);
    await report.runs(1);
    rmSync(at('plan.yaml'));
    await report.runs(2);
    expect(report.said()).toContain('plan.yaml: ');
    save('plan.yaml', PLAN);
    await report.runs(3);
    expect(report.out().match(/First take/g)?.length).toBe(2);
    expect((await report.end()).code).toBe(0);
  });

  test('does not run while nothing is saved', async () => {
    const report = watched(['report', 'plan.yaml']);
    await report.runs(1);
    await new Promise((resume) => setTimeout(resume, 1000));
    await report.runs(1);
    expect((await report.end()).code).toBe(0);
  });

  test.each([
    {
      what: 'standard input',
      args: ['report', '-'],
      says: 'standard input is read once and cannot be watched',
    },
    {
      what: 'readings from standard input',
      args: ['report', 'plan.yaml', '--readings', '-'],
      says: 'is read once',
    },
    { what: 'a pipe', args: ['report', 'pipe.yaml'], says: '--watch: pipe.yaml is read once' },
    {
      what: 'an option that names nothing',
      args: ['report', 'plan.yaml', '--show', 'x'],
      says: 'no section named "x"',
    },
  ])('is refused at once with 2: $what', ({ args, says }) => {
    spawnSync('mkfifo', [at('pipe.yaml')]);
    const { status, stderr } = spawnSync(process.execPath, [BIN, ...args, '--watch'], {
      cwd: folder,
      encoding: 'utf8',
      input: '',
    });
    expect(status).toBe(2);
    expect(stderr).toContain(says);
  });
});
