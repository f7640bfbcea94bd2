/** `spillcheck suggest`: fixes that improve a plan, searched for, shown or written into it. */
import { type Finding, isFinding, usageError } from '../finding.ts';
import { renderText } from '../format/text.ts';
import { announce, interruptible, saidInterrupted, say } from '../io/terminal.ts';
import { sessionOf } from '../judge/session.ts';
import { readPlan, validate } from '../plan/plan.ts';
import { regressionWords } from '../report/criteria.ts';
import { suggestView } from '../report/moves.ts';
import { scheduleView } from '../report/schedule.ts';
import { counted } from '../report/words.ts';
import { inStretches } from '../steps.ts';
import type { Advice, SuggestOptions as Asked, PlainAdvice, SearchProgress } from '../suggest/advice.ts';
import { plainAdvice, runSuggest } from '../suggest/advice.ts';
import { allTogether, applied, notWritable } from '../suggest/apply.ts';
import type { Computed } from '../suggest/evaluate.ts';
import { FIX_KINDS, type Fix, type FixKind, MINUTES } from '../suggest/fixes.ts';
import { forMic, forPart } from '../suggest/objective.ts';
import { assigning, assignmentFix, type RoomsTable } from '../suggest/rooms.ts';
import { type Schedule, scheduleOf } from '../suggest/schedule.ts';
import type { Minutes } from '../suggest/search.ts';
import { escapeControl } from '../text.ts';
import { deepEqual } from '../transfer/incremental.ts';
import { deliver, pageOf, refused, unknownIn, usageFault } from './output.ts';
import { type AnswerOptions, type OpenFile, open } from './pipeline.ts';

/** Exit code: 0 done, also where there is nothing to suggest; 2 refused; 130 the best until Ctrl-C, which writes nothing. */
export async function suggest(file: string, options: SuggestCommandOptions): Promise<0 | 2 | 130> {
  if (options.inPlace && file === '-')
    return refused(usageError('--in-place: a plan from standard input has no file', 'write it with -o'));
  const opened = await open(file, options);
  if (!opened) return 2;
  const base = sessionOf(opened);
  const asked = askedOf(options, base);
  if (!('most' in asked)) return refused(...asked);
  const table = options.rooms ? await roomsOf(base) : null;
  if (options.rooms && !table)
    return refused(usageError('--rooms: nobody can go to another room', 'leave it out'));
  const extra = table?.best.slice(0, 1).map(assignmentFix) ?? [];
  const { value: advice, interrupted } = await interruptible((signal) =>
    searched(base, { ...asked, extra }, signal),
  );
  if (interrupted && (options.apply !== undefined || options.output !== '-'))
    return saidInterrupted('the search was stopped; nothing was written');
  const job = { open: opened, base, advice };
  if (options.apply !== undefined)
    return applyFixes(job, options.apply, options.inPlace ? { inPlace: file } : options.output);
  const schedule = options.schedule ? scheduleOf(base, chosenAll(job), asked.minutes) : null;
  if (options.schedule && !schedule)
    return refused(usageError('--schedule: the fixes cannot be made in turn', 'leave it out'));
  const delivered = await deliver(await shownOf(job, { table, schedule }, options), options.output);
  return interrupted ? saidInterrupted(`shown is the best of ${advice.tried} plans`) : delivered;
}

type Asides = { readonly table: RoomsTable | null; readonly schedule: Schedule | null };

async function shownOf(job: ApplyJob, asides: Asides, options: SuggestCommandOptions): Promise<string> {
  const { open: opened, base, advice } = job;
  const plain = plainAdvice(advice);
  const { readings } = opened;
  const page = pageOf(options);
  const byHand: number[] = [];
  for (const [i, { fixes }] of advice.suggestions.entries())
    if (isFinding(await writtenBy(opened, base, fixes))) byHand.push(i + 1);
  if (options.json)
    return (await import('../format/json.ts')).suggestJson(plain, readings, { ...asides, byHand });
  const view = asides.schedule
    ? scheduleView(plain, asides.schedule, { all: page.all, table: asides.table, units: base.plan.units })
    : suggestView(plain, { all: page.all, readings, table: asides.table, byHand });
  return renderText(view, page);
}

const chosenAll = ({ base, advice }: ApplyJob): readonly Fix[] =>
  allTogether(base, advice.suggestions, advice.objective);

type ApplyJob = {
  readonly open: OpenFile;
  readonly base: Computed;
  readonly advice: Advice;
};

/** `which` is the place of a suggestion, from 1, or `all`: as many as go together. Exit code: 0 done, 2 refused. */
export async function applyFixes(
  job: ApplyJob,
  which: string,
  output: string | { readonly inPlace: string },
): Promise<0 | 2> {
  const fixes = chosen(job, which);
  if ('code' in fixes) return refused(fixes);
  const text = await writtenBy(job.open, job.base, fixes);
  if (isFinding(text)) return refused(text);
  const delivered =
    typeof output === 'string'
      ? await deliver(text, output)
      : await deliver(text, output.inPlace, { of: job.open.text });
  if (delivered === 0) await say(`${madeLines(job.base, fixes).map(escapeControl).join('\n')}\n`);
  return delivered;
}

/** The text of the plan with fixes made, which read again says just what was computed; an error where it would not. */
async function writtenBy(open: OpenFile, base: Computed, fixes: readonly Fix[]): Promise<string | Finding> {
  const made = applied(open.text, base, fixes);
  if (isFinding(made)) return made;
  const again = (await readPlan(made.text, open.from)).plan;
  return again && deepEqual(validate(made.tree).plan, again) ? made.text : notWritable();
}

