/** Files that a plan names: below its own folder, or with leave anywhere; in every command that reads plans. */
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));

const run = (...args: readonly string[]) => spillcheck(args, { cwd: join(folder, 'plans') });

const DAY = `spillcheck: 1
studio: ../hall.yaml
mics:
  m: {for: cornet, near: {distance: 30 cm}, pattern: {table: ../m.csv}}
`;

beforeAll(() => {
  mkdirSync(join(folder, 'plans'));
  writeFileSync(
    join(folder, 'hall.yaml'),
    'rooms: {hall: {size: [9, 7], height: 3}}\nplayers:\n  cornet: {at: [3, 3], plays: cornet}\n  tuba: {at: [6, 3], plays: tuba}\n',
  );
  writeFileSync(join(folder, 'm.csv'), 'angle_deg,1000\n0,0\n180,-20\n');
  writeFileSync(join(folder, 'plans', 'day.yaml'), DAY);
  writeFileSync(join(folder, 'plans', 'read.csv'), 'played,m\ncornet,80\ntuba,70\n');
  symlinkSync(join(folder, 'hall.yaml'), join(folder, 'plans', 'linked.yaml'));
  writeFileSync(join(folder, 'plans', 'by-link.yaml'), DAY.replace('../hall.yaml', 'linked.yaml'));
});
afterAll(() => rmSync(folder, { recursive: true }));

describe.each([
  ['report', 'day.yaml'],
  ['why', 'day.yaml', '--mic', 'm', '--source', 'tuba'],
  ['check', 'day.yaml'],
  ['compare', 'day.yaml', 'day.yaml'],
  ['try', 'day.yaml', '--each', 'mics.m.near.distance=0.3'],
  ['suggest', 'day.yaml'],
  ['draw', 'day.yaml'],
  ['sheet', 'day.yaml'],
  ['line-check', 'day.yaml', 'read.csv'],
])('%s', (...args: readonly string[]) => {
  test('reads no studio or table beyond the folder, and says path, line and option', () => {
    const { status, stdout, stderr } = run(...args);
    const said = args[0] === 'check' ? stdout : stderr;
    expect(status).toBe(2);
    expect(said).toMatch(
      /day\.yaml:2:9 FILE_UNREADABLE studio names \.\.\/hall\.yaml, outside the plan's folder/,
    );
    expect(said).toMatch(
      /day\.yaml:4:\d+ FILE_UNREADABLE mics\.m\.pattern\.table names \.\.\/m\.csv, outside/,
    );
    expect(said).toContain('--allow-outside');
  });

  test('reads them with --allow-outside', () => {
    const { status, stderr } = run(...args, '--allow-outside');
    expect({ status, stderr }).toMatchObject({ status: 0 });
    expect(stderr).not.toContain('FILE_UNREADABLE');
  });
});

test('a link that leads out counts as outside', () => {
  const { status, stderr } = run('report', 'by-link.yaml');
  expect(status).toBe(2);
  expect(stderr).toMatch(/by-link\.yaml:2:9 FILE_UNREADABLE studio linked\.yaml: a link leads out/);
  expect(stderr).toContain('--allow-outside');
  expect(run('report', 'by-link.yaml', '--allow-outside').status).toBe(0);
});
