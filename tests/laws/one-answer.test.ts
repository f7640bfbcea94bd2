/**
 * One plan has one answer: report, check, suggest, try, compare and tolerance give the same margins, whatever limits it sets. All
 * plans and measured levels are made up at random.
 */

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Criterion, type CriterionKind, limitRows, type MarginRow } from '../../src/judge/criteria.ts';
import { judge } from '../../src/judge/judge.ts';
import { type Session, sessionOf } from '../../src/judge/session.ts';
import { micsAsNamed } from '../../src/judge/signal-to-bleed.ts';
import { limitMargins, marginAt, tolerancesOf } from '../../src/judge/tolerance.ts';
import { measuredLevels, withReadings } from '../../src/line-check/measured-levels.ts';
import { matchReadings, readTable } from '../../src/line-check/readings.ts';
import { suggest } from '../../src/suggest/advice.ts';
import { compare } from '../../src/suggest/compare.ts';
import { axisOf, columnsOf, trialsOf, tryAll } from '../../src/suggest/sweep.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { sized } from '../sized.ts';
import { spillcheck } from '../spillcheck.ts';
import { onBench, textWith } from '../suggest/evaluator.ts';
import { span } from './scenes.ts';

const NAMES = ['ann', 'bob', 'cid'] as const;
const some = <T>(one: fc.Arbitrary<T>): fc.Arbitrary<T | null> => fc.option(one, { nil: null });
const subset = <T>(all: readonly T[]) => fc.subarray([...all]);

const player = fc.record({
  x: span(1.2, 1.8),
  y: span(1.3, 3.7),
  facing: fc.integer({ min: 0, max: 359 }),
  plays: fc.constantFrom('trumpet', 'violin', 'tuba', 'singing-voice', 'clarinet'),
  later: fc.constantFrom('leave', 'rebalance', 'tune', 'replace'),
  wearing: fc.constantFrom('none', 'closed', 'open'),
  distance: fc.constantFrom(20, 40, 60),
  pattern: fc.constantFrom('cardioid', 'omni', 'figure-8'),
  stereo: fc.constantFrom('', '', ', stereo: xy'),
});

const limits = fc.record({
  signalToBleed: some(span(-5, 30)),
  ghost: some(span(-40, 0)),
  isolation: some(span(0, 30)),
  threeToOne: some(span(1, 6)),
  seeEachOther: fc.boolean(),
  hear: subset(NAMES.slice(1)),
  hours: some(fc.integer({ min: 1, max: 20 })),
  balance: some(span(-10, 10)),
  direct: some(span(-20, 0)),
  weighting: fc.constantFrom('own', 'Z', 'A', 'C'),
  confidence: some(span(0.05, 0.95)),
});

const session = fc.record({
  players: fc.tuple(player, player, player),
  limits,
  passages: subset([
    ['verse', ['ann', 'bob']],
    ['chorus', ['ann', 'bob', 'cid']],
    ['bridge', ['cid']],
  ] as const),
  baffle: fc.boolean(),
  shared: fc.boolean(),
  seed: fc.integer({ min: 0, max: 1000 }),
  draws: fc.integer({ min: 1, max: 15 }),
});

type Made = typeof session extends fc.Arbitrary<infer T> ? T : never;

const n = (value: number): string => value.toFixed(3);

function limitLines(asked: Made['limits']): string {
  const lines = [
    asked.signalToBleed === null ? '' : `signal-to-bleed: ${n(asked.signalToBleed)} dB`,
    asked.ghost === null ? '' : `ghost: {ann: ${n(asked.ghost)}, cid: ${n(asked.ghost)}}`,
    asked.isolation === null ? '' : `isolation: {bob: ${n(asked.isolation)}, cid: ${n(asked.isolation)}}`,
    asked.threeToOne === null ? '' : `three-to-one: ${n(asked.threeToOne)}`,
    asked.seeEachOther ? 'see-each-other: [[ann, bob, cid]]' : '',
    asked.hear.length === 0 ? '' : `hear: {ann: [${asked.hear.join(', ')}]}`,
    asked.balance === null ? '' : `balance: [{of: [ann, cid], over: bob, least: ${n(asked.balance)}}]`,
    asked.direct === null ? '' : `direct-to-reverberant: ${n(asked.direct)}`,
    asked.hours === null ? '' : `session-length: ${asked.hours}`,
    asked.confidence === null ? '' : `confidence: ${n(asked.confidence)}`,
  ];
  return ['limits:', ...lines.filter((line) => line !== ''), `weighting: ${asked.weighting}`].join('\n  ');
}

