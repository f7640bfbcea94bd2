/** Main pairs: balance of the parts, stereo image, stereo recording angle. */
import { decibels, KILOHERTZ } from '../acoustics/bands.ts';
import { readAngleTable } from '../acoustics/directivity.ts';
import * as geo from '../geometry.ts';
import { type Capsule, type Mic, OUTSIDE, type Part, type Scene, type SourcePoint } from '../scene/scene.ts';
import { groupBy } from '../statistics.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { directToRest, directToReverberant, soundOf } from './balance.ts';
import { playedBy } from './ghost.ts';
import { type MicEnergies, micEnergies } from './signal-to-bleed.ts';
import { type SpotDelay, spotDelays, USUAL_RATE } from './timing.ts';

/** A main mic or pair: balance, direct-to-reverberant ratio and image position of each part. */
export type MainPairRow = {
  readonly name: string;
  /** Mics for the room are shown, not judged. */
  readonly purpose: 'all' | 'room';
  /** How the pair is made; null for a mic alone. */
  readonly stereo: string | null;
  readonly parts: readonly StereoImageRow[];
  readonly sections: readonly SectionRow[];
  /** Direct-to-reverberant ratio of all that is played, dB, in the passage in which it is least; null where either is missing. */
  readonly directToRoom: number | null;
  readonly passage: string | null;
  /** From the leftmost to the rightmost point of what plays in the pair's room, off the aim in degrees. */
  readonly ensemble: { readonly left: number; readonly right: number } | null;
  /** Null for a single mic. A side is null where no image reaches the loudspeaker. */
  readonly recordingAngle: RecordingAngle | null;
  /** Whether the ensemble stays within the stereo recording angle; null where there is none, and for the room. */
  readonly fits: boolean | null;
  /** Degrees that the tighter side has to spare, negative where it does not fit. */
  readonly spare: number | null;
  /** Parts wholly or partly outside the stereo recording angle: their images collapse into a loudspeaker. */
  readonly outside: readonly string[];
  readonly spots: readonly SpotDelay[];
};

/** Every mic for all and for the room, pairs and single ones. */
export function mainPairs(scene: Scene, result: Transfer, sampleRate = USUAL_RATE): MainPairRow[] {
  return scene.mics.flatMap((mic) =>
    mic.purpose === 'parts' || mic.capsules.length === 0 ? [] : [mainPairRow(scene, result, mic, sampleRate)],
  );
}

function mainPairRow(scene: Scene, result: Transfer, mic: Mic, sampleRate: number): MainPairRow {
  const capsules = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  const frame = pairFrame(capsules);
  const room = capsules[0]?.room ?? OUTSIDE;
  const ensemble = ensembleBefore(scene, frame, room);
  const [left, right] = capsules;
  const angle = left && right ? recordingAngle(left, right, scene.air.soundSpeed) : null;
  const spare = mic.purpose === 'all' && angle && ensemble ? spareIn(angle, ensemble) : null;
  const spots = scene.mics.filter(({ purpose }) => purpose === 'parts');
  const atMic = micEnergies(result, mic, mic.capsules);
  const whole = directToReverberant(scene, atMic);
  return {
    name: mic.name,
    purpose: mic.purpose === 'all' ? 'all' : 'room',
    stereo: mic.stereo,
    parts: stereoImage(scene, atMic, frame, room),
    sections: sectionsAt(scene, atMic),
    directToRoom: finite(whole?.ratio ?? null),
    passage: whole?.passage ?? null,
    ensemble,
    recordingAngle: angle,
    fits: spare === null ? null : spare >= 0,
    spare,
    outside: spare === null || !angle ? [] : outsideOf(scene, angle, frame, room),
    spots: spotDelays(scene, result, mic, { spots, sampleRate }),
  };
}

function ensembleBefore(scene: Scene, frame: PairFrame, room: number): MainPairRow['ensemble'] {
  const angles = scene.parts.flatMap((part) => anglesOf(scene, part, frame, room));
  return angles.length === 0 ? null : { left: Math.min(...angles), right: Math.max(...angles) };
}

/** Every point counts: a section is as wide as its desks. */
function anglesOf(scene: Scene, part: Part, frame: PairFrame, room: number): number[] {
  return pointsIn(scene, part, room).flatMap(({ at }) => angleInPlan(frame, at) ?? []);
}

