/** A plan at all its limits at once, as a user runs it. DEVELOPERS.md says how long it takes. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { largePlan } from './large-plan.ts';

const BIN = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
afterAll(() => rmSync(folder, { recursive: true }));

const plan = join(folder, 'large.yaml');
writeFileSync(plan, largePlan({ rooms: 30, sources: 200, mics: 400, baffles: 100 }));

/** The heap held to so many MB; the rest of the process takes some 100 more. */
const run = (megabytes: number, ...args: readonly string[]) =>
  spawnSync(process.execPath, [`--max-old-space-size=${megabytes}`, BIN, ...args], { encoding: 'utf8' });

test('200 sources, 400 microphones, 100 baffles and 30 rooms are reported on within 512 MB', {
  timeout: 300_000,
}, () => {
  const { status, stdout, stderr } = run(400, 'report', plan);
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  expect(stdout).toMatch(/^As large as plans may be\n400 microphones: /);
});

test('one that computes ends at once when interrupted', async () => {
  const child = spawn(process.execPath, [BIN, 'report', plan], { stdio: 'ignore' });
  await new Promise((done) => setTimeout(done, 2500));
  const start = performance.now();
  child.kill('SIGINT');
  const ended = await new Promise((done) => child.once('exit', (code, signal) => done(signal ?? code)));
  expect(ended).toBe('SIGINT');
  expect(performance.now() - start).toBeLessThan(2000);
});

test('the moves that a report looks for fit into little memory', { timeout: 120_000 }, () => {
  const many = join(folder, 'many.yaml');
  writeFileSync(many, largePlan({ rooms: 1, sources: 20, mics: 20, baffles: 0 }));
  const { status, stdout } = run(80, 'report', many);
  expect(status).toBe(0);
  expect(stdout).toContain('What to do now');
});
