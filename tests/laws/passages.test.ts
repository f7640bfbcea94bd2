/**
 * No value names a source that is silent in the passage it is judged in: bleeders, ties, moves, pitfalls, drawings, sentences. All
 * plans are made up at random.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { allLines, worstLines } from '../../src/draw/bleed.ts';
import { limitRows } from '../../src/judge/criteria.ts';
import { pitfalls } from '../../src/judge/pitfalls.ts';
import type { Session } from '../../src/judge/session.ts';
import { judgedBleeders, micsAsNamed } from '../../src/judge/signal-to-bleed.ts';
import { limitMargins } from '../../src/judge/tolerance.ts';
import { nullFixes } from '../../src/suggest/fixes-mics.ts';
import { focusOf, objectiveFor } from '../../src/suggest/objective.ts';
import { sized } from '../sized.ts';
import { onBench } from '../suggest/evaluator.ts';
import { span } from './scenes.ts';

const NAMES = ['ann', 'bob', 'cid', 'dot'] as const;

const passage = fc.subarray([...NAMES], { minLength: 1 });
const session = fc.record({
  places: fc.tuple(...NAMES.map(() => fc.tuple(span(0.8, 1.6), span(1, 4)))),
  plays: fc.tuple(
    ...NAMES.map(() => fc.constantFrom('trumpet', 'violin', 'singing-voice', 'tuba', 'small-kit')),
  ),
  later: fc.tuple(...NAMES.map(() => fc.constantFrom('leave', 'tune', 'replace'))),
  passages: fc.array(passage, { minLength: 1, maxLength: 4 }),
  shared: fc.boolean(),
});
type Made = typeof session extends fc.Arbitrary<infer T> ? T : never;

const planText = ({ places, plays, later, passages, shared }: Made): string =>
  [
    'spillcheck: 1',
    'rooms: {hall: {size: [10, 5], height: 3.4, floor: parquet, ceiling: plaster, walls: plaster}}',
    'players:',
    ...NAMES.map((name, i) => {
      const [x = 1, y = 1] = places[i] ?? [];
      return `  ${name}: {at: [${(x + 2.4 * i).toFixed(2)}, ${y.toFixed(2)}], facing: 0, plays: ${plays[i]}, later: ${later[i]}}`;
    }),
    'mics:',
    ...NAMES.map(
      (name) =>
        `  ${name}-mic: {for: ${name}, near: {distance: 40 cm}${name === 'cid' ? ', stereo: xy' : ''}}`,
    ),
    ...(shared ? ['  both-mic: {for: [ann, bob], at: [2.3, 4.4, 2], aim: {bearing: 180}}'] : []),
    '  main: {for: all, at: [5, 4.5, 2.5], aim: {bearing: 180}, stereo: xy}',
    'passages:',
    ...passages.map((names, i) => `  part-${i}: [${names.join(', ')}]`),
    'limits: {three-to-one: true}',
    '',
  ].join('\n');

/** Whether all of these play in a passage; one of no name holds nobody. */
const playIn =
  (made: Made) =>
  (when: string | null, ...names: readonly string[]): boolean => {
    const sounding: readonly string[] = when === null ? [] : (made.passages[Number(when.slice(5))] ?? []);
    // a piece of a kit plays whenever its player does
    return names.every((name) => sounding.includes(name.split('.')[0] ?? ''));
  };

function expectNobodySilent(made: Made, { scene, result, report }: Session): void {
  const plays = playIn(made);
  const ownOf = (mic: string) => scene.mics.find(({ name }) => name === mic.split('.')[0])?.wanted ?? [];
  const sounds = (when: string | null, mic: string) =>
    ownOf(mic).some((source) => plays(when, scene.sources[source]?.name ?? ''));

  for (const { name, passage: when, levels } of [...report.mics, ...report.pairs]) {
    const rows = levels.filter(({ role }) => role !== 'silent');
    for (const { source } of rows) expect(plays(when, source), `${name}: ${source}`).toBe(true);
    const sounding = scene.sources.filter((source) => plays(when, source.name));
    expect(rows.map(({ source }) => source)).toEqual(sounding.map((source) => source.name));
  }
  for (const { parts, passages, couplings } of report.cut.groups) {
    for (const when of passages) expect(plays(when, ...parts), parts.join()).toBe(true);
    for (const { between, passage: when } of couplings) expect(plays(when, ...between)).toBe(true);
  }
  for (const { mics, passage: when } of report.threeToOne)
    for (const mic of mics) expect(sounds(when, mic), mic).toBe(true);
  for (const { name, passage: when, ghost, isolation } of report.parts) {
    if (ghost !== null) expect(plays(when, name), `ghost of ${name}`).toBe(true);
    if (isolation.signalToBleed !== null) expect(plays(isolation.passage, name)).toBe(true);
  }
  for (const { player, whom, passage: when } of report.hearing.rows)
    expect(plays(when, player, whom)).toBe(true);
  for (const { mics, passage: when } of report.muting)
    for (const mic of mics) expect(sounds(when, mic), `${mic} muted`).toBe(false);
  for (const { peak } of report.inputs) if (peak) expect(plays(peak.passage, peak.source)).toBe(true);
  for (const { kind, about, passage: when } of limitRows(report))
    if (kind === 'signal-to-bleed' && when !== null) expect(sounds(when, about[0] ?? '')).toBe(true);

  for (const { kind, about } of pitfalls(scene, result, report)) {
    const [mic = '', whom] = about;
    const row = [...report.mics, ...report.pairs].find(({ name }) => name === mic);
    if (row && whom && (NAMES as readonly string[]).includes(whom) && kind !== 'comb-filtering')
      expect(plays(row.passage, whom), `${kind}: ${about.join()}`).toBe(true);
  }
}

function expectMovesAtSounding(made: Made, plan: Session): void {
  const plays = playIn(made);
  const { scene, result, report } = plan;
  const margins = limitMargins(scene, result);
  const focus = focusOf(scene, result, margins, objectiveFor(scene, margins));
  const passageOf = (mic: string) => micsAsNamed(report).find(({ name }) => name === mic)?.passage ?? null;
  for (const { about, edits } of nullFixes(plan, focus)) {
    const value = edits.at(-1)?.value;
    const target = value?.kind === 'scalar' ? String(value.value) : '';
    expect(plays(passageOf(about[0] ?? ''), target), `${about.join()} null at ${target}`).toBe(true);
  }
  for (const { player, mic } of focus.bleeders) {
    const { name = '', capsules = [] } = scene.mics[mic] ?? {};
    if (capsules.length === 1)
      expect(plays(passageOf(name), scene.players[player]?.name ?? ''), name).toBe(true);
  }
  for (const mic of scene.mics)
    for (const source of judgedBleeders(scene, result, mic))
      expect(plays(passageOf(mic.name), scene.sources[source]?.name ?? ''), mic.name).toBe(true);
}

test('nobody who rests is named in a value of a passage, nor in a move read from it', async () => {
  await fc.assert(
    fc.asyncProperty(session, async (made) => {
      const plan = await onBench(planText(made));
      expectNobodySilent(made, plan);
      expectMovesAtSounding(made, plan);
      const drawn = { ...plan, units: 'm' } as const;
      for (const { row, stream } of [
        ...worstLines(drawn),
        ...micsAsNamed(plan.report).flatMap((one) => allLines(drawn, one)),
      ])
        expect(playIn(made)(row.passage, stream.name), `${stream.name} into ${row.name}`).toBe(true);
    }),
    { numRuns: sized(15, 150), seed: 29, endOnFailure: true },
  );
}, 120_000);
