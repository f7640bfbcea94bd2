/** From energies to a report: every mic judged, the rest told. */
import type { Finding } from '../finding.ts';
import { angleBetween, distance, meanOf, subtract } from '../geometry.ts';
import { type Capsule, LATER_LIMITS, type Mic, type Part, type Scene } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { confidenceNote, resettler, settlePart, spacingName, spacings } from './criteria.ts';
import { editGroups } from './edit-groups.ts';
import { exposure, safetyCautions } from './exposure.ts';
import {
  GHOST_LIMIT,
  type Ghost,
  ghostLimit,
  ghostOf,
  type IsolationRow,
  isolationRow,
  type Mix,
  mixOf,
  ownMics,
} from './ghost.ts';
import { cueList, earTransfer, headphoneLeak, judgeHearing } from './hearing.ts';
import { inputLevels } from './inputs.ts';
import { type PartRow, type Report, roomFigures, type Tolerances } from './report.ts';
import type { LevelRow, MicRow, PairRow } from './rows.ts';
import { judgeSight } from './sight.ts';
import { bleedBasis, judgeBleed, levelRows, type MicEnergies, micEnergies } from './signal-to-bleed.ts';
import { mainPairs } from './stereo.ts';
import { timings } from './timing.ts';
import { tolerancesOf } from './tolerance.ts';
import { levelBasis, partBasis, type Verdict, verdictOf } from './verdict.ts';

/** `tolerances`, where they are known already, save drawing them anew for a plan that is judged at a confidence. */
export function judge(
  scene: Scene,
  result: Transfer,
  cautions: readonly Finding[] = [],
  tolerances?: Tolerances,
): Report {
  const { confidence } = scene.limits;
  const drawn = confidence === null ? null : (tolerances ?? tolerancesOf(scene));
  const settle = resettler(drawn, confidence);
  const settleMic = <Row extends MicRow>(row: Row): Row => settle(row, 'signal-to-bleed', row.name);
  const pairs = scene.mics.filter((mic) => mic.capsules.length > 1);
  const ears = earTransfer(scene, result.prepared);
  const hearing = judgeHearing(scene, ears);
  return {
    title: scene.title,
    rooms: scene.rooms.flatMap((room, i) => {
      const absorption = result.prepared.absorptions[i];
      return absorption ? [roomFigures(room, absorption, scene.air.soundSpeed)] : [];
    }),
    mics: scene.capsules.map((capsule, index) => settleMic(capsuleRow(scene, result, capsule, index))),
    pairs: pairs.map((mic) => settleMic(pairRow(scene, result, mic))),
    lines: scene.mics.filter((mic) => mic.line).map((mic) => ({ name: mic.name, for: namesOf(scene, mic) })),
    threeToOne: spacings(scene).map((row) => settle(row, 'three-to-one', spacingName(row.mics))),
    parts: judgeParts(scene, result).map((row) => settlePart(row, settle)),
    cut: editGroups(scene, result),
    timing: timings(scene, result),
    mainPairs: mainPairs(scene, result),
    hearing,
    sight: judgeSight(scene),
    cues: cueList(scene, hearing),
    phones: headphoneLeak(scene, result),
    exposure: exposure(scene, ears),
    levelBasis: levelBasis(scene),
    inputs: inputLevels(scene, result),
    cautions: [
      ...cautions,
      ...(drawn && confidence !== null ? [confidenceNote(drawn, confidence)] : []),
      ...safetyCautions(scene),
    ],
  };
}

function capsuleRow(scene: Scene, result: Transfer, capsule: Capsule, index: number): MicRow {
  const mic = scene.mics[capsule.mic] as Mic;
  const row = micRow(scene, [capsule], capsule, micEnergies(result, mic, [index]));
  return { ...row, name: capsule.name, pair: mic.capsules.length > 1 ? mic.name : null };
}

/** A pair as an energy sum: stands at the middle of its capsules, looks along the mean of their aims. */
function pairRow(scene: Scene, result: Transfer, mic: Mic): PairRow {
  const capsules = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  const [left, right] = capsules as [Capsule, Capsule];
  const middle = { ...left, at: meanOf([left.at, right.at]), aim: meanOf([left.aim, right.aim]) };
  const row = micRow(scene, capsules, middle, micEnergies(result, mic, mic.capsules));
  return { ...row, name: mic.name, pair: null, capsules: capsules.map(({ name }) => name) };
}