function outsideOf(scene: Scene, angle: RecordingAngle, frame: PairFrame, room: number): string[] {
  const isOut = (degrees: number) => spareIn(angle, { left: degrees, right: degrees }) < 0;
  return scene.parts.filter((part) => anglesOf(scene, part, frame, room).some(isOut)).map(({ name }) => name);
}

/** A side on which no image reaches the loudspeaker takes in everything up to 180°. */
function spareIn({ left, right }: RecordingAngle, ensemble: { left: number; right: number }): number {
  return Math.min((left ?? 180) + ensemble.left, (right ?? 180) - ensemble.right);
}

/** Degrees to the left and to the right of the pair's middle; null on a side where no image reaches the loudspeaker. */
type RecordingAngle = { readonly left: number | null; readonly right: number | null };

/**
 * An image reaches the loudspeaker at 15 dB between the channels, at 1.12 ms, or at 6 dB with 0.5 ms. The three points are a choice
 * of this program, after Williams's curve (unverified). `BEND` lets one curve pass all three: (6/15)^0.806 + (0.5/1.12)^0.806 = 1.
 */
const FULL_LEVEL = 15;
const FULL_TIME = 1.12e-3;
const BEND = 0.806;
const STEP = 0.5;

/**
 * Of a far source in the plane of the aims, with textbook patterns at 1 kHz. Within 7° of the tables for the usual pairs
 * (Williams; Sengpiel); these differ among themselves by up to 16°, so ±10° is fair. Null for a pair with opposite aims.
 */
export function recordingAngle(left: Capsule, right: Capsule, soundSpeed: number): RecordingAngle | null {
  const ahead = geo.unit(geo.add(left.aim, right.aim));
  const across = acrossOf(left, right);
  const toRight = geo.unit(geo.subtract(across, geo.scale(ahead, geo.dot(across, ahead))));
  if (geo.length(ahead) < 0.5 || geo.length(toRight) < 0.5) return null;
  const shift = (degrees: number): number => {
    const angle = degrees * geo.RADIANS;
    const toward = geo.add(geo.scale(ahead, Math.cos(angle)), geo.scale(toRight, Math.sin(angle)));
    const time = geo.dot(geo.subtract(right.at, left.at), toward) / soundSpeed;
    // large but finite in a null
    const [l, r] = [left, right].map((one) => Math.max(response(one, toward), 1e-12)) as [number, number];
    return bent((10 * Math.log10(r / l)) / FULL_LEVEL) + bent(time / FULL_TIME);
  };
  return { left: firstOut((degrees) => -shift(-degrees)), right: firstOut(shift) };
}

const bent = (part: number): number => Math.sign(part) * Math.abs(part) ** BEND;

function response({ aim, pattern }: Capsule, toward: geo.Vec3): number {
  const cos = Math.cos(Math.atan2(geo.length(geo.cross(aim, toward)), geo.dot(aim, toward)));
  if (pattern.table) return readAngleTable(pattern.table, KILOHERTZ, cos);
  const a = pattern.a[KILOHERTZ] ?? 1;
  return (a + (1 - a) * cos) ** 2;
}

/** The smallest angle up to 180° at which the image reaches the loudspeaker, by bisection within the step where it does. */
function firstOut(shift: (degrees: number) => number): number | null {
  let inside = 0;
  let outside = 0;
  while (shift(outside) < 1) {
    inside = outside;
    outside += STEP;
    if (outside > 180) return null;
  }
  for (let i = 0; i < 20; i++) {
    const middle = (inside + outside) / 2;
    if (shift(middle) < 1) inside = middle;
    else outside = middle;
  }
  return outside;
}

/** Several parts summed. */
type SectionRow = Omit<StereoImageRow, 'part' | 'angle'> & {
  readonly section: string;
  readonly parts: readonly string[];
};

type StereoImageRow = {
  readonly part: string;
  /** Re the loudest part at this pair, dB, in the passage in which it is loudest here; null where nothing arrives. */
  readonly level: number | null;
  /** Direct sound over all that came by reflections, the room and walls, dB; null where either is missing. */
  readonly directToRoom: number | null;
  /** The passage of both, in which it is loudest here; null where the plan has none. */
  readonly passage: string | null;
  /** Off the aim in plan, degrees, to the right positive; null in another room. */
  readonly angle: number | null;
};

/** Every part, in the order of the scene; `room` is that of the mic. */
function stereoImage(scene: Scene, atMic: MicEnergies, frame: PairFrame, room: number): StereoImageRow[] {
  const rows = scene.parts.map((part) => ({ part, ...loudestOf(scene, atMic, playedBy(scene, part)) }));
  const loudest = Math.max(...rows.map(({ whole }) => whole));
  return rows.map(({ part, ...sound }) => ({
    part: part.name,
    ...levelsOf(sound, loudest),
    angle: angleOf(scene, part, frame, room),
  }));
}

