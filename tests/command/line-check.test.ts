import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { tone, waveFile } from '../line-check/wave-files.ts';
import { spillcheck } from '../spillcheck.ts';

const FIXTURES = fileURLToPath(new URL('../../fixtures/', import.meta.url));
const SCHEMA = new URL('../../shared/schemas/line-check.schema.json', import.meta.url);

const PLAN = `spillcheck: 1
title: Two who do not exist
players:
  tuba: {at: [0, 0], facing: 0, plays: tuba, level: 90 dB at 1 m}   # a remark
  horn: {at: [4, 0], facing: 0, plays: tenor-horn, dynamic: f}
mics:
  tuba-mic: {for: tuba, at: [0, 1, 1.5]}
  horn-mic: {for: horn, at: [4, 1, 1.5]}
  horn-di: {for: horn, di: true}
`;
const READINGS = 'played,tuba-mic,horn-mic\ntuba,-10,-30\nhorn,-28,-12\nnoise,-70,-70\n';

// a hundred days are drawn and a thousand causes tried each time, on machines that do other things as well
vi.setConfig({ testTimeout: 60_000 });

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  writeFileSync(join(folder, 'plan.yaml'), PLAN);
  writeFileSync(join(folder, 'day.csv'), READINGS);
  const takes = join(folder, 'takes');
  mkdirSync(join(takes, 'horn'), { recursive: true });
  const own = tone(250, 0.3, { before: 0.5, during: 1.5, after: 0.5 });
  const bleed = own.map((one) => one / 10);
  // the channels of the plan in its order: tuba-mic, horn-mic, horn-di
  writeFileSync(join(takes, 'tuba.wav'), waveFile([own, bleed, own.map(() => 0)], { bits: 16 }));
  writeFileSync(join(takes, 'horn', 'tuba-mic.wav'), waveFile([bleed], { tag: 3, bits: 32 }));
  writeFileSync(join(takes, 'horn', 'horn-mic.wav'), waveFile([own], { bits: 24 }));
});
afterAll(() => rmSync(folder, { recursive: true }));

function lineCheck(args: readonly string[], input = PLAN) {
  const env = { PATH: process.env.PATH ?? '' };
  return spillcheck(['line-check', ...args], {
    cwd: folder,
    env,
    input,
  });
}

const jsonOf = (args: readonly string[]) => {
  const { stdout, stderr } = lineCheck([...args, '--json']);
  if (stdout === '') throw new Error(stderr);
  const told = JSON.parse(stdout);
  const validate = new Ajv({ allowUnionTypes: true }).compile(JSON.parse(readFileSync(SCHEMA, 'utf8')));
  validate(told);
  expect(validate.errors).toBeNull();
  return told;
};

describe('an answer', () => {
  test('is on standard output, with exit code 0 and nothing said beside it', () => {
    const { status, stdout, stderr } = lineCheck(['plan.yaml', 'day.csv']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout.split('\n').slice(0, 2)).toEqual([
      'Two who do not exist',
      '2 sources at 2 channels, 4 readings.',
    ]);
    expect(stdout).toContain('\nLevels\n');
  });

  /** −10 over −28 dB, and −12 over −30 dB: gains cancel. */
  test('as JSON fits the schema, and has S/B as it was read', () => {
    const told = jsonOf(['plan.yaml', 'day.csv']);
    const measured = told.signal_to_bleed.map((row: { mic: string; measured_db: number }) => [
      row.mic,
      row.measured_db,
    ]);
    expect(measured).toEqual([
      ['tuba-mic', 18],
      ['horn-mic', 18],
    ]);
    expect(told.bands_hz).toBeNull();
  });

  test('is the same from standard input, plan or readings', () => {
    const shown = lineCheck(['plan.yaml', 'day.csv']).stdout;
    expect(lineCheck(['-', 'day.csv']).stdout).toBe(shown);
    expect(lineCheck(['plan.yaml', '-'], READINGS).stdout).toBe(shown);
  });

  /** Both read 20 dB more of their own; the tone is at 250 Hz, the third octave. */
  test('comes from takes in a folder, all channels in a file or a file for each', () => {
    const told = jsonOf(['plan.yaml', 'takes']);
    expect(told.bands_hz).toContain(250);
    for (const row of told.signal_to_bleed) expect(Math.abs(row.measured_db - 20)).toBeLessThan(0.1);
    expect(told.skipped).toEqual(['horn-di']);
  });
});

