/** From energies to a report: every microphone, part and person judged. */
import { type Finding, takes } from '../finding.ts';
import { angleBetween, bearingOf, distance, meanOf, middleOf, subtract, tiltOf } from '../geometry.ts';
import { type Capsule, LATER_LIMITS, type Mic, type Scene, type Source } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { conclude } from './conclusion.ts';
import type { Context, CriterionKind, JudgedCriterion, Settle } from './criteria.ts';
import { contextOf, criteriaOf, criterionOf, keyOf } from './criteria.ts';
import { editGroups } from './edit-groups.ts';
import { safetyCautions } from './exposure.ts';
import { GHOST_LIMIT, type Ghost, ghostLimit, type Isolation, isolationLimit, ownMics } from './ghost.ts';
import { cueList, headphoneLeak } from './hearing.ts';
import { inputLevels } from './inputs.ts';
import { muting } from './muting.ts';
import type { IsolationRow, PartRow, Report, SourceRow } from './report.ts';
import { oddDecays, roomRows } from './rooms.ts';
import type { LevelRow, MicEnergies, MicRow, PairRow } from './signal-to-bleed.ts';
import {
  bleedBasis,
  bleedFigures,
  bleedRemark,
  levelRows,
  micEnergies,
  signalToBleed,
} from './signal-to-bleed.ts';
import { mainPairs } from './stereo.ts';
import { timings } from './timing.ts';
import { confidenceNote, confidenceOf, type Draws, drawsOf } from './tolerance.ts';
import { type Basis, levelBasis, partBasis } from './verdict.ts';

/** Limits, and who hears and sees whom, with what they are read of: all that plans are compared by. */
export type Judgement = Pick<
  Report,
  'title' | 'mics' | 'pairs' | 'parts' | 'hearing' | 'sight' | 'levelBasis' | 'criteria'
>;

/** `known` draws, where there are any, save drawing anew for a plan that is judged at a confidence. */
export const judgement = (scene: Scene, result: Transfer, known?: Draws): Judgement =>
  judgementOf(judgedIn(contextOf(scene, result), known));

/** The whole report. */
export function judge(
  scene: Scene,
  result: Transfer,
  planWarnings: readonly Finding[] = [],
  known?: Draws,
): Report {
  takes('judge', 'a scene', scene, ['sources', 'capsules']);
  takes('judge', 'energies, of transfer', result, ['energy']);
  const context = contextOf(scene, result);
  const judged = judgedIn(context, known);
  const own = judgementOf(judged);
  const rooms = roomRows(result.prepared);
  const phones = headphoneLeak(scene, result);
  return {
    ...own,
    conclusion: conclude(scene, result, { ...own, phones, rooms }),
    rooms,
    sources: scene.sources.map((source) => sourceRow(scene, source)),
    lines: scene.mics.filter((mic) => mic.line).map((mic) => ({ name: mic.name, for: namesOf(scene, mic) })),
    threeToOne: [...context.spacings().values()].map((row) => {
      const { margin, verdict } = judged.of('three-to-one', row.mics);
      return { ...row, margin: margin ?? row.margin, verdict };
    }),
    cut: editGroups(scene, result),
    muting: muting(scene, context.mix()),
    timing: timings(scene, result),
    mainPairs: mainPairs(scene, result),
    cues: cueList(scene, own.hearing),
    phones,
    exposure: context.exposure(),
    inputs: inputLevels(scene, result),
    planWarnings: [...planWarnings, ...oddDecays(rooms, scene.rooms)],
    cautions: [...judged.notes, ...safetyCautions(scene)],
  };
}

function judgementOf(judged: Judged): Judgement {
  const { scene } = judged.context;
  const mics = scene.capsules.map((capsule, index) => capsuleRow(judged, capsule, index));
  const pairs = scene.mics.filter((mic) => mic.capsules.length > 1);
  const parts = partRows(judged);
  const levels = levelBasis(scene);
  return {
    title: scene.title,
    mics,
    pairs: pairs.map((mic) => pairRow(judged, mic, mics)),
    parts,
    hearing: judged.context.hearing(),
    sight: judged.context.sight(),
    levelBasis: levels,
    criteria: judged.rows.map((row) => ({ ...row, basis: levels && basisOf(row, { mics, parts, levels }) })),
  };
}

