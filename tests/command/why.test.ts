import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const SCHEMA = new URL('../../shared/schemas/why.schema.json', import.meta.url);

const PLAN = `spillcheck: 1
title: A duo that does not exist
rooms:
  hall: {size: [7, 5], height: 3, reverberation: {125: 0.8, 500: 0.6, 2000: 0.5}}
baffles:
  screen: {from: [3, 1], to: [3, 4], height: 1.6, made-of: upholstered-baffle}
players:
  tuba: {at: [1.5, 2], facing: 90, plays: tuba}
  drums: {at: [5.5, 2.5], facing: 270, plays: drum-kit}
mics:
  tuba-mic: {for: tuba, near: {distance: 50 cm}}
  overheads: {for: drums, at: [5, 2.5, 2], aim: drums, stereo: {xy: 90}}
  tuba-di: {for: tuba, di: true}
`;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  writeFileSync(join(folder, 'plan.yaml'), PLAN);
});
afterAll(() => rmSync(folder, { recursive: true }));

function why(args: readonly string[], environment: Record<string, string> = {}) {
  const env = { PATH: process.env.PATH ?? '', ...environment };
  return spillcheck(['why', ...args], {
    cwd: folder,
    env,
    input: PLAN,
  });
}

const of = (mic: string, source: string): string[] => ['plan.yaml', '--mic', mic, '--source', source];

describe('an answer', () => {
  test('is on standard output, with exit code 0 and nothing said beside it', () => {
    const { status, stdout, stderr } = why(of('overheads.left', 'tuba'));
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout.split('\n').slice(0, 3)).toEqual([
      'A duo that does not exist',
      '',
      'tuba at overheads.left',
    ]);
    expect(stdout).toMatch(/\n {2}direct, around baffles +\d+%/);
    expect(stdout).toContain('\nEquations\n');
  });

  test('as JSON fits the schema, and adds up to the report', () => {
    const { stdout } = why([...of('overheads', 'drums'), '--json']);
    const told = JSON.parse(stdout);
    const validate = new Ajv({ allowUnionTypes: true }).compile(JSON.parse(readFileSync(SCHEMA, 'utf8')));
    validate(told);
    expect(validate.errors).toBeNull();
    const report = JSON.parse(spillcheck(['report', 'plan.yaml', '--json'], { cwd: folder }).stdout);
    for (const { mic, source, level_db, paths } of told.pairs) {
      const energies = paths.map((path: { level_db: number }) => 10 ** (path.level_db / 10));
      const sum = 10 * Math.log10(energies.reduce((a: number, b: number) => a + b, 0));
      const row = report.mics.find((one: { name: string }) => one.name === mic);
      const level = row.levels.find((one: { source: string }) => one.source === source).level_db;
      expect(level_db).toBe(level);
      expect(Math.abs(sum - level)).toBeLessThan(0.01);
    }
    expect(new Set(told.pairs.map(({ mic }: { mic: string }) => mic))).toEqual(
      new Set(['overheads.left', 'overheads.right']),
    );
  });

  test('comes from standard input and goes to a file', () => {
    const shown = why(of('tuba-mic', 'drums.snare')).stdout;
    const { status, stdout } = why(['-', '--mic', 'tuba-mic', '--source', 'drums.snare', '-o', 'why.txt']);
    expect({ status, stdout }).toEqual({ status: 0, stdout: '' });
    expect(readFileSync(join(folder, 'why.txt'), 'utf8')).toBe(shown);
  });

  test('of a line says that it carries no bleed', () => {
    const { status, stdout } = why(of('tuba-di', 'drums'));
    expect(status).toBe(0);
    expect(stdout).toContain('tuba-di is a DI: no bleed');
  });

  test('is in colour only when forced, and not with NO_COLOR', () => {
    const escapes = (environment: Record<string, string>) =>
      why(of('tuba-mic', 'drums.snare'), environment).stdout.includes('\u001b[');
    expect([escapes({}), escapes({ FORCE_COLOR: '1' }), escapes({ NO_COLOR: '1' })]).toEqual([
      false,
      true,
      false,
    ]);
  });
});

describe('what is refused ends with exit code 2, a clear line and no answer', () => {
  test.each([
    { args: of('tuba-mick', 'drums'), says: /--mic: no mic named "tuba-mick"[\s\S]*"tuba-mic"/ },
    { args: of('tuba-mic', 'drums.snair'), says: /--source: .* "drums\.snair"[\s\S]*"drums\.snare"/ },
    { args: ['plan.yaml', '--mic', 'tuba-mic'], says: /why needs --source NAME/ },
    { args: ['plan.yaml', '--source', 'tuba'], says: /why needs --mic NAME/ },
    { args: [...of('tuba-mic', 'drums'), '-o', 'plan.yaml'], says: /would overwrite/ },
    { args: ['none.yaml', '--mic', 'a', '--source', 'b'], says: /none\.yaml.*no such file/ },
  ])('why $args', ({ args, says }) => {
    const { status, stdout, stderr } = why(args);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
    expect(readFileSync(join(folder, 'plan.yaml'), 'utf8')).toBe(PLAN);
  });
});

test('its help shows an example and the exit codes', () => {
  const { stdout, status } = why(['--help']);
  expect(status).toBe(0);
  expect(stdout).toMatch(/Example:\n {2}spillcheck why /);
  expect(stdout).toMatch(/Exit codes:\n {2}0 /);
});
