/** Ratios that hang on a null: gone as soon as the mic is turned as far as stands turn. */
import type { Transfer } from '../../acoustics/transfer.ts';
import { transferOn } from '../../acoustics/transfer.ts';
import { weightedSum } from '../../acoustics/weighting.ts';
import type { Capsule, Scene } from '../../scene/scene.ts';
import { turnAbout } from '../../scene/turn.ts';
import { cross, dot, unit, type Vec3 } from '../../scene/vector.ts';
import { judgeBleed } from '../bleed.ts';
import { heard, listenAt } from '../listening.ts';
import type { Report } from '../report.ts';
import { weightsFor } from '../weights.ts';
import { inDb } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';
import { type JudgedMic, judgedMics } from './pitfall-mics.ts';

/** A loss of less is no matter of a null, dB: what a clear verdict has in hand. */
const LOSS = 3;

/** Every mic turned by the aim's tolerance to either side, up and down. */
export function nullPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
  const judged = judgedMics(scene, result, report).filter(({ row }) => row.signalToBleed !== null);
  const { aim } = scene.tolerance;
  if (judged.length === 0 || aim <= 0) return [];
  const days = TURNS.map((turn) => turned(scene, result, (capsule) => turn(capsule.aim, aim)));
  return judged.flatMap((one) => hanging(scene, result, one, days));
}

const TURNS: readonly ((aim: Vec3, degrees: number) => Vec3)[] = [
  (aim, degrees) => turnAbout(aim, uprightTo(aim), degrees),
  (aim, degrees) => turnAbout(aim, uprightTo(aim), -degrees),
  (aim, degrees) => turnAbout(aim, sidewaysTo(aim), degrees),
  (aim, degrees) => turnAbout(aim, sidewaysTo(aim), -degrees),
];

function sidewaysTo(aim: Vec3): Vec3 {
  const side = cross(aim, [0, 0, 1]);
  return dot(side, side) > 1e-12 ? unit(side) : [1, 0, 0];
}

const uprightTo = (aim: Vec3): Vec3 => unit(cross(sidewaysTo(aim), aim));

/** Rooms and sources stay as they are. */
function turned(scene: Scene, { stage }: Transfer, aimOf: (capsule: Capsule) => Vec3): Transfer {
  const capsules = scene.capsules.map((capsule) => ({ ...capsule, aim: aimOf(capsule) }));
  return transferOn({ ...stage, scene: { ...scene, capsules } });
}

function hanging(scene: Scene, result: Transfer, one: JudgedMic, days: readonly Transfer[]): Pitfall[] {
  const { mic, row } = one;
  const readings = days.flatMap((day) => {
    const ratio = judgeBleed(listenAt(day, mic, mic.capsules), scene).signalToBleed;
    return ratio === null ? [] : [{ day, ratio }];
  });
  const [first, ...rest] = readings;
  if (!first || row.signalToBleed === null) return [];
  const { day, ratio } = rest.reduce((a, b) => (b.ratio < a.ratio ? b : a), first);
  const loss = row.signalToBleed - ratio;
  if (loss < LOSS) return [];
  const who = scene.sources[risen(scene, one, [result, day])]?.name ?? '';
  const sentence = `${mic.name} hangs on its null toward ${who}: turned by ${Math.round(scene.tolerance.aim)}°, its ${inDb(row.signalToBleed)} dB are ${inDb(ratio)} dB`;
  const mend = `clamp it, and set its null by ear while ${who} plays`;
  return [{ kind: 'narrow-null', about: [mic.name, who], weight: loss, sentence, mend, path: mic.path }];
}

/** The bleeder that gains most energy from one day to the other, in the octaves the mic is judged in. */
function risen(scene: Scene, one: JudgedMic, [before, after]: readonly [Transfer, Transfer]): number {
  const { mic, wanted, bleeders, listening } = one;
  const weights = weightsFor(scene.limits.weighting, heard(listening, wanted, { filtered: true }));
  const amount = (day: Transfer, source: number): number =>
    weightedSum(heard(listenAt(day, mic, mic.capsules), [source], { filtered: true }), weights);
  const gains = bleeders.map((source) => amount(after, source) - amount(before, source));
  return bleeders[gains.indexOf(Math.max(...gains))] ?? -1;
}
