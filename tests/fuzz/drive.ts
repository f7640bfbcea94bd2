/** Hands inputs to processes and sees what becomes of them: what is amiss, what takes too long, what takes too much memory. */
import { type ChildProcess, fork } from 'node:child_process';
import { join } from 'node:path';
import { stateOf } from '../cpu-time.ts';
import type { Order, Outcome } from './runner.ts';

export type Drive = {
  /** The runner, built. */
  readonly runner: string;
  readonly fixtures: string;
  /** In which each process has a folder of its own. */
  readonly work: string;
  readonly run: number;
  readonly from: number;
  readonly to: number;
  readonly processes: number;
  /** Time asleep without any work, ms, after which a process counts as hung, as one that waits for ever. */
  readonly patience: number;
  /** Of the processor, that one input may take, ms. */
  readonly mostTime: number;
  readonly onOutcome: (outcome: Outcome) => void;
};

/** Memory that a process may ever have held, MB. */
export const MOST_MEMORY = 512;

export async function drive(job: Drive): Promise<void> {
  let next = job.from;
  const take = () => (next < job.to ? next++ : null);
  await Promise.all(
    Array.from({ length: job.processes }, (_, i) => drain(job, take, join(job.work, `process-${i}`))),
  );
}

/** One process after another, each until it ends or there is no more to do. */
async function drain(job: Drive, take: () => number | null, folder: string): Promise<void> {
  let index = take();
  while (index !== null) {
    // the heap alone is held to 400 MB, so that with all else the process stays under the most it may hold
    const child = fork(job.runner, [job.fixtures, folder], {
      execArgv: ['--max-old-space-size=400'],
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
    });
    for (let alive = true; alive && index !== null; index = take()) {
      const outcome = await answerOf(child, { run: job.run, index }, job);
      alive = !('ended' in outcome);
      job.onOutcome('ended' in outcome ? deadly(index, outcome.ended) : judged(outcome, job.mostTime));
      if (!('ended' in outcome) && outcome.memory > MOST_MEMORY) alive = false;
      if (!alive) break;
    }
    child.kill('SIGKILL');
    if (index !== null) index = take();
  }
}

function answerOf(
  child: ChildProcess,
  order: Order,
  { patience, mostTime }: Drive,
): Promise<Outcome | { ended: string }> {
  return new Promise((answer) => {
    const done = (one: Outcome | { ended: string }) => {
      clearInterval(look);
      child.removeAllListeners();
      answer(one);
    };
    const hangs = (how: string) => {
      child.kill('SIGKILL');
      done({ ended: `it hangs: no answer ${how}` });
    };
    const before = stateOf(child.pid)?.worked ?? 0;
    let worked = 0;
    let asleep = 0;
    const look = setInterval(() => {
      // where nothing tells, all time counts as sleep
      const state = stateOf(child.pid) ?? { worked: before, waits: true };
      const idle = state.waits && state.worked - before === worked;
      asleep = idle ? asleep + LOOK : 0;
      worked = state.worked - before;
      if (worked > mostTime + START) hangs(`after ${(worked / 1000).toFixed(0)} s of work`);
      else if (asleep >= patience) hangs(`in ${patience / 1000} s of sleep`);
    }, LOOK);
    child.once('message', (outcome: Outcome) => done(outcome));
    child.once('exit', (code, signal) => done({ ended: `the process ends with ${code ?? signal}` }));
    child.send(order);
  });
}

/** From one look at a process to the next, ms. */
const LOOK = 250;

/** What a process needs to begin with, ms of work. */
const START = 1000;

const deadly = (index: number, fault: string): Outcome => ({
  index,
  kind: 'unknown',
  stood: false,
  faults: [fault],
  time: 0,
  memory: 0,
});

function judged(outcome: Outcome, mostTime: number): Outcome {
  const { time, memory } = outcome;
  return {
    ...outcome,
    faults: [
      ...outcome.faults,
      ...(time > mostTime ? [`it takes ${(time / 1000).toFixed(1)} s of the processor`] : []),
      ...(memory > MOST_MEMORY ? [`the process has held ${memory.toFixed(0)} MB`] : []),
    ],
  };
}
