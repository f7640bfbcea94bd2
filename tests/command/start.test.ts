import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { STARTERS } from '../../src/shipped.ts';
import { spillcheck } from '../spillcheck.ts';

const schema = JSON.parse(
  readFileSync(new URL('../../shared/schemas/plan.schema.json', import.meta.url), 'utf8'),
);
const valid = new Ajv({ strict: false }).compile(schema);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

const run = (args: readonly string[], input?: string) => {
  const { status, stdout, stderr } = spillcheck(args, {
    cwd: folder,
    ...(input !== undefined && { input }),
  });
  return { status, stdout, stderr };
};

const NEXT = '# What to add next, with an example of each:\n';

describe.each(STARTERS)('--room %s', (room) => {
  const plan = () => run(['start', '--room', room]).stdout;

  test('is reported without a word against it, and meets its limits', () => {
    expect(run(['report', '-'], plan())).toMatchObject({ status: 0, stderr: '' });
    expect(run(['check', '-'], plan())).toMatchObject({ status: 0, stderr: '' });
  });

  test('fits the schema it names, and says that it is invented', () => {
    const [modeline = ''] = plan().split('\n');
    const [, path = ''] = /^# yaml-language-server: \$schema=(\S+)$/.exec(modeline) ?? [];
    expect(existsSync(fileURLToPath(path))).toBe(true);
    expect(plan()).toMatch(/^# Invented data/m);
    expect({ ok: valid(parse(plan())), errors: valid.errors }).toEqual({ ok: true, errors: null });
  });

  test('what it tells to add can be added as it stands', () => {
    const [before = '', next = ''] = plan().split(NEXT);
    const whole = before + next.replaceAll(/^# /gm, '');
    expect(next.length).toBeGreaterThan(100);
    expect(run(['report', '-'], whole)).toMatchObject({ status: 0, stderr: '' });
    expect({ ok: valid(parse(whole)), errors: valid.errors }).toEqual({ ok: true, errors: null });
  });

  test('no line of it is wider than 100 columns, but the way to the schema', () => {
    const [, ...lines] = plan().split('\n');
    expect(lines.filter((line) => line.length > 100)).toEqual([]);
  });
});

test('a file is written once, and again only where that is asked for', () => {
  const file = join(folder, 'mine.yaml');
  expect(run(['start', '-o', file])).toEqual({ status: 0, stdout: '', stderr: '' });
  expect(readFileSync(file, 'utf8')).toContain(`spillcheck report ${file}\n`);
  writeFileSync(file, 'spillcheck: 1\n');
  const again = run(['start', '-o', file]);
  expect(again).toMatchObject({ status: 2, stdout: '' });
  expect(again.stderr).toMatch(/mine\.yaml already exists\n {2}fix: .*--force/);
  expect(readFileSync(file, 'utf8')).toBe('spillcheck: 1\n');
  expect(run(['start', '-o', file, '--force', '--room', 'hall']).status).toBe(0);
  expect(readFileSync(file, 'utf8')).toContain('title: Brass and a singer in a hall');
});

test('a room that there is none for is refused with those there are', () => {
  expect(run(['start', '--room', 'cave'])).toMatchObject({ status: 2, stdout: '' });
  expect(run(['start', '--room', 'cave']).stderr).toContain('living-room, hall, church, garage');
});
