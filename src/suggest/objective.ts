/** What a suggestion is to improve, what it is worth, and the microphones and players that fixes are looked for at. */
import {
  type CriterionKind,
  countedMargin,
  criterionOf,
  keyOf,
  type LimitMargins,
  type MarginRow,
} from '../judge/criteria.ts';
import { ownMics } from '../judge/ghost.ts';
import { judgedBleeders, micEnergies, pickedUp } from '../judge/signal-to-bleed.ts';
import { CLEAR } from '../judge/verdict.ts';
import type { Scene } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';

/** Rows about a mic. */
export const forMic =
  (name: string): Objective['counts'] =>
  ({ kind, about: [about = ''] }) =>
    kind === 'signal-to-bleed' && about === name;

/** Rows about a part, and about the mics for it. */
export function forPart(scene: Scene, name: string): Objective['counts'] {
  const part = scene.parts.findIndex((one) => one.name === name);
  const mics = scene.mics.filter(
    ({ purpose, wanted }) =>
      purpose === 'parts' && wanted.some((source) => scene.sources[source]?.part === part),
  );
  const tests = mics.map((mic) => forMic(mic.name));
  return (row) =>
    ((row.kind === 'ghost' || row.kind === 'isolation') && row.about[0] === name) ||
    tests.some((test) => test(row));
}

export type Focus = {
  /** Names of mics that want something; every mic where a part does, since its ghost may be in any. */
  readonly mics: ReadonlySet<string>;
  /** Names of players, and of sources that nobody plays, who are heard at these mics, wanted or loud. */
  readonly sounding: ReadonlySet<string>;
  /** Whether what main mics pick up matters: ghosts, balance, direct sound. */
  readonly mains: boolean;
  /** Loud against whom, worst first: a player's index and a mic's. */
  readonly bleeders: readonly { readonly player: number; readonly mic: number }[];
};

const OF_MAINS: ReadonlySet<CriterionKind> = new Set(['ghost', 'balance', 'direct-to-reverberant']);

/** Bleeders of each mic that are gone into. */
const LOUDEST = 3;

export function focusOf(scene: Scene, result: Transfer, { rows }: LimitMargins, objective: Objective): Focus {
  const wants = rows
    .filter((row) => objective.counts(row) && countedMargin(row) < objective.upTo)
    .sort((a, b) => countedMargin(a) - countedMargin(b));
  const general = wants.some(({ kind }) => kind !== 'signal-to-bleed');
  const asked = wants.flatMap(({ about }) => (about.length === 1 ? micOf(scene, about[0] ?? '') : []));
  const judged = scene.mics.flatMap(({ purpose, line }, i) => (purpose === 'parts' && !line ? [i] : []));
  const mics = general ? [...new Set([...asked, ...judged])] : [...new Set(asked)];
  const bleeders = mics.flatMap((mic) => loudestAt(scene, result, mic).map((source) => ({ source, mic })));
  const sources = [
    ...bleeders.map(({ source }) => source),
    ...wants.flatMap((row) => atMains(scene, row)),
    ...mics.flatMap((mic) => scene.mics[mic]?.wanted ?? []),
  ];
  return {
    mains: wants.some(({ kind }) => OF_MAINS.has(kind)),
    mics: new Set(mics.flatMap((mic) => scene.mics[mic]?.name ?? [])),
    sounding: new Set(sources.map((source) => nameOf(scene, source))),
    bleeders: bleeders.flatMap(({ source, mic }) => {
      const player = scene.sources[source]?.player ?? null;
      return player === null ? [] : [{ player, mic }];
    }),
  };
}

/** Whom a target of a main mic is about. */
function atMains({ limits, sources }: Scene, { kind, about }: MarginRow): number[] {
  if (kind === 'direct-to-reverberant') return [...sources.keys()];
  const targets = kind === 'balance' ? limits.balance : [];
  return targets
    .filter(({ names }) => names.join() === about.slice(0, 2).join())
    .flatMap(({ of, over }) => [...of, ...over]);
}

const micOf = ({ mics }: Scene, name: string): number[] =>
  mics.flatMap((mic, i) => (mic.name === name ? [i] : []));

function nameOf({ sources, players }: Scene, index: number): string {
  const source = sources[index];
  if (source?.path[0] === 'sources') return source.name;
  return players[source?.player ?? -1]?.name ?? source?.name ?? '';
}

