/** Microphones that pitfalls are looked for at: those for parts that are judged, a pair as one. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Mic, Passage, Scene } from '../../scene/scene.ts';
import { type Listening, listenAt, sidesOf } from '../listening.ts';
import { panelsInSight } from '../people/sight-past-panels.ts';
import type { Report } from '../report.ts';
import type { MicRow } from '../rows.ts';

export type JudgedMic = {
  readonly mic: Mic;
  /** A pair's is the energy sum of its capsules. */
  readonly row: MicRow;
  readonly listening: Listening;
  /** Sources that sound in the passage the mic is judged in. */
  readonly wanted: readonly number[];
  readonly bleeders: readonly number[];
};

/** In the order of the scene; those without a verdict are left out. */
export function judgedMics(scene: Scene, result: Transfer, report: Report): JudgedMic[] {
  return scene.mics.flatMap((mic) => {
    const rows: readonly MicRow[] = mic.capsules.length > 1 ? report.pairs : report.mics;
    const name = mic.capsules.length > 1 ? mic.name : scene.capsules[mic.capsules[0] ?? -1]?.name;
    const row = rows.find((one) => one.name === name);
    const passage = row && passageOf(scene, row);
    if (mic.purpose !== 'parts' || !row || !passage || row.verdict === null) return [];
    return [{ mic, row, listening: listenAt(result, mic, mic.capsules), ...sidesOf(mic, passage) }];
  });
}

const passageOf = ({ passages }: Scene, { passage }: MicRow): Passage | undefined =>
  passages.find(({ name }) => name === passage);

/** Baffles of the plan in the straight line from a source to a mic. */
export function bafflesBetween(scene: Scene, source: number, { capsules }: Mic): string[] {
  const points = scene.sources[source]?.points ?? [];
  const lines = capsules.flatMap((index) => {
    const capsule = scene.capsules[index];
    const near = points.filter(({ room }) => room === capsule?.room);
    return capsule ? near.map((point) => [point.at, capsule.at] as const) : [];
  });
  // no window lets sound through as it does a look
  const panels = scene.panels.map((panel) => ({ ...panel, windowFrom: Number.POSITIVE_INFINITY }));
  const names = lines.flatMap(([from, to]) => panelsInSight({ panels }, from, to).map(({ what }) => what));
  return [...new Set(names)];
}
