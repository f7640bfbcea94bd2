/** One table of the seven limits: evaluate, limit, margin, basis, plan path, unit. check, suggest, compare, try, tolerance and limits all read it. */
import { decibels, weightedSum } from '../acoustics/bands.ts';
import { NEAREST } from '../acoustics/directivity.ts';
import type { Finding, Path } from '../finding.ts';
import { distance } from '../geometry.ts';
import type { Capsule, Mic, Part, Passage, Scene } from '../scene/scene.ts';
import { quantile } from '../statistics.ts';
import { prepareScene } from '../transfer/prepared-scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { exposure } from './exposure.ts';
import {
  type Ghost,
  ghostLimit,
  ghostOf,
  isolationLimit,
  isolationRow,
  type Mix,
  mixOf,
  ownMics,
} from './ghost.ts';
import { earTransfer, type Heard, judgeHearing, LISTENS } from './hearing.ts';
import {
  type Gauge,
  onlyMics,
  type PartRow,
  type Report,
  type ToldReadings,
  type ToleranceRow,
  type Tolerances,
} from './report.ts';
import type { MicRow, SpacingRow } from './rows.ts';
import { judgeSight } from './sight.ts';
import { type MicEnergies, micEnergies, pickedUp, sidesOf, weightsFor } from './signal-to-bleed.ts';
import { type Basis, type Verdict, verdictOf } from './verdict.ts';

// How a plan stands when only some mics have changed: what hangs on them is read anew, the rest is known.
/** The same as `readingOf(scene, result)`; `changed` are the indices of the mics that differ from those of `known`. */
export function rereading(
  known: Reading,
  changed: readonly number[],
  scene: Scene,
  result: Transfer,
): Reading {
  const few = onlyMics(scene, result, changed);
  const mix = mixWith(known.mix, mixOf(few.scene, few.result), changed);
  const bleed = new Map([...known.bleed, ...bleedOf(few.scene, few.result)]);
  const parts = new Map(
    scene.parts.map((_, part) => {
      const old = known.parts.get(part) ?? [];
      const depends =
        old.some(({ kind }) => kind === 'ghost') || (old.length > 0 && isHeardBy(scene, part, changed));
      return [part, depends ? partMargins(scene, result, mix, part) : old];
    }),
  );
  const { people } = known;
  return { mix, bleed, parts, people, standing: standingFrom(scene, { bleed, parts, people }) };
}

function mixWith(known: Mix, fresh: Mix, changed: readonly number[]): Mix {
  const place = new Map(changed.map((mic, i) => [mic, i]));
  const gains = known.gains.map((gain, mic) => {
    const at = place.get(mic);
    return at === undefined ? gain : (fresh.gains[at] ?? 0);
  });
  const held: Mix['held'] = (mic, sources) => {
    const at = place.get(mic);
    return at === undefined ? known.held(mic, sources) : fresh.held(at, sources);
  };
  return { gains, held };
}

function isHeardBy(scene: Scene, part: number, changed: readonly number[]): boolean {
  const { alone, shared } = ownMics(scene, part);
  return changed.some((mic) => alone.includes(mic) || shared.includes(mic));
}

// How a plan stands against all its limits, and nothing else of it: read some thousand times.

export type Standing = {
  readonly rows: readonly MarginRow[];
  /** The least margin, dB; null where no limit is judged by a figure. */
  readonly worst: number | null;
  /** Sum of all missed margins, dB. */
  readonly shortfall: number;
};

/** What a later reading can go by where only some mics have changed. */
export type Reading = {
  readonly standing: Standing;
  readonly mix: Mix;
  /** S/B of every judged capsule and pair, by name; ±∞ where one side is silent. */
  readonly bleed: ReadonlyMap<string, number>;
  readonly parts: ReadonlyMap<number, readonly MarginRow[]>;
  readonly people: readonly MarginRow[];
};

/** By the plain figures, whatever `limits.confidence` says. */
export function readingOf(scene: Scene, result: Transfer): Reading {
  const mix = mixOf(scene, result);
  const bleed = bleedOf(scene, result);
  const parts = new Map(scene.parts.map((_, part) => [part, partMargins(scene, result, mix, part)]));
  const people = peopleMargins(scene, result);
  return { mix, bleed, parts, people, standing: standingFrom(scene, { bleed, parts, people }) };
}

export function standingOf(scene: Scene, result: Transfer): Standing {
  return readingOf(scene, result).standing;
}