/** What was made, and what it costs. */
function madeLines(base: Computed, fixes: readonly Fix[]): string[] {
  const names = fixes.map(({ kind, about }) => `${kind} ${about.join(', ')}`).join('; ');
  const schedule = scheduleOf(base, fixes, MINUTES);
  const costs = schedule?.costs.map(regressionWords) ?? [];
  return [
    `${counted(fixes.length, 'fix', 'fixes')} made: ${names}`,
    ...(schedule ? [`limits missed: ${schedule.missed[0]} → ${schedule.missed.at(-1)}`] : []),
    ...(costs.length > 0 ? [`costs: ${costs.join('; ')}`] : []),
  ];
}

function chosen(job: ApplyJob, which: string): readonly Fix[] | Finding {
  const { suggestions } = job.advice;
  const one = suggestions[Number(which) - 1]?.fixes;
  if (which === 'all' && suggestions.length > 0) return chosenAll(job);
  if (one) return one;
  const there = suggestions.length;
  const fix = there === 0 ? 'none was found' : `write 1 to ${there}, or all`;
  return usageError(`--apply ${which}: no such fix`, fix);
}

export type SuggestCommandOptions = AnswerOptions & {
  readonly for?: string;
  readonly forPart?: string;
  readonly combine: string;
  readonly minutes: readonly string[];
  readonly robust?: true;
  readonly rooms?: true;
  readonly schedule?: true;
  readonly readings: readonly string[];
  readonly apply?: string;
  readonly inPlace?: true;
};

/** Most fixes in a set: more than anyone makes before a take. */
const MOST_FIXES = 5;
type AskedFixes = Asked & { readonly most: number; readonly minutes: Minutes };

/** What is asked, or every error of the options. */
function askedOf(options: SuggestCommandOptions, { scene }: Computed): AskedFixes | readonly Finding[] {
  const { for: mic, forPart: part, combine: most } = options;
  const { minutes, faults: unread } = minutesOf(options.minutes);
  const isOne = mic === undefined || part === undefined;
  const isSize = /^\d$/.test(most) && Number(most) >= 1 && Number(most) <= MOST_FIXES;
  const faults = [
    ...unknownIn('--for', 'mic', [mic], scene.mics),
    ...unknownIn('--for-part', 'part', [part], scene.parts),
    ...usageFault(isOne, '--for and --for-part cannot be used together', 'use one of them'),
    ...usageFault(isSize, `--combine must be 1 to ${MOST_FIXES}, not ${most}`, 'write --combine 2'),
    ...applyFaults(options),
    ...unread,
  ];
  if (faults.length > 0) return faults;
  return {
    minutes,
    most: Number(most),
    robust: options.robust === true,
    ...(mic !== undefined && { counts: forMic(mic) }),
    ...(part !== undefined && { counts: forPart(scene, part) }),
    ...((options.all || options.apply === 'all' || options.schedule) && { show: Number.MAX_SAFE_INTEGER }),
  };
}

function applyFaults({ apply, inPlace, output, json }: SuggestCommandOptions): Finding[] {
  if (apply === undefined)
    return usageFault(!inPlace, '--in-place needs --apply', 'write --apply 1 --in-place');
  const isOne = apply === 'all' || /^[1-9]\d{0,3}$/.test(apply);
  const once = !inPlace || output === '-';
  return [
    ...usageFault(isOne, `--apply ${apply} is not a fix`, 'write its number, or all'),
    ...usageFault(once, '--in-place and --output cannot be used together', 'remove one of them'),
    ...usageFault(!json, '--apply writes a plan, not JSON', 'remove --json or --apply'),
  ];
}

/** `shift-player=10`, each over the usual. */
function minutesOf(written: readonly string[]): {
  readonly minutes: Minutes;
  readonly faults: readonly Finding[];
} {
  const minutes: Record<FixKind, number> = { ...MINUTES };
  const usual = FIX_KINDS.map((one) => `${one}=${MINUTES[one]}`).join(', ');
  const faults = written.flatMap((one) => {
    const [, kind = '', number = ''] = /^(.*?)=(\d+(?:\.\d+)?)$/.exec(one) ?? [];
    const isRead = isKind(kind) && Number(number) > 0;
    if (isRead) minutes[kind] = Number(number);
    return usageFault(isRead, `--minutes ${one} is not FIX=MINUTES`, `write FIX=MINUTES; defaults: ${usual}`);
  });
  return { minutes, faults };
}

const isKind = (name: string): name is FixKind => Object.hasOwn(MINUTES, name);

/** Null where there is one room, or nobody can go to another. */
async function roomsOf(base: Computed): Promise<RoomsTable | null> {
  let done = () => {};
  const table = await inStretches(assigning(base), (tried) => {
    done();
    done = announce(`${tried} plans computed, who goes where …`);
  });
  done();
  return table;
}

async function searched(base: Computed, asked: Asked, signal: AbortSignal): Promise<Advice> {
  let done = () => {};
  const onProgress = ({ tried, size }: SearchProgress) => {
    done();
    done = announce(`${tried} plans computed, combinations of ${size} …`);
  };
  const advice = await runSuggest(base, { ...asked, onProgress, signal });
  done();
  return advice;
}

/** Those that `suggest` would put first; where mics are named, for these alone. */
export async function firstFixes(
  base: Computed,
  mics: readonly string[],
  signal: AbortSignal,
): Promise<PlainAdvice> {
  const tests = mics.map(forMic);
  const counts: Asked['counts'] = (row) => tests.some((test) => test(row));
  return plainAdvice(await searched(base, { show: 3, ...(mics.length > 0 && { counts }) }, signal));
}
