/**
 * Faults planted into invented sessions, read with 1 dB of noise, levels and gains unknown: what caused them must be named in 9
 * of 10, and nothing on 95 of 100 days that are as planned or within the tolerance. By octave every fault that is planted
 * counts. Over all octaves only those do that change the readings by as much as the noise, levels and gains taken out: what is
 * smaller does not show. tests/line-check/success-rates.ts runs many more of them, and says how often what is smaller is named.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { CAUSE_KINDS } from '../../src/line-check/diagnose.ts';
import { READING_SIGMA } from '../../src/line-check/readings.ts';
import { sized } from '../sized.ts';
import { DRY_SESSION, planOf, resolved, SESSION } from './session.ts';
import { type Bench, benchOf, faultTrial, isFirst, isNamed, soundTrial } from './trials.ts';

/** Of as many seeds; in `npm test` one that is named in 9 of 10 is named in fewer than 2 of 4 once in 270 runs: 0.1^4 + 4·0.9·0.1^3. */
/** Every other kind of fault, and all in the long run. */
const KINDS = CAUSE_KINDS.filter((_, i) => i % sized(2, 1) === sized(1, 0));
const NAMED = sized(2, 27);
const SEEDS = [...Array(sized(4, 30)).keys()];
const DAYS = [...Array(sized(6, 40)).keys()];

const TRIED = [
  { session: 'a live room by octave', text: SESSION, byBand: true, atLeast: 0 },
  { session: 'a dry room over all octaves', text: DRY_SESSION, byBand: false, atLeast: READING_SIGMA },
];

// the causes of a session alone are seconds of work: `npm test` has one
describe.each(TRIED.slice(0, sized(1, 2)))('in $session', ({ text, byBand, atLeast }) => {
  let bench: Bench;
  beforeAll(async () => {
    bench = benchOf(await planOf(text), (plan) => resolved(plan), byBand);
  });

  test.each(KINDS)('a planted fault is named in 9 of 10: %s', (kind) => {
    // what stands elsewhere must change the readings by as much as the noise, by octave too, and be named first
    const wanted = { atLeast: kind === 'place' ? READING_SIGMA : atLeast };
    const trials = SEEDS.map((seed) => faultTrial(bench, kind, seed, wanted));
    const named = kind === 'place' && byBand ? isFirst : isNamed;
    expect(trials.filter(named).length).toBeGreaterThanOrEqual(NAMED);
    // a set so wide that it holds anything would be no answer
    for (const { diagnosis } of trials) expect(diagnosis.candidates.length).toBeLessThanOrEqual(5);
  });

  test('a named fault leaves less unexplained than the plan does', () => {
    const { diagnosis } = faultTrial(bench, 'channels', 1);
    expect(diagnosis.candidates[0]?.after).toBeLessThan(diagnosis.before / 2);
    expect(diagnosis).toMatchObject({ beyond: true, more: false });
  });

  test.each([
    { within: false, sessions: 'as planned' },
    { within: true, sessions: 'within the tolerance' },
  ])('nothing is named on 95 of 100 sound sessions: $sessions', ({ within }) => {
    const silent = DAYS.filter((seed) => soundTrial(bench, seed, within).diagnosis.candidates.length === 0);
    expect(silent.length).toBeGreaterThanOrEqual(Math.floor(0.95 * DAYS.length));
  });
});