/** S/B as it is judged, in the worst passage. */
function bleedOf(scene: Scene, result: Transfer): Map<string, number> {
  const gauge = bleedGauge(scene);
  const figures = gauge.read(scene, result);
  return new Map(
    gauge.rows.flatMap(({ name }, i) => (typeof figures[i] === 'number' ? [[name, figures[i]]] : [])),
  );
}

function standingFrom(
  scene: Scene,
  { bleed, parts, people }: Pick<Reading, 'bleed' | 'parts' | 'people'>,
): Standing {
  const mics = scene.capsules.flatMap(({ name, mic }): MarginRow[] => {
    const ratio = bleed.get(name);
    return ratio === undefined
      ? []
      : [{ kind: 'signal-to-bleed', name, margin: ratio - (scene.mics[mic]?.limit ?? 0) }];
  });
  return summed([...mics, ...spacingMargins(scene), ...[...parts.values()].flat(), ...people]);
}

export function summed(rows: readonly MarginRow[]): Standing {
  let worst: number | null = null;
  let shortfall = 0;
  for (const { kind, margin } of rows) {
    const counted = Math.max(margin, -LOST);
    const isFigure = kind !== 'see-each-other' && margin !== Number.POSITIVE_INFINITY;
    if (isFigure && (worst === null || counted < worst)) worst = counted;
    if (counted < 0) shortfall -= counted;
  }
  return { rows, worst, shortfall };
}

// Margins of the 3:1 rule, where the plan has it judged.

function spacingMargins(scene: Scene): MarginRow[] {
  if (scene.limits.threeToOne === null) return [];
  return spacings(scene).map(({ mics, margin }) => ({ kind: 'three-to-one', name: mics.join('\n'), margin }));
}

// Margins of what people must hear, see, and bear.

function peopleMargins(scene: Scene, { prepared }: Transfer): MarginRow[] {
  const { hear, sessionLength } = scene.limits;
  if (hear.length === 0 && sessionLength === null) return unseen(scene);
  const ears = earTransfer(scene, prepared.scene === scene ? prepared : prepareScene(scene));
  return [...unseen(scene), ...hearingMargins(scene, ears), ...borne(scene, ears)];
}

/** Seeing each other has no margin: it is there, or lost. */
function unseen(scene: Scene): MarginRow[] {
  if (scene.limits.seeEachOther.length === 0) return [];
  const hidden = judgeSight(scene).limits.filter(({ sees }) => !sees);
  return hidden.map(({ players }) => ({ kind: 'see-each-other', name: players.join('\n'), margin: -APART }));
}

const hearingMargins = (scene: Scene, ears: Transfer): MarginRow[] =>
  judgeHearing(scene, ears).limits.flatMap(({ player, whom, margin, verdict }): MarginRow[] =>
    verdict === null ? [] : [{ kind: 'hear', name: `${player}\n${whom}`, margin: margin ?? -APART }],
  );

const borne = (scene: Scene, ears: Transfer): MarginRow[] =>
  exposure(scene, ears).flatMap(({ player, margin }): MarginRow[] =>
    margin === null ? [] : [{ kind: 'session-length', name: player, margin }],
  );

// Margins of one part: its ghost, and editing it alone, where a limit asks for them.

function partMargins(scene: Scene, result: Transfer, mix: Mix, part: number): MarginRow[] {
  return [...ghostMargin(scene, mix, part), ...editableMargin(scene, result, part)];
}

function ghostMargin(scene: Scene, mix: Mix, part: number): MarginRow[] {
  const limit = ghostLimit(scene, part);
  if (limit === null) return [];
  const { kind, level } = ghostOf(scene, mix, part);
  if (kind === 'no mic' || kind === 'never sounds') return [];
  const name = scene.parts[part]?.name ?? '';
  if (kind === 'nothing stays') return [{ kind: 'ghost', name, margin: Number.POSITIVE_INFINITY }];
  return [{ kind: 'ghost', name, margin: level === null ? Number.NEGATIVE_INFINITY : limit - level }];
}

function editableMargin(scene: Scene, result: Transfer, part: number): MarginRow[] {
  if (isolationLimit(scene, part) === null) return [];
  const { margin, verdict } = isolationRow(scene, result, part);
  if (verdict === null) return [];
  const end = verdict === 'short' ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  return [{ kind: 'editable', name: scene.parts[part]?.name ?? '', margin: margin ?? end }];
}

