/** Mics for everyone: how the parts balance in them, how dry, and where each stands in the picture. */
import type { Transfer } from '../../acoustics/transfer.ts';
import { type Mic, OUTSIDE, type Part, type Scene } from '../../scene/scene.ts';
import { listenAt } from '../listening.ts';
import { angleInPlan, type PairFrame, pairFrame } from './pair-frame.ts';
import { type PictureRow, pictureOf, pointsIn } from './picture.ts';
import { type RecordingAngle, recordingAngle } from './recording-angle.ts';
import { type SpotDelay, spotDelays } from './spot-delays.ts';
import { USUAL_RATE } from './timing.ts';

export type MainPairRow = {
  readonly name: string;
  /** Mics for the room are shown, not judged. */
  readonly purpose: 'all' | 'room';
  /** How the pair is made; null for a mic alone. */
  readonly stereo: string | null;
  readonly parts: readonly PictureRow[];
  /** From the leftmost to the rightmost point of what plays in the pair's room, off the aim in degrees. */
  readonly ensemble: { readonly left: number; readonly right: number } | null;
  /** Null for a mic alone. A side is null where no image gets all the way out. */
  readonly recordingAngle: RecordingAngle | null;
  /** Whether the ensemble stays within the recording angle; null where there is none, and for the room. */
  readonly fits: boolean | null;
  /** Degrees that the tighter side has to spare, negative where it does not fit. */
  readonly spare: number | null;
  /** Parts that stand outside the recording angle, or reach beyond it: their images stick to a loudspeaker. */
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
  return {
    name: mic.name,
    purpose: mic.purpose === 'all' ? 'all' : 'room',
    stereo: mic.stereo,
    parts: pictureOf(scene, listenAt(result, mic, mic.capsules), frame, room),
    ensemble,
    recordingAngle: angle,
    fits: spare === null ? null : spare >= 0,
    spare,
    outside: spare === null || !angle ? [] : outsideOf(scene, angle, frame, room),
    spots: spotDelays(scene, result, mic, { spots, sampleRate }),
  };
}

type Ensemble = { readonly left: number; readonly right: number };

function ensembleBefore(scene: Scene, frame: PairFrame, room: number): Ensemble | null {
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

/** A side on which no image gets out takes in everything up to 180°. */
function spareIn({ left, right }: RecordingAngle, ensemble: Ensemble): number {
  return Math.min((left ?? 180) + ensemble.left, (right ?? 180) - ensemble.right);
}
