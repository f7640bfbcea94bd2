/** A stranger's script: every export of the package put to use, with its types as they are published. */
import { readFileSync } from 'node:fs';
import {
  type Advice,
  type Assumption,
  type Axis,
  applied,
  applyReadings,
  askedFor,
  axisOf,
  BAND_COUNT,
  type Bands,
  type Basis,
  type BestRows,
  bestRows,
  type Capsule,
  type Catalogue,
  type Changed,
  type Column,
  type ComparedRow,
  type Comparison,
  type Computed,
  type Criterion,
  columnNamed,
  columnsOf,
  compare,
  type Edit,
  type Evaluator,
  energyAt,
  evaluatorOf,
  FIX_KINDS,
  type Finding,
  type FindingCode,
  type Fix,
  type FixKind,
  forMic,
  forPart,
  type Helped,
  hasErrors,
  inPassage,
  isFinding,
  judge,
  type Lengths,
  type LevelRow,
  type LimitMargins,
  type LineCheck,
  lengthsIn,
  limitMargins,
  limitRows,
  lineCheck,
  type MapNode,
  type MarginRow,
  type MeasuredLevels,
  MID_BANDS,
  MINUTES,
  type Mic,
  type MicRow,
  matchReadings,
  measuredLevels,
  NOMINAL_BANDS,
  type Node,
  nodeOf,
  type OpenPlan,
  type Outcome,
  openPlan,
  type PairRow,
  type Panel,
  type Part,
  type Partition,
  type Path,
  PITFALL_KINDS,
  type Pitfall,
  type PlainAdvice,
  type PlanData,
  type Player,
  pitfalls,
  plainAdvice,
  plainInline,
  type Reached,
  type Readings,
  type ReadPlan,
  type Regression,
  type Report,
  type Resolved,
  type Room,
  type RoomRow,
  readPlan,
  readTable,
  regressions,
  resolve,
  runSuggest,
  runTolerances,
  runTrials,
  type Scene,
  type SearchOptions,
  type SearchProgress,
  type Session,
  type Severity,
  SHARES,
  type Share,
  type Shares,
  type Side,
  type Source,
  type SourceRow,
  type SpacingRow,
  type StepOptions,
  type SuggestionSummary,
  type SuggestOptions,
  sessionOf,
  shippedCatalogue,
  suggest,
  type ToleranceRow,
  type Tolerances,
  type Transfer,
  type TrialOptions,
  type TrialProgress,
  type TrialRow,
  type Trials,
  tolerancesOf,
  transfer,
  trialsOf,
  tryAll,
  usualColumns,
  type Verdict,
  type Why,
  why,
  withEdits,
  withReadings,
} from 'spillcheck';

const text = readFileSync('plan.yaml', 'utf8');
const catalogue: Catalogue = shippedCatalogue();
const read: ReadPlan = await readPlan(text, { name: 'plan.yaml' });
const findings: readonly Finding[] = read.findings;
const said: [FindingCode, Severity, Path][] = findings.map(({ code, severity, path }) => [
  code,
  severity,
  path,
]);
const plan: PlanData | null = read.plan;
const tree: MapNode | null = read.tree;
if (!plan || !tree || hasErrors(findings)) throw new Error(JSON.stringify(said));

const resolved: Resolved = resolve(plan, catalogue);
const assumptions: readonly Assumption[] = resolved.assumptions;
const scene: Scene | null = resolved.scene;
if (!scene) throw new Error('the plan does not stand');
const things: {
  rooms: readonly Room[];
  panels: readonly Panel[];
  partitions: readonly Partition[];
  players: readonly Player[];
  sources: readonly Source[];
  parts: readonly Part[];
  mics: readonly Mic[];
  capsules: readonly Capsule[];
} = scene;

const result: Transfer = transfer(scene);
const shares: readonly Share[] = SHARES;
const first: number = energyAt(result, 0, 0, 4, 'direct');
const bands: Bands = Float64Array.from(MID_BANDS);
if (bands.length !== BAND_COUNT || NOMINAL_BANDS.length !== BAND_COUNT) throw new Error('eight octaves');

const report: Report = judge(scene, result);
const mics: readonly MicRow[] = report.mics;
const verdicts: (Verdict | null)[] = mics.map(({ verdict }) => verdict);
const levels: readonly LevelRow[] = mics.flatMap((mic) => mic.levels);
const ofBleed: (Shares | null)[] = mics.map((mic) => mic.bleedShares);
const rows: { rooms: readonly RoomRow[]; spacing: readonly SpacingRow[]; pairs: readonly PairRow[] } = {
  rooms: report.rooms,
  spacing: report.threeToOne,
  pairs: report.pairs,
};
const lengths: Lengths = lengthsIn(plan.units);
const slips: readonly Pitfall[] = pitfalls(scene, result, report, lengths);
if (slips.some(({ kind }) => !PITFALL_KINDS.includes(kind))) throw new Error('a kind of its own');

const asked = askedFor(scene, 'voice-mic', 'guitarist');
if (isFinding(asked)) throw new Error(asked.message);
const told: Why = why(scene, result, report, asked);

const { open } = openPlan(read, catalogue);
if (!open) throw new Error('the plan does not stand');
const opened: OpenPlan = open;
const base: Computed = sessionOf(opened);
if (!isFinding(inPassage(opened, 'none of that name')))
  throw new Error('a passage that the plan does not have');
