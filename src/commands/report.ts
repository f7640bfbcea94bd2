/** `spillcheck report` and `spillcheck why`: the whole report of a plan, and every path from one source to one mic. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { renderText, text } from '../format/text.ts';
import { announce, interruptible, linesOf, saidInterrupted } from '../io/terminal.ts';
import { guessedFacings } from '../judge/facings.ts';
import { guesses } from '../judge/guesses.ts';
import { type Pitfall, pitfalls } from '../judge/pitfalls.ts';
import type { Session } from '../judge/session.ts';
import { mainPairs } from '../judge/stereo.ts';
import { timings, USUAL_RATE, USUAL_REACH } from '../judge/timing.ts';
import { type Progress, runTolerances } from '../judge/tolerance.ts';
import { lengthsIn } from '../plan/units.ts';
import type { Answer, RenderOptions, ToleranceSummary } from '../report/answer.ts';
import { isSection, micNames, onlyMics, SECTIONS, sectionsFor } from '../report/answer.ts';
import type { Scene } from '../scene/scene.ts';
import { catalogueVersion } from '../shipped.ts';
import { deliver, pageOf, refused, unknownIn } from './output.ts';
import { type AnswerOptions, openJudged } from './pipeline.ts';

export type ReportOptions = AnswerOptions & {
  readonly mic: readonly string[];
  readonly passage?: string;
  readonly readings: readonly string[];
  readonly show: readonly string[];
  readonly octaves?: true;
  readonly assumptions?: true;
  readonly tolerance?: true;
  /** Delays: how far below a mic's own source, in dB, a part still counts, and samples per second. */
  readonly ignoreBelow: number;
  readonly sampleRate: number;
  /** False to skip the search for fixes. */
  readonly fixes: boolean;
  readonly html?: string;
};

/** Exit code: 0 done, 2 refused, 130 interrupted. */
export async function report(file: string, options: ReportOptions): Promise<0 | 2 | 130> {
  const strangers = unknownIn('--show', 'section', options.show, SECTIONS);
  if (strangers.length > 0) return refused(...strangers);
  const judged = await openJudged(file, { ...options, output: options.html ?? options.output });
  if (!judged) return 2;
  const nobody = unknownIn('--mic', 'mic', options.mic, micNames(judged.report));
  if (nobody.length > 0) return refused(...nobody);
  const { value, interrupted } = await interruptible((signal) => answerOf(judged, options, signal));
  if (interrupted) return saidInterrupted('nothing was written');
  const answer = onlyMics(value, options.mic);
  if (options.html !== undefined) return deliver(await page(judged, answer), options.html);
  const format = options.json ? (await import('../format/json.ts')).reportJson : text;
  const shown = format(answer, reportPageOf(judged, options));
  return deliver(shown, options.output);
}

export type WhyCommandOptions = AnswerOptions & { readonly mic: string; readonly source: string };

/** Exit code: 0 done, 2 refused. */
export async function why(file: string, options: WhyCommandOptions): Promise<0 | 2> {
  const judged = await openJudged(file, options);
  if (!judged) return 2;
  const { askedFor, why: explain } = await import('../judge/why.ts');
  const asked = askedFor(judged.scene, options.mic, options.source);
  if ('code' in asked) return refused(asked);
  const told = explain(judged.scene, judged.result, judged.report, asked);
  const page = { ...pageOf(options), lengths: lengthsIn(judged.plan.units) };
  const shown = options.json
    ? (await import('../format/json.ts')).whyJson(told)
    : renderText((await import('../report/why.ts')).whyView(told, page), page);
  return deliver(shown, options.output);
}

async function answerOf(judged: Session, options: ReportOptions, signal: AbortSignal): Promise<Answer> {
  const { scene, result, assumptions, readings } = judged;
  const { tolerance, passage = null, ignoreBelow: reach, sampleRate } = options;
  const usual = reach === USUAL_REACH && sampleRate === USUAL_RATE;
  return {
    ...judged.report,
    ...(!usual && {
      timing: timings(scene, result, { reach, sampleRate }),
      mainPairs: mainPairs(scene, result, sampleRate),
    }),
    now: wantsFixes(options) ? await nextMoves(judged, options.mic, signal) : null,
    pitfalls: findPitfalls(judged),
    guesses: guesses(scene, result, judged.report),
    facings: isLarge(judged) ? [] : guessedFacings(judged),
    tolerances: tolerance ? await drawTolerances(scene, signal) : null,
    passage,
    assumptions,
    readings,
  };
}

/** Text without the section of fixes does not need them. */
function wantsFixes({ fixes, show, json, html, all }: ReportOptions): boolean {
  const isShown = json || html !== undefined || all || show.length === 0 || show.includes('fixes');
  return fixes && Boolean(isShown);
}

async function page(judged: Session, answer: Answer): Promise<string> {
  const { draw } = await import('../draw/draw.ts');
  const { reportPage } = await import('../format/html.ts');
  const { units } = judged.plan;
  const drawing = { band: NOMINAL_BANDS.indexOf(1000), mic: null, level: null, paper: null, dark: false };
  return reportPage(answer, draw({ ...judged, units }, drawing), lengthsIn(units));
}

/** Sources times mics above which this takes more than about a third of a second. */
const LONG = 1000;

function findPitfalls({ scene, result, report: known, plan }: Session): Pitfall[] {
  const isLong = scene.sources.length * scene.capsules.length >= LONG;
  const done = isLong ? announce('checking for pitfalls …') : () => {};
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
    ...sectionsFor({ all: page.all, show, mics: options.mic.length > 0, uncertainty: isMore }),
    bands: options.octaves === true,
    listAssumptions: options.assumptions === true,
    catalogue: options.json ? catalogueVersion() : '',
    scene,
    lines: linesOf(options.output === '-' ? process.stdout : {}),
  };
}

/**
 * Sources times capsules times obstacles above which the search for fixes, some hundred plans, takes half a minute or more; facings
 * that the plan leaves out are not tried there, either.
 * Eight walls count as one panel.
 */
const LARGE = 4000;

function isLarge({ scene: { sources, capsules, panels, rooms } }: Session): boolean {
  const walls = rooms.reduce((sum, { outline }) => sum + outline.length, 0);
  return sources.length * capsules.length * (1 + panels.length + walls / 8) > LARGE;
}

/** First fixes for the whole plan, or for some mics. */
export async function nextMoves(
  judged: Session,
  mics: readonly string[],
  signal: AbortSignal,
): Promise<Answer['now']> {
  if (isLarge(judged)) return 'too large';
  return (await import('./suggest.ts')).firstFixes(judged, mics, signal);
}

/** Simulates the spread of every value with a limit, with progress on a terminal. */
async function drawTolerances(scene: Scene, signal: AbortSignal): Promise<ToleranceSummary | null> {
  let done = announce('simulating tolerances …');
  const onProgress = ({ done: drawn, total }: Progress) => {
    done();
    done = announce(`simulating tolerances: ${Math.floor((100 * drawn) / total)}%`);
  };
  const tolerances = await runTolerances(scene, { onProgress, signal });
  done();
  return tolerances && { ...tolerances, rows: tolerances.rows.map(({ sorted: _, ...row }) => row) };
}