/** `capsules` listen together, as if they were one at `middle`. */
function micRow(
  scene: Scene,
  capsules: readonly Capsule[],
  middle: Capsule,
  atMic: MicEnergies,
): Omit<MicRow, 'name' | 'pair'> {
  const { mic } = atMic;
  const judged = judgeBleed(atMic, scene);
  const { signalToBleed: ratio } = judged;
  const passage = scene.passages.find(({ name }) => name === judged.passage);
  return {
    purpose: mic.purpose,
    for: namesOf(scene, mic),
    at: middle.at,
    room: scene.rooms[middle.room]?.name ?? null,
    pattern: middle.pattern.name,
    ...judged,
    levels: levelRows(scene, atMic, (source) => geometryOf(scene, middle, source)),
    basis: passage && ratio !== null ? bleedBasis(scene, atMic, capsules, { passage, ratio }) : null,
  };
}

/** Distance and angle off the aim of a source's nearest point. */
function geometryOf(scene: Scene, capsule: Capsule, source: number): Pick<LevelRow, 'distance' | 'offAxis'> {
  const points = scene.sources[source]?.points ?? [];
  const ways = points
    .map((point) => ({ point, far: distance(point.at, capsule.at) }))
    .sort((a, b) => a.far - b.far);
  const [nearest] = ways;
  if (!nearest) return { distance: null, offAxis: null };
  return {
    distance: nearest.far,
    offAxis: angleBetween(capsule.aim, subtract(nearest.point.at, capsule.at)),
  };
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

// What can be done with each part afterwards: replaced, edited alone, or neither.

/** Every part, in the order of the scene. */
export function judgeParts(scene: Scene, result: Transfer): PartRow[] {
  const mix = mixOf(scene, result);
  return scene.parts.map((part, index) => partRow(scene, result, mix, { part, index }));
}

type Indexed = { readonly part: Part; readonly index: number };

function partRow(scene: Scene, result: Transfer, mix: Mix, { part, index }: Indexed): PartRow {
  const ghost = ghostOf(scene, mix, index);
  const editable = isolationRow(scene, result, index);
  const limit = ghostLimit(scene, index);
  const { alone, shared } = ownMics(scene, index);
  return {
    name: part.name,
    later: part.later,
    mics: [...alone, ...shared].map((mic) => scene.mics[mic]?.name ?? ''),
    ghost: ghost.level,
    limit,
    ...judged(ghost, limit),
    remark: REMARKS[ghost.kind],
    committed:
      ghost.kind === 'committed' ? { because: ghost.mostIn ?? scene.mics[shared[0] ?? 0]?.name ?? '' } : null,
    mostIn: ghost.kind === 'committed' ? null : ghost.mostIn,
    passage: ghost.passage,
    editable,
    replaceable: replaceable(ghost, limit ?? GHOST_LIMIT, editable),
    basis: partBasis(scene, part.sources),
  };
}

const REMARKS: Readonly<Record<Ghost['kind'], string | null>> = {
  level: null,
  committed: 'committed: every mic for it is for others too',
  'no mic': 'no mic of its own',
  'nothing stays': 'nothing of it stays',
  'nothing own': 'its own mics get nothing of it',
  'never sounds': 'sounds in no passage',
};

/** Words where there is no figure: a demand on a part without a mic, or one that never sounds, can be neither met nor missed. */
const VERDICTS: Readonly<Record<Exclude<Ghost['kind'], 'level'>, Verdict | null>> = {
  committed: 'short',
  'no mic': null,
  'nothing stays': 'clear',
  'nothing own': 'short',
  'never sounds': null,
};

function judged({ kind, level }: Ghost, limit: number | null): Pick<PartRow, 'margin' | 'verdict'> {
  if (limit === null) return { margin: null, verdict: null };
  if (kind !== 'level') return { margin: null, verdict: VERDICTS[kind] };
  const margin = limit - (level ?? 0);
  return { margin, verdict: verdictOf(margin) };
}

function replaceable({ kind, level }: Ghost, limit: number, editable: IsolationRow): boolean | null {
  if (kind === 'no mic' || kind === 'never sounds') return null;
  const gone = kind === 'nothing stays' || (level !== null && level <= limit);
  return gone && clean(editable);
}

/** Without other sources at any of its mics there is no figure, and nothing to spoil. */
function clean({ signalToBleed, mic }: IsolationRow): boolean {
  return signalToBleed === null ? mic === null : signalToBleed >= LATER_LIMITS.replace;
}