function planText(made: Made): string {
  const { players, limits, passages, baffle, shared, seed, draws } = made;
  const named = players.map((one, i) => ({ ...one, name: NAMES[i] as string, x: one.x + 2.5 * i }));
  return [
    'spillcheck: 1',
    'rooms: {hall: {size: [8, 5], height: 3.2, floor: parquet, ceiling: plaster, walls: plaster}}',
    'players:',
    ...named.map(
      ({ name, x, y, facing, plays, later, wearing }) =>
        `  ${name}: {at: [${n(x)}, ${n(y)}], facing: ${facing}, plays: ${plays}, later: ${later}${wearing === 'none' ? '' : `, cue: {wearing: ${wearing}}`}}`,
    ),
    baffle
      ? 'baffles: {screen: {from: [2.3, 1], to: [2.3, 4], height: 1.8, made-of: upholstered-baffle}}'
      : '',
    'mics:',
    ...named.map(
      ({ name, distance, pattern, stereo }) =>
        `  ${name}-mic: {for: ${name}, near: {distance: ${distance} cm}, pattern: ${pattern}${stereo}}`,
    ),
    shared ? '  both-mic: {for: [ann, bob], at: [2.3, 2.5, 2], aim: {bearing: 90}}' : '',
    limits.balance === null && limits.direct === null
      ? ''
      : '  main: {for: all, at: [4, 4.5, 2.5], aim: {bearing: 180}, stereo: ortf}',
    passages.length === 0 ? '' : 'passages:',
    ...passages.map(([passage, plays]) => `  ${passage}: [${plays.join(', ')}]`),
    limitLines(made.limits),
    `tolerance: {seed: ${seed}, draws: ${draws}}`,
    '',
  ].join('\n');
}

/** The plan judged by levels read on the day: what it predicts, each microphone a little off. */
function measured(plan: Session, text: string): Session {
  const { scene, result } = plan;
  const heads = ['played', ...scene.capsules.map(({ name }) => name)];
  const rows = scene.sources.map(({ name }, source) => [
    name,
    ...scene.capsules.map((_, capsule) => {
      const from = (source * scene.capsules.length + capsule) * 32;
      const energy = result.energy.subarray(from, from + 32).reduce((sum, one) => sum + one, 0);
      return (10 * Math.log10(energy) + ((source * 7 + capsule * 3 + text.length) % 5) / 2).toFixed(1);
    }),
  ]);
  const table = [heads, ...rows].map((row) => row.join(',')).join('\n');
  const { readings } = matchReadings(readTable(`${table}\n`, 'made-up.csv').entries, scene);
  if (!readings) throw new Error('the readings are refused');
  return sessionOf(withReadings(plan, measuredLevels(scene, readings), ['made-up.csv']));
}

/** What is missed without a figure counts as: 100 dB for sound that is not there at all, 20 dB for people apart. */
const LOST: Readonly<Partial<Record<CriterionKind, number>>> = { hear: 20, 'see-each-other': 20 };

const counted = ({ kind, margin, verdict }: Criterion): number =>
  margin ?? (verdict === 'short' ? -(LOST[kind] ?? 100) : Number.POSITIVE_INFINITY);

const judgedOnly = ({ verdict }: Criterion): boolean => verdict !== null;

function shortfallOf(rows: readonly Criterion[]): number {
  return rows.filter(judgedOnly).reduce((sum, row) => sum - Math.min(0, counted(row)), 0);
}

function worstOf(rows: readonly Criterion[]): number | null {
  const figures = rows
    .filter(({ kind, verdict }) => verdict !== null && kind !== 'see-each-other')
    .map(counted)
    .filter(Number.isFinite);
  return figures.length > 0 ? Math.min(...figures) : null;
}

const sorted = (rows: readonly { kind: string; about: readonly string[]; margin: number }[]) =>
  rows
    .map(({ kind, about, margin }) => [`${kind} ${about.join(' ')}`, margin] as const)
    .toSorted(([a], [b]) => (a < b ? -1 : 1));

/** Margins of `check`, ±∞ where it gives a verdict without one. */
const ofCheck = (rows: readonly Criterion[]) =>
  sorted(
    rows.filter(judgedOnly).map(({ kind, about, margin, verdict }) => ({
      kind,
      about,
      margin: margin ?? (verdict === 'short' ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY),
    })),
  );

