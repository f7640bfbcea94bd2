/** `spillcheck report`: what reaches every microphone of a plan, judged and shown. */
import type { Finding } from '../finding.ts';
import { announce } from '../io/progress.ts';
import { linesOf, wantsColour, widthOf } from '../io/terminal.ts';
import type { Pitfall } from '../judge/pitfalls/pitfall-kinds.ts';
import { pitfalls } from '../judge/pitfalls/pitfalls.ts';
import { mainPairs } from '../judge/timing/main-pairs.ts';
import { timings, USUAL_RATE, USUAL_REACH } from '../judge/timing/timing.ts';
import { lengthsIn } from '../plan/lengths.ts';
import type { Answer } from '../render/answer.ts';
import { formats } from '../render/formats.ts';
import { micNames, onlyMics } from '../render/only-mics.ts';
import type { RenderOptions } from '../render/options.ts';
import { isSection, SECTIONS, sectionsFor } from '../render/sections.ts';
import { deliver, overwritesPlan } from './deliver.ts';
import { drawTolerances } from './draw-tolerances.ts';
import type { Judged } from './examine-plan.ts';
import { judgePlan } from './judge-plan.ts';
import { nextMoves } from './next-moves.ts';
import { type PlanOptions, planFile } from './plan-file.ts';
import { refused } from './refuse.ts';
import { unknownName } from './unknown-name.ts';

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
  if (await overwritesPlan(file, options.html ?? options.output)) return 2;
  const judged = await judgePlan(planFile(file, options), options);
  if (!judged) return 2;
  const nobody = unknownIn('--mic', 'microphone', options.mic, micNames(judged.report));
  if (nobody) return refused(nobody);
  const answer = onlyMics(await answerOf(judged, options), options.mic);
  if (options.html !== undefined) return deliver(await page(judged, answer), options.html);
  const format = formats[options.json ? 'json' : 'text'];
  return deliver(format(answer, pageOf(judged, options)), options.output);
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

async function answerOf(judged: Judged, options: ReportOptions): Promise<Answer> {
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

async function page(judged: Judged, answer: Answer): Promise<string> {
  const { draw } = await import('../render/draw/draw.ts');
  const { reportPage } = await import('../render/page/report-page.ts');
  return reportPage(
    answer,
    draw(judged, { band: KILOHERTZ, mic: null, level: null, paper: null, dark: false }),
    lengthsIn(judged.units),
  );
}

/** Band whose patterns the page draws. */
const KILOHERTZ = 4;

/** Sources times microphones from which this takes more than about a third of a second. */
const LONG = 1000;

function findPitfalls({ scene, result, report: known, units }: Judged): Pitfall[] {
  const isLong = scene.sources.length * scene.capsules.length >= LONG;
  const done = isLong ? announce('looking for pitfalls …') : () => {};
  const found = pitfalls(scene, result, known, lengthsIn(units));
  done();
  return found;
}

/** A file gets neither colour nor the terminal's width. */
function pageOf({ scene, units }: Judged, options: ReportOptions): RenderOptions {
  const { stdout, env } = process;
  const all = options.all === true;
  const show = options.show.filter(isSection);
  const screen = options.output === '-' ? stdout : {};
  return {
    width: widthOf(screen, env),
    colour: options.output === '-' && wantsColour(stdout, env),
    lengths: lengthsIn(units),
    ...sectionsFor({
      all,
      show,
      mics: options.mic.length > 0,
      unsure: Boolean(options.assumptions ?? options.tolerance),
    }),
    bands: options.bands === true,
    all,
    listAssumptions: options.assumptions === true,
    ...(options.plan ? { scene, lines: linesOf(screen) } : {}),
  };
}