/** At the confidence that the plan asks, with what is to be said of it. */
function judgedIn(context: Context, known?: Draws): Judged & { readonly notes: readonly Finding[] } {
  const { confidence } = context.scene.limits;
  if (confidence === null) return { ...judgedBy(context, null), notes: [] };
  const draws = known ?? drawsOf(context);
  return { ...judgedBy(context, confidenceOf(context, draws)), notes: [confidenceNote(draws, confidence)] };
}

type Judged = {
  readonly context: Context;
  readonly rows: readonly Omit<JudgedCriterion, 'basis'>[];
  /** How one thing is judged; without a verdict where no limit applies. */
  readonly of: (kind: CriterionKind, about: readonly string[]) => Verdicts;
};

type Verdicts = Pick<JudgedCriterion, 'margin' | 'verdict' | 'why'>;

function judgedBy(context: Context, settle: Settle | null): Judged {
  const rows = criteriaOf(context, settle);
  const byName = new Map(rows.map((row) => [keyOf(row), row]));
  const of: Judged['of'] = (kind, about) => byName.get(keyOf({ kind, about })) ?? UNJUDGED;
  return { context, rows, of };
}

const UNJUDGED: Verdicts = { margin: null, verdict: null, why: null };

/** What is not measured is predicted; what depends on positions alone always is. */
function basisOf(
  { kind, about: [name] }: Omit<JudgedCriterion, 'basis'>,
  { mics, parts, levels }: Pick<Report, 'mics' | 'parts'> & { readonly levels: Basis },
): Basis {
  const { restsOn } = criterionOf(kind);
  if (restsOn === 'levels') return levels;
  const rows = { mic: mics, part: parts, places: [] }[restsOn];
  return rows.find((row) => row.name === name)?.basis ?? 'predicted';
}

function capsuleRow(judged: Judged, capsule: Capsule, index: number): MicRow {
  const { scene, result } = judged.context;
  const mic = scene.mics[capsule.mic] as Mic;
  const row = micRow(judged, capsule.name, [capsule], {
    middle: capsule,
    atMic: micEnergies(result, mic, [index]),
  });
  return { ...row, pair: mic.capsules.length > 1 ? mic.name : null };
}

/**
 * A pair at the middle of its capsules: its worse channel where it is judged, as a limit holds for both; else the energy sum, aimed
 * along the mean of their aims.
 */
function pairRow(judged: Judged, mic: Mic, rows: readonly MicRow[]): PairRow {
  const { scene, result } = judged.context;
  const capsules = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  const [left, right] = capsules as [Capsule, Capsule];
  const middle = { ...left, at: meanOf([left.at, right.at]), aim: meanOf([left.aim, right.aim]) };
  const own = { name: mic.name, pair: null, capsules: capsules.map(({ name }) => name) };
  const [worse] = rows
    .filter(({ pair, verdict }) => pair === mic.name && verdict !== null)
    .sort((a, b) => ratioAt(a) - ratioAt(b));
  if (worse) {
    const { margin, verdict, why } = judged.of('signal-to-bleed', [mic.name]);
    return {
      ...worse,
      ...own,
      ...placeOf(middle),
      margin,
      verdict,
      remark: why ?? worse.remark,
      worse: worse.name,
    };
  }
  const atMic = micEnergies(result, mic, mic.capsules);
  return { ...micRow(judged, mic.name, capsules, { middle, atMic }), ...own, worse: null };
}

/** For sorting: no bleed is more than any value, no signal less. */
const ratioAt = ({ signalToBleed, verdict }: MicRow): number =>
  signalToBleed ?? (verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE);

/** `capsules` listen together, as if they were one at `middle`. */
function micRow(
  { context: { scene }, of }: Judged,
  name: string,
  capsules: readonly Capsule[],
  { middle, atMic }: { readonly middle: Capsule; readonly atMic: MicEnergies },
): Omit<MicRow, 'pair'> {
  const { mic } = atMic;
  const worst = signalToBleed(atMic, scene);
  const figures = bleedFigures(atMic, worst?.passage ?? null, scene.limits.weighting);
  const { margin, verdict, why } = of('signal-to-bleed', [name]);
  const { signalToBleed: ratio } = figures;
  return {
    name,
    purpose: mic.purpose,
    for: namesOf(scene, mic),
    ...placeOf(middle),
    room: scene.rooms[middle.room]?.name ?? null,
    pattern: middle.pattern.name,
    ...figures,
    ...{ margin, verdict, remark: why ?? bleedRemark(mic, worst?.ratio ?? null) },
    levels: levelRows(scene, atMic, worst?.passage ?? null, (source) => geometryOf(scene, middle, source)),
    basis:
      worst && ratio !== null ? bleedBasis(scene, atMic, capsules, { passage: worst.passage, ratio }) : null,
  };
}

