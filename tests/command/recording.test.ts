/** A plan that names a recorded clap: its times are those of the plan, wherever the file may lie. */
import { spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { waveFile } from '../line-check/wave-files.ts';
import { joined, type Made, madeClap, RATE } from '../recording/made-claps.ts';
import { spillcheck } from '../spillcheck.ts';

const BIN = new URL('../../bin/spillcheck.js', import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), 'spillcheck-recording-'));
afterAll(() => rmSync(folder, { recursive: true }));

const LIVE: Made = { slopes: [[0.9, 0]], noise: -60, after: 1.6 };
const save = (name: string, ...channels: Float64Array[]) =>
  writeFileSync(join(folder, 'plans', name), waveFile(channels, { bits: 16, rate: RATE }));

const PLAN = `spillcheck: 1
rooms:
  hall: {size: [9, 7], height: 3.6, reverberation: REVERBERATION}
players:
  cornet: {at: [3, 3], facing: 0, plays: cornet}
mics:
  m: {for: cornet, near: {distance: 30 cm}}
`;

/** Runs a command on a plan with that reverberation. */
function run(
  reverberation: string,
  command: readonly string[] = ['report', '--json'],
  ...more: readonly string[]
) {
  writeFileSync(join(folder, 'plans', 'plan.yaml'), PLAN.replace('REVERBERATION', reverberation));
  const [name = '', ...options] = command;
  return spillcheck([name, 'plan.yaml', ...options, ...more], { cwd: join(folder, 'plans') });
}
const reportOf = (reverberation: string) => JSON.parse(run(reverberation).stdout);
const timesOf = (reverberation: string): number[] => reportOf(reverberation).rooms[0].rt60_measured_s;

beforeAll(() => {
  mkdirSync(join(folder, 'plans'));
  save('live.wav', madeClap(LIVE));
  save('../outside.wav', madeClap(LIVE));
  save('faint.wav', madeClap({ ...LIVE, noise: -27 }));
  save('cut.wav', madeClap({ ...LIVE, after: 0.25 }));
  save('two.wav', joined(madeClap(LIVE), madeClap({ ...LIVE, slopes: [[0.4, 0]], seed: 3 })));
});

describe('a recording in a plan', () => {
  const decay = (file: string) =>
    JSON.parse(spillcheck(['decay', file, '--json'], { cwd: join(folder, 'plans') }).stdout).octaves;

  test('gives T20 by octave, as `decay` reads it', () => {
    const times = timesOf('{recording: live.wav}');
    const read = decay('live.wav').map(({ times }: { times: { t20_s: number } }) => times.t20_s);
    // 16000 samples a second hold no 8 kHz: the next octave stands for it
    expect(times).toEqual([...read.slice(0, 7), read[6]]);
    expect(timesOf(`{recording: live.wav, 500: 2, 8k: 0.3}`)).toEqual([
      ...read.slice(0, 3),
      2,
      ...read.slice(4, 7),
      0.3,
    ]);
  });

  test('gives the early decay time where the range suffices for no more, and says so', () => {
    const read = decay('faint.wav').map(({ times }: { times: { edt_s: number | null } }) => times.edt_s);
    const given = read.flatMap((time: number | null, i: number) => (time === null ? [] : [i]));
    const times = timesOf('{recording: faint.wav}');
    for (const i of given) expect(times[i]).toBe(read[i]);
    const { stdout } = run('{recording: faint.wav}', ['report']);
    expect(stdout.replaceAll(/\s+/g, ' ')).toContain(
      'the range suffices for the early decay time only; make more noise',
    );
    expect(run('{recording: live.wav}', ['report']).stdout).not.toContain('early decay time only');
  });

  /** T20 and early decay time are not the same to the model: the same plan typed by hand is. */
  test('counts as the same times typed by hand, early where they are', () => {
    const byHand = (all: readonly (number | null)[], decay: string) =>
      `{${all.flatMap((time, i) => (time === null ? [] : [`${63 * 2 ** i > 900 ? 1000 * 2 ** (i - 4) : [63, 125, 250, 500][i]}: ${time}`])).join(', ')}, decay: ${decay}}`;
    for (const [file, name, decayKind] of [
      ['live.wav', 't20_s', 'late'],
      ['faint.wav', 'edt_s', 'early'],
    ] as const) {
      const read = decay(file).map(
        ({ times }: { times: Record<string, number | null> }) => times[name] ?? null,
      );
      const levels = (reverberation: string) => reportOf(reverberation).mics[0].levels;
      expect(levels(`{recording: ${file}}`)).toEqual(levels(byHand(read, decayKind)));
    }
  });

  /** Octaves do not meet in a room's field: each is as if all were read that way. */
  test('or early in some octaves alone', () => {
    const levels = (decay: string): number[] =>
      reportOf(`{125: 0.9, 500: 0.7, decay: ${decay}}`).mics[0].levels[0].bands_db;
    const [late, early, mixed] = ['late', 'early', '{125: early}'].map(levels) as [
      number[],
      number[],
      number[],
    ];
    // 250 Hz lies between, and goes with the octave below
    expect(mixed).toEqual([...early.slice(0, 3), ...late.slice(3)]);
    expect(late[3]).not.toBe(early[3]);
  });

  test('gives the early decay time everywhere with `decay: early`', () => {
    const read = decay('live.wav').map(({ times }: { times: { edt_s: number } }) => times.edt_s);
    expect(timesOf('{recording: live.wav, decay: early}').slice(0, 7)).toEqual(read.slice(0, 7));
  });

  test('warns where claps disagree', () => {
    const { stdout } = run('{recording: two.wav}', ['check', '--all']);
    expect(stdout.replaceAll(/\s+/g, ' ')).toMatch(
      /warning rooms\.hall\.reverberation\.recording names two\.wav, and at [\d, and]+ Hz claps disagree; listen/,
    );
  });

  test('is part of the plan for what changes it', () => {
    const { stdout } = run('{recording: live.wav}', ['try'], '--each', 'rooms.hall.reverberation.500=1..3/1');
    expect(stdout.trim().split('\n')).toHaveLength(4);
    const other = run(
      '{recording: live.wav}',
      ['try'],
      '--each',
      'rooms.hall.reverberation.recording=two.wav',
    );
    expect(other.status).toBe(2);
    expect(other.stderr).toContain('no setting named "rooms.hall.reverberation.recording"');
  });
});

