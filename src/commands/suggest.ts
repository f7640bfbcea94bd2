/** `spillcheck suggest`: moves that better a plan, searched for, told of or written into it. */
import type { Catalogue } from '../catalogue/catalogue.ts';
import { type Finding, usageError } from '../finding.ts';
import { suggestJson } from '../format/json.ts';
import { renderText } from '../format/text.ts';
import { announce, say } from '../io/terminal.ts';
import { sessionOf } from '../judge/session.ts';
import type { MapNode } from '../plan/document.ts';
import { readPlan, validate } from '../plan/plan.ts';
import { suggestView } from '../report/moves.ts';
import { counted } from '../report/words.ts';
import { shippedCatalogue } from '../shipped.ts';
import { allTogether, applied } from '../suggest/apply.ts';
import type { Computed } from '../suggest/evaluate.ts';
import { MINUTES, MOVE_KINDS, type Move, type MoveKind } from '../suggest/moves.ts';
import { forMic, forPart, objectiveFor } from '../suggest/objective.ts';
import {
  type Advice,
  type SuggestOptions as Asked,
  adviceOf,
  type Found,
  type Minutes,
  plainAdvice,
  suggesting,
} from '../suggest/search.ts';
import { escapeControl, unknownName } from '../text.ts';
import { deepEqual } from '../transfer/incremental.ts';
import { deliver, overwrites, pageOf, refused } from './output.ts';
import { type OpenFile, open, type PlanOptions, planFile } from './pipeline.ts';

/** Exit code: 0 done, also where there is nothing to suggest; 2 refused. */
export async function suggest(file: string, options: SuggestCommandOptions): Promise<0 | 2> {
  if (await overwrites([file], [options.output])) return 2;
  const opened = await open(planFile(file, options), options);
  if (!opened) return 2;
  const base = sessionOf(opened);
  const asked = askedOf(options, base);
  if (isRefused(asked)) return refused(...asked);
  const catalogue = shippedCatalogue();
  const advice = adviceOf(base, catalogue, asked, await searchMoves(base, catalogue, asked));
  if (options.apply !== undefined && !advice.whole)
    return refused(
      usageError('the search was stopped before its end, and nothing was written', 'let it come to its end'),
    );
  if (options.apply !== undefined) {
    const job = { open: opened, base, catalogue, asked, advice };
    return applyMoves(job, options.apply, options.inPlace ? file : options.output);
  }
  const plain = plainAdvice(advice);
  const { readings } = opened;
  const page = pageOf(options);
  const shown = options.json
    ? suggestJson(plain, readings)
    : renderText(suggestView(plain, page.all, readings), page);
  return deliver(shown, options.output);
}

const isRefused = (asked: ReturnType<typeof askedOf>): asked is Exclude<typeof asked, Asked> =>
  Array.isArray(asked);

type ApplyJob = {
  readonly open: OpenFile;
  readonly base: Computed;
  readonly catalogue: Catalogue;
  readonly asked: Asked;
  readonly advice: Advice;
};

/** `which` is the place of a suggestion, from 1, or `all`: as many as go together. Exit code: 0 done, 2 refused. */
export async function applyMoves(job: ApplyJob, which: string, output: string): Promise<0 | 2> {
  const moves = chosen(job, which);
  if ('code' in moves) return refused(moves);
  const made = applied(job.open.text, job.base, moves);
  if (!made || !(await readsAs(job, made))) {
    return refused(
      usageError(
        'the plan has no place for these entries',
        'make the changes by hand: what to set is in --json',
      ),
    );
  }
  const delivered = await deliver(made.text, output);
  if (delivered === 0) await say(`${counted(moves.length, 'move')} made: ${escapeControl(namesOf(moves))}\n`);
  return delivered;
}

function chosen({ base, catalogue, asked, advice }: ApplyJob, which: string): readonly Move[] | Finding {
  const { suggestions } = advice;
  const one = suggestions[Number(which) - 1]?.moves;
  if (which === 'all' && suggestions.length > 0)
    return allTogether(base, catalogue, suggestions, objectiveFor(advice.margins, asked.counts));
  if (!one) {
    const mend =
      suggestions.length === 0
        ? 'nothing was found that betters it'
        : `write 1 to ${suggestions.length}, or all`;
    return usageError(`--apply ${which}: there is no such suggestion`, mend);
  }
  return one;
}

/** Whether the changed text, read again, says just what was computed. */
async function readsAs(
  { open }: ApplyJob,
  { text, tree }: { readonly text: string; readonly tree: MapNode },
): Promise<boolean> {
  const { plan } = await readPlan(text, open.from);
  return plan !== null && deepEqual(validate(tree).plan, plan);
}

const namesOf = (moves: readonly Move[]): string =>
  moves.map(({ kind, about }) => `${kind} ${about.join(', ')}`).join('; ');

