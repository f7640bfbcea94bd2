/**
 * spillcheck from a script: read a plan, open it, compute, judge.
 *
 *     const { open, findings } = openPlan(await readPlan(text, { name: 'plan.yaml' }), shippedCatalogue());
 *     if (open) console.log(sessionOf(open).report);
 *
 * try changes of it:
 *
 *     const session = sessionOf(open);
 *     const advice = await runSuggest(session, { most: 2, signal, onProgress });
 *     const made = applied(text, session, advice.suggestions[0]?.fixes ?? []);
 *     if (!isFinding(made)) console.log(made.text);
 *
 * and, with measured levels in a table, go by them:
 *
 *     const { readings } = matchReadings(readTable(csv, 'levels.csv').entries, open.scene);
 *     const measured = withReadings(open, measuredLevels(open.scene, readings), ['levels.csv']);
 *     const { report } = sessionOf(measured);
 *
 * What is wrong with a plan, a table or a request is a `Finding`, never thrown. What reads (`readPlan`, `openPlan`, `readTable`,
 * `matchReadings`) gives all of them beside an answer that is null where one is an error; `attempt` and `commit` of an evaluator
 * give `faults`; every other call gives a finding in place of its answer, which `isFinding` tells. An argument of the wrong type
 * throws a `TypeError` that names it. `suggest`, `tryAll` and `tolerancesOf` do all at once; `runSuggest`, `runTrials` and
 * `runTolerances` do the same in stretches that leave the event loop free.
 */
export { BAND_COUNT, type Bands, MID_BANDS, NOMINAL_BANDS } from './acoustics/bands.ts';
export type { Catalogue } from './catalogue/catalogue.ts';
export { type Finding, type FindingCode, hasErrors, isFinding, type Path, type Severity } from './finding.ts';
export { type Criterion, type LimitMargins, limitRows, type MarginRow } from './judge/criteria.ts';
export { judge } from './judge/judge.ts';
export { PITFALL_KINDS, type Pitfall, pitfalls } from './judge/pitfalls.ts';
export type { Report, SourceRow } from './judge/report.ts';
export type { RoomRow } from './judge/rooms.ts';
export { inPassage, type OpenPlan, openPlan, type Session, sessionOf } from './judge/session.ts';
export type { LevelRow, MicRow, PairRow, Shares } from './judge/signal-to-bleed.ts';
export type { SpacingRow } from './judge/spacing.ts';
export type { ToleranceRow, Tolerances } from './judge/tolerance.ts';
export { limitMargins, runTolerances, tolerancesOf } from './judge/tolerance.ts';
export type { Basis, Verdict } from './judge/verdict.ts';
export { askedFor, type Why, why } from './judge/why.ts';
export { type LineCheck, lineCheck } from './line-check/line-check.ts';
export type { MeasuredLevels } from './line-check/measured-levels.ts';
export { applyReadings, measuredLevels, withReadings } from './line-check/measured-levels.ts';
export { matchReadings, type Readings, readTable } from './line-check/readings.ts';
export type { MapNode, Node } from './plan/document.ts';
export { type Edit, nodeOf, plainInline, withEdits } from './plan/edit.ts';
export { type PlanData, type ReadPlan, readPlan } from './plan/plan.ts';
export { type Lengths, lengthsIn } from './plan/units.ts';
export type { Assumption } from './scene/context.ts';
export { type Resolved, resolve } from './scene/resolve.ts';
export type { Capsule, Mic, Panel, Part, Partition, Player, Room, Scene, Source } from './scene/scene.ts';
export { shippedCatalogue } from './shipped.ts';
export type { StepOptions } from './steps.ts';
export type {
  Advice,
  Helped,
  PlainAdvice,
  SearchOptions,
  SearchProgress,
  SuggestionSummary,
  SuggestOptions,
} from './suggest/advice.ts';
export { plainAdvice, runSuggest, suggest } from './suggest/advice.ts';
export { applied } from './suggest/apply.ts';
export type { ComparedRow, Comparison, Reached, Regression, Side } from './suggest/compare.ts';
export { compare, regressions } from './suggest/compare.ts';
export type { Changed, Computed, Evaluator, Outcome } from './suggest/evaluate.ts';
export { evaluatorOf } from './suggest/evaluate.ts';
export { FIX_KINDS, type Fix, type FixKind, MINUTES } from './suggest/fixes.ts';
export { forMic, forPart } from './suggest/objective.ts';
export type {
  Axis,
  BestRows,
  Column,
  TrialOptions,
  TrialProgress,
  TrialRow,
  Trials,
} from './suggest/sweep.ts';
export {
  axisOf,
  bestRows,
  columnNamed,
  columnsOf,
  runTrials,
  trialsOf,
  tryAll,
  usualColumns,
} from './suggest/sweep.ts';
export { SHARES, type Share } from './transfer/path-energy.ts';
export { energyAt, type Transfer, transfer } from './transfer/transfer.ts';
