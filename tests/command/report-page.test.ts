import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { spillcheck } from '../spillcheck.ts';

const HALL = fileURLToPath(new URL('../../fixtures/brass-hall.yaml', import.meta.url));

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

const report = (...args: string[]) => spillcheck(['report', ...args], { cwd: folder, input: '' });

describe('report --html', () => {
  test('writes one page under 500 kB, the drawing of the plan in it, and nothing beside', async () => {
    const { status, stdout, stderr } = report(HALL, '--html', 'hall.html');
    expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: '', stderr: '' });
    const page = readFileSync(join(folder, 'hall.html'), 'utf8');
    expect(statSync(join(folder, 'hall.html')).size).toBeLessThan(500_000);
    expect(page.match(/<svg[\s\S]*tenor-horn[\s\S]*<\/svg>/)).not.toBeNull();
    const { errors } = await validateXML({ xml: [{ fileName: 'x', contents: page }], normalization: 'c14n' });
    expect(errors).toEqual([]);
  });

  test('gives every id once with a real drawing, and no attribute that its policy would refuse', () => {
    const { stdout } = report(HALL, '--no-fixes', '--html', '-');
    const ids = [...stdout.matchAll(/\sid="([^"]*)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(stdout).not.toMatch(/<[^>]*\s(?:style|on\w+|src)="/);
  });

  test('holds the tolerances where they are asked for', () => {
    const plan = join(folder, 'few.yaml');
    writeFileSync(plan, `${readFileSync(HALL, 'utf8')}\ntolerance: {draws: 20}\n`);
    expect(report(plan, '--no-fixes', '--html', '-').stdout).not.toContain('id="tolerance"');
    expect(report(plan, '--no-fixes', '--html', '-', '--tolerance').stdout).toContain('id="tolerance"');
  });

  test('goes with neither --json nor -o, and never over the plan', () => {
    expect(report(HALL, '--html', 'x.html', '--json').status).toBe(2);
    expect(report(HALL, '--html', 'x.html', '-o', 'y').status).toBe(2);
    const plan = join(folder, 'plan.yaml');
    writeFileSync(plan, readFileSync(HALL));
    expect(report(plan, '--html', plan).status).toBe(2);
    expect(readFileSync(plan, 'utf8')).toBe(readFileSync(HALL, 'utf8'));
  });
});

describe('the small plan in characters', () => {
  const GUITARS = fileURLToPath(new URL('../../fixtures/two-guitars.yaml', import.meta.url));
  const DUO = fileURLToPath(new URL('../../fixtures/living-room-duo.yaml', import.meta.url));

  test('stands on a brief page where a screen of 40 lines holds both', () => {
    const { stdout } = report(GUITARS);
    expect(stdout).toContain('\nMap\n');
    expect(stdout.trimEnd().split('\n').length).toBeLessThanOrEqual(40);
    for (const plan of [DUO, HALL]) expect(report(plan).stdout).not.toContain('Map');
  });

  test('stands on a full page, and by itself where it is asked for', () => {
    expect(report(HALL, '--all', '--no-fixes').stdout).toMatch(/\nMap\n {2}┌─{59}┐\n/); // 12 m are 60 columns of 20 cm on
    expect(report(HALL, '--show', 'map').stdout).toContain('Map');
    expect(report(HALL, '--show', 'bleed').stdout).not.toContain('Map');
  });
});