export type SuggestCommandOptions = PlanOptions & {
  readonly for?: string;
  readonly forPart?: string;
  readonly moves: string;
  readonly minutes: readonly string[];
  readonly robust?: true;
  readonly readings: readonly string[];
  readonly apply?: string;
  readonly inPlace?: true;
  readonly all?: true;
  readonly json?: true;
  readonly output: string;
};

/** Most moves in a set: more than anyone makes before a take. */
const MOST_MOVES = 5;

/** What is asked, or every fault of the options. */
function askedOf(options: SuggestCommandOptions, { scene }: Computed): Asked | readonly Finding[] {
  const minutes = minutesOf(options.minutes);
  const faults = [
    ...nameFaults('--for', 'microphone', options.for, scene.mics),
    ...nameFaults('--for-part', 'part', options.forPart, scene.parts),
    ...(options.for !== undefined && options.forPart !== undefined
      ? [usageError('--for and --for-part cannot both be', 'ask for one of them')]
      : []),
    ...(isSize(options.moves)
      ? []
      : [usageError(`--moves ${options.moves} is no number of moves`, `write 1 to ${MOST_MOVES}`)]),
    ...applyFaults(options),
    ...('minutes' in minutes ? [] : minutes.faults),
  ];
  if (faults.length > 0 || !('minutes' in minutes)) return faults;
  const counts =
    options.for !== undefined
      ? forMic(scene, options.for)
      : options.forPart === undefined
        ? undefined
        : forPart(scene, options.forPart);
  return {
    minutes: minutes.minutes,
    most: Number(options.moves),
    robust: options.robust === true,
    ...(counts && { counts }),
    ...((options.all || options.apply === 'all') && { show: Number.MAX_SAFE_INTEGER }),
  };
}

const isSize = (text: string): boolean =>
  /^\d$/.test(text) && Number(text) >= 1 && Number(text) <= MOST_MOVES;

function applyFaults({ apply, inPlace, output, json }: SuggestCommandOptions): Finding[] {
  if (apply === undefined)
    return inPlace ? [usageError('--in-place needs --apply', 'write --apply 1 --in-place')] : [];
  return [
    ...(apply === 'all' || /^[1-9]\d{0,3}$/.test(apply)
      ? []
      : [usageError(`--apply ${apply} is no suggestion`, 'write its number, or all')]),
    ...(inPlace && output !== '-'
      ? [usageError('--in-place and --output cannot both be', 'take one of them out')]
      : []),
    ...(json ? [usageError('--apply writes a plan, no JSON', 'take one of the two out')] : []),
  ];
}

function nameFaults(
  option: string,
  what: string,
  name: string | undefined,
  all: readonly { readonly name: string }[],
): Finding[] {
  const known = all.map((one) => one.name);
  return name === undefined || known.includes(name) ? [] : [unknownName(option, { what, name, known })];
}

type Read = { readonly minutes: Minutes } | { readonly faults: readonly Finding[] };

/** `shift-player=10`, each over the usual. */
function minutesOf(written: readonly string[]): Read {
  const minutes: Record<MoveKind, number> = { ...MINUTES };
  const faults: Finding[] = [];
  for (const one of written) {
    const [, kind = '', number = ''] = /^(.*?)=(\d+(?:\.\d+)?)$/.exec(one) ?? [];
    if (isKind(kind) && Number(number) > 0) minutes[kind] = Number(number);
    else
      faults.push(
        usageError(
          `--minutes ${one} cannot be read`,
          `write MOVE=MINUTES; usual are ${MOVE_KINDS.map((one) => `${one}=${MINUTES[one]}`).join(', ')}`,
        ),
      );
  }
  return faults.length > 0 ? { faults } : { minutes };
}

const isKind = (name: string): name is MoveKind => Object.hasOwn(MINUTES, name);

/** Milliseconds of work between two pauses, in which an interrupt can come. */
const STRETCH = 100;

/** An interrupt (Ctrl-C) ends the search, and what was found until then is told. */
export async function searchMoves(
  base: Computed,
  catalogue: Catalogue,
  asked: Asked,
): Promise<{ readonly found: Found; readonly whole: boolean }> {
  const stop = { asked: false };
  const interrupt = () => {
    stop.asked = true;
  };
  process.once('SIGINT', interrupt);
  const steps = suggesting(base, catalogue, asked);
  let done = () => {};
  let paused = performance.now();
  let step = steps.next();
  while (!step.done && !stop.asked) {
    if (performance.now() - paused > STRETCH) {
      done();
      done = announce(`${step.value.tried} plans computed, sets of ${step.value.size} …`);
      await new Promise((resume) => setImmediate(resume));
      paused = performance.now();
    }
    step = steps.next();
  }
  done();
  process.off('SIGINT', interrupt);
  return { found: step.value, whole: step.done === true };
}