describe('the invented readings of the brass band', () => {
  const plan = join(FIXTURES, 'brass-hall.yaml');
  test.each(['brass-hall.csv', 'brass-hall-octaves.csv'])('%s fits the plan', (name) => {
    const { diagnosis } = jsonOf([plan, join(FIXTURES, 'readings', name)]);
    expect(diagnosis.candidates).toEqual([]);
    expect(diagnosis.beyond_tolerance).toBe(false);
  });

  test('brass-hall-omni.csv shows a microphone that was left at omni', () => {
    const { diagnosis } = jsonOf([plan, join(FIXTURES, 'readings', 'brass-hall-omni.csv')]);
    expect(diagnosis.candidates[0]).toMatchObject({
      kind: 'pattern',
      about: ['solo-mic'],
      how: { pattern: 'omni' },
    });
    expect(diagnosis.candidates[0].after_rms_db).toBeLessThan(diagnosis.before_rms_db);
  });
});

describe('--output writes the plan with measured levels', () => {
  test('to a file, every other byte as it was, and says how they are meant', () => {
    const { status, stderr } = lineCheck(['plan.yaml', 'day.csv', '-o', 'measured.yaml']);
    expect(status).toBe(0);
    expect(stderr).toMatch(/2 measured levels written to measured\.yaml \(relative levels\)/);
    const [old, now] = [PLAN.split('\n'), readFileSync(join(folder, 'measured.yaml'), 'utf8').split('\n')];
    expect(now.filter((line, i) => line !== old[i])).toHaveLength(2);
    expect(now[3]).toMatch(
      /^ {2}tuba: \{at: \[0, 0\], facing: 0, plays: tuba, level: \d+\.\d dB at 1 m\} {3}# a remark$/,
    );
    expect(
      jsonOf(['measured.yaml', 'day.csv']).sources.every(
        (one: { value_db: number }) => Math.abs(one.value_db) < 0.11,
      ),
    ).toBe(true);
  });

  test('with - to standard output, in place of the answer', () => {
    const { stdout } = lineCheck(['plan.yaml', 'day.csv', '-o', '-']);
    expect(stdout).toMatch(/^spillcheck: 1\n/);
  });
});

test('a kit that was read as one is said to be', () => {
  const kit = PLAN.replace('mics:', '  drums: {at: [2, 3], facing: 180, plays: small-kit}\nmics:');
  writeFileSync(join(folder, 'kit.yaml'), kit);
  writeFileSync(join(folder, 'kit.csv'), READINGS.replace('noise', 'drums,-20,-21\nnoise'));
  expect(jsonOf(['kit.yaml', 'kit.csv']).measured_as_one).toEqual(['drums']);
  const page = lineCheck(['kit.yaml', 'kit.csv']).stdout.replaceAll(/\s+/g, ' ');
  expect(page).toContain('drums: measured as one; pieces not separated.');
});

test('a source that nothing links to another has no level, and nothing is written for it', () => {
  writeFileSync(join(folder, 'apart.csv'), 'played,tuba-mic,horn-mic\ntuba,-10,\nhorn,,-12\n');
  const told = jsonOf(['plan.yaml', 'apart.csv', '-o', 'apart.yaml']);
  expect(told.sources.map((one: { value_db: number | null }) => one.value_db)).toEqual([null, null]);
  expect(told).toMatchObject({
    degrees_of_freedom: 0,
    groups: [{ sources: ['tuba'] }, { sources: ['horn'] }],
  });
  expect(readFileSync(join(folder, 'apart.yaml'), 'utf8')).toBe(PLAN);
});

