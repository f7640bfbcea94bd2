/**
 * Every kind of limit in one table: what it applies to, how it is read, its limit and margin, unit, place in the plan and remarks.
 * Reports, checks, suggestions, trials, comparisons and tolerances all read the rows of this table.
 */
import type { Path } from '../finding.ts';
import type { Mic, Scene } from '../scene/scene.ts';
import { prepareScene } from '../transfer/prepared-scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { balanceAt, directToReverberant, type MainRatio } from './balance.ts';
import { type ExposureRow, exposure } from './exposure.ts';
import type { Ghost, Isolation, Mix } from './ghost.ts';
import { ghostLimit, ghostOf, isolationLimit, isolationOf, mixOf, ownMics } from './ghost.ts';
import { earTransfer, HEARS, type Hearing, judgeHearing } from './hearing.ts';
import { judgeSight, type Sight } from './sight.ts';
import { bleedRemark, micEnergies, type SignalToBleed, signalToBleed } from './signal-to-bleed.ts';
import { type SpacingRow, spacings } from './spacing.ts';
import { type Basis, type Verdict, verdictOf } from './verdict.ts';

/** What a criterion is held against. */
export type Subject = {
  /** As the plan names it: one microphone, part or player, or several things side by side. */
  readonly about: readonly string[];
  /** The setting of the plan that one would change. */
  readonly path: Path;
  /** In the unit of its criterion; null for what has no value, or where nobody asks. */
  readonly limit: number | null;
  /** Its place among the rows that its criterion reads. */
  readonly index: number;
  /** A limit counts; a channel of a pair is shown beside it, as the worse one counts for the pair; so is what nobody asks for. */
  readonly role: 'limit' | 'channel' | 'shown';
};

export type Reading = {
  /** In the unit of the criterion; ±∞ where one side of a ratio is silent, null where there is no value. */
  readonly reached: number | null;
  /** dB; ±∞ where the limit is met or missed without a value, null where it cannot be judged. */
  readonly margin: number | null;
};

type CriterionDef = {
  readonly kind: string;
  /** Of the limit and what is reached; null where it is only met or missed. */
  readonly unit: 'dB' | 'ratio' | 'min' | null;
  readonly better: 'more' | 'less';
  /** What a miss without a value counts as in a sum of shortfalls, dB. */
  readonly lost: number;
  /** Whether it varies within the tolerance, so that `limits.confidence` applies. */
  readonly isDrawn: boolean;
  /** What its values rest on: readings of a mic, of all that a part is in, levels alone, or places alone. */
  readonly restsOn: 'mic' | 'part' | 'levels' | 'places';
  /** What its rows are called where plans are compared, among which others, and by what one counts as worse than another. */
  readonly comparedAs: string;
  readonly group: 'mics' | 'parts' | 'people';
  readonly worseBy: 'value' | 'verdict' | 'words';
  readonly subjects: (context: Context) => readonly Subject[];
  readonly read: (context: Context, subject: Subject) => Reading;
  /** The passage in which it is worst, whose sources alone count; null where the plan has none, or it varies with none. */
  readonly passage: (context: Context, subject: Subject) => string | null;
  /** Why there is no value or verdict, or null; and else what set the limit, or where it is worst. */
  readonly remark: (context: Context, subject: Subject, reached: number | null) => Remark;
};

type Remark = readonly [why: string | null, detail: string | null];
/** Worse than any value, dB: for a mic or part without signal, or a part that cannot be muted at all. */
const LOST = 100;
/** For people who must see or hear each other and cannot, dB. */
const APART = 20;

const ALL_ALIKE = { passage: () => null } as const;
const OF_PEOPLE = { better: 'more', isDrawn: false, group: 'people' } as const;
const IN_DB = { unit: 'dB', lost: LOST, isDrawn: true, worseBy: 'value' } as const;
const OF_PARTS = { ...IN_DB, restsOn: 'part', group: 'parts' } as const;

const AT_MAINS = { ...IN_DB, better: 'more', restsOn: 'levels', group: 'mics' } as const;
const NEVER_TOGETHER = 'never sound together; not judged';

