/**
 * How often a planted fault is named and a sound day left alone, over many seeds. Takes some minutes; not part of the tests:
 *
 *     npx rolldown tests/line-check/success-rates.ts --platform node --format esm --dir node_modules/.cache/success-rates
 *     node node_modules/.cache/success-rates/figures.js [days of each kind [plan.yaml]]
 *
 * Without a plan, of the sessions in session.ts. WRONG=1 lists what was planted and not named.
 */
import { readFileSync } from 'node:fs';
import { CAUSE_KINDS } from '../../src/line-check/diagnose.ts';
import { DRY_SESSION, planOf, resolved, SESSION } from './session.ts';
import { benchOf, faultTrial, isNamed, soundTrial, type Trial } from './trials.ts';

const SOUND = 100;
const FAULTY = Number(process.argv[2] ?? 40);
/** Bounds of what faults change in the readings, dB rms. */
const SIZES = [0, 0.25, 0.5, 0.75, 1, 1.5, Number.POSITIVE_INFINITY];
const say = (line: string): void => void process.stdout.write(`${line}\n`);

const [, , , file] = process.argv;
const sessions =
  file === undefined ? { live: SESSION, dry: DRY_SESSION } : { [file]: readFileSync(file, 'utf8') };
for (const [name, text] of Object.entries(sessions))
  for (const byBand of [false, true]) {
    say(`\n${name}, ${byBand ? 'by octave' : 'over all octaves'}`);
    await trySession(text, byBand);
  }

async function trySession(text: string, byBand: boolean): Promise<void> {
  const plan = await planOf(text);
  const bench = benchOf(plan, (one) => resolved(one, 'dist/catalogue.json'), byBand);
  for (const within of [false, true]) {
    const days = Array.from({ length: SOUND }, (_, seed) => soundTrial(bench, seed, within));
    const silent = days.filter(({ diagnosis }) => diagnosis.candidates.length === 0).length;
    say(`  ${within ? 'days within the tolerance' : 'days as planned'}: silent in ${silent} of ${SOUND}`);
  }
  const kinds = CAUSE_KINDS.filter(
    (kind) =>
      (kind !== 'door' || plan.partitions.size > 0) && (!kind.startsWith('baffle') || plan.baffles.size > 0),
  );
  const all = kinds.flatMap((kind) => {
    const trials = Array.from({ length: FAULTY }, (_, seed) => faultTrial(bench, kind, seed));
    const off = trials.filter((_, seed) => isNamed(faultTrial(bench, kind, seed, { within: true }))).length;
    tellKind(kind, trials, off);
    return trials;
  });
  tellSizes(all);
}

function tellKind(kind: string, trials: readonly Trial[], off: number): void {
  const named = trials.filter(isNamed);
  const sizes = named.map(({ diagnosis }) => diagnosis.candidates.length).sort((a, b) => a - b);
  const first = named.filter((trial) => trial.diagnosis.candidates[0]?.cause.kind === kind).length;
  const silent = trials.filter(({ diagnosis }) => diagnosis.candidates.length === 0).length;
  say(
    `  ${kind}: named in ${named.length} of ${FAULTY} (${off} where the day is off within the tolerance as well), first in ${first}, silent in ${silent}; sets of ${sizes[sizes.length >> 1] ?? 0}, at most ${sizes.at(-1) ?? 0}`,
  );
  if (!process.env.WRONG) return;
  for (const { planted, diagnosis } of trials.filter((one) => !isNamed(one)))
    say(
      `      ${planted?.about.join(' and ')}: ${diagnosis.candidates.map(({ cause }) => `${cause.kind} ${cause.about.join('/')}`).join('; ') || 'nothing'}`,
    );
}

function tellSizes(trials: readonly Trial[]): void {
  for (const [i, low] of SIZES.slice(0, -1).entries()) {
    const high = SIZES[i + 1] ?? 0;
    const own = trials.filter(({ size }) => size >= low && size < high);
    const named = own.filter(isNamed).length;
    if (own.length > 0) say(`  faults of ${low} to ${high} dB rms: named ${named} of ${own.length}`);
  }
}
