/**
 * Random plans and torn fixtures carried through the whole line:
 *
 *     npm run fuzz -- --count 20000 --seed 1 --processes 1
 *     npm run fuzz -- --seed 1 --only 1234
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { drive } from './drive.ts';
import { type Input, inputAt, shelfOf } from './inputs.ts';
import type { Outcome } from './runner.ts';

const { values } = parseArgs({
  options: {
    count: { type: 'string', default: '20000' },
    seed: { type: 'string', default: '1' },
    processes: { type: 'string', default: '1' },
    only: { type: 'string' },
  },
});
const [count, run, processes] = [values.count, values.seed, values.processes].map(Number) as [
  number,
  number,
  number,
];
const only = values.only === undefined ? null : Number(values.only);
const here = fileURLToPath(new URL('./', import.meta.url));
const fixtures = join(process.cwd(), 'fixtures');
const folder = mkdtempSync(join(tmpdir(), 'spillcheck-fuzz-'));
const say = (line: string): void => void process.stdout.write(`${line}\n`);

const tally = { done: 0, stood: 0, bad: 0, slowest: 0, slowestIndex: 0, memory: 0, time: 0 };
const kinds = new Map<string, number>();

function keep(outcome: Outcome): void {
  tally.bad++;
  const input = inputAt(shelfOf(fixtures), run, outcome.index);
  const place = join(folder, `seed-${run}-input-${outcome.index}`);
  mkdirSync(place, { recursive: true });
  for (const { path, bytes } of filesOf(input)) writeFileSync(join(place, basename(path)), bytes);
  writeFileSync(join(place, 'what-is-amiss.txt'), `${outcome.faults.join('\n')}\n`);
  say(`input ${outcome.index} (${input.kind}): ${outcome.faults[0]?.split('\n').slice(0, 3).join(' ')}`);
  say(`  kept in ${place}; alone: npm run fuzz -- --seed ${run} --only ${outcome.index}`);
}

const filesOf = ({ path, bytes, beside }: Input) => [{ path, bytes }, ...(beside ? [beside] : [])];

function onOutcome(outcome: Outcome): void {
  tally.done++;
  if (outcome.stood) tally.stood++;
  kinds.set(outcome.kind, (kinds.get(outcome.kind) ?? 0) + 1);
  tally.time += outcome.time;
  if (outcome.time > tally.slowest)
    Object.assign(tally, { slowest: outcome.time, slowestIndex: outcome.index });
  tally.memory = Math.max(tally.memory, outcome.memory);
  if (outcome.faults.length > 0) keep(outcome);
  if (tally.done % 1000 === 0) say(`${tally.done} carried, ${tally.stood} stood, ${tally.bad} amiss`);
}

const [from, to] = only === null ? [0, count] : [only, only + 1];
const work = join(folder, 'work');
await drive({
  runner: join(here, 'runner.js'),
  fixtures,
  work,
  run,
  from,
  to,
  processes,
  patience: 300_000,
  mostTime: 5000,
  onOutcome,
});
rmSync(work, { recursive: true, force: true });
const told = [...kinds].map(([kind, many]) => `${many} ${kind}`).join(', ');
say(`${tally.done} inputs (${told}), ${tally.stood} of them stood; ${tally.bad} amiss`);
say(
  `slowest ${(tally.slowest / 1000).toFixed(2)} s (input ${tally.slowestIndex}), mean ${(tally.time / tally.done).toFixed(0)} ms; at most ${tally.memory.toFixed(0)} MB`,
);
if (tally.bad === 0) rmSync(folder, { recursive: true, force: true });
process.exitCode = tally.bad === 0 && tally.done === to - from ? 0 : 1;