// How far one limit is met.

export type MarginRow = {
  readonly kind: LimitKind;
  /** Microphone, part or player; two of them joined by a line break. */
  readonly name: string;
  /** How far a limit is met, dB; ±∞ where one side of a ratio is silent. */
  readonly margin: number;
};

/** What counts for a mic or part that gets nothing of its own, or whose part stays as a whole: worse than any figure, dB. */
export const LOST = 100;

/** What counts for people who do not see or hear each other though they must, dB. */
const APART = 20;

// Who hears and sees whom, and how long ears may stay where the plan says how long the session lasts.

export function peopleRows(reports: readonly Report[]): ComparedRow[] {
  return [
    ...comparedRows('hears', reports, hears),
    ...comparedRows('sees', reports, sees),
    ...comparedRows('session', reports, sessions),
  ];
}

const WORDS: readonly Heard[] = ['does not hear', 'strains to hear', 'hears'];

const hears = ({ hearing }: Report): Told[] =>
  hearing.rows.map(({ player, whom, ratio, hears: word }) => ({
    about: [player, whom],
    reached: { figure: ratio, verdict: null, words: word, rank: WORDS.indexOf(word) },
  }));

const sees = ({ sight }: Report): Told[] =>
  sight.rows.map(({ players, sees: seen, hiddenBy }) => ({
    about: players,
    reached: {
      figure: null,
      verdict: null,
      words: seen ? 'see each other' : `hidden by ${hiddenBy.join(', ')}`,
      rank: seen ? 1 : 0,
    },
  }));

const sessions = ({ exposure }: Report): Told[] =>
  exposure
    .filter(({ verdict }) => verdict !== null)
    .map(({ player, minutes, verdict }) => ({
      about: [player],
      reached: { figure: minutes, verdict, words: null, rank: verdictRank(verdict) },
    }));

// What stays of every part, and what can be edited alone.

export function partRows(reports: readonly Report[]): ComparedRow[] {
  return [
    ...comparedRows('ghost', reports, ({ parts }) => parts.map(comparedGhost)),
    ...comparedRows('editable', reports, ({ parts }) => parts.flatMap(editableOf)),
  ];
}

/** A ghost that nobody asks for is shown, and is neither better nor worse. */
const comparedGhost = ({ name, ghost, verdict, remark }: PartRow): Told => ({
  about: [name],
  reached: {
    figure: ghost,
    verdict,
    words: remark,
    rank: verdict === null || ghost === null ? rankOfWord(verdict) : -ghost,
  },
});

function editableOf({ name, editable }: PartRow): Told[] {
  const { limit, signalToBleed, verdict, remark } = editable;
  if (limit === null) return [];
  const rank = signalToBleed ?? rankOfWord(verdict);
  return [{ about: [name], reached: { figure: signalToBleed, verdict, words: remark, rank } }];
}

// Signal to bleed of every capsule, and the 3:1 rule where a plan has it judged.

export function micRows(reports: readonly Report[]): ComparedRow[] {
  return [
    ...comparedRows('signal-to-bleed', reports, ({ mics }) => mics.flatMap(toldOf)),
    ...comparedRows('three-to-one', reports, comparedSpacings),
  ];
}

function toldOf({ purpose, name, signalToBleed, verdict, remark }: MicRow): Told[] {
  if (purpose !== 'parts') return [];
  return [
    {
      about: [name],
      reached: { figure: signalToBleed, verdict, words: remark, rank: signalToBleed ?? rankOfWord(verdict) },
    },
  ];
}

function comparedSpacings({ threeToOne }: Report): Told[] {
  return threeToOne
    .filter(({ verdict }) => verdict !== null)
    .map(({ mics, ratio, verdict }) => ({
      about: mics,
      reached: { figure: ratio, verdict, words: null, rank: verdictRank(verdict) },
    }));
}

// Rows that several reports have, matched by what they are about.

type Told = { readonly about: readonly string[]; readonly reached: Omit<Reached, 'basis'> };

/** In the order of the first report, then of the others. Names hold no line break. */
function comparedRows(
  kind: ComparedKind,
  reports: readonly Report[],
  tell: (report: Report) => readonly Told[],
): ComparedRow[] {
  const told = reports.map((report) => new Map(tell(report).map((row) => [row.about.join('\n'), row])));
  const keys = new Set(told.flatMap((rows) => [...rows.keys()]));
  return [...keys].map((key) => {
    const found = told.map((rows) => rows.get(key));
    const reached = found.map((row, i) =>
      row ? { ...row.reached, basis: basisOf(kind, reports[i], row.about) } : null,
    );
    const about = found.find((row) => row !== undefined)?.about ?? [];
    return { kind, about, reached, changes: changesOf(reached) };
  });
}

