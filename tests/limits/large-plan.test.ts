/** A plan at all its limits at once, as a user runs it. DEVELOPERS.md says how long it takes. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { untilWorked } from '../cpu-time.ts';
import { sized } from '../sized.ts';
import { largePlan, type Size } from './large-plan.ts';

const BIN = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
afterAll(() => rmSync(folder, { recursive: true }));

const LARGEST: Size = { rooms: 30, sources: 200, mics: 400, baffles: 100 };
/** A fifth of each in `npm test`, on a third of the heap. */
const SIZE: Size = sized(0, 1) === 1 ? LARGEST : { rooms: 6, sources: 40, mics: 80, baffles: 20 };
const HEAP = sized(130, 400);
const plan = join(folder, 'large.yaml');
writeFileSync(plan, largePlan(SIZE));

/** The heap held to so many MB; the rest of the process takes some 100 more. */
const run = (megabytes: number, ...args: readonly string[]) =>
  spawnSync(process.execPath, [`--max-old-space-size=${megabytes}`, BIN, ...args], { encoding: 'utf8' });

const { sources, mics, baffles, rooms } = SIZE;
test(`${sources} sources, ${mics} microphones, ${baffles} baffles and ${rooms} rooms are reported on within ${HEAP} MB`, () => {
  const { status, stdout, stderr } = run(HEAP, 'report', plan);
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  expect(stdout).toMatch(new RegExp(`^As large as plans may be\\n[^]*\\n\\d+ of ${mics} mics are short`));
});

test('one that computes ends at once when interrupted', async () => {
  writeFileSync(plan, largePlan(LARGEST));
  const child = spawn(process.execPath, [BIN, 'report', plan], { stdio: 'ignore' });
  // of 12 s of work; had it not ended by the signal, it would have ended with 0
  await untilWorked(child, 700);
  child.kill('SIGINT');
  const ended = await new Promise((done) => child.once('exit', (code, signal) => done(signal ?? code)));
  expect(ended).toBe('SIGINT');
});

test('the moves that a report looks for fit into little memory', () => {
  const many = join(folder, 'many.yaml');
  writeFileSync(many, largePlan({ rooms: 1, sources: 11, mics: 11, baffles: 0 }));
  const { status, stdout } = run(70, 'report', many);
  expect(status).toBe(0);
  expect(stdout).toContain('Fix first');
});