describe('what is refused ends with exit code 2, a clear line and no answer', () => {
  const file = (name: string, text: string | Uint8Array) => {
    writeFileSync(join(folder, name), text);
    return name;
  };
  test.each([
    {
      name: 'mic.csv',
      text: 'played,tuba-mick\ntuba,-1\n',
      says: /^mic\.csv:1:8 UNKNOWN_NAME [\s\S]*tuba-mick\n {9}\^[\s\S]*"tuba-mic"/,
    },
    {
      name: 'both.csv',
      text: 'played,tuba-mic\ntuba,loud\noboe,-3\n',
      says: /^both\.csv:2:6 BAD_VALUE [\s\S]*\nboth\.csv:3:1 UNKNOWN_NAME /,
    },
    {
      name: 'cell.csv',
      text: 'played,tuba-mic\ntuba,loud\n',
      says: /^cell\.csv:2:6 BAD_VALUE row tuba, column tuba-mic/,
    },
    {
      name: 'tuba.wav',
      text: 'no sound at all',
      says: /FILE_UNREADABLE tuba\.wav cannot be read: not a WAVE file/,
    },
    {
      name: 'oboe.wav',
      text: waveFile([tone(250, 0.3), tone(250, 0.3), tone(250, 0.3)], { bits: 16 }),
      says: /UNKNOWN_NAME .*"oboe"/,
    },
  ])('$name', ({ name, text, says }) => {
    const { status, stdout, stderr } = lineCheck(['plan.yaml', file(name, text), '-o', 'never.yaml']);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
    expect(existsSync(join(folder, 'never.yaml'))).toBe(false);
  });

  test.each([
    { args: ['plan.yaml', 'none.csv'], says: /none\.csv.*no such file/ },
    { args: ['none.yaml', 'day.csv'], says: /none\.yaml.*no such file/ },
    { args: ['plan.yaml', 'day.csv', 'takes'], says: /different scales/ },
    { args: ['-', '-'], says: /cannot both come from standard input/ },
    { args: ['plan.yaml', 'day.csv', '-o', 'plan.yaml'], says: /would overwrite/ },
    { args: ['plan.yaml'], says: /line-check needs readings/ },
  ])('line-check $args', ({ args, says }) => {
    const { status, stdout, stderr } = lineCheck(args);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
  });
});

test('its help shows an example, how readings are written, and the exit codes', () => {
  const { stdout, status } = lineCheck(['--help']);
  expect(status).toBe(0);
  expect(stdout).toMatch(/Example:\n {2}spillcheck line-check /);
  expect(stdout).toMatch(/Readings:\n[\s\S]*channels by the plan's channel\s+keys/);
  expect(stdout).toMatch(/Exit codes:\n {2}0 /);
});

describe('a table far too large', () => {
  const big = (lines: readonly string[]) => {
    writeFileSync(join(folder, 'big.csv'), lines.join('\n'));
    return lineCheck(['plan.yaml', 'big.csv']);
  };

  test('is refused at the cell that is one too many, in one line', () => {
    const rows = Array.from({ length: 34_000 }, () => 'tuba,1,2');
    const { status, stderr } = big(['played,a,b', ...rows]);
    expect(status).toBe(2);
    expect(stderr).toMatch(/:33334:1 OUT_OF_RANGE more than 100000 cells/);
  });

  test('with a fault in every line tells the first hundred, and how many more there are', () => {
    const { status, stderr } = big(['played,a', ...Array.from({ length: 30_000 }, (_, i) => `x${i},loud`)]);
    expect(status).toBe(2);
    expect(stderr.match(/BAD_VALUE|UNKNOWN_NAME/g)).toHaveLength(100);
    expect(stderr).toMatch(/\n\d+ more errors; fix these first\n$/);
  });
});
