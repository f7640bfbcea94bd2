/** Options of `suggest`, read. */
import type { Computed } from '../advise/bench-plan.ts';
import { forMic, forPart } from '../advise/for-whom.ts';
import { MINUTES, MOVE_KINDS, type MoveKind } from '../advise/move.ts';
import type { SuggestOptions as Asked } from '../advise/suggest.ts';
import type { Minutes } from '../advise/suggestion.ts';
import { type Finding, refusal } from '../finding.ts';
import { offered, oneOf } from '../plan/did-you-mean.ts';
import type { PlanOptions } from './plan-file.ts';

export type SuggestOptions = PlanOptions & {
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
export function askedOf(options: SuggestOptions, { scene }: Computed): Asked | readonly Finding[] {
  const minutes = minutesOf(options.minutes);
  const faults = [
    ...nameFaults(
      '--for',
      options.for,
      scene.mics.map(({ name }) => name),
    ),
    ...nameFaults(
      '--for-part',
      options.forPart,
      scene.parts.map(({ name }) => name),
    ),
    ...(options.for !== undefined && options.forPart !== undefined
      ? [refusal('--for and --for-part cannot both be', 'ask for one of them')]
      : []),
    ...(isSize(options.moves)
      ? []
      : [refusal(`--moves ${options.moves} is no number of moves`, `write 1 to ${MOST_MOVES}`)]),
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

function applyFaults({ apply, inPlace, output, json }: SuggestOptions): Finding[] {
  if (apply === undefined)
    return inPlace ? [refusal('--in-place needs --apply', 'write --apply 1 --in-place')] : [];
  return [
    ...(apply === 'all' || /^[1-9]\d{0,3}$/.test(apply)
      ? []
      : [refusal(`--apply ${apply} is no suggestion`, 'write its number, or all')]),
    ...(inPlace && output !== '-'
      ? [refusal('--in-place and --output cannot both be', 'take one of them out')]
      : []),
    ...(json ? [refusal('--apply writes a plan, no JSON', 'take one of the two out')] : []),
  ];
}

function nameFaults(option: string, name: string | undefined, known: readonly string[]): Finding[] {
  if (name === undefined || known.includes(name)) return [];
  const near = offered(name, known);
  const mend = near.length === 0 ? `there are ${known.join(', ') || 'none'}` : `write ${oneOf(near)}`;
  return [{ ...refusal(`${option}: there is no ${name}`, mend), code: 'UNKNOWN_NAME' }];
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
        refusal(
          `--minutes ${one} cannot be read`,
          `write MOVE=MINUTES; usual are ${MOVE_KINDS.map((one) => `${one}=${MINUTES[one]}`).join(', ')}`,
        ),
      );
  }
  return faults.length > 0 ? { faults } : { minutes };
}

const isKind = (name: string): name is MoveKind => Object.hasOwn(MINUTES, name);
