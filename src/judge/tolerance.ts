/** Tolerance: limits over many days on which everything is somewhat off, and judging by the share of days that `limits.confidence` asks. */
import { type Finding, takes } from '../finding.ts';
import { CAUSES, type Cause, perturb, type Sample } from '../scene/perturbation.ts';
import type { Scene } from '../scene/scene.ts';
import { quantile, uniform } from '../statistics.ts';
import { finished, inStretches, type StepOptions, until } from '../steps.ts';
import { type PreparedScene, prepareScene } from '../transfer/prepared-scene.ts';
import { type Transfer, transfer, transferOn } from '../transfer/transfer.ts';
import type { Context, CriterionKind, LimitMargins, Reading, Settle, Subject } from './criteria.ts';
import { CRITERIA, contextOf, countedMargin, keyOf, marginsOf, summed } from './criteria.ts';
import { verdictOf } from './verdict.ts';

/** Values of all draws of one subject of a criterion. */
export type DrawnRow = {
  readonly kind: CriterionKind;
  readonly about: readonly string[];
  /** dB; null where none is judged. */
  readonly limit: number | null;
  /** Whether a limit is the least or the most that a value may be. */
  readonly limitIs: 'least' | 'most';
  /** dB, ascending; ±∞ where one side of a ratio is silent. Empty where some draw gives no value. */
  readonly sorted: Float64Array;
};

export type Draws = { readonly draws: number; readonly rows: readonly DrawnRow[] };

export type ToleranceRow = DrawnRow & {
  /** 10th, 50th and 90th percentile; null where that is no finite value. */
  readonly p10: number | null;
  readonly p50: number | null;
  readonly p90: number | null;
  /** Share of the draws in which the limit is met; null without limit or value. */
  readonly holds: number | null;
  /** From the 10th to the 90th quantile, dB, when one cause varies alone: greatest first, without those that do nothing. */
  readonly causes: readonly { readonly cause: Cause; readonly spread: number }[];
};

export type Tolerances = Omit<Draws, 'rows'> & {
  readonly seed: number;
  readonly rows: readonly ToleranceRow[];
};

type Kinds = readonly CriterionKind[];

/** The tolerance of every limit that varies, or of some kinds, in one go: some seconds for a large plan. */
export const tolerancesOf = (scene: Scene, kinds?: Kinds): Tolerances => finished(drawing(scene, kinds));

/** The same with pauses, in which others work and the signal may come; null where it came. */
export const runTolerances = (
  scene: Scene,
  { onProgress, signal }: StepOptions<Progress> = {},
): Promise<Tolerances | null> => inStretches(until(drawing(scene), signal), onProgress);

/** Draws computed, of how many. */
export type Progress = { readonly done: number; readonly total: number };
/** For one cause alone fewer draws do: they only rank. */
const FEWER = 100;

/**
 * Draws as the scene's tolerance says, then each cause by itself with the same seed. A generator, so that whoever runs it can
 * show its progress, let others have the processor, or stop: it pauses after each draw.
 */
export function* drawing(scene: Scene, kinds?: Kinds): Generator<Progress, Tolerances> {
  takes('tolerancesOf', 'a scene', scene, ['sources', 'capsules', 'tolerance']);
  const { draws, seed } = scene.tolerance;
  const plain = contextOf(scene, transfer(scene));
  const drawn = drawnSubjects(plain, kinds);
  const causes = causesOf(scene);
  const few = Math.min(FEWER, draws);
  const total = draws + few * causes.length;
  const together = yield* drawValues(plain, drawn, { causes, draws, done: 0, total });
  const alone: (readonly Float64Array[])[] = [];
  for (const [i, cause] of causes.entries()) {
    alone.push(
      yield* drawValues(plain, drawn, { causes: [cause], draws: few, done: draws + i * few, total }),
    );
  }
  const rows = drawn.map((one, i) => {
    const spreads = causes.map((cause, c) => ({ cause, spread: spreadOf(alone[c]?.[i]) }));
    return toleranceRow(drawnRow(one, together[i] as Float64Array), spreads);
  });
  return { draws, seed, rows };
}

/** A criterion with one of its subjects. */
type Drawn = { readonly criterion: (typeof CRITERIA)[number]; readonly subject: Subject };

