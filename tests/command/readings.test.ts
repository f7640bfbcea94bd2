/**
 * Commands that judge by readings of the day, as built and run as a user runs them; `npm test` builds it first. Two who do not
 * exist stand in the open, 4 m apart, alike in every way, each with an omnidirectional microphone 1 m off.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { tone, waveFile } from '../line-check/wave-files.ts';
import { shapeOf } from '../schemas/shape.ts';
import { spillcheck } from '../spillcheck.ts';

const BIN = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));
const ONE = '{at: [X, 0, 1], facing: 0, spectrum: {1000: 0}, directivity: {Q: 1}, level: 90 dB at 1 m}';
const PLAN = `spillcheck: 1
title: Two alike
sources:
  left: ${ONE.replace('X', '0')}   # a remark
  right: ${ONE.replace('X', '4')}
mics:
  left-mic: {for: left, at: [0, 1, 1], pattern: omni, aim: left}
  right-mic: {for: right, at: [4, 1, 1], pattern: omni, aim: right}
`;
/**
 * By the plan 10·lg(16 + 1) = 12.3 dB at either. Read: −10 over −28 dB is 18 at left-mic, −12 over −17 is 5 at right-mic.
 */
const READINGS = 'played,left-mic,right-mic\nleft,-10,-17\nright,-28,-12\nnoise,-70,-70\n';

let folder = '';
const at = (name: string) => join(folder, name);
const save = (name: string, text: string | Uint8Array) => writeFileSync(at(name), text);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  save('plan.yaml', PLAN);
  save('day.csv', READINGS);
  mkdirSync(at('takes'));
  const own = tone(1000, 0.3, { before: 0.5, during: 1.5, after: 0.5 });
  const scaled = (by: number) => own.map((one) => one * by);
  save('takes/left.wav', waveFile([own, scaled(0.5)], { bits: 24 }));
  save('takes/right.wav', waveFile([scaled(0.1), own], { bits: 24 }));
});
afterAll(() => rmSync(folder, { recursive: true }));

function run(args: readonly string[], input = '') {
  const env = { PATH: process.env.PATH ?? '' };
  return spillcheck(args, { cwd: folder, env, input });
}

function jsonOf(args: readonly string[]) {
  const { stdout, stderr } = run([...args, '--json']);
  if (stdout === '') throw new Error(stderr);
  const told = JSON.parse(stdout);
  const validate = shapeOf(`${args[0]}.schema.json`);
  validate(told);
  expect(validate.errors).toBeNull();
  return told;
}

type Mic = { name: string; signal_to_bleed_db: number; verdict: string; basis: string | null };
const micsOf = (told: { mics: Mic[] }) =>
  told.mics.map((mic) => [mic.name, mic.signal_to_bleed_db, mic.verdict, mic.basis]);