/** Judged by the limit of its kind; what is seen goes by places alone. */
const LIMITS: Readonly<Record<ComparedKind, LimitKind>> = {
  'signal-to-bleed': 'signal-to-bleed',
  'three-to-one': 'three-to-one',
  ghost: 'ghost',
  editable: 'editable',
  hears: 'hear',
  sees: 'see-each-other',
  session: 'session-length',
};

const basisOf = (kind: ComparedKind, report: Report | undefined, about: readonly string[]) =>
  report ? limitBasis(report, { kind: LIMITS[kind], about }) : null;

function changesOf(reached: readonly (Reached | null)[]): (number | null)[] {
  const first = reached[0]?.figure ?? null;
  return reached.map((one) =>
    first === null || one === null || one.figure === null ? null : one.figure - first,
  );
}

/** Worst first. */
const VERDICTS = ['short', 'marginal', 'clear'] as const;

const verdictRank = (verdict: Reached['verdict']): number | null =>
  verdict === null ? null : VERDICTS.indexOf(verdict);

/** Where there is no figure: nothing at all in the way, or nothing to be had. */
function rankOfWord(verdict: Reached['verdict']): number | null {
  if (verdict === null) return null;
  return verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE;
}

// One thing that plans are compared by, and what each reaches of it.

export type ComparedKind =
  | 'signal-to-bleed'
  | 'three-to-one'
  | 'ghost'
  | 'editable'
  | 'hears'
  | 'sees'
  | 'session';

/** What one plan reaches. */
export type Reached = {
  /** dB, a ratio for `three-to-one`, minutes for `session`; null where there is none. */
  readonly figure: number | null;
  readonly verdict: Verdict | null;
  /** Says it where no figure does, or beside the figure. */
  readonly words: string | null;
  /** The lower the worse, for what has no figure that tells; null where it cannot be told. */
  readonly rank: number | null;
  /** Whether what it rests on was measured; null without readings of the day. */
  readonly basis: Basis | null;
};

export type ComparedRow = {
  readonly kind: ComparedKind;
  /** Whom it is about, as the plans name them. */
  readonly about: readonly string[];
  /** By plan; null where a plan has nothing of the kind. */
  readonly reached: readonly (Reached | null)[];
  /** Figure less that of the first plan; null where one of the two has none. The first is 0 or null. */
  readonly changes: readonly (number | null)[];
};

// Ghosts of all parts.

export function ghostGauge(scene: Scene): Gauge {
  const { parts } = scene;
  return {
    kind: 'ghost',
    rows: parts.map((part, index) => ({ name: part.name, limit: ghostLimit(scene, index) })),
    limitIs: 'most',
    read: (varied, result) => {
      const mix = mixOf(varied, result);
      return parts.map((_, index) => figureOf(ghostOf(varied, mix, index)));
    },
  };
}

/** A committed part stays whole; one without a mic, or that never sounds, has no ghost to judge. */
function figureOf({ kind, level }: Ghost): number | null {
  if (kind === 'nothing stays') return Number.NEGATIVE_INFINITY;
  return kind === 'committed' || kind === 'nothing own' ? Number.POSITIVE_INFINITY : level;
}

// The worst S/B of each part that is to be edited alone.

/** Only parts of which it is asked, since each has all its mics judged anew. */
export function editableGauge(scene: Scene): Gauge {
  const asked = scene.parts.flatMap(({ name }, index) => {
    const limit = isolationLimit(scene, index);
    return limit === null ? [] : [{ name, limit, index }];
  });
  return {
    kind: 'editable',
    rows: asked.map(({ name, limit }) => ({ name, limit })),
    limitIs: 'least',
    read: (varied, result) => asked.map(({ index }) => isolationRow(varied, result, index).signalToBleed),
  };
}

// S/B of every capsule and pair as it is judged, and nothing else of it: read some thousand times.