export const CRITERIA = [
  {
    kind: 'signal-to-bleed',
    ...IN_DB,
    better: 'more',
    restsOn: 'mic',
    comparedAs: 'signal-to-bleed',
    group: 'mics',
    subjects: ({ channels }) => channels,
    read: (context, { index, limit }) => moreThan(context.signalToBleed(index)?.ratio ?? null, limit),
    passage: (context, { index }) => context.signalToBleed(index)?.passage.name ?? null,
    remark: (context, { index }, ratio) => {
      const { mic: place = -1, capsules = [] } = context.channels[index] ?? {};
      const mic = context.scene.mics[place];
      if (!mic) return [null, null];
      const { capsule = -1 } = context.signalToBleed(index) ?? {};
      const channel = capsules.length > 1 ? context.scene.capsules[capsule]?.name : undefined;
      const from = mic.limitFrom === 'limits' ? 'set in limits' : mic.limitFrom;
      return [bleedRemark(mic, ratio), channel === undefined ? from : `${from}, worse channel ${channel}`];
    },
  },
  {
    kind: 'ghost',
    ...OF_PARTS,
    better: 'less',
    comparedAs: 'ghost',
    subjects: ({ scene }) => partSubjects(scene, ghostLimit, 'shown'),
    read: (context, { index, limit }) => {
      const reached = ghostLevel(context.ghost(index));
      return { reached, margin: limit === null || reached === null ? null : limit - reached };
    },
    passage: (context, { index }) => context.ghost(index).passage,
    remark: (context, { index }) => {
      const { kind, loudestIn } = context.ghost(index);
      const most = kind === 'committed' || loudestIn === null ? null : `mostly ${loudestIn}`;
      return [GHOST_REMARKS[kind], most];
    },
  },
  {
    kind: 'isolation',
    ...OF_PARTS,
    better: 'more',
    comparedAs: 'isolation',
    subjects: ({ scene }) => partSubjects(scene, isolationLimit),
    read: (context, { index, limit }) => moreThan(context.isolation(index).ratio, limit),
    passage: (context, { index }) => context.isolation(index).passage,
    remark: (context, { index }) => {
      const { mic, remark } = context.isolation(index);
      return [remark, mic === null ? null : `at ${mic}`];
    },
  },
  {
    kind: 'three-to-one',
    unit: 'ratio',
    better: 'more',
    lost: LOST,
    isDrawn: true,
    restsOn: 'places',
    comparedAs: 'three-to-one',
    group: 'mics',
    worseBy: 'verdict',
    subjects: ({ scene, spacings: pairs }) => {
      const { threeToOne } = scene.limits;
      if (threeToOne === null) return [];
      const rest = { path: ['limits', 'three-to-one'], limit: threeToOne, role: 'limit' } as const;
      return [...pairs().values()].map(({ mics }, index) => ({ about: mics, index, ...rest }));
    },
    read: (context, { about }) => {
      const row = context.spacings().get(nameOf(about));
      return { reached: row?.ratio ?? null, margin: row?.margin ?? null };
    },
    passage: (context, { about }) => context.spacings().get(nameOf(about))?.passage ?? null,
    remark: () => [null, null],
  },
  {
    kind: 'balance',
    ...AT_MAINS,
    comparedAs: 'balance',
    subjects: ({ scene }) =>
      scene.limits.balance.map(({ names, mic, least, path }, index) => ({
        ...{ about: [...names, scene.mics[mic]?.name ?? ''], path, limit: least, index, role: 'limit' },
      })),
    read: (context, { index, limit }) => moreThan(context.balance(index)?.ratio ?? null, limit),
    passage: (context, { index }) => context.balance(index)?.passage ?? null,
    remark: (context, { index }) => [context.balance(index) === null ? NEVER_TOGETHER : null, null],
  },
  {
    kind: 'direct-to-reverberant',
    ...AT_MAINS,
    comparedAs: 'direct-to-reverberant',
    subjects: ({ scene: { limits, mics } }) =>
      [...limits.directToReverberant].map(([mic, limit]) => ({
        ...{ about: [mics[mic]?.name ?? ''], path: ['limits', 'direct-to-reverberant'] },
        ...{ limit, index: mic, role: 'limit' },
      })),
    read: (context, { index, limit }) => moreThan(context.directToReverberant(index)?.ratio ?? null, limit),
    passage: (context, { index }) => context.directToReverberant(index)?.passage ?? null,
    remark: (context, { index }) => {
      const { ratio } = context.directToReverberant(index) ?? {};
      if (ratio === undefined) return ['nothing sounds', null];
      if (Number.isFinite(ratio)) return [null, null];
      return [ratio > 0 ? 'no reverberant sound' : 'no direct sound', null];
    },
  },
  {
    kind: 'hear',
    ...OF_PEOPLE,
    unit: 'dB',
    lost: APART,
    restsOn: 'levels',
    comparedAs: 'hears',
    worseBy: 'words',
    subjects: ({ scene: { players, limits } }) =>
      limits.hear.map(({ player, whom }, index) => {
        const name = players[player]?.name ?? '';
        // the limits of one player are consecutive, in the order of the plan's list
        const place = index - limits.hear.findIndex((one) => one.player === player);
        const path = ['limits', 'hear', name, place];
        return { about: [name, whom], path, limit: HEARS, index, role: 'limit' };
      }),
    read: (context, { index }) => {
      const { ratio = null, margin = null, verdict = null } = context.hearing().limits[index] ?? {};
      return { reached: ratio, margin: verdict === null ? null : (margin ?? Number.NEGATIVE_INFINITY) };
    },
    passage: (context, { index }) => context.hearing().limits[index]?.passage ?? null,
    remark: (context, { index }) => [context.hearing().limits[index]?.remark ?? null, null],
  },
  {
    kind: 'see-each-other',
    ...OF_PEOPLE,
    ...ALL_ALIKE,
    unit: null,
    lost: APART,
    restsOn: 'places',
    comparedAs: 'sees',
    worseBy: 'words',
    subjects: ({ scene, sight }) => {
      if (scene.limits.seeEachOther.length === 0) return [];
      const rest = { path: ['limits', 'see-each-other'], limit: null, role: 'limit' } as const;
      return sight().limits.map(({ players }, index) => ({ about: players, index, ...rest }));
    },
    read: (context, { index }) => ({
      reached: null,
      margin: context.sight().limits[index]?.sees ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY,
    }),
    remark: (context, { index }) => {
      const { sees = false, hiddenBy = [] } = context.sight().limits[index] ?? {};
      return [null, sees ? 'clear view' : `blocked by ${hiddenBy.join(', ')}`];
    },
  },
  {
    kind: 'session-length',
    ...OF_PEOPLE,
    ...ALL_ALIKE,
    unit: 'min',
    lost: LOST,
    restsOn: 'levels',
    comparedAs: 'session',
    worseBy: 'verdict',
    subjects: ({ scene: { players, limits } }) => {
      if (limits.sessionLength === null) return [];
      const limit = limits.sessionLength / 60;
      const rest = { path: ['limits', 'session-length'], limit, role: 'limit' } as const;
      return players.map(({ name }, index) => ({ about: [name], index, ...rest }));
    },
    read: (context, { index }) => {
      const { minutes = null, margin = null } = context.exposure()[index] ?? {};
      return { reached: minutes, margin };
    },
    remark: (context, { index }) => {
      const { minutes = null, level = null, remark = null } = context.exposure()[index] ?? {};
      if (minutes === null) return [null, level === null ? 'silent at this ear' : remark];
      return [null, ['NIOSH 98-126; follow local rules', remark ?? []].flat().join('; ')];
    },
  },
] as const satisfies readonly CriterionDef[];

