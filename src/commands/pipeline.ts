/** From the file of a plan to what commands answer from: opened, measured levels laid over it, one passage chosen, judged. */
import { type Finding, hasErrors, isFinding } from '../finding.ts';
import { fromHere, isPassing, readText, recordingLoader, studioLoader } from '../io/files.ts';
import { announce, clearBeforeAnswers, fileFinding, say, unreadable } from '../io/terminal.ts';
import { watch } from '../io/watch.ts';
import { inPassage, isCaution, type OpenPlan, openPlan, type Session, sessionOf } from '../judge/session.ts';
import type { From, Hear } from '../plan/files.ts';
import { type ReadPlan, readPlan } from '../plan/plan.ts';
import { counted } from '../report/words.ts';
import { shippedCatalogue } from '../shipped.ts';
import { escapeControl } from '../text.ts';
import { overwrites, refused } from './output.ts';

/** Options of every command that reads plans. */
export type PlanOptions = {
  /** What messages call a plan from standard input. */
  readonly stdinName: string;
  readonly allowOutside?: boolean;
};

/** Options of those that say an answer about one. */
export type AnswerOptions = PlanOptions & {
  readonly all?: true;
  readonly json?: true;
  readonly output: string;
};

/** A plan as the command line names it; `-` is standard input. */
export function fromOf(file: string, { stdinName, allowOutside = false }: PlanOptions): From {
  const name = file === '-' ? stdinName : file;
  const hear: Hear = async (path) => (await import('./decay.ts')).heardIn(path);
  return {
    name,
    load: studioLoader(name, allowOutside),
    hear: recordingLoader(name, allowOutside, hear),
    allowOutside,
  };
}

/** An open plan with its text as it stands in the file. */
export type OpenFile = OpenPlan & { readonly from: From; readonly text: string };

export type Examined = {
  /** What messages call the plan. */
  readonly name: string;
  readonly findings: readonly Finding[];
  /** Where in the text things stand; null where there was no text to be had. */
  readonly read: Pick<ReadPlan, 'locate' | 'spotOf' | 'show'> | null;
  /** Null where there is an error among the findings, or readings were refused. */
  readonly open: OpenFile | null;
  /** Readings were refused, which has been said on standard error. */
  readonly refused?: true;
};

/** With `readings` the plan is as it was measured. */
export async function examinePlan(
  file: string,
  options: PlanOptions,
  readings: readonly string[] = [],
): Promise<Examined> {
  const from = fromOf(file, options);
  const { name } = from;
  const input = await readText(file);
  if ('problem' in input)
    return { name, findings: [unreadable(name, input.problem)], read: null, open: null };
  const read = await readPlan(input.text, from);
  const { findings, open } = openPlan(read, shippedCatalogue());
  const opened = open && { ...open, from, text: input.text };
  if (!opened || readings.length === 0) return { name, findings, read, open: opened };
  const asMeasured = await (await import('./readings.ts')).measured(opened, readings);
  return { name, findings, read, open: asMeasured, ...(asMeasured === null && { refused: true }) };
}

/** Whether standard input would have to be read more than once: for a plan and for readings, or for several plans; says so. */
export async function readsTwice(plans: readonly string[], readings: readonly string[]): Promise<boolean> {
  if (!readings.includes('-')) return false;
  const both = plans.includes('-');
  if (!both && plans.length < 2 && readings.filter((file) => file === '-').length < 2) return false;
  const message = both
    ? 'plan and readings cannot both come from standard input'
    : 'readings from standard input can be read once, for one plan';
  await refused(fileFinding(message, `name a file for ${both ? 'one of them' : 'the readings'}`));
  return true;
}

type OpenOptions = PlanOptions & {
  readonly passage?: string;
  readonly readings?: readonly string[];
  /** Where an answer is to go: no file that was read. */
  readonly output?: string;
};

/** Null where the plan, its readings or the passage were refused: why has then been said on standard error. */
export async function open(file: string, options: OpenOptions): Promise<OpenFile | null> {
  const { passage, readings = [], output = '-' } = options;
  if (await readsTwice([file], readings)) return null;
  const { findings, read, open } = await examinePlan(file, options, readings);
  if (await overwrites([output])) return null;
  const told = hasErrors(findings) ? findings : findings.filter((finding) => !isCaution(finding));
  if (!read) await refused(...told);
  else if (told.length > 0) await say(read.show(told));
  if (!open || passage === undefined) return open;
  const alone = inPassage(open, passage);
  if (!isFinding(alone)) return alone;
  await refused(alone);
  return null;
}

/** Sources times capsules from which computing takes more than about a third of a second; drawing tolerances always does. */
const LONG = 250;

/** Computed and judged; a terminal says so where that takes long. */
export function judged(open: OpenPlan): Session {
  const { sources, capsules, limits } = open.scene;
  const isLong = sources.length * capsules.length >= LONG || limits.confidence !== null;
  const done = isLong ? announce(`${sources.length} sources at ${capsules.length} mics …`) : () => {};
  const { result, report } = sessionOf(open);
  done();
  return { ...open, result, report };
}

/** A plan opened and judged. Null where it was refused: why has then been said on standard error. */
export async function openJudged(...asked: Parameters<typeof open>): Promise<Session | null> {
  const opened = await open(...asked);
  return opened && judged(opened);
}

/**
 * `--watch`: runs a command again on every save, until Ctrl-C. Exit code: 0 after Ctrl-C, however the last run went; that of a
 * run that read no file, as with a wrong option. A run that is refused writes nothing, so that the last good answer stays,
 * with what is wrong below it.
 */
export async function againOnSave<Code extends number>(
  files: readonly string[],
  run: () => Promise<Code>,
): Promise<Code | 0 | 2> {
  const passing = files.find((file) => file === '-' || isPassing(file));
  if (passing !== undefined) {
    const what = passing === '-' ? 'standard input' : passing;
    return refused(fileFinding(`--watch: ${what} is read once and cannot be watched`, 'name a file'));
  }
  let code: Code | 0 = 0;
  await watch(async (changed, read) => {
    if (changed.length > 0) await say(`${changed.map(shown).join(', ')} changed\n`);
    const last = await clearBeforeAnswers(run);
    const [first, ...more] = read();
    if (first === undefined) {
      code = last;
      return 'stop';
    }
    const others = more.length > 0 ? ` and ${counted(more.length, 'other file')}` : '';
    await say(`watching ${shown(first)}${others}, Ctrl-C ends\n`);
    return 'go on';
  });
  return code;
}

const shown = (file: string): string => escapeControl(fromHere(file));
