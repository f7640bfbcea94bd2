/** `spillcheck report`: what cannot be fixed later, signal to bleed, people, pitfalls, and what to do first. */
import type { Finding } from '../finding.ts';
import { reportJson } from '../format/json.ts';
import { text } from '../format/text.ts';
import { announce, linesOf } from '../io/terminal.ts';
import { type Pitfall, pitfalls } from '../judge/pitfalls.ts';
import type { Session } from '../judge/session.ts';
import { mainPairs } from '../judge/stereo.ts';
import { timings, USUAL_RATE, USUAL_REACH } from '../judge/timing.ts';
import { type Progress, runTolerances, type ToleranceRow } from '../judge/tolerance.ts';
import { lengthsIn } from '../plan/units.ts';
import {
  type Answer,
  micNames,
  onlyMics,
  type RenderOptions,
  sectionsFor,
  type ToldTolerance,
  type ToldTolerances,
} from '../report/answer.ts';
import { isSection, SECTIONS } from '../report/sections.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import { forMic } from '../suggest/objective.ts';
import { adviceOf, plainAdvice, type SuggestOptions } from '../suggest/search.ts';
import { unknownName } from '../text.ts';
import { deliver, overwrites, pageOf, refused } from './output.ts';
import { openJudged, type PlanOptions, planFile } from './pipeline.ts';
import { searchMoves } from './suggest.ts';

export type ReportOptions = PlanOptions & {
  readonly mic: readonly string[];
  readonly passage?: string;
  readonly readings: readonly string[];
  readonly show: readonly string[];
  readonly all?: true;
  readonly bands?: true;
  readonly assumptions?: true;
  readonly tolerance?: true;
  /** Delays: how far under its own mic, in dB, a part still counts at another, and samples per second. */
  readonly carriedWithin: number;
  readonly sampleRate: number;
  /** False where no moves are to be looked for. */
  readonly moves: boolean;
  /** False where no plan in characters is wanted. */
  readonly plan: boolean;
  readonly json?: true;
  readonly html?: string;
  readonly output: string;
};

/** Exit code: 0 done, 2 refused. */
export async function report(file: string, options: ReportOptions): Promise<0 | 2> {
  const stranger = unknownIn('--show', 'section', options.show, SECTIONS);
  if (stranger) return refused(stranger);
  if (await overwrites([file], [options.html ?? options.output])) return 2;
  const judged = await openJudged(planFile(file, options), options);
  if (!judged) return 2;
  const nobody = unknownIn('--mic', 'microphone', options.mic, micNames(judged.report));
  if (nobody) return refused(nobody);
  const answer = onlyMics(await answerOf(judged, options), options.mic);
  if (options.html !== undefined) return deliver(await page(judged, answer), options.html);
  const shown = (options.json ? reportJson : text)(answer, reportPageOf(judged, options));
  return deliver(shown, options.output);
}

function unknownIn(
  option: string,
  what: string,
  asked: readonly string[],
  known: readonly string[],
): Finding | null {
  const name = asked.find((one) => !known.includes(one));
  return name === undefined ? null : unknownName(option, { what, name, known });
}

async function answerOf(judged: Session, options: ReportOptions): Promise<Answer> {
  const { scene, result, assumptions, readings } = judged;
  const { tolerance, passage, carriedWithin: reach, sampleRate } = options;
  const usual = reach === USUAL_REACH && sampleRate === USUAL_RATE;
  return {
    ...judged.report,
    ...(usual ? {} : { timing: timings(scene, result, { reach, sampleRate }) }),
    ...(usual ? {} : { mainPairs: mainPairs(scene, result, sampleRate) }),
    now: wantsMoves(options) ? await nextMoves(judged, options.mic) : null,
    pitfalls: findPitfalls(judged),
    tolerances: tolerance ? await drawTolerances(scene) : null,
    passage: passage ?? null,
    assumptions,
    readings,
  };
}

/** Text that shows other sections alone has no use for them. */
function wantsMoves({ moves, show, json, html, all }: ReportOptions): boolean {
  const isShown = json || html !== undefined || all || show.length === 0 || show.includes('now');
  return moves && Boolean(isShown);
}

async function page(judged: Session, answer: Answer): Promise<string> {
  const { draw } = await import('../draw/draw.ts');
  const { reportPage } = await import('../format/html.ts');
  const { units } = judged.plan;
  const drawing = { band: KILOHERTZ, mic: null, level: null, paper: null, dark: false };
  return reportPage(answer, draw({ ...judged, units }, drawing), lengthsIn(units));
}

/** Band whose patterns the page draws. */
const KILOHERTZ = 4;

/** Sources times microphones from which this takes more than about a third of a second. */
const LONG = 1000;

function findPitfalls({ scene, result, report: known, plan }: Session): Pitfall[] {
  const isLong = scene.sources.length * scene.capsules.length >= LONG;
  const done = isLong ? announce('looking for pitfalls …') : () => {};
  const found = pitfalls(scene, result, known, lengthsIn(plan.units));
  done();
  return found;
}

function reportPageOf({ scene, plan }: Session, options: ReportOptions): RenderOptions {
  const page = pageOf(options);
  const show = options.show.filter(isSection);
  const isMore = Boolean(options.assumptions ?? options.tolerance);
  return {
    ...page,
    lengths: lengthsIn(plan.units),
    ...sectionsFor({ all: page.all, show, mics: options.mic.length > 0, unsure: isMore }),
    bands: options.bands === true,
    listAssumptions: options.assumptions === true,
    ...(options.plan ? { scene, lines: linesOf(options.output === '-' ? process.stdout : {}) } : {}),
  };
}

/** Moves that a report tells of: what `suggest` would put first. */
const TOLD = 3;

/**
 * Sources times capsules times what stands in their way from which some hundred plans take longer than a report may: half a minute
 * and more. Eight walls weigh as much as a panel.
 */
const LARGE = 4000;

/** For the whole plan, or for some microphones. */
export async function nextMoves(judged: Session, mics: readonly string[]): Promise<Answer['now']> {
  const { sources, capsules, panels, rooms } = judged.scene;
  const walls = rooms.reduce((sum, { outline }) => sum + outline.length, 0);
  if (sources.length * capsules.length * (1 + panels.length + walls / 8) > LARGE) return 'too large';
  const asked: SuggestOptions = {
    show: TOLD,
    ...(mics.length > 0 && { counts: forAny(judged.scene, mics) }),
  };
  const catalogue = shippedCatalogue();
  return plainAdvice(adviceOf(judged, catalogue, asked, await searchMoves(judged, catalogue, asked)));
}

function forAny(scene: Scene, mics: readonly string[]): NonNullable<SuggestOptions['counts']> {
  const tests = mics.map((name) => forMic(scene, name));
  return (row) => tests.some((test) => test(row));
}

/** Draws the tolerance of every figure with a limit, saying on a terminal how far it has come. */
async function drawTolerances(scene: Scene): Promise<ToldTolerances | null> {
  let done = announce('drawing tolerances …');
  const onProgress = ({ done: drawn, total }: Progress) => {
    done();
    done = announce(`drawing tolerances: ${Math.floor((100 * drawn) / total)}%`);
  };
  const tolerances = await runTolerances(scene, { onProgress });
  done();
  return tolerances && { ...tolerances, rows: tolerances.rows.map(told) };
}

const told = ({ sorted: _, ...row }: ToleranceRow): ToldTolerance => row;