/** Sources that bring most to a mic of all that is bleed in the passage it is judged in. */
export function loudestAt(scene: Scene, result: Transfer, index: number): number[] {
  const mic = scene.mics[index];
  if (!mic) return [];
  const atMic = micEnergies(result, mic, mic.capsules);
  const level = (source: number) =>
    pickedUp(atMic, [source], { filtered: true }).reduce((sum, energy) => sum + energy, 0);
  return judgedBleeders(scene, result, mic)
    .map((source) => ({ source, level: level(source) }))
    .sort((a, b) => b.level - a.level)
    .slice(0, LOUDEST)
    .map(({ source }) => source);
}

export type Objective = {
  /** Whether a row counts. */
  readonly counts: (row: MarginRow) => boolean;
  /** Margin up to which a limit is worth bettering: 0, or where none is missed what makes it clear. */
  readonly upTo: number;
  /** Limits out of reach, by `keyOf`: neither gained nor lost there. */
  readonly outOfReach: ReadonlySet<string>;
  /** Rows whose shortfall is that of other rows, too, and counts only as far as it is more than theirs; by `keyOf`. */
  readonly alsoIn: ReadonlyMap<string, readonly string[]>;
};

export function objectiveFor(
  scene: Scene,
  { rows }: LimitMargins,
  counts: Objective['counts'] = () => true,
): Objective {
  const missed = rows.some((row) => counts(row) && row.margin < 0);
  return { counts, upTo: missed ? 0 : CLEAR, outOfReach: new Set(), alsoIn: isolationAtMics(scene) };
}

/** The isolation of a part is the S/B of its worst mic once more. */
const isolationAtMics = (scene: Scene): Objective['alsoIn'] =>
  new Map(
    scene.parts.map(({ name }, part) => [
      keyOf({ kind: 'isolation', about: [name] }),
      ownMics(scene, part).alone.map((mic) =>
        keyOf({ kind: 'signal-to-bleed', about: [scene.mics[mic]?.name ?? ''] }),
      ),
    ]),
  );

/** S/B and isolation are dB at mics; dB of other kinds of limit are another matter. */
export const isAtMic = (kind: CriterionKind): boolean => kind === 'signal-to-bleed' || kind === 'isolation';

export type Wanting = {
  /** Limits short of what they are to reach, by `keyOf`; each shortfall once. */
  readonly short: ReadonlyMap<string, MarginRow>;
  /** Sum of what mics are short of, dB; and of what all other limits are, each dB of any kind alike. */
  readonly mics: number;
  readonly others: number;
};

/** Of the limits that count and are within reach. */
export function wanting({ rows }: Pick<LimitMargins, 'rows'>, objective: Objective): Wanting {
  const short = new Map<string, MarginRow>();
  const sums = { mics: 0, others: 0 };
  const byKey = new Map(rows.map((row) => [keyOf(row), row]));
  for (const [key, row] of byKey) {
    if (!objective.counts(row) || objective.outOfReach.has(key)) continue;
    const own = shortBy(row, objective);
    const told = (objective.alsoIn.get(key) ?? []).flatMap((other) => byKey.get(other) ?? []);
    const before = Math.max(0, ...told.map((other) => shortBy(other, objective)));
    if (own > 0 && before === 0) short.set(key, row);
    sums[isAtMic(row.kind) ? 'mics' : 'others'] += Math.max(0, own - before);
  }
  return { short, ...sums };
}

/** What rounding may take from a margin, dB. */
const ROUNDING = 1e-9;

function shortBy(row: MarginRow, { upTo }: Pick<Objective, 'upTo'>): number {
  const short = upTo - countedMargin(row);
  return short > ROUNDING ? short : 0;
}

/** What a change is worth, limit by limit. */
export type Worth = {
  /** Limits of those that count that it fixes, and limits that it breaks. */
  readonly fixed: number;
  readonly broken: number;
  /** Those that it fixes, by `keyOf`. */
  readonly fixes: readonly string[];
  /** dB less that mics are short of; and all other limits, each dB of any kind alike. */
  readonly mics: number;
  readonly others: number;
  readonly harmless: boolean;
};

