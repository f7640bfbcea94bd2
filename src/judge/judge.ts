/** From energies to a report: every mic judged, the rest told. */
import type { Transfer } from '../acoustics/transfer.ts';
import type { Finding } from '../finding.ts';
import type { Capsule, Mic, Scene } from '../scene/scene.ts';
import { angleBetween, distance, subtract } from '../scene/vector.ts';
import { bleedBasis, levelBasis } from './basis.ts';
import { judgeBleed, levelRows } from './bleed.ts';
import { inputLevels } from './input-levels.ts';
import { type Listening, listenAt } from './listening.ts';
import { cutTogether } from './parts/cut-together.ts';
import { judgeParts } from './parts/parts.ts';
import { cueList } from './people/cue.ts';
import { earTransfer } from './people/ears.ts';
import { exposure } from './people/exposure.ts';
import { phonesLeak } from './people/headphones.ts';
import { judgeHearing } from './people/hearing.ts';
import { safetyCautions } from './people/safety.ts';
import { judgeSight } from './people/sight.ts';
import type { Report } from './report.ts';
import { roomFigures } from './room-figures.ts';
import type { LevelRow, MicRow, PairRow } from './rows.ts';
import { spacings } from './spacing.ts';
import { mainPairs } from './timing/main-pairs.ts';
import { timings } from './timing/timing.ts';
import { confidenceNote, resettler, settlePart } from './tolerance/confidence.ts';
import { spacingName } from './tolerance/gauge-spacing.ts';
import type { Tolerances } from './tolerance/tolerance.ts';
import { tolerancesOf } from './tolerance/tolerance-run.ts';

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
  const ears = earTransfer(scene, result.stage);
  const hearing = judgeHearing(scene, ears);
  return {
    title: scene.title,
    rooms: scene.rooms.flatMap((room, i) => {
      const absorption = result.stage.absorptions[i];
      return absorption ? [roomFigures(room, absorption, scene.air.soundSpeed)] : [];
    }),
    mics: scene.capsules.map((capsule, index) => settleMic(capsuleRow(scene, result, capsule, index))),
    pairs: pairs.map((mic) => settleMic(pairRow(scene, result, mic))),
    lines: scene.mics.filter((mic) => mic.line).map((mic) => ({ name: mic.name, for: namesOf(scene, mic) })),
    threeToOne: spacings(scene).map((row) => settle(row, 'three-to-one', spacingName(row.mics))),
    parts: judgeParts(scene, result).map((row) => settlePart(row, settle)),
    cut: cutTogether(scene, result),
    timing: timings(scene, result),
    mainPairs: mainPairs(scene, result),
    hearing,
    sight: judgeSight(scene),
    cues: cueList(scene, hearing),
    phones: phonesLeak(scene, result),
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
  const row = micRow(scene, [capsule], capsule, listenAt(result, mic, [index]));
  return { ...row, name: capsule.name, pair: mic.capsules.length > 1 ? mic.name : null };
}

/** A pair as an energy sum: stands at the middle of its capsules, looks along the mean of their aims. */
function pairRow(scene: Scene, result: Transfer, mic: Mic): PairRow {
  const capsules = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  const [left, right] = capsules as [Capsule, Capsule];
  const middle = { ...left, at: meanOf(left.at, right.at), aim: meanOf(left.aim, right.aim) };
  const row = micRow(scene, capsules, middle, listenAt(result, mic, mic.capsules));
  return { ...row, name: mic.name, pair: null, capsules: capsules.map(({ name }) => name) };
}

/** `capsules` listen together, as if they were one at `middle`. */
function micRow(
  scene: Scene,
  capsules: readonly Capsule[],
  middle: Capsule,
  listening: Listening,
): Omit<MicRow, 'name' | 'pair'> {
  const { mic } = listening;
  const judged = judgeBleed(listening, scene);
  const { signalToBleed: ratio } = judged;
  const passage = scene.passages.find(({ name }) => name === judged.passage);
  return {
    purpose: mic.purpose,
    for: namesOf(scene, mic),
    at: middle.at,
    room: scene.rooms[middle.room]?.name ?? null,
    pattern: middle.pattern.name,
    ...judged,
    levels: levelRows(scene, listening, (source) => geometryOf(scene, middle, source)),
    basis: passage && ratio !== null ? bleedBasis(scene, listening, capsules, { passage, ratio }) : null,
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

const meanOf = (a: Capsule['at'], b: Capsule['at']): Capsule['at'] => [
  (a[0] + b[0]) / 2,
  (a[1] + b[1]) / 2,
  (a[2] + b[2]) / 2,
];