/** Subjects of all kinds of limit that vary, or of some. */
const drawnSubjects = (context: Context, kinds?: Kinds): Drawn[] =>
  CRITERIA.filter(({ kind, isDrawn }) => kinds?.includes(kind) ?? isDrawn).flatMap((criterion) =>
    context.subjects(criterion).map((subject) => ({ criterion, subject })),
  );

/** In dB: what is counted in another unit by its margin, whose limit is 0. */
const isInDb = ({ unit }: Drawn['criterion']): boolean => unit === 'dB';

function drawnRow({ criterion, subject }: Drawn, sorted: Float64Array): DrawnRow {
  return {
    kind: criterion.kind,
    about: subject.about,
    limit: isInDb(criterion) ? subject.limit : 0,
    limitIs: criterion.better === 'more' ? 'least' : 'most',
    sorted: sorted.some(Number.isNaN) ? new Float64Array() : sorted,
  };
}

type Task = {
  readonly causes: readonly Cause[];
  readonly draws: number;
  readonly done: number;
  readonly total: number;
  /** What is kept of a reading, dB; what is reached where left out. */
  readonly value?: (drawn: Drawn, reading: Reading) => number | null;
};

const reachedDb = ({ criterion }: Drawn, { reached, margin }: Reading): number | null =>
  isInDb(criterion) ? reached : margin;

/** Sorted values of each subject, dB; NaN where there is none. */
function* drawValues(
  { scene, result }: Context,
  drawn: readonly Drawn[],
  { causes, draws, done, total, value = reachedDb }: Task,
): Generator<Progress, readonly Float64Array[]> {
  const values = drawn.map(() => new Float64Array(draws));
  const sample = sampleOf(scene.tolerance.seed, causes);
  for (let draw = 0; draw < draws; draw++) {
    const varied = perturb(scene, sample);
    const context = contextOf(varied, transferOn(preparedFor(varied, causes, result)));
    for (const [i, row] of values.entries()) {
      const one = drawn[i] as Drawn;
      row[draw] = value(one, one.criterion.read(context, one.subject)) ?? Number.NaN;
    }
    yield { done: done + draw + 1, total };
  }
  return values.map((row) => row.sort());
}

/** Causes that act on mics alone: rooms, baffles and what the sources give them stay, which is most of the work. */
const OF_MICS: readonly Cause[] = ['aim', 'null-depth'];

const preparedFor = (scene: Scene, causes: readonly Cause[], { prepared }: Transfer): PreparedScene =>
  causes.every((cause) => OF_MICS.includes(cause)) ? { ...prepared, scene } : prepareScene(scene, prepared);

function sampleOf(seed: number, causes: readonly Cause[]): Sample {
  const next = uniform(seed);
  const isHeld = (cause: Cause) => !causes.includes(cause);
  return {
    isHeld,
    draw: (cause) => {
      const value = next();
      return isHeld(cause) ? 0 : value;
    },
  };
}

const causesOf = (scene: Scene): Cause[] => CAUSES.filter((cause) => canVary(scene, cause));

/** Whether the scene has anything for a cause to act on. */
function canVary({ capsules, panels, partitions, rooms }: Scene, cause: Cause): boolean {
  if (cause === 'panel') return panels.length + partitions.length > 0;
  if (cause === 'absorption') return rooms.length > 0;
  return cause !== 'null-depth' || capsules.some(({ usualNull }) => usualNull);
}