function expectSame(found: readonly MarginRow[], rows: readonly Criterion[], within = 9): void {
  const [given, wanted] = [sorted(found), ofCheck(rows)];
  expect(given.map(([name]) => name)).toEqual(wanted.map(([name]) => name));
  given.forEach(([name, margin], i) => {
    expect(margin, name).toBeCloseTo(wanted[i]?.[1] ?? Number.NaN, within);
  });
}

const close = (found: number | null | undefined, wanted: number | null, what: string): void => {
  if (wanted === null) expect(found ?? null, what).toBeNull();
  else expect(found, what).toBeCloseTo(wanted, 8);
};

async function tried(plan: Session, each: string): Promise<ReadonlyMap<string, number | null>> {
  const axis = await axisOf(each, plan.tree);
  if ('code' in axis) throw new Error(axis.message);
  const trials = trialsOf([axis], { random: null, seed: 1, slice: [1, 1] });
  if ('code' in trials) throw new Error(trials.message);
  const columns = columnsOf(plan.scene);
  const [row] = [...tryAll(plan, trials, columns)];
  return new Map(columns.map(({ name }, i) => [name, row?.results[i] ?? null]));
}

const GUITARS = `spillcheck: 1
players:
  left-guitar: {at: [0, 0], facing: 0, plays: steel-string-guitar}
  right-guitar: {at: [1.5, 0], facing: 0, plays: steel-string-guitar}
mics:
  left-mic: {for: left-guitar, near: {distance: 30 cm}}
  right-mic: {for: right-guitar, near: {distance: 30 cm}}
limits: {confidence: 0.95, signal-to-bleed: 19 dB}
`;

const RUNS = { numRuns: sized(7, 40), seed: 14, endOnFailure: true };

describe('on any plan', () => {
  test('check, report, suggest, compare and tolerance give the same margins, with readings or without', async () => {
    await fc.assert(
      fc.asyncProperty(session, fc.boolean(), async (made, isMeasured) => {
        const text = planText(made);
        const plain = await onBench(text);
        const plan = isMeasured ? measured(plain, text) : plain;
        const { scene, result, report } = plan;
        const rows = limitRows(report);
        expectSame(limitMargins(scene, result).rows, rows);

        const advice = suggest(plan, { show: 1 });
        expectSame(advice.margins.rows, rows);
        close(advice.margins.worst, worstOf(rows), 'worst');
        close(advice.margins.shortfall, shortfallOf(rows), 'shortfall');

        const marginOf = (kind: CriterionKind, name: string) =>
          rows.find((row) => row.kind === kind && row.about.join(' ') === name);
        for (const { name, margin, verdict, purpose } of micsAsNamed(report)) {
          const row = marginOf('signal-to-bleed', name);
          if (purpose === 'parts') expect([row?.margin, row?.verdict]).toEqual([margin, verdict]);
        }
        for (const { name, limit, margin, verdict, isolation } of report.parts) {
          const [ghost, alone] = [marginOf('ghost', name), marginOf('isolation', name)];
          if (limit !== null) expect([ghost?.margin, ghost?.verdict]).toEqual([margin, verdict]);
          if (isolation.limit !== null) expect(alone?.margin).toBe(isolation.margin);
        }

        const side = { name: 'plan', tree: plan.tree, report };
        const { mics, parts } = compare([side, side]);
        for (const { kind, about, reached } of [...mics, ...parts]) {
          const row = marginOf(kind as CriterionKind, about.join(' '));
          if (row) expect([reached[1]?.verdict, reached[1]?.figure]).toEqual([row.verdict, row.reached]);
        }

        const { confidence } = scene.limits;
        for (const row of confidence === null ? [] : tolerancesOf(scene).rows) {
          const margin = marginAt(row, confidence ?? 0);
          const judged = marginOf(row.kind, row.about.join(' '));
          if (margin !== null && judged?.margin != null) close(judged.margin, margin, row.about.join());
        }
      }),
      { ...RUNS, numRuns: sized(4, 16) },
    );
  }, 120_000);

  test('a row of try is the answer of check on the plan with that value', async () => {
    await fc.assert(
      fc.asyncProperty(session, fc.boolean(), async (made, ofMic) => {
        const text = planText(made);
        const [path, value] = ofMic ? ['mics.bob-mic.near.distance', '35 cm'] : ['players.bob.facing', '77'];
        const figures = await tried(await onBench(text), `${path}=${value}`);
        const changed = text.replace(
          ofMic ? /(bob-mic: .*distance: )\d+ cm/ : /( {2}bob: .*facing: )\d+/,
          `$1${value}`,
        );
        const { scene, report } = await onBench(changed);
        const rows = limitRows(report);
        close(figures.get('worst-margin'), worstOf(rows), 'worst-margin');
        close(figures.get('shortfall'), shortfallOf(rows), 'shortfall');
        for (const { name, signalToBleed } of micsAsNamed(report))
          if (figures.has(`signal-to-bleed.${name}`))
            close(figures.get(`signal-to-bleed.${name}`), signalToBleed, name);
        for (const { name, ghost, isolation } of report.parts) {
          close(figures.get(`ghost.${name}`), ghost, name);
          close(figures.get(`isolation.${name}`), isolation.signalToBleed, name);
        }
        expect(scene.parts).toHaveLength(3);
      }),
      RUNS,
    );
  }, 120_000);

  test('what a suggestion comes to is the answer of check on the plan with its fixes made', async () => {
    await fc.assert(
      fc.asyncProperty(session, async (made) => {
        const text = planText(made);
        const plan = await onBench(text);
        for (const { fixes, worst } of suggest(plan, { show: 2 }).suggestions) {
          const rows = limitRows((await onBench(textWith(text, plan, fixes))).report);
          close(worst[1], worstOf(rows), 'worst');
        }
      }),
      { ...RUNS, numRuns: sized(3, 10) },
    );
  }, 120_000);
});

