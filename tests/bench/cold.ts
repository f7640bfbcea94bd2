/** A whole process: the report of the demo plan against an empty module, in turns. */
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { median, say, sayTime } from './measure.ts';

const GOAL = 2;
const WITH_MOVES = 1;
const REPORT = ['bin/spillcheck.js', 'report', 'fixtures/brass-hall.yaml'];

export function coldReport(): void {
  const empty = join(tmpdir(), `spillcheck-empty-${process.pid}.mjs`);
  writeFileSync(empty, '');
  const bare = [...REPORT, '--no-fixes'];
  const ratios = Array.from({ length: 15 }, () => {
    const base = timed([empty]);
    return timed(bare) / base;
  });
  say(
    `cold report of the demo plan, without moves, against an empty module: ${median(ratios).toFixed(2)} times (goal ${GOAL})`,
  );
  const moves = Array.from({ length: 5 }, () => timed(REPORT) / 1000);
  sayTime('the same with the three moves that a report shows', median(moves), WITH_MOVES);
}

function timed(args: string[]): number {
  const from = performance.now();
  spawnSync(process.execPath, args, { stdio: 'ignore' });
  return performance.now() - from;
}