const options: SuggestOptions = { most: 1, show: 3, counts: forMic('guitar-mic') };
const advice: Advice = suggest(base, options);
const best: SuggestionSummary | undefined = advice.suggestions[0];
const helped: readonly Helped[] = best?.helps ?? [];
const fixes: readonly Fix[] = best?.fixes ?? [];
const minutes: number[] = FIX_KINDS.map((kind: FixKind) => MINUTES[kind]);
const plain: PlainAdvice = plainAdvice(advice);
const made = applied(text, base, fixes);
if (isFinding(made)) throw new Error(made.message);
const stop: SearchOptions = { ...options, signal: AbortSignal.abort() };
const halfway: Advice = await runSuggest(base, stop);
const steps: SearchProgress[] = [];
const watched: StepOptions<SearchProgress> = { onProgress: (progress) => steps.push(progress) };
suggest(base, { ...options, ...watched });
const places: readonly SourceRow[] = report.sources;
const aims: number[] = mics.map(({ bearing, tilt }) => bearing + tilt);
const limits: readonly Criterion[] = limitRows(judge(scene, result));
const standing: LimitMargins = limitMargins(scene, result);
const margins: readonly MarginRow[] = standing.rows.filter(forPart(scene, 'singer'));

const bench: Evaluator = evaluatorOf(base);
const value: Node = nodeOf('figure-8');
const edits: readonly Edit[] = [{ path: ['mics', 'voice-mic', 'pattern'], value }];
const outcome: Outcome = bench.attempt(edits);
if ('faults' in outcome) throw new Error(JSON.stringify(outcome.faults));
const changed: Changed = outcome;
const changedTree: MapNode = withEdits(tree, edits);

const sides: readonly Side[] = [
  { name: 'before', tree, report },
  { name: 'after', tree: changedTree, report: judge(changed.scene, changed.result) },
];
const comparison: Comparison = compare(sides);
const compared: readonly ComparedRow[] = comparison.mics;
const reached: readonly (Reached | null)[] = compared.flatMap((row) => row.reached);
const worse: readonly Regression[] = regressions(comparison, 0, 0.1);

const axis: Axis | Finding = await axisOf('mics.voice-mic.near.distance=10..25/5 cm', withEdits(tree, []));
if (isFinding(axis)) throw new Error(axis.message);
const all: TrialOptions = { random: null, seed: 1, slice: [1, 1] };
const trials: Trials | Finding = trialsOf([axis], all);
if (isFinding(trials)) throw new Error(trials.message);
const column = columnNamed(scene, 'worst-margin');
if (isFinding(column)) throw new Error(column.message);
const columns: readonly Column[] = [column, ...usualColumns(scene), ...columnsOf(scene)];
const ranking: BestRows = bestRows(2, 0, true);
const rowsTried: TrialRow[] = [...tryAll(base, trials, columns)];
for (const row of rowsTried) ranking.add(row);
const rowsDone: TrialProgress[] = [];
const onProgress = (progress: TrialProgress) => rowsDone.push(progress);
const words: string[] = [];
for await (const row of runTrials(base, trials, columns, { onProgress }))
  words.push(...row.values.map(plainInline));

const table = readTable('played,voice-mic,guitar-mic\nsinger,-10,-30\nguitarist,-28,-12\n', 'day.csv');
const readings: Readings | null = matchReadings(table.entries, scene).readings;
if (!readings) throw new Error('the readings do not stand');
const day: MeasuredLevels = measuredLevels(scene, readings);
const measured = applyReadings(scene, day);
const session: Session = sessionOf(withReadings(opened, day, ['day.csv']));
const bases: (Basis | null)[] = judge(measured, transfer(measured)).mics.map(({ basis }) => basis);
if (session.report.mics.some(({ basis }, i) => basis !== bases[i])) throw new Error('measured otherwise');
const setUp = { plan, resolve: (other: PlanData) => resolve(other, catalogue).scene };
const checked: LineCheck = lineCheck(scene, readings, setUp, () => 2 * Math.random() - 1);

const tolerances: Tolerances = tolerancesOf({ ...scene, tolerance: { ...scene.tolerance, draws: 20 } });
const tolerance: readonly ToleranceRow[] = tolerances.rows;
const stopped: Tolerances | null = await runTolerances(scene, { signal: AbortSignal.abort() });

console.log(
  JSON.stringify({
    verdicts,
    counts: [things.sources, shares, levels, ofBleed, rows.rooms, rows.spacing, rows.pairs].map(
      (each) => each.length,
    ),
    assumed: assumptions.length,
    first: first > 0,
    told: Object.keys(told).length > 0,
    helped: helped.length > 0,
    minutes: minutes.every((each) => each > 0),
    plain: plain.suggestions.length,
    made: made.text !== text,
    halfway: halfway.whole,
    steps: steps.length > 0,
    places: [places.length === things.sources.length, aims.every(Number.isFinite)],
    words,
    rows: rowsDone.length,
    margins: margins.length,
    limits: limits.length,
    reached: reached.length > 0,
    worse: worse.length > 0,
    tried: [rowsTried.length, ranking.rows().length],
    bases,
    read: checked.sources.length,
    tolerance: tolerance.length,
    stopped,
  }),
);
