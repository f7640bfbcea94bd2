import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const HALL = fileURLToPath(new URL('../../fixtures/brass-hall.yaml', import.meta.url));
const SCHEMA = new URL('../../shared/schemas/sheet.schema.json', import.meta.url);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

const sheet = (args: readonly string[], input = '') => spillcheck(['sheet', ...args], { cwd: folder, input });

test('is text within 80 columns, with every list that has something in it', () => {
  const { status, stdout, stderr } = sheet([HALL]);
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  expect(stdout.match(/^[A-Z][a-z ]+$/gm)).toEqual(['Input list', 'Positions', 'Headphones', 'Safety']);
  expect(Math.max(...stdout.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80);
  // the tuba at [2.2, 6.2] in a hall of 12 by 9 m
  expect(stdout).toMatch(/^ {2}tuba +player +left wall +220 cm +top wall +280 cm$/m);
});

test('reads standard input and writes CSV', () => {
  const { status, stdout } = sheet(['-', '--format', 'csv'], readFileSync(HALL, 'utf8'));
  expect(status).toBe(0);
  expect(stdout).toContain('positions,tuba,player,left wall,220 cm,top wall,280 cm,');
});

test('writes a page to a file', () => {
  expect(sheet([HALL, '--format', 'html', '-o', 'sheet.html']).status).toBe(0);
  expect(readFileSync(join(folder, 'sheet.html'), 'utf8')).toMatch(/^<!DOCTYPE html>[\s\S]*<\/html>\n$/);
});

test('--json has its documented shape', () => {
  const { stdout } = sheet([HALL, '--json']);
  expect(new Ajv().validate(JSON.parse(readFileSync(SCHEMA, 'utf8')), JSON.parse(stdout))).toBe(true);
  expect(sheet([HALL, '--format', 'json']).stdout).toBe(stdout);
});

test.each([
  {
    what: 'an unknown format',
    args: [HALL, '--format', 'pdf'],
    says: /BAD_OPTION --format cannot be "pdf"\n {2}fix: use one of text, csv, html, json/,
  },
  {
    what: 'a plan that is not there',
    args: ['none.yaml'],
    says: /FILE_UNREADABLE none\.yaml: no such file/,
  },
])('refuses $what with exit code 2 and writes nothing', ({ args, says }) => {
  const { status, stdout, stderr } = sheet(args);
  expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
  expect(stderr).toMatch(says);
});

test('never takes the place of the plan', () => {
  const plan = join(folder, 'plan.yaml');
  writeFileSync(plan, readFileSync(HALL));
  const { status, stderr } = sheet([plan, '-o', plan]);
  expect(status).toBe(2);
  expect(stderr).toContain('would overwrite');
  expect(readFileSync(plan, 'utf8')).toBe(readFileSync(HALL, 'utf8'));
});
