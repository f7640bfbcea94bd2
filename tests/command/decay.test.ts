/** `spillcheck decay` on recordings made here: what it shows, and what it refuses. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { waveFile } from '../line-check/wave-files.ts';
import { joined, type Made, madeClap, normal, RATE } from '../recording/made-claps.ts';
import { shapeOf } from '../schemas/shape.ts';
import { spillcheck } from '../spillcheck.ts';

const BIN = new URL('../../bin/spillcheck.js', import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), 'spillcheck-decay-'));
afterAll(() => rmSync(folder, { recursive: true }));

const save = (name: string, ...channels: Float64Array[]) =>
  writeFileSync(join(folder, name), waveFile(channels, { bits: 16, rate: RATE }));
const run = (...args: string[]) =>
  spillcheck(['decay', ...args], { cwd: folder, env: { ...process.env, NO_COLOR: '1', COLUMNS: '80' } });

const LIVE: Made = { slopes: [[0.9, 0]], noise: -60, after: 1.6 };
const DEAD: Made = { slopes: [[0.3, 0]], noise: -60, after: 1 };

beforeAll(() => {
  save('live.wav', madeClap(LIVE));
  save('dead.wav', joined(madeClap(DEAD), madeClap({ ...DEAD, seed: 2 })));
  save('faint.wav', madeClap({ ...LIVE, noise: -27 }));
  save(
    'noise.wav',
    Float64Array.from({ length: RATE }, normal(1)).map((sample) => sample / 100),
  );
});

describe('a recording', () => {
  test('gives decay times by octave, and in short', () => {
    const { stdout, status } = run('live.wav');
    expect(status).toBe(0);
    expect(stdout).toContain('1 clap at 0.30 s.');
    const [, edt, t20, t30] =
      /500 Hz and 1 kHz: EDT ([\d.]+) s, T20 ([\d.]+) s, T30 ([\d.]+) s\./.exec(stdout) ?? [];
    // one clap, two octaves: 10 %, and half of that for T20 and T30, are two deviations by ISO 3382-2
    expect(Math.abs(Number(edt) - 0.9)).toBeLessThan(0.18);
    expect(Math.abs(Number(t20) - 0.9)).toBeLessThan(0.09);
    expect(Math.abs(Number(t30) - 0.9)).toBeLessThan(0.09);
    expect(stdout.match(/^ {2}\d+ k?Hz /gm)).toHaveLength(8);
    expect(stdout).toContain('8 kHz: above what the sample rate holds.');
    expect(stdout).toContain('EDT 20, T20 35, T30 45 (ISO');
  });

  test('of several claps shows each, and is averaged with others', () => {
    const { stdout } = run('dead.wav', 'live.wav');
    expect(stdout).toContain('3 claps.');
    expect(stdout.match(/^ {2}(?:dead|live)\.wav +1 /gm)).toHaveLength(3);
    expect(stdout).toMatch(/claps disagree \(0\.\d+ to [01]\.\d+ s at /);
  });

  test('in too much noise says what is missing', () => {
    const { stdout } = run('faint.wav');
    expect(stdout).toMatch(/ 4 kHz: the range suffices for the early decay time only; make/);
    expect(stdout).toMatch(/only,\s+for\s+want\s+of\s+bass/);
  });

  test('is shown as a chart with --chart, no wider than the page', () => {
    const { stdout } = run('live.wav', '--chart');
    const panel = stdout.split('\n').filter((line) => /^ +(?:0|-\d0) /.test(line));
    expect(panel).toHaveLength(12);
    // loudest at the left, nothing left at the right: 60 dB in 0.9 s
    expect(panel[0]).toMatch(/^ +0 {2}[▄▅▆▇█]/);
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  test('as JSON fits the schema', () => {
    const answer = JSON.parse(run('dead.wav', '--json').stdout);
    const fits = shapeOf('decay.schema.json');
    expect(fits(answer), JSON.stringify(fits.errors)).toBe(true);
    expect(answer.claps.map(({ at_s }: { at_s: number }) => at_s)).toEqual([0.3, 1.6]);
    const kilohertz = answer.octaves.find(({ band_hz }: { band_hz: number }) => band_hz === 1000);
    expect(kilohertz.claps).toEqual({ edt: 2, t20: 2, t30: 2 });
    // the curve falls by 60 dB in 0.3 s: by 30 in half of that
    expect(Math.abs(kilohertz.falls_s[30] - 0.15)).toBeLessThan(0.02);
  });
});

describe('refused is', () => {
  test.each([
    ['a recording without a clap', ['noise.wav'], 'noise.wav: no clap in it'],
    ['a file that is absent', ['none.wav'], 'none.wav: no such file or folder'],
    ['a file that is no recording', ['plan.yaml'], 'plan.yaml: not a WAVE file'],
    ['an answer over what was read', ['live.wav', '-o', 'live.wav'], 'live.wav'],
    ['nothing', [], 'decay needs'],
  ])('%s', (_, args, said) => {
    writeFileSync(join(folder, 'plan.yaml'), 'spillcheck: 1\n');
    const { status, stdout, stderr } = run(...args);
    expect([status, stdout]).toEqual([2, '']);
    expect(stderr).toContain(said);
    expect(stderr).toContain('fix: ');
  });
});

test('--watch runs again when a recording is saved', async () => {
  save('watched.wav', madeClap(DEAD));
  const child = spawn(process.execPath, [BIN, 'decay', 'watched.wav', '--watch'], { cwd: folder });
  let [out, said] = ['', ''];
  child.stdout.on('data', (chunk) => (out += chunk));
  child.stderr.on('data', (chunk) => (said += chunk));
  const runs = (count: number) =>
    expect.poll(() => said.match(/Ctrl-C ends/g)?.length ?? 0, { timeout: 900_000 }).toBe(count);
  await runs(1);
  save('watched.wav', madeClap(LIVE));
  await runs(2);
  expect([...out.matchAll(/T20 ([\d.]+) s/g)].map(([, time]) => Number(time) > 0.6)).toEqual([false, true]);
  child.kill('SIGINT');
  await new Promise((done) => child.on('close', done));
});