function toleranceRow(row: DrawnRow, spreads: ToleranceRow['causes']): ToleranceRow {
  const { limit, limitIs, sorted } = row;
  const at = (p: number) => (sorted.length > 0 ? finite(quantile(sorted, p)) : null);
  const over = (value: number) => (limitIs === 'least' ? value - (limit ?? 0) : (limit ?? 0) - value);
  const met = (value: number) => verdictOf(over(value)) !== 'short';
  const holds = limit === null || sorted.length === 0 ? null : sorted.filter(met).length / sorted.length;
  const causes = spreads.filter(({ spread }) => spread > 1e-9).sort((a, b) => b.spread - a.spread);
  return { ...row, p10: at(0.1), p50: at(0.5), p90: at(0.9), holds, causes };
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

/** 0 where there is no finite one. */
function spreadOf(sorted: Float64Array | undefined): number {
  if (!sorted || sorted.some(Number.isNaN)) return 0;
  return finite(quantile(sorted, 0.9) - quantile(sorted, 0.1)) ?? 0;
}

// Judging by what most draws reach instead of by the plain value: `limits.confidence`.

/** All limits of a plan against what it reaches, in the share of the runs that `limits.confidence` asks where it is set. */
export const limitMargins = (scene: Scene, result: Transfer): LimitMargins =>
  judgedMargins(contextOf(scene, result));

export const judgedMargins = (context: Context): LimitMargins => marginsOf(context, confidenceOf(context));

/** Runs of all limits that vary, as the scene's tolerance says. Cost: one transfer a run. */
export const drawsOf = (context: Context): Draws => finished(drawingRuns(context));

export function* drawingRuns(context: Context): Generator<Progress, Draws> {
  const { scene } = context;
  const { draws } = scene.tolerance;
  const drawn = drawnSubjects(context);
  const task = { causes: causesOf(scene), draws, done: 0, total: draws };
  const values = yield* drawValues(context, drawn, task);
  return { draws, rows: drawn.map((one, i) => drawnRow(one, values[i] as Float64Array)) };
}

/** Puts the margin that the confidence asks in place of the plain one; null where the plan asks none. */
export function confidenceOf(context: Context, draws?: Draws): Settle | null {
  const { confidence } = context.scene.limits;
  if (confidence === null) return null;
  const rows = new Map((draws ?? drawsOf(context)).rows.map((row) => [keyOf(row), row]));
  return (kind, about) => {
    const row = rows.get(keyOf({ kind, about }));
    const margin = row ? marginAt(row, confidence) : null;
    return row && margin !== null ? { margin, remark: remarkOf(row, margin, confidence) } : null;
  };
}

/** How far a limit is met, dB, in all but the unluckiest draws; null where there is no limit or no finite value. */
export function marginAt(
  { limit, limitIs, sorted }: Pick<DrawnRow, 'limit' | 'limitIs' | 'sorted'>,
  confidence: number,
): number | null {
  if (limit === null || sorted.length === 0) return null;
  return finite(
    limitIs === 'least' ? quantile(sorted, 1 - confidence) - limit : limit - quantile(sorted, confidence),
  );
}

/** The value behind the margin, as the row shows the planned one. */
function remarkOf({ limit, limitIs }: DrawnRow, margin: number, confidence: number): string {
  const value = (limit ?? 0) + (limitIs === 'least' ? margin : -margin);
  const side = limitIs === 'least' ? 'at least' : 'at most';
  return `${side} ${value.toFixed(1)} dB in ${percent(confidence)} of runs`;
}

const percent = (share: number): string => `${Number((100 * share).toFixed(1))} %`;

/** Says once what the margins of a report then are. */
export function confidenceNote({ draws }: Draws, confidence: number): Finding {
  return {
    code: 'WARNING',
    severity: 'warning',
    path: ['limits', 'confidence'],
    message: `margins and verdicts are those met in ${percent(confidence)} of ${draws} random runs within tolerance; the values beside them are as planned`,
  };
}

/** Margins of all limits, each as its percentile of so many draws. Of limits met or missed without a value, by what they count. */
export function* unluckyMargins(
  context: Context,
  share: number,
  draws: number,
): Generator<Progress, LimitMargins> {
  const limits = CRITERIA.flatMap((criterion) =>
    context
      .subjects(criterion)
      .flatMap((subject) => (subject.role === 'limit' ? [{ criterion, subject }] : [])),
  );
  const value: Task['value'] = ({ criterion: { kind }, subject: { about } }, { margin }) =>
    margin === null ? null : countedMargin({ kind, about, margin });
  const task = { causes: CAUSES, draws, done: 0, total: draws, value };
  const values = yield* drawValues(context, limits, task);
  const rows = limits.map(({ criterion: { kind }, subject: { about } }, i) => ({
    ...{ kind, about },
    margin: quantile(
      (values[i] ?? new Float64Array()).filter((one) => !Number.isNaN(one)),
      share,
    ),
  }));
  return summed(rows.filter(({ margin }) => margin !== undefined));
}
