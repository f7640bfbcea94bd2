/**
 * How often a planted fault is named and a sound day left alone, over many seeds. Takes some minutes; not part of the tests:
 *
 *     npx rolldown tests/linecheck/figures.ts --platform node --format esm --dir node_modules/.cache/figures
 *     node node_modules/.cache/figures/figures.js [days of each kind [plan.yaml]]
 *
 * Without a plan, of the session in session.ts. WRONG=1 lists what was planted and not named.
 */
import { readFileSync } from 'node:fs';
import { CAUSE_KINDS } from '../../src/linecheck/cause.ts';
import { planOf, resolved, SESSION } from './session.ts';
import { benchOf, faultTrial, isNamed, soundTrial } from './trials.ts';

const SOUND = 100;
const FAULTY = Number(process.argv[2] ?? 40);
const say = (line: string): void => void process.stdout.write(`${line}\n`);

const [, , , file] = process.argv;
const plan = await planOf(file === undefined ? SESSION : readFileSync(file, 'utf8'));
const kinds = CAUSE_KINDS.filter(
  (kind) =>
    (kind !== 'door' || plan.partitions.size > 0) && (!kind.startsWith('baffle') || plan.baffles.size > 0),
);
for (const byBand of [false, true]) {
  const bench = benchOf(plan, (one) => resolved(one, 'dist/catalogue.json'), byBand);
  say(byBand ? '\nby octave' : 'over all octaves');
  for (const within of [false, true]) {
    const silent = Array.from({ length: SOUND }, (_, seed) => soundTrial(bench, seed, within)).filter(
      ({ diagnosis }) => diagnosis.suspects.length === 0,
    );
    say(
      `  ${within ? 'days within the tolerance' : 'days as planned'}: silent in ${silent.length} of ${SOUND}`,
    );
  }
  for (const kind of kinds) {
    const trials = Array.from({ length: FAULTY }, (_, seed) => faultTrial(bench, kind, seed));
    const named = trials.filter(isNamed);
    const sizes = named.map(({ diagnosis }) => diagnosis.suspects.length).sort((a, b) => a - b);
    const first = named.filter((trial) => trial.diagnosis.suspects[0]?.cause.kind === kind).length;
    const silent = trials.filter(({ diagnosis }) => diagnosis.suspects.length === 0).length;
    const off = trials.filter((_, seed) => isNamed(faultTrial(bench, kind, seed, true))).length;
    say(
      `  ${kind}: named in ${named.length} of ${FAULTY} (${off} where the day is off within the tolerance as well), first in ${first}, silent in ${silent}; sets of ${sizes[sizes.length >> 1] ?? 0}, at most ${sizes.at(-1) ?? 0}`,
    );
    if (process.env.WRONG)
      for (const trial of trials.filter((one) => !isNamed(one)))
        say(
          `      ${trial.planted?.about.join(' and ')}: ${trial.diagnosis.suspects.map(({ cause }) => `${cause.kind} ${cause.about.join('/')}`).join('; ') || 'nothing'}`,
        );
  }
}
