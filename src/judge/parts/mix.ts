/** Where the faders stand: one gain for each mic, and what each mic then holds of any sources. */
import { energyOf } from '../../acoustics/bands.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Mic, Scene } from '../../scene/scene.ts';
import { allBands } from '../all-bands.ts';
import { heard, type Listening, listenAt, sidesOf } from '../listening.ts';

export type Mix = {
  /** Energy gain g² of each mic, one for all bands and passages; of a line, what it gives to each of its parts. */
  readonly gains: readonly number[];
  /** Energy of some sources in the mix by way of one mic: all bands, unweighted, both capsules of a pair. */
  readonly held: (mic: number, sources: readonly number[]) => number;
};

export function mixOf(scene: Scene, result: Transfer): Mix {
  const listenings = scene.mics.map((mic) => listenAt(result, mic, mic.capsules));
  const gains = listenings.map((listening) => gainOf(scene, listening));
  const held: Mix['held'] = (mic, sources) => {
    const listening = listenings[mic];
    return listening ? (gains[mic] ?? 0) * amountAt(scene, listening, sources) : 0;
  };
  return { gains, held };
}

/** What the gain acts on: energy at a mic, or the number of parts that a line carries. */
function amountAt(scene: Scene, listening: Listening, sources: readonly number[]): number {
  const { mic } = listening;
  if (!mic.line) return allBands(heard(listening, sources, { filtered: true }));
  return partsOn(
    scene,
    mic.wanted.filter((source) => sources.includes(source)),
  );
}

/**
 * Brings wanted plus bleed to the mic's `mix` in the passage in which its wanted sound is strongest. A mic whose own source
 * never sounds stays shut. A line is at its `mix` as it is; several parts share it evenly, as their signals are not known.
 */
function gainOf(scene: Scene, listening: Listening): number {
  const { mic } = listening;
  if (mic.line) return energyOf(mic.mix) / Math.max(1, partsOn(scene, mic.wanted));
  const sum = loudest(scene, listening);
  return sum > 0 ? energyOf(mic.mix) / sum : 0;
}

function loudest(scene: Scene, listening: Listening): number {
  const { mic } = listening;
  const passages = scene.passages.flatMap((passage) => {
    const { wanted, bleeders } = sidesOf(mic, passage);
    if (wanted.length === 0) return [];
    const signal = allBands(heard(listening, wanted, { filtered: true }));
    return [{ signal, sum: signal + allBands(heard(listening, bleeders, { filtered: true })) }];
  });
  return passages.reduce((a, b) => (louder(b, a) ? b : a), { signal: -1, sum: 0 }).sum;
}

type Loudness = { readonly signal: number; readonly sum: number };

/** Of passages with the same wanted sound, the fuller one: a fader is set for the tutti. */
const louder = (one: Loudness, other: Loudness): boolean =>
  one.signal > other.signal || (one.signal === other.signal && one.sum > other.sum);

const partsOn = (scene: Scene, sources: Mic['wanted']): number =>
  new Set(sources.map((source) => scene.sources[source]?.part)).size;