describe('report', () => {
  test('without readings is the plan’s', () => {
    const told = jsonOf(['report', 'plan.yaml']);
    expect(told.mics[0].signal_to_bleed_db).toBeCloseTo(12.3, 1);
    expect([told.readings, told.level_basis, told.mics[0].basis]).toEqual([null, null, null]);
  });

  /** Of left against right: 18 − 12.3 + 12.3 − 5 over 2 at both mics, half of it each: ±((18 + 12.3) − (5 + 12.3))/4 = ±3.25. */
  test('judges by what was read, and says of each figure that it was', () => {
    const told = jsonOf(['report', 'plan.yaml', '--readings', 'day.csv']);
    expect(micsOf(told)).toEqual([
      ['left-mic', 18, 'clear', 'measured'],
      ['right-mic', 5, 'short', 'measured'],
    ]);
    expect(told.level_basis).toBe('measured-levels');
    expect(told.readings).toMatchObject({ files: ['day.csv'], bands_hz: null, readings: 4 });
    expect(told.readings.levels).toMatchObject([
      { name: 'left', basis: 'measured', change_db: expect.closeTo(3.25, 2) },
      { name: 'right', basis: 'measured', change_db: expect.closeTo(-3.25, 2) },
    ]);
  });

  test('says it on the page for people, and on that to pass round', () => {
    const { stdout, status, stderr } = run(['report', 'plan.yaml', '--readings', 'day.csv']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const page = stdout.replaceAll(/\s+/g, ' ');
    expect(page).toContain('Measured levels: day.csv, 4 readings over all octaves');
    expect(page).toContain('Measured, relative to each other: left, right.');
    expect(page).toMatch(/SHORT right-mic 5.0 -5.0 █+┃ measured/);
    const html = run(['report', 'plan.yaml', '--readings', 'day.csv', '--html', '-']).stdout;
    expect(html).toContain('Measured levels: day.csv');
    expect(html).toMatch(/<th[^>]*>basis<\/th>/);
    expect(html).toContain('<td>measured</td>');
  });

  test('says whose level is only predicted', () => {
    const third = PLAN.replace('mics:', `  third: ${ONE.replace('X', '2')}\nmics:`);
    save('three.yaml', third);
    const told = jsonOf(['report', 'three.yaml', '--readings', 'day.csv']);
    expect(told.mics.map(({ basis }: Mic) => basis)).toEqual(['partly-measured', 'partly-measured']);
    expect(told.readings.levels.at(-1)).toMatchObject({ name: 'third', basis: 'predicted', change_db: null });
    expect(run(['report', 'three.yaml', '--readings', 'day.csv']).stdout).toContain('Predicted: third.');
  });

  /** The tone at a tenth is 20 dB less, at a half 6.02 dB. */
  test('takes a folder of takes, and readings from standard input', () => {
    const told = jsonOf(['report', 'plan.yaml', '--readings', 'takes']);
    expect(told.mics[0].signal_to_bleed_db).toBeCloseTo(20, 1);
    expect(told.mics[1].signal_to_bleed_db).toBeCloseTo(6.02, 1);
    expect(told.readings.bands_hz).toContain(1000);
    const { stdout } = run(['report', 'plan.yaml', '--readings', '-', '--json'], READINGS);
    expect(micsOf(JSON.parse(stdout))[0]).toEqual(['left-mic', 18, 'clear', 'measured']);
  });
});

describe('check', () => {
  test('misses a limit that the day misses, though the plan meets it', () => {
    expect(run(['check', 'plan.yaml']).status).toBe(0);
    const { status, stdout } = run(['check', 'plan.yaml', '--readings', 'day.csv']);
    expect(status).toBe(1);
    expect(stdout.replaceAll(/\s+/g, ' ')).toContain('5.0 dB short; measured');
  });

  test('says it in every format', () => {
    const told = jsonOf(['check', 'plan.yaml', '--readings', 'day.csv']);
    expect(told.plans[0].readings.files).toEqual(['day.csv']);
    expect(told.plans[0].limits.map(({ basis }: Mic) => basis)).toEqual(['measured', 'measured']);
    for (const format of ['junit', 'sarif', 'annotations'])
      expect(run(['check', 'plan.yaml', '--readings', 'day.csv', '--format', format]).stdout).toMatch(
        /5\.0 dB short; measured/,
      );
    expect(run(['check', 'plan.yaml', '--readings', 'day.csv', '--format', 'junit']).stdout).toContain(
      '<property name="readings" value="day.csv"/>',
    );
  });
});

describe('suggest', () => {
  test('moves what the day misses, from where it was read', () => {
    expect(jsonOf(['suggest', 'plan.yaml']).shortfall_db).toBe(0);
    const told = jsonOf(['suggest', 'plan.yaml', '--readings', 'day.csv', '--all']);
    expect(told.shortfall_db).toBe(5);
    const closer = told.suggestions.find(
      ({ fixes: [fix] }: { fixes: { kind: string }[] }) => fix?.kind === 'softer',
    );
    expect(closer.helps[0]).toMatchObject({ mic: 'right-mic', before_db: 5, before_basis: 'measured' });
    // 3 dB for a step, and what the other mic sees of it
    expect([3, 6]).toContain(closer.helps[0].after_db - closer.helps[0].before_db);
    const page = run(['suggest', 'plan.yaml', '--readings', 'day.csv']).stdout.replaceAll(/\s+/g, ' ');
    expect(page).toContain('Measured levels: day.csv');
    expect(page).toContain('values after a fix are predicted');
    expect(page).toContain('right-mic S/B 5.0 measured →');
  }, 60_000);

  test('applies the move alone, no level that was read', () => {
    const moved = run(['suggest', 'plan.yaml', '--readings', 'day.csv', '--apply', '1']);
    expect(moved.status).toBe(0);
    const [old, now] = [PLAN.split('\n'), moved.stdout.split('\n')];
    expect(now).toHaveLength(old.length);
    const changed = now.filter((line, i) => line !== old[i]);
    expect(changed).toHaveLength(1);
    const set = jsonOf(['suggest', 'plan.yaml', '--readings', 'day.csv']).suggestions[0].fixes[0].edits;
    expect(changed[0]).toContain(String(set[0].path[1]));
  }, 60_000);
});

describe('compare', () => {
  /** right-mic from 1 m to 0.5 m of right: +6.02 dB; of left from √17 to √16.25 m: +0.196 dB. 5 + 6.02 − 0.196 = 10.82. */
  const closer = PLAN.replace(
    'right-mic: {for: right, at: [4, 1, 1]',
    'right-mic: {for: right, at: [4, 0.5, 1]',
  );

  test('goes by the readings of the first plan on both sides, and says which figures are none', () => {
    save('closer.yaml', closer);
    const { mics, readings } = jsonOf(['compare', 'plan.yaml', 'closer.yaml', '--readings', 'day.csv']);
    expect(readings.files).toEqual(['day.csv']);
    const [left, right] = mics;
    expect(left.values).toMatchObject([
      { value: 18, basis: 'measured' },
      { value: 18, basis: 'measured' },
    ]);
    expect(right.values).toMatchObject([
      { value: 5, basis: 'measured' },
      { value: expect.closeTo(10.82, 1), basis: 'measured-levels' },
    ]);
    const page = run(['compare', 'plan.yaml', 'closer.yaml', '--readings', 'day.csv']).stdout;
    expect(page).toMatch(/right-mic\s+5\.0 short \(m\)\s+10\.8 marginal \(l\)\s+\+5\.8/);
    expect(page.replaceAll(/\s+/g, ' ')).toContain('(m) measured: read at this mic');
  });

  /** A plan that asks for 3 dB less than the first has 3 dB less than was read. */
  test('has what another plan changes about a level come on top', () => {
    save('softer.yaml', PLAN.replace('level: 90 dB at 1 m}   #', 'level: 87 dB at 1 m}   #'));
    const { mics } = jsonOf(['compare', 'plan.yaml', 'softer.yaml', '--readings', 'day.csv']);
    expect(mics[0].values.map((one: { value: number }) => one.value)).toEqual([18, 15]);
    expect(mics[0].values[1].basis).toBe('measured-levels');
  });
});

describe('readings that cannot be used end with exit code 2, the cell named and no answer', () => {
  const commands = [
    ['report', 'plan.yaml'],
    ['check', 'plan.yaml'],
    ['suggest', 'plan.yaml'],
    ['compare', 'plan.yaml', 'plan.yaml'],
  ];
  test.each(commands)('%s', (...args) => {
    save('bad.csv', 'played,left-mic,right-mic\nleft,-10,loud\noboe,-28,-12\n');
    const { status, stdout, stderr } = run([...args, '--readings', 'bad.csv']);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(/^bad\.csv:2:10 BAD_VALUE row left, column right-mic/);
    expect(stderr).toMatch(/\nbad\.csv:3:1 UNKNOWN_NAME /);
    const none = run([...args, '--readings', 'none.csv']);
    expect(none.status).toBe(2);
    expect(none.stderr).toMatch(/none\.csv.*no such file/);
    const both = run([args[0] ?? '', '-', ...args.slice(2), '--readings', '-'], PLAN);
    expect({ status: both.status, stdout: both.stdout }).toEqual({ status: 2, stdout: '' });
    expect(both.stderr).toMatch(/cannot both come from standard input/);
  });

  test('check of several plans cannot read standard input for each', () => {
    save('other.yaml', PLAN);
    const { status, stderr } = run(['check', 'plan.yaml', 'other.yaml', '--readings', '-'], READINGS);
    expect(status).toBe(2);
    expect(stderr).toMatch(/can be read once/);
  });
});

test('--watch runs again when readings are saved', async () => {
  save('watched.csv', READINGS);
  const child = spawn(
    process.execPath,
    [BIN, 'report', 'plan.yaml', '--readings', 'watched.csv', '--watch'],
    {
      cwd: folder,
    },
  );
  let [out, said] = ['', ''];
  child.stdout.on('data', (chunk) => (out += chunk));
  child.stderr.on('data', (chunk) => (said += chunk));
  const runs = (count: number) =>
    expect.poll(() => said.match(/Ctrl-C ends/g)?.length ?? 0, { timeout: 900_000 }).toBe(count);
  await runs(1);
  expect(out).toMatch(/SHORT +right-mic +5\.0 +-5\.0/);
  save('watched.csv', READINGS.replace('-17', '-15'));
  await runs(2);
  expect(out).toMatch(/right-mic +3\.0 +-7\.0/);
  expect(said).toContain('watched.csv changed');
  child.kill('SIGINT');
  await new Promise((done) => child.on('close', done));
  expect(existsSync(at('plan.yaml'))).toBe(true);
});