/** Sections by the families of the catalogue, loudest first; a part whose instrument it does not have is its own. */
function sectionsAt(scene: Scene, atMic: MicEnergies): SectionRow[] {
  const sections = groupBy(scene.parts, (part) => {
    const [first] = playedBy(scene, part);
    return scene.sources[first ?? -1]?.family ?? part.name;
  });
  const rows = [...sections].map(([section, parts]) => ({
    section,
    parts: parts.map(({ name }) => name),
    ...loudestOf(
      scene,
      atMic,
      parts.flatMap((part) => playedBy(scene, part)),
    ),
  }));
  const loudest = Math.max(...rows.map(({ whole }) => whole));
  return rows
    .sort((a, b) => b.whole - a.whole)
    .map(({ section, parts, ...sound }) => ({ section, parts, ...levelsOf(sound, loudest) }));
}

type Sound = ReturnType<typeof soundOf> & { readonly passage: string | null };

const levelsOf = (sound: Sound, loudest: number): Omit<SectionRow, 'section' | 'parts'> => ({
  level: sound.whole > 0 ? decibels(sound.whole / loudest) : null,
  directToRoom: finite(directToRest(sound)),
  passage: sound.whole > 0 ? sound.passage : null,
});

const finite = (ratio: number | null): number | null =>
  ratio !== null && Number.isFinite(ratio) ? ratio : null;

/** Energy at the pair in the passage in which some sources are loudest there. */
function loudestOf({ passages }: Scene, atMic: MicEnergies, sources: readonly number[]): Sound {
  const all = passages.map(({ name, sounds }) => ({
    ...soundOf(
      atMic,
      sources.filter((source) => sounds[source]),
    ),
    passage: name,
  }));
  return all.reduce((a, b) => (b.whole > a.whole ? b : a), { whole: 0, direct: 0, passage: null });
}

/** Toward the middle of its points in the pair's room. */
function angleOf(scene: Scene, part: Part, frame: PairFrame, room: number): number | null {
  const points = pointsIn(scene, part, room);
  return points.length === 0 ? null : angleInPlan(frame, geo.middleOf(points));
}

/** Points in a room of the sources that play a part in any passage. */
function pointsIn(scene: Scene, part: Part, room: number): SourcePoint[] {
  const sounding = playedBy(scene, part).filter((i) => scene.passages.some(({ sounds }) => sounds[i]));
  return sounding.flatMap((i) => scene.sources[i]?.points ?? []).filter((point) => point.room === room);
}

/** An aim steeper than so many degrees has no bearing of its own. */
const STEEP = 60;

type PairFrame = {
  readonly middle: geo.Vec3;
  /** Bearing of the aim; where that is steep, square to the line of the capsules; null for a steep mic alone. */
  readonly bearing: number | null;
};

function pairFrame(capsules: readonly Capsule[]): PairFrame {
  const [left, right] = [capsules[0], capsules.at(-1)];
  if (!left || !right) return { middle: [0, 0, 0], bearing: null };
  const middle = geo.middleOf([left, right]);
  const aim = geo.unit(geo.add(left.aim, right.aim));
  if (geo.length(aim) > 0.5 && Math.abs(geo.tiltOf(aim)) <= STEEP)
    return { middle, bearing: geo.bearingOf(aim) };
  const [x, y] = acrossOf(left, right);
  const level: geo.Vec3 = [x, y, 0];
  return { middle, bearing: geo.length(level) > 1e-6 ? geo.bearingOf(level) - 90 : null };
}

/** From the left capsule to the right; of coincident capsules, from aim to aim. */
function acrossOf(left: Capsule, right: Capsule): geo.Vec3 {
  const apart = geo.subtract(right.at, left.at);
  return geo.length(apart) > 1e-6 ? apart : geo.subtract(right.aim, left.aim);
}

/** Degrees off the aim in plan, to the right positive, above −180 to 180; null right above or below, or without a bearing. */
function angleInPlan({ middle, bearing }: PairFrame, at: geo.Vec3): number | null {
  if (bearing === null || geo.span(middle, at) < 1e-6) return null;
  const turn = geo.turnBetween(bearing, geo.bearingOf(geo.subtract(at, middle)));
  return turn === -180 ? 180 : turn;
}