describe('refused is', () => {
  test.each([
    ['../outside.wav', "names ../outside.wav, outside the plan's folder", 'or add --allow-outside'],
    ['none.wav', 'names none.wav: no such file or folder', 'check the path'],
    ['plan.yaml', 'names plan.yaml: not a WAVE file', 'export WAVE'],
    ['cut.wav', 'names cut.wav, in which no octave falls by 20 dB', 'see `spillcheck decay cut.wav`'],
    ['.', 'must be the path of a file', 'write a path such as clap.wav'],
    ['[live.wav]', 'must be a path, got a list', 'write a path such as clap.wav'],
  ])('%s', (file, said, fix) => {
    const { status, stdout, stderr } = run(`{recording: ${file}}`, ['report']);
    expect([status, stdout]).toEqual([2, '']);
    expect(stderr).toContain(`plan.yaml:3:64 `);
    expect(stderr).toContain(said);
    expect(stderr).toContain(fix);
  });

  test('but not one outside the folder with --allow-outside', () => {
    expect(run('{recording: ../outside.wav}', ['report'], '--allow-outside').status).toBe(0);
  });
});

test('--watch runs again when the recording is saved', async () => {
  save('watched.wav', madeClap(LIVE));
  run('{recording: watched.wav}');
  const child = spawn(process.execPath, [BIN, 'report', 'plan.yaml', '--octaves', '--watch'], {
    cwd: join(folder, 'plans'),
  });
  let [out, said] = ['', ''];
  child.stdout.on('data', (chunk) => (out += chunk));
  child.stderr.on('data', (chunk) => (said += chunk));
  const runs = (count: number) =>
    expect.poll(() => said.match(/Ctrl-C ends/g)?.length ?? 0, { timeout: 900_000 }).toBe(count);
  await runs(1);
  save('watched.wav', madeClap({ ...LIVE, slopes: [[0.4, 0]] }));
  await runs(2);
  const kilohertz = [...out.matchAll(/hall, measured(?: +[\d.]+){4} +([\d.]+)/g)].map(([, time]) =>
    Number(time),
  );
  expect(kilohertz.map((time) => time > 0.6)).toEqual([true, false]);
  expect(said).toContain('watched.wav changed');
  child.kill('SIGINT');
  await new Promise((done) => child.on('close', done));
});