/** Gains smaller than this are none, dB, unless a limit is fixed. Common practice, no source. */
export const LEAST_GAIN = 0.5;
/** What a limit that stays short may lose, dB, and once more for every limit that is fixed. Common practice, no source. */
const MOST_LOST = 1;

/**
 * A limit that is met may be missed afterwards, by less than what makes one clear, where more are fixed; what parts players who must
 * see each other is never harmless. What is lost at limits out of reach may be half of what is gained elsewhere.
 */
export function worthOf(before: LimitMargins, after: LimitMargins, objective: Objective): Worth {
  const later = new Map(after.rows.map((row) => [keyOf(row), row]));
  // what is no longer judged is not fixed
  const kept = before.rows.filter((row) => later.has(keyOf(row)));
  const [was, is] = [wanting({ rows: kept }, objective), wanting(after, objective)];
  const fixes = [...was.short.keys()].filter((key) => !is.short.has(key));
  const fixed = fixes.length;
  const [mics, others] = [was.mics - is.mics, was.others - is.others];
  const losses = lossesOf(kept, later);
  const breaks = losses.filter(({ row, now }) => isBroken(row, now, objective));
  const broken = breaks.filter(({ now }) => !isToldTwice(now, breaks, objective)).length;
  const net = fixed - broken;
  const isAside = ({ row }: Loss) => objective.outOfReach.has(keyOf(row));
  const aside = losses.filter(isAside).reduce((sum, { lost }) => sum + lost, 0);
  const harmless =
    (broken === 0 || net > 0) &&
    !losesSight(before, after) &&
    breaks.every(({ now }) => now.margin > -CLEAR) &&
    aside <= Math.max(0, mics + others) / 2 &&
    losses.every(
      (one) => one.row.margin >= 0 || isAside(one) || one.lost <= MOST_LOST * (1 + Math.max(0, net)),
    );
  return { fixed, broken, fixes, mics, others, harmless };
}

/** Whether some who must see each other, and did, no longer do. */
export function losesSight(before: LimitMargins, after: LimitMargins): boolean {
  const unseen = ({ rows }: LimitMargins) =>
    rows.flatMap((row) => (criterionOf(row.kind).unit === null && row.margin < 0 ? [keyOf(row)] : []));
  const was = new Set(unseen(before));
  return unseen(after).some((key) => !was.has(key));
}

type Loss = { readonly row: MarginRow; readonly now: MarginRow; readonly lost: number };

const lossesOf = (kept: readonly MarginRow[], later: ReadonlyMap<string, MarginRow>): Loss[] =>
  kept.flatMap((row) => {
    const now = later.get(keyOf(row)) as MarginRow;
    const lost = countedMargin(row) - countedMargin(now);
    return lost > ROUNDING ? [{ row, now, lost }] : [];
  });

/** Met before and missed now; or, where the aim is more, clear before and no longer so. */
const isBroken = (row: MarginRow, now: MarginRow, { upTo, counts }: Objective): boolean =>
  (row.margin >= -ROUNDING && now.margin < -ROUNDING) ||
  (counts(row) && row.margin >= upTo - ROUNDING && now.margin < upTo - ROUNDING);

const isToldTwice = (
  row: MarginRow,
  broken: readonly { readonly now: MarginRow }[],
  { alsoIn }: Objective,
): boolean => (alsoIn.get(keyOf(row)) ?? []).some((key) => broken.some(({ now }) => keyOf(now) === key));

/** Worth an engineer's while: more limits are fixed than broken and no dB are lost in all, or enough dB are gained. */
export const isWorthwhile = ({ fixed, broken, mics, others, harmless }: Worth): boolean =>
  harmless && mics + others > (fixed > broken ? 0 : LEAST_GAIN);

/** Positive where the second is better: limits fixed, then dB at mics, then dB of all other limits; each per minute. */
export function byWorth(a: Worth, b: Worth, minutes: readonly [number, number] = [1, 1]): number {
  const [worse, better] = [a, b].map(({ fixed, broken, mics, others }, i) =>
    [fixed - broken, mics, others].map((each) => each / (minutes[i] ?? 1)),
  ) as [number[], number[]];
  const more = better.map((each, i) => each - (worse[i] ?? 0));
  return more.find((each) => Math.abs(each) > ROUNDING) ?? 0;
}