/** Capsules and pairs that are judged, by name, in the worst passage in which their own source sounds. */
export function bleedGauge(scene: Scene): Gauge {
  const rows = judgedRows(scene);
  return {
    kind: 'signal-to-bleed',
    rows: rows.map(({ name, mic }) => ({ name, limit: mic.limit })),
    limitIs: 'least',
    read: (varied, result) =>
      rows.map(({ mic, capsules }) => worstRatio(varied, micEnergies(result, mic, capsules))),
  };
}

type Row = { readonly name: string; readonly mic: Mic; readonly capsules: readonly number[] };

function judgedRows({ capsules, mics }: Scene): Row[] {
  const single = capsules.map(({ name, mic }, i): Row => ({ name, mic: mics[mic] as Mic, capsules: [i] }));
  const pairs = mics.filter((mic) => mic.capsules.length > 1);
  const rows = [...single, ...pairs.map((mic): Row => ({ name: mic.name, mic, capsules: mic.capsules }))];
  return rows.filter(({ mic }) => mic.purpose === 'parts');
}

/** Null for a mic whose own source never sounds. */
function worstRatio({ passages, limits }: Scene, atMic: MicEnergies): number | null {
  const ratios = passages.flatMap((passage) => {
    const ratio = ratioIn(atMic, passage, limits.weighting);
    return ratio === null ? [] : [ratio];
  });
  return ratios.length > 0 ? Math.min(...ratios) : null;
}

/** −∞ where the mic gets nothing of its own, +∞ where it gets nothing else; null where its own does not sound. */
function ratioIn(
  atMic: MicEnergies,
  passage: Passage,
  weighting: Scene['limits']['weighting'],
): number | null {
  const { wanted, bleeders } = sidesOf(atMic.mic, passage);
  if (wanted.length === 0) return null;
  const signal = pickedUp(atMic, wanted, { filtered: true });
  const weights = weightsFor(weighting, signal);
  const own = weightedSum(signal, weights);
  if (own <= 0) return Number.NEGATIVE_INFINITY;
  return decibels(own) - decibels(weightedSum(pickedUp(atMic, bleeders, { filtered: true }), weights));
}

// Margins of the 3:1 rule.

/** Pairs of mics that the rule speaks of; none where the plan does not have it judged. */
export function spacingGauge(scene: Scene): Gauge {
  const pairs = scene.limits.threeToOne === null ? [] : spacings(scene).map(({ mics }) => spacingName(mics));
  return {
    kind: 'three-to-one',
    rows: pairs.map((name) => ({ name, limit: 0 })),
    limitIs: 'least',
    read: (varied) => {
      const margins = new Map(
        pairs.length > 0 ? spacings(varied).map(({ mics, margin }) => [spacingName(mics), margin]) : [],
      );
      return pairs.map((name) => margins.get(name) ?? null);
    },
  };
}

/** Names hold no line breaks. */
export const spacingName = (mics: readonly [string, string]): string => mics.join('\n');

// Judging by what holds on most days instead of by the plain figure: `limits.confidence`.

type Judged = {
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  readonly remark?: string | null;
};

/** Puts the margin and verdict of a confidence in place of the plain ones; leaves alone what was not judged. */
type Resettle = <Row extends Judged>(row: Row, kind: Gauge['kind'], name: string) => Row;

/** Without a confidence every row stays as it is. */
export function resettler(tolerances: Tolerances | null, confidence: number | null): Resettle {
  if (!tolerances || confidence === null) return (row) => row;
  return (row, kind, name) => {
    const known = tolerances.rows.find((one) => one.kind === kind && one.name === name);
    const margin = known && row.margin !== null ? marginAt(known, confidence) : null;
    if (!known || margin === null || row.verdict === null) return row;
    const settled = { ...row, margin, verdict: verdictOf(margin) };
    return row.remark === null ? { ...settled, remark: remarkOf(known, margin, confidence) } : settled;
  };
}

/** The figure that the margin goes by, since the row shows the plain one. */
function remarkOf({ limit, limitIs }: ToleranceRow, margin: number, confidence: number): string {
  const figure = (limit ?? 0) + (limitIs === 'least' ? margin : -margin);
  const side = limitIs === 'least' ? 'at least' : 'at most';
  return `${side} ${figure.toFixed(1)} dB in ${percent(confidence)} of the draws, by which it is judged`;
}

const percent = (share: number): string => `${Number((100 * share).toFixed(1))} %`;

/** A part is judged twice: for what stays of it, and for being edited alone. */
export const settlePart = (row: PartRow, settle: Resettle): PartRow => ({
  ...settle(row, 'ghost', row.name),
  editable: settle(row.editable, 'editable', row.name),
});

