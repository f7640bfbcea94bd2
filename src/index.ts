/**
 * spillcheck from a script: read a plan, resolve it to a scene, compute, judge.
 *
 *     const { plan, findings } = await readPlan(text, { name: 'plan.yaml' });
 *     const { scene } = resolve(plan, shippedCatalogue());
 *     const report = judge(scene, transfer(scene));
 *
 * and, with the plan as it was written, try changes of it:
 *
 *     const base = computed({ tree, plan, scene });
 *     const advice = suggest(base, shippedCatalogue(), { most: 2 });
 *     const made = applied(text, base, advice.suggestions[0].moves);
 *
 * and, with levels of the day in a table, go by them:
 *
 *     const { readings } = gather(readTable(csv, 'day.csv').entries, scene);
 *     const day = dayOf(scene, readings);
 *     const measured = judge(laidOver(scene, day), transfer(laidOver(scene, day)));
 */
export type { Bands } from './acoustics/bands.ts';
export { BAND_COUNT, MID_BANDS, NOMINAL_BANDS } from './acoustics/bands.ts';
export type { Share, Transfer } from './acoustics/transfer.ts';
export { energyAt, SHARES, transfer } from './acoustics/transfer.ts';
export type { Advice, Helped, ToldSuggestion } from './advise/advice.ts';
export { applied } from './advise/apply.ts';
export type { Bench, Changed, Computed, Outcome } from './advise/bench-plan.ts';
export { benchOf, computed } from './advise/bench-plan.ts';
export type { BestRows } from './advise/best-rows.ts';
export { bestRows } from './advise/best-rows.ts';
export type { Comparison, Side } from './advise/compare.ts';
export { compare } from './advise/compare.ts';
export type { ComparedRow, Reached } from './advise/compared-row.ts';
export { forMic, forPart } from './advise/for-whom.ts';
export type { MarginRow } from './advise/margin.ts';
export type { Move, MoveKind } from './advise/move.ts';
export { MINUTES, MOVE_KINDS } from './advise/move.ts';
export type { PlainAdvice } from './advise/plain-advice.ts';
export { plainAdvice } from './advise/plain-advice.ts';
export type { Edit } from './advise/set-value.ts';
export { withEdits } from './advise/set-value.ts';
export type { Standing } from './advise/standing.ts';
export { standingOf } from './advise/standing.ts';
export type { SuggestOptions } from './advise/suggest.ts';
export { suggest } from './advise/suggest.ts';
export type { Column } from './advise/trial-columns.ts';
export { columnNamed, columnsOf, usualColumns } from './advise/trial-columns.ts';
export type { Axis, TrialOptions, Trials } from './advise/trials.ts';
export { axisOf, trialsOf } from './advise/trials.ts';
export type { TrialRow } from './advise/try-all.ts';
export { tryAll } from './advise/try-all.ts';
export type { Worse } from './advise/worse.ts';
export { worseThan } from './advise/worse.ts';
export { nodeOf } from './advise/written.ts';
export type { Finding, FindingCode, Path, Severity } from './finding.ts';
export { hasErrors } from './finding.ts';
export type { Basis } from './judge/basis.ts';
export { judge } from './judge/judge.ts';
export type { Pitfall } from './judge/pitfalls/pitfall-kinds.ts';
export { PITFALL_KINDS } from './judge/pitfalls/pitfall-kinds.ts';
export { pitfalls } from './judge/pitfalls/pitfalls.ts';
export type {
  LevelRow,
  MicRow,
  PairRow,
  Report,
  RoomRow,
  Shares,
  SpacingRow,
  Verdict,
} from './judge/report.ts';
export type { ToleranceRow, Tolerances } from './judge/tolerance/tolerance.ts';
export { runTolerances, tolerancesOf } from './judge/tolerance/tolerance-run.ts';
export { why } from './judge/why/why.ts';
export { askedFor } from './judge/why/why-asked.ts';
export type { Why } from './judge/why/why-shape.ts';
export type { Day } from './linecheck/day.ts';
export { dayOf } from './linecheck/day.ts';
export { gather } from './linecheck/gather.ts';
export { laidOver } from './linecheck/lay-over.ts';
export type { LineCheck } from './linecheck/line-check.ts';
export { lineCheck } from './linecheck/line-check.ts';
export { readTable } from './linecheck/read-table.ts';
export type { Readings } from './linecheck/readings.ts';
export type { Lengths } from './plan/lengths.ts';
export { lengthsIn } from './plan/lengths.ts';
export type { PlanData } from './plan/plan.ts';
export type { ReadPlan } from './plan/read.ts';
export { readPlan } from './plan/read.ts';
export type { MapNode, Node } from './plan/tree.ts';
export type { Catalogue } from './scene/catalogue.ts';
export type { Assumption } from './scene/notes.ts';
export type { Resolved } from './scene/resolve.ts';
export { resolve } from './scene/resolve.ts';
export type { Capsule, Mic, Panel, Part, Partition, Player, Room, Scene, Source } from './scene/scene.ts';
export { shippedCatalogue } from './shipped.ts';
