/** Moves and trials of a plan of 16 players, 24 microphones and 6 baffles: each changes the plan and computes what it touches. */
import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Catalogue, readCatalogue } from '../../src/catalogue/catalogue.ts';
import type { Path } from '../../src/finding.ts';
import { contextOf, marginsOf } from '../../src/judge/criteria.ts';
import { openPlan, sessionOf } from '../../src/judge/session.ts';
import { nodeOf } from '../../src/plan/edit.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { suggest } from '../../src/suggest/advice.ts';
import { type Computed, type Evaluator, evaluatorOf } from '../../src/suggest/evaluate.ts';
import { perSecond, say, sayRate, sayTime, timed } from './measure.ts';
import { largePlan } from './plan.ts';

const GOALS = { turns: 15000, mics: 2000, players: 100, single: 3, sets: 20, rows: 30 } as const;
const ROWS = 100_000;
const MEMORY = 150;

export async function movesAndTrials(): Promise<void> {
  const catalogue = readCatalogue(JSON.parse(readFileSync('dist/catalogue.json', 'utf8')));
  const base = await largeBase(catalogue);
  const bench = evaluatorOf(base);
  say('on a plan of 16 players, 24 microphones, 6 baffles, 3 rooms:');
  sayRate('  turning a microphone', perSecond(turning(bench, 'mic-7')), GOALS.turns);
  sayRate('  giving it another pattern', perSecond(patterns(bench, 'mic-7')), GOALS.turns);
  sayRate('  moving it', perSecond(moving(bench, ['mics', 'mic-7', 'near', 'distance'], 0.3)), GOALS.mics);
  sayRate('  moving a player and what is near him', perSecond(shifting(bench)), GOALS.players);
  sayTime(
    '  suggest, every single move',
    timed(() => void suggest(base)),
    GOALS.single,
  );
  sayTime(
    '  suggest, sets of three',
    timed(() => void suggest(base, { most: 3 })),
    GOALS.sets,
  );
  manyRows();
}

async function largeBase(catalogue: Catalogue): Promise<Computed> {
  const read = await readPlan(largePlan(), { name: 'large.yaml' });
  const { open, findings } = openPlan(read, catalogue);
  if (!open) throw new Error(read.show(findings));
  return sessionOf(open);
}

/** Sets one value of the plan, and reads how it then stands. */
function trying(bench: Evaluator, path: Path): (value: Parameters<typeof nodeOf>[0]) => void {
  const context = contextOf(bench.base.scene, bench.base.result);
  marginsOf(context, null);
  return (value) => {
    const made = bench.attempt([{ path, value: nodeOf(value) }]);
    if ('faults' in made) throw new Error(made.faults.map(({ message }) => message).join('; '));
    const { scene, result, mics } = made;
    marginsOf(contextOf(scene, result, mics ? { context, changed: mics } : undefined), null);
  };
}

function turning(bench: Evaluator, mic: string): () => void {
  const set = trying(bench, ['mics', mic, 'aim']);
  let step = 0;
  return () => set({ bearing: (7 * step++) % 360, tilt: 0 });
}

function patterns(bench: Evaluator, mic: string): () => void {
  const set = trying(bench, ['mics', mic, 'pattern']);
  const names = ['omni', 'supercardioid', 'figure-8', 'hypercardioid'];
  let next = 0;
  return () => set(names[next++ % names.length] as string);
}

function moving(bench: Evaluator, path: Path, from: number): () => void {
  const set = trying(bench, path);
  let step = 0;
  return () => set(from + 0.005 * (step++ % 20));
}

function shifting(bench: Evaluator): () => void {
  const set = trying(bench, ['players', 'player-6', 'at']);
  let step = 0;
  return () => set([4.4 + 0.01 * (step++ % 20), 3.8]);
}

/** In a process of its own, for its memory. */
function manyRows(): void {
  const plan = join(tmpdir(), `spillcheck-large-${process.pid}.yaml`);
  writeFileSync(plan, largePlan());
  const each = `mics.mic-7.aim.bearing=0..${(ROWS - 1) * 0.0036}/0.0036`;
  const script = `
    process.argv.splice(1, 0, 'spillcheck');
    process.on('exit', () => process.stderr.write('\\n' + JSON.stringify(process.resourceUsage())));
    await import(${JSON.stringify(join(process.cwd(), 'bin/spillcheck.js'))});`;
  const args = ['try', plan, '--each', each, '--show', 'signal-to-bleed.mic-7'];
  const { stdout, stderr } = spawnSync(process.execPath, ['--input-type=module', '--eval', script, ...args], {
    encoding: 'utf8',
    maxBuffer: 1e8,
  });
  const { userCPUTime, systemCPUTime, maxRSS } = JSON.parse(stderr.split('\n').at(-1) ?? '');
  const rows = stdout.split('\n').length - 2;
  sayTime(`  try, ${rows} rows turning one microphone`, (userCPUTime + systemCPUTime) / 1e6, GOALS.rows);
  say(`  its memory: ${(maxRSS / 1024).toFixed(0)} MB (objective ${MEMORY})`);
}
