/**
 * spillcheck from a script: read a plan, resolve it to a scene, compute, judge.
 *
 *     const { plan, findings } = await readPlan(text, { name: 'plan.yaml' });
 *     const { scene } = resolve(plan, shippedCatalogue());
 *     const report = judge(scene, transfer(scene));
 */
export type { Bands } from './acoustics/bands.ts';
export { BAND_COUNT, MID_BANDS, NOMINAL_BANDS } from './acoustics/bands.ts';
export type { Share, Transfer } from './acoustics/transfer.ts';
export { energyAt, SHARES, transfer } from './acoustics/transfer.ts';
export type { Finding, FindingCode, Path, Severity } from './finding.ts';
export { hasErrors } from './finding.ts';
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
export type { PlanData } from './plan/plan.ts';
export { readPlan } from './plan/read.ts';
export type { Catalogue } from './scene/catalogue.ts';
export type { Assumption } from './scene/notes.ts';
export type { Resolved } from './scene/resolve.ts';
export { resolve } from './scene/resolve.ts';
export type { Capsule, Mic, Panel, Part, Partition, Player, Room, Scene, Source } from './scene/scene.ts';
export { shippedCatalogue } from './shipped.ts';