export type CriterionKind = (typeof CRITERIA)[number]['kind'];
/** What rows of its kind are called where plans are compared. */
export type ComparedKind = (typeof CRITERIA)[number]['comparedAs'];

export const criterionOf = (kind: CriterionKind): CriterionDef =>
  CRITERIA.find((one) => one.kind === kind) as CriterionDef;

const moreThan = (reached: number | null, limit: number | null): Reading => ({
  reached,
  margin: limit === null || reached === null ? null : reached - limit,
});

/** Parts of which the limit is asked; the others, too, where they are shown beside them. */
function partSubjects(
  scene: Scene,
  limitOf: (scene: Scene, part: number) => number | null,
  others?: 'shown',
): Subject[] {
  return scene.parts.flatMap(({ name, path }, index): Subject[] => {
    const limit = limitOf(scene, index);
    const role = limit === null ? others : 'limit';
    return role ? [{ about: [name], path, limit, index, role }] : [];
  });
}

/** A committed part cannot be muted; one without a mic, or silent in every passage, has no ghost to judge. */
function ghostLevel({ kind, level }: Ghost): number | null {
  if (kind === 'nothing stays') return Number.NEGATIVE_INFINITY;
  return kind === 'committed' || kind === 'nothing own' ? Number.POSITIVE_INFINITY : level;
}

