/** Bleed that what the plan puts against it cannot stop: the room's past a null or screens, and low sound past screens. */
import { BAND_COUNT, type Bands, bands, MID_BANDS, NOMINAL_BANDS } from '../../acoustics/bands.ts';
import { nullAngle } from '../../acoustics/pattern.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import { weightedSum } from '../../acoustics/weighting.ts';
import type { Scene } from '../../scene/scene.ts';
import { heard } from '../listening.ts';
import type { Report } from '../report.ts';
import { weightsFor } from '../weights.ts';
import { inDb, inPercent, inWords } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';
import { bafflesBetween, type JudgedMic, judgedMics } from './pitfall-mics.ts';

/** Share from which on a kind of bleed rules. */
const MOST = 0.5;
/** So near to its angle a source counts as put into the null, degrees. */
const IN_NULL = 5;
/** Octaves that screens of a size one carries hardly stop: below this one, Hz. */
const LOW = 250;

export function bleedPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
  return judgedMics(scene, result, report)
    .filter(({ row }) => row.verdict !== 'clear' && row.bleedShares !== null)
    .flatMap((judged) => [...ofTheRoom(scene, judged), ...lowPastScreens(scene, judged)]);
}

function ofTheRoom(scene: Scene, judged: JudgedMic): Pitfall[] {
  const { mic, row } = judged;
  const share = row.bleedShares?.room ?? 0;
  const means = share < MOST ? [] : reliedOn(scene, judged);
  if (means.length === 0) return [];
  const sentence = `${inPercent(share)} of the bleed in ${mic.name} is the room's, which ${inWords(means)} cannot stop: all direct sound and first reflections gone would buy ${inDb(row.screensBuyAtMost ?? 0)} dB`;
  const mend = 'closer to its source, softer neighbours, absorption or another room';
  return [{ kind: 'room-bleed', about: [mic.name], weight: share, sentence, mend, path: mic.path }];
}

/** A null that looks at a source, and baffles in the line to one. */
function reliedOn(scene: Scene, { mic, row, bleeders }: JudgedMic): string[] {
  const pattern = scene.capsules[mic.capsules[0] ?? -1]?.pattern;
  const angle = pattern && !pattern.table ? nullAngle(pattern.a[NOMINAL_BANDS.indexOf(1000)] ?? 1) : null;
  const isInNull = (source: number) =>
    angle !== null && Math.abs((row.levels[source]?.offAxis ?? Number.NaN) - angle) <= IN_NULL;
  const nulled = mic.capsules.length === 1 ? bleeders.filter(isInNull) : [];
  const names = nulled.map((source) => scene.sources[source]?.name ?? '');
  const baffles = new Set(bleeders.flatMap((source) => bafflesBetween(scene, source, mic)));
  return [...(names.length > 0 ? [`its null toward ${inWords(names)}`] : []), ...baffles];
}

function lowPastScreens(scene: Scene, { mic, listening, wanted, bleeders }: JudgedMic): Pitfall[] {
  const weights = weightsFor(scene.limits.weighting, heard(listening, wanted, { filtered: true }));
  const amount = (sources: readonly number[], by: Bands) =>
    weightedSum(heard(listening, sources, { filtered: true }), by);
  const low = bands((band) => ((NOMINAL_BANDS[band] ?? 0) < LOW ? (weights[band] ?? 0) : 0));
  const share = amount(bleeders, low) / amount(bleeders, weights);
  const loudest = bleeders.reduce((a, b) => (amount([b], low) > amount([a], low) ? b : a), bleeders[0] ?? -1);
  const baffles = share >= MOST ? bafflesBetween(scene, loudest, mic) : [];
  if (baffles.length === 0) return [];
  const name = scene.sources[loudest]?.name ?? '';
  const sentence = `${inPercent(share)} of the bleed in ${mic.name} lies below ${LOW} Hz, ${name} first: ${inWords(baffles)} cannot stop that`;
  const mend = highPass(scene, wanted, low) ?? `${name} further away or in another room`;
  return [{ kind: 'low-bleed', about: [mic.name, name], weight: share, sentence, mend, path: mic.path }];
}

/** A high-pass under the lowest note of the mic's own, where that leaves at least one of the octaves that bleed. */
function highPass({ sources }: Scene, wanted: readonly number[], low: Bands): string | null {
  const lowest = Math.min(...wanted.map((source) => sources[source]?.lowestNote ?? 0));
  const bleeding = Array.from({ length: BAND_COUNT }, (_, band) => band).filter(
    (band) => (low[band] ?? 0) > 0,
  );
  const cuts = bleeding.some((band) => (MID_BANDS[band] ?? 0) < lowest);
  return cuts ? `a high-pass below its lowest note, ${Math.floor(lowest)} Hz` : null;
}