/** How far a limit is met, dB, in all but the unluckiest draws; null where there is no limit or no finite figure. */
export function marginAt({ limit, limitIs, sorted }: ToleranceRow, confidence: number): number | null {
  if (limit === null || sorted.length === 0) return null;
  const margin =
    limitIs === 'least' ? quantile(sorted, 1 - confidence) - limit : limit - quantile(sorted, confidence);
  return Number.isFinite(margin) ? margin : null;
}

/** Says once what the margins of a report then are. */
export function confidenceNote({ draws }: Tolerances, confidence: number): Finding {
  return {
    code: 'CAUTION',
    severity: 'warning',
    path: ['limits', 'confidence'],
    message: `margins and verdicts are those that hold in ${percent(confidence)} of ${draws} draws within the tolerance; the figures beside them are the plain ones`,
  };
}

// The 3:1 rule: mics for different sources at least three times as far from each other as from their sources.

/** Common practice, no source; the arithmetic is 20·lg 3 = 9.54 dB. */
const USUAL_RATIO = 3;

/** Every unordered pair of capsules that the rule speaks of, nearest to breaking it first. */
export function spacings(scene: Scene): SpacingRow[] {
  const rows: SpacingRow[] = [];
  scene.capsules.forEach((one, i) => {
    for (const other of scene.capsules.slice(i + 1)) {
      if (ruled(scene, one, other)) rows.push(spacing(scene, one, other));
    }
  });
  return rows.sort((a, b) => a.margin - b.margin);
}

/** Left out: capsules of one pair, mics for one player or kit, `all` and `room` mics, mics in different rooms. */
function ruled(scene: Scene, one: Capsule, other: Capsule): boolean {
  if (one.mic === other.mic || one.room !== other.room) return false;
  const mics = [scene.mics[one.mic], scene.mics[other.mic]] as const;
  if (mics.some((mic) => mic?.purpose !== 'parts')) return false;
  const [a, b] = mics.map((mic) => ownersOf(scene, mic as Mic));
  return !a?.some((owner) => b?.includes(owner));
}

/** Players, kits and sources a mic is for, as words that two mics can share. */
function ownersOf(scene: Scene, mic: Mic): string[] {
  return mic.wanted.flatMap((index) => {
    const source = scene.sources[index];
    if (!source) return [];
    const player = source.player === null ? [] : [`player ${source.player}`];
    return [`source ${index}`, `part ${source.part}`, ...player];
  });
}

function spacing(scene: Scene, one: Capsule, other: Capsule): SpacingRow {
  const micToMic = distance(one.at, other.at);
  const micToSource = Math.max(toOwnSource(scene, one), toOwnSource(scene, other), NEAREST);
  const ratio = micToMic / micToSource;
  const limit = scene.limits.threeToOne;
  const margin = 20 * Math.log10(Math.max(ratio, 1e-6) / (limit ?? USUAL_RATIO));
  return {
    mics: [one.name, other.name],
    ratio,
    micToMic,
    micToSource,
    margin,
    verdict: limit === null ? null : verdictOf(margin),
  };
}

/** Distance to the nearest of its own sources' points. */
function toOwnSource(scene: Scene, capsule: Capsule): number {
  const own = scene.mics[capsule.mic]?.wanted ?? [];
  const points = own.flatMap((index) => scene.sources[index]?.points ?? []);
  return Math.min(...points.map((point) => distance(point.at, capsule.at)));
}

// Every limit of a plan as one row: what it asks, what the plan reaches, and the word for it.

/** Worst first; what could not be judged last. */
export function limitRows(scene: Scene, report: Report): LimitRow[] {
  const rows = [
    ...bleedLimits(scene, report),
    ...spacingLimits(scene, report),
    ...partLimits(scene, report),
    ...peopleLimits(scene, report),
  ];
  const founded = rows.map((row): LimitRow => ({ ...row, basis: limitBasis(report, row) }));
  return founded.sort((a, b) => urgency(a) - urgency(b));
}

/** The lower the worse: a miss that has no margin before all others, a limit met without one after them. */
function urgency({ verdict, margin }: LimitRow): number {
  if (verdict === null) return Number.MAX_VALUE;
  if (margin !== null) return margin;
  return verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE / 2;
}

// The 3:1 rule of every pair of microphones that it speaks of, where the plan has it judged.