const GHOST_REMARKS: Readonly<Record<Ghost['kind'], string | null>> = {
  level: null,
  committed: 'committed: every mic for it is shared',
  'no mic': 'no mic of its own',
  'nothing stays': 'no ghost',
  'nothing own': 'no signal at its own mics',
  'never sounds': 'silent in every passage',
};

/** One key for several names: names hold no line break. */
export const nameOf = (about: readonly string[]): string => about.join('\n');

/** One key for what a criterion is held against. */
export const keyOf = ({ kind, about }: Pick<MarginRow, 'kind' | 'about'>): string =>
  `${kind}\n${nameOf(about)}`;

// What criteria read of a computed scene, each worked out when first asked for.

/** A capsule, or the two of a pair of which the worse counts, that signal to bleed is judged at. */
type Channel = Subject & { readonly mic: number; readonly capsules: readonly number[] };

/** Of the capsule where it is worst. */
type ChannelRatio = SignalToBleed & { readonly capsule: number };

export type Context = {
  readonly scene: Scene;
  readonly result: Transfer;
  readonly channels: readonly Channel[];
  readonly subjects: (criterion: CriterionDef) => readonly Subject[];
  /** By channel; null where its own source never sounds. */
  readonly signalToBleed: (channel: number) => ChannelRatio | null;
  readonly mix: () => Mix;
  /** By part. */
  readonly ghost: (part: number) => Ghost;
  readonly isolation: (part: number) => Isolation;
  /** By target; null where its groups never sound together. */
  readonly balance: (target: number) => MainRatio | null;
  /** By main mic. */
  readonly directToReverberant: (mic: number) => MainRatio | null;
  /** By `nameOf` its microphones, nearest to breaking the rule first. */
  readonly spacings: () => ReadonlyMap<string, SpacingRow>;
  readonly hearing: () => Hearing;
  readonly sight: () => Sight;
  readonly exposure: () => readonly ExposureRow[];
};

/** With `known`, what a change of some of its mics does not touch is taken from there. */
export function contextOf(
  scene: Scene,
  result: Transfer,
  known?: { readonly context: Context; readonly changed: readonly number[] },
): Context {
  const { context: old, changed = [] } = known ?? {};
  const isHeard = (part: number) => {
    const { alone, shared } = ownMics(scene, part);
    return changed.some((mic) => alone.includes(mic) || shared.includes(mic));
  };
  const channels = old?.channels ?? channelsOf(scene);
  const ears = once(() => {
    const { prepared } = result;
    return earTransfer(scene, prepared.scene === scene ? prepared : prepareScene(scene, prepared));
  });
  const at = (mic: Mic, capsule: number): ChannelRatio | null => {
    const worst = signalToBleed(micEnergies(result, mic, [capsule]), scene);
    return worst && { ...worst, capsule };
  };
  const wholeOf = (index: number) => {
    const mic = scene.mics[index] as Mic;
    return micEnergies(result, mic, mic.capsules);
  };
  const context: Context = {
    scene,
    result,
    channels,
    // which mics the 3:1 rule applies to depends on their rooms
    subjects: byKey((one) => (old && one.restsOn !== 'places' ? old.subjects(one) : one.subjects(context))),
    signalToBleed: byKey((index) => {
      const { mic: place, capsules } = channels[index] as Channel;
      if (old && !changed.includes(place)) return old.signalToBleed(index);
      const mic = scene.mics[place];
      return mic ? worseOf(capsules.map((capsule) => at(mic, capsule))) : null;
    }),
    mix: once(() => mixOf(scene, result, old && { mix: old.mix(), changed })),
    ghost: byKey((part) => ghostOf(scene, context.mix(), part)),
    isolation: byKey((part) =>
      old && !isHeard(part) ? old.isolation(part) : isolationOf(scene, result, part),
    ),
    balance: byKey((index) => {
      const target = scene.limits.balance[index];
      if (old && target && !changed.includes(target.mic)) return old.balance(index);
      return target ? balanceAt(scene, wholeOf(target.mic), target) : null;
    }),
    directToReverberant: byKey((mic) =>
      old && !changed.includes(mic) ? old.directToReverberant(mic) : directToReverberant(scene, wholeOf(mic)),
    ),
    spacings: once(() => new Map(spacings(scene).map((row) => [nameOf(row.mics), row]))),
    hearing: once(() => old?.hearing() ?? judgeHearing(scene, ears())),
    sight: once(() => old?.sight() ?? judgeSight(scene)),
    exposure: once(() => old?.exposure() ?? exposure(scene, ears())),
  };
  return context;
}

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | null = null;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}