const placeOf = ({ at, aim }: Capsule) => ({ at, bearing: bearingOf(aim), tilt: tiltOf(aim) });

function sourceRow({ players, rooms }: Scene, { name, player, points }: Source): SourceRow {
  const [first] = points;
  const axis = first?.axis ?? [0, 1, 0];
  return {
    name,
    player: (player === null ? undefined : players[player]?.name) ?? null,
    at: middleOf(points),
    bearing: bearingOf(axis),
    tilt: tiltOf(axis),
    room: rooms[first?.room ?? -1]?.name ?? null,
  };
}

/** Distance and angle off the aim of a source's nearest point. */
function geometryOf(
  scene: Scene,
  capsule: Capsule,
  source: number,
): Pick<LevelRow, 'distance' | 'micOffAxis'> {
  const points = scene.sources[source]?.points ?? [];
  const [nearest] = points
    .map(({ at }) => ({ at, away: distance(at, capsule.at) }))
    .sort((a, b) => a.away - b.away);
  if (!nearest) return { distance: null, micOffAxis: null };
  return { distance: nearest.away, micOffAxis: angleBetween(capsule.aim, subtract(nearest.at, capsule.at)) };
}

/** What a mic is for, in the plan's words: a kit as a kit, otherwise each source. */
function namesOf(scene: Scene, mic: Mic): string[] {
  if (mic.purpose !== 'parts') return [mic.purpose];
  const wanted = mic.wanted.flatMap((index) => scene.sources[index] ?? []);
  const kits = new Set(wanted.flatMap(({ kit }) => kit ?? []));
  const whole = [...kits].filter((kit) => scene.sources.every((s) => s.kit !== kit || wanted.includes(s)));
  const rest = wanted.filter(({ kit }) => kit === null || !whole.includes(kit)).map(({ name }) => name);
  return [...whole, ...rest];
}

/** Every part, in the order of the scene. */
export const judgeParts = (scene: Scene, result: Transfer): PartRow[] =>
  partRows(judgedBy(contextOf(scene, result), null));

function partRows({ context, of }: Judged): PartRow[] {
  const { scene } = context;
  return scene.parts.map((part, index) => {
    const ghost = context.ghost(index);
    const isolation = context.isolation(index);
    const limit = ghostLimit(scene, index);
    const { alone, shared } = ownMics(scene, index);
    const { margin, verdict, why } = of('ghost', [part.name]);
    const isCommitted = ghost.kind === 'committed';
    return {
      ...{ name: part.name, later: part.later },
      mics: [...alone, ...shared].map((mic) => scene.mics[mic]?.name ?? ''),
      ...{ ghost: ghost.level, limit, margin, verdict, remark: why },
      committed: isCommitted ? { because: ghost.loudestIn ?? scene.mics[shared[0] ?? 0]?.name ?? '' } : null,
      loudestIn: isCommitted ? null : ghost.loudestIn,
      passage: ghost.passage,
      isolation: isolationRow(isolation, isolationLimit(scene, index), of('isolation', [part.name])),
      replaceable: isReplaceable(ghost, limit ?? GHOST_LIMIT, isolation),
      basis: partBasis(scene, part.sources),
    };
  });
}

const isolationRow = (
  { ratio, mic, passage, remark }: Isolation,
  limit: number | null,
  { margin, verdict, why }: Verdicts,
): IsolationRow => ({
  signalToBleed: ratio !== null && Number.isFinite(ratio) ? ratio : null,
  ...{ mic, passage, limit, margin, verdict, remark: why ?? remark },
});

/** Without other sources at any of its mics there is no value, and nothing to spoil. */
function isReplaceable({ kind, level }: Ghost, limit: number, { ratio }: Isolation): boolean | null {
  if (kind === 'no mic' || kind === 'never sounds') return null;
  const isGone = kind === 'nothing stays' || (level !== null && level <= limit);
  return isGone && (ratio === null || ratio >= LATER_LIMITS.replace);
}