function spacingLimits({ limits }: Scene, { threeToOne }: Report): Unfounded[] {
  if (limits.threeToOne === null) return [];
  return threeToOne.map(({ mics, ratio, margin, verdict }) => ({
    kind: 'three-to-one',
    about: mics,
    path: ['limits', 'three-to-one'],
    reached: ratio,
    limit: limits.threeToOne,
    margin,
    verdict,
    remark: null,
  }));
}

// What players must hear, whom they must see, and how long their ears must bear it.

const peopleLimits = (scene: Scene, report: Report): Unfounded[] => [
  ...sightLimits(report),
  ...hearLimits(report),
  ...sessionLimits(scene, report),
];

const sightLimits = ({ sight }: Report): Unfounded[] =>
  sight.limits.map(({ players, sees, hiddenBy, verdict }) => ({
    kind: 'see-each-other',
    about: players,
    path: ['limits', 'see-each-other'],
    reached: null,
    limit: null,
    margin: null,
    verdict,
    remark: sees ? 'nothing is in the way' : `hidden by ${hiddenBy.join(', ')}`,
  }));

function hearLimits({ hearing }: Report): Unfounded[] {
  const rows = hearing.limits;
  return rows.map(({ player, whom, ratio, margin, verdict, remark, passage }, i) => ({
    kind: 'hear',
    about: [player, whom],
    // those of one player stand in a row, as they stand in his list
    path: ['limits', 'hear', player, i - rows.findIndex((row) => row.player === player)],
    reached: ratio,
    limit: LISTENS,
    margin,
    verdict,
    remark: remark ?? (passage === null ? null : `in ${passage}`),
  }));
}

const CAUTION = 'by NIOSH 98-126; rules that hold where you are go before it';

function sessionLimits(scene: Scene, { exposure }: Report): Unfounded[] {
  const seconds = scene.limits.sessionLength;
  if (seconds === null) return [];
  return exposure.map(({ player, minutes, margin, verdict, remark }) => ({
    kind: 'session-length',
    about: [player],
    path: ['limits', 'session-length'],
    reached: minutes,
    limit: seconds / 60,
    margin,
    verdict,
    remark:
      minutes === null
        ? 'nothing sounds at these ears'
        : [CAUTION, ...(remark === null ? [] : [remark])].join('; '),
  }));
}

// What must not stay of a part that is replaced, and how cleanly one that is edited alone stands in its own mics.

/** Two rows for a part at most: only of what the plan asks for, in its limits or by `later`. */
function partLimits(scene: Scene, { parts }: Report): Unfounded[] {
  return scene.parts.flatMap((part, i) => {
    const row = parts[i];
    return row ? [...ghostLimits(part, row), ...isolationLimits(part, row)] : [];
  });
}

function ghostLimits({ path }: Part, row: PartRow): Unfounded[] {
  const { name, ghost, limit, margin, verdict, mostIn, passage } = row;
  if (limit === null) return [];
  const where = [
    ...(mostIn === null ? [] : [`most of it in ${mostIn}`]),
    ...(passage === null ? [] : [`in ${passage}`]),
  ];
  const remark = row.remark ?? (where.join(', ') || null);
  return [{ kind: 'ghost', about: [name], path, reached: ghost, limit, margin, verdict, remark }];
}

function isolationLimits({ path }: Part, { name, editable }: PartRow): Unfounded[] {
  const { signalToBleed: reached, limit, margin, verdict, mic } = editable;
  if (limit === null) return [];
  const remark = editable.remark ?? (mic === null ? null : `at ${mic}`);
  return [{ kind: 'editable', about: [name], path, reached, limit, margin, verdict, remark }];
}

// Signal to bleed of every microphone; each capsule of a pair must meet the limit of the pair.

/** A plan without a microphone for some player or part has one row, which says so. */
function bleedLimits(scene: Scene, { mics }: Report): Unfounded[] {
  const rows = scene.capsules.flatMap((capsule, i) => {
    const [mic, row] = [scene.mics[capsule.mic], mics[i]];
    return mic && row && mic.purpose === 'parts' ? [bleedLimit(mic, row)] : [];
  });
  return rows.length > 0 ? rows : [NOTHING_TO_JUDGE];
}

const bleedLimit = (mic: Mic, row: MicRow): Unfounded => ({
  kind: 'signal-to-bleed',
  about: [row.name],
  path: mic.path,
  reached: row.signalToBleed,
  limit: mic.limit,
  margin: row.margin,
  verdict: row.verdict,
  remark: row.remark ?? setting(row),
});