describe('as commands', () => {
  let folder = '';
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  const json = (...args: string[]) => {
    const { stdout, stderr } = spillcheck([...args, '--json']);
    if (stdout === '') throw new Error(stderr);
    return JSON.parse(stdout.split('\n')[0] === '{' ? stdout : (stdout.split('\n')[0] as string));
  };

  const PLANS = [
    { what: 'two guitars at a confidence', text: GUITARS, unchanged: 'mics.left-mic.near.distance=30 cm' },
    ...fc.sample(session, { numRuns: sized(1, 3), seed: 3 }).map((made, i) => ({
      what: `random plan ${i}`,
      text: planText(made),
      unchanged: `mics.ann-mic.near.distance=${made.players[0].distance} cm`,
    })),
  ];

  test.each(PLANS)('$what', ({ text, unchanged }) => {
    const plan = join(folder, 'plan.yaml');
    writeFileSync(plan, text);
    const { limits: rows } = json('check', plan).plans[0];
    const asked = rows.map(({ margin_db, ...row }: { margin_db: number | null }) => ({
      ...row,
      margin: margin_db,
    }));
    const suggested = json('suggest', plan);
    expect(suggested.worst_margin_db).toBeCloseTo(worstOf(asked) ?? Number.NaN, 2);
    // the isolation of a part at its only mic is the S/B there once more
    const missed = asked.filter((row: Criterion) => row.verdict === 'short' && row.kind !== 'isolation');
    const aside = suggested.out_of_reach.length;
    expect([missed.length, missed.length - aside || missed.length]).toContain(suggested.limits_missed);
    const { results } = json('try', plan, '--each', unchanged);
    expect(results.shortfall).toBeCloseTo(shortfallOf(asked), 2);
    expect(results['worst-margin']).toBeCloseTo(worstOf(asked) ?? Number.NaN, 2);
    const { mics, pairs } = json('report', plan, '--no-fixes');
    for (const { kind, about, margin } of asked) {
      const mic = [...pairs, ...mics].find(({ name }: { name: string }) => name === about[0]);
      if (kind === 'signal-to-bleed') expect(mic.margin_db).toBe(margin);
    }
    const compared = json('compare', plan, plan).mics;
    for (const { kind, about, verdict } of asked) {
      const found = compared.find((one: Criterion) => one.kind === kind && one.about.join() === about.join());
      if (found) expect(found.values[1].verdict).toBe(verdict);
    }
  });
});

test('two guitars that are 8.1 dB short at a confidence are so for every command', async () => {
  const plan = await onBench(GUITARS);
  const { scene } = plan;
  const [first] = limitRows(judge(scene, transfer(scene)));
  expect(first?.margin).toBeLessThan(-8);
  expect(suggest(plan).margins.worst).toBe(first?.margin);
  const figures = await tried(plan, 'mics.left-mic.near.distance=30 cm');
  expect(figures.get('worst-margin')).toBe(first?.margin);
});