function byKey<Key, T>(make: (key: Key) => T): (key: Key) => T {
  const made = new Map<Key, T>();
  return (key) => {
    if (!made.has(key)) made.set(key, make(key));
    return made.get(key) as T;
  };
}

/** Null where neither has one. */
const worseOf = (all: readonly (ChannelRatio | null)[]): ChannelRatio | null =>
  all.reduce((worst, one) => (one && (!worst || one.ratio < worst.ratio) ? one : worst), null);

/** Capsules first, in their order, then pairs: a mic counts once, as the plan names it. */
export function channelsOf({ capsules, mics }: Scene): Channel[] {
  const single = capsules.map(({ name, mic }, i) => {
    const role = (mics[mic]?.capsules.length ?? 0) > 1 ? ('channel' as const) : ('limit' as const);
    return { name, mic, capsules: [i], role };
  });
  const pairs = mics.flatMap(({ name, capsules: own }, mic) =>
    own.length > 1 ? [{ name, mic, capsules: own, role: 'limit' as const }] : [],
  );
  return [...single, ...pairs]
    .filter(({ mic }) => mics[mic]?.purpose === 'parts')
    .map(({ name, mic, ...rest }, index) => {
      const { path = [], limit = null } = mics[mic] ?? {};
      return { about: [name], path, limit, index, mic, ...rest };
    });
}

export type MarginRow = {
  readonly kind: CriterionKind;
  readonly about: readonly string[];
  /** How far the limit is met, dB; ±∞ where it is met or missed without a value. */
  readonly margin: number;
};

export type LimitMargins = {
  readonly rows: readonly MarginRow[];
  /** The least margin, dB; null where no limit is judged by a value. */
  readonly worst: number | null;
  /** Sum of all shortfalls, dB. */
  readonly shortfall: number;
};

/** What counts in place of the plain margin, and why; null leaves the plain one. */
export type Settle = (
  kind: CriterionKind,
  about: readonly string[],
  margin: number,
) => { readonly margin: number; readonly remark: string | null } | null;

export function marginsOf(context: Context, settle: Settle | null): LimitMargins {
  const rows: MarginRow[] = [];
  for (const criterion of CRITERIA) {
    const { kind } = criterion;
    for (const subject of context.subjects(criterion)) {
      const { margin } = subject.role === 'limit' ? criterion.read(context, subject) : UNJUDGED;
      if (margin === null) continue;
      const { about } = subject;
      rows.push({ kind, about, margin: settled(settle, { kind, about, margin })?.margin ?? margin });
    }
  }
  return summed(rows);
}

const UNJUDGED: Reading = { reached: null, margin: null };

const settled = (settle: Settle | null, { kind, about, margin }: MarginRow) =>
  settle && Number.isFinite(margin) ? settle(kind, about, margin) : null;

