/** Speed, as ratios of figures measured in this one run. Never part of the tests: machines differ and are shared. */
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { transfer } from '../../src/acoustics/transfer.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { oneRoom, threeRooms } from './scenes.ts';

const GOALS = { cold: 2, box: 2000, screens: 120 } as const;

const say = (line: string): void => void process.stdout.write(`${line}\n`);
const whole = (value: number): string => Math.round(value).toLocaleString('en-US');
const median = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1] ?? 0;

/** Recomputations a second: the median of several stretches, after warming up. */
function perSecond(scene: Scene, seconds = 0.4): number {
  const until = (end: number, from = performance.now(), count = 0): number => {
    let done = count;
    while (performance.now() - from < end * 1000) {
      transfer(scene);
      done++;
    }
    return (done / (performance.now() - from)) * 1000;
  };
  until(1);
  return median(Array.from({ length: 7 }, () => until(seconds)));
}

function coldStart(): void {
  const empty = join(tmpdir(), `spillcheck-empty-${process.pid}.mjs`);
  writeFileSync(empty, '');
  const timed = (args: string[]): number => {
    const from = performance.now();
    spawnSync(process.execPath, args, { stdio: 'ignore' });
    return performance.now() - from;
  };
  const report = ['bin/spillcheck.js', 'report', 'fixtures/brass-hall.yaml'];
  const ratios = Array.from({ length: 15 }, () => {
    const base = timed([empty]);
    return timed(report) / base;
  });
  say(
    `cold report of the demo plan against an empty module: ${median(ratios).toFixed(2)} times (goal ${GOALS.cold})`,
  );
}

function recomputations(name: string, scene: Scene, goal: number): number {
  const rate = perSecond(scene);
  say(
    `${name}: ${whole(rate)} recomputations a second, ${(rate / goal).toFixed(2)} of the goal of ${whole(goal)}`,
  );
  return rate;
}

coldStart();
recomputations('16 sources, 24 microphones, 8 bands, one box room', oneRoom(), GOALS.box);
const base = recomputations('the same with 6 baffles and 3 rooms', threeRooms(6), GOALS.screens);
say('time by number of baffles, 3 rooms, against 6 baffles:');
for (const panels of [0, 1, 2, 4, 8, 16]) {
  say(`  ${String(panels).padStart(2)}  ${(base / perSecond(threeRooms(panels), 0.2)).toFixed(2)}`);
}