function setting({ limitFrom, passage }: MicRow): string {
  const from = limitFrom === 'limits' ? 'as the limits say' : `for later: ${limitFrom}`;
  return passage === null ? from : `${from}, at worst in ${passage}`;
}

const NOTHING_TO_JUDGE: Unfounded = {
  kind: 'signal-to-bleed',
  about: [],
  path: ['mics'],
  reached: null,
  limit: null,
  margin: null,
  verdict: null,
  remark: 'there is no microphone for a player or part',
};

// Whether what a limit is held against was measured on the day.

/** Null without readings. What goes by places alone is as planned whatever was read. */
function limitBasis(report: Report, { kind, about }: Pick<Unfounded, 'kind' | 'about'>): Basis | null {
  const { levelBasis: levels } = report;
  return levels && (BASIS[kind](report, about[0] ?? '') ?? 'predicted');
}

type Finder = (report: Report, about: string) => Basis | null | undefined;

const ofPart: Finder = ({ parts }, about) => parts.find(({ name }) => name === about)?.basis;

const ofLevels: Finder = ({ levelBasis }) => levelBasis;

const ofPlaces: Finder = () => 'predicted';

const BASIS: Readonly<Record<LimitKind, Finder>> = {
  'signal-to-bleed': ({ mics }, about) => mics.find(({ name }) => name === about)?.basis,
  ghost: ofPart,
  editable: ofPart,
  hear: ofLevels,
  'session-length': ofLevels,
  'three-to-one': ofPlaces,
  'see-each-other': ofPlaces,
};

// What `check` knows of each plan, as plain values: the only thing that its formats read.

/** Where something stands; line and column count from 1, in characters, and are null where only the file is known. */
export type Place = {
  /** As a relative path with `/`, from where the command runs, wherever there is one. */
  readonly file: string;
  readonly line: number | null;
  readonly column: number | null;
};

export type PlacedLimit = LimitRow & { readonly place: Place };

/** `shown` is the finding with its line of the plan and a caret, ready to print. */
export type PlacedFinding = Finding & { readonly place: Place; readonly shown: string };

export type CheckedPlan = {
  /** As it was named on the command line. */
  readonly name: string;
  readonly title: string;
  /** That it took. */
  readonly seconds: number;
  /** Worst first; none where the plan is broken. */
  readonly limits: readonly PlacedLimit[];
  /** Readings of the day that it was judged by, or null. */
  readonly readings: ToldReadings | null;
  /** Why the plan is broken, by place; none where it stands. */
  readonly faults: readonly PlacedFinding[];
};

export type Check = {
  /** As they were named. */
  readonly plans: readonly CheckedPlan[];
  /** Whether a limit met by a hair counts as missed. */
  readonly strict: boolean;
};

export type Outcome = 'met' | 'missed' | 'broken';

export function outcomeOf({ limits, faults }: CheckedPlan, strict: boolean): Outcome {
  if (faults.length > 0) return 'broken';
  return limits.some((row) => isMissed(row, strict)) ? 'missed' : 'met';
}

export const isMissed = ({ verdict }: LimitRow, strict: boolean): boolean =>
  verdict === 'short' || (strict && verdict === 'marginal');

// A limit and what the plan reaches of it.

export type LimitKind =
  | 'signal-to-bleed'
  | 'three-to-one'
  | 'ghost'
  | 'editable'
  | 'see-each-other'
  | 'hear'
  | 'session-length';

export type LimitRow = {
  readonly kind: LimitKind;
  /** Whom it is about, as the plan names them: one microphone, or several things that it sets side by side. */
  readonly about: readonly string[];
  /** The entry of the plan that one would change. */
  readonly path: Path;
  /** dB, minutes for `session-length`, a ratio for `three-to-one`; null where there is no figure. */
  readonly reached: number | null;
  readonly limit: number | null;
  /** How far it is met, dB; null where it cannot be counted so. */
  readonly margin: number | null;
  /** Null where it could not be judged. */
  readonly verdict: Verdict | null;
  /** What set the limit, why there is no figure, or why it could not be judged: in words, or null. */
  readonly remark: string | null;
  /** Whether what it rests on was measured; null without readings of the day. */
  readonly basis: Basis | null;
};

type Unfounded = Omit<LimitRow, 'basis'>;