export function summed(rows: readonly MarginRow[]): LimitMargins {
  let worst: number | null = null;
  let shortfall = 0;
  for (const row of rows) {
    const margin = countedMargin(row);
    const isFigure = criterionOf(row.kind).unit !== null && margin !== Number.POSITIVE_INFINITY;
    if (isFigure && (worst === null || margin < worst)) worst = margin;
    if (margin < 0) shortfall -= margin;
  }
  return { rows, worst, shortfall };
}

/** With a value for a limit that is missed without one, dB; +∞ for one that is met so. */
export function countedMargin({ kind, margin }: MarginRow): number {
  return margin === Number.NEGATIVE_INFINITY ? -criterionOf(kind).lost : Math.max(margin, -LOST);
}

export type Criterion = {
  readonly kind: CriterionKind;
  /** Whom it is about, as the plan names them: one microphone, or several things that it sets side by side. */
  readonly about: readonly string[];
  /** The setting of the plan that one would change. */
  readonly path: Path;
  /** In the unit of the criterion; null where there is no value. */
  readonly reached: number | null;
  readonly limit: number | null;
  /** How far it is met, dB; null where it cannot be counted so. */
  readonly margin: number | null;
  /** The passage it is judged in, the worst; null where the plan has none, or it varies with none. */
  readonly passage: string | null;
  /** Null where it could not be judged. */
  readonly verdict: Verdict | null;
  /** What set the limit, why there is no value, or why it could not be judged: in words, or null. */
  readonly remark: string | null;
  /** Whether what it rests on was measured; null without measured levels. */
  readonly basis: Basis | null;
};

/** With its subject's role, and of the remark what does not only say what set the limit or where it is worst. */
export type JudgedCriterion = Criterion & Pick<Subject, 'role'> & { readonly why: string | null };

/** Of all subjects, those that are only shown included. */
export function criteriaOf(context: Context, settle: Settle | null): Omit<JudgedCriterion, 'basis'>[] {
  return CRITERIA.flatMap((criterion) =>
    context.subjects(criterion).map((subject) => {
      const { kind } = criterion;
      const { about, path, limit, role } = subject;
      const { reached, margin: plain } = criterion.read(context, subject);
      const sure = plain === null ? null : settled(settle, { kind, about, margin: plain });
      const margin = sure?.margin ?? plain;
      const [unfigured, detail] = criterion.remark(context, subject, reached);
      const why = unfigured ?? sure?.remark ?? null;
      const passage = criterion.passage(context, subject);
      const where = [why ?? detail, passage === null ? null : `worst in ${passage}`];
      return {
        ...{ kind, about, path, reached: finite(reached), limit, margin: finite(margin), passage },
        verdict: margin === null ? null : verdictOf(margin),
        ...{ remark: where.filter((one) => one !== null).join(', ') || null, why, role },
      };
    }),
  );
}

const finite = (figure: number | null): number | null =>
  figure !== null && Number.isFinite(figure) ? figure : null;

type Judged = { readonly criteria: readonly JudgedCriterion[]; readonly levelBasis: Basis | null };

/** Every limit, worst first; what could not be judged last. A plan without a limit at any microphone has a row that says so. */
export function limitRows({ criteria, levelBasis }: Judged): Criterion[] {
  const limits = criteria.flatMap(({ why: _, role, ...row }) => (role === 'limit' ? [row] : []));
  const hasMics = limits.some(({ kind }) => criterionOf(kind).group === 'mics');
  return [
    ...(hasMics ? [] : [{ ...NOTHING_TO_JUDGE, basis: levelBasis && 'predicted' } as const]),
    ...limits,
  ].sort((a, b) => urgency(a) - urgency(b));
}

/** The lower the worse: a miss that has no margin before all others, a limit met without one after them. */
function urgency({ verdict, margin }: Criterion): number {
  if (verdict === null) return Number.MAX_VALUE;
  return margin ?? (verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE / 2);
}

const NOTHING_TO_JUDGE: Omit<Criterion, 'basis'> = {
  kind: 'signal-to-bleed',
  about: [],
  path: ['mics'],
  reached: null,
  limit: null,
  margin: null,
  passage: null,
  verdict: null,
  remark: 'no mic for a player or part',
};
