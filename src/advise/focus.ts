/** Whom moves should be looked for: the mics that want something, and the loudest of what spills into them. */
import type { Transfer } from '../acoustics/transfer.ts';
import { heard, listenAt } from '../judge/listening.ts';
import type { Scene } from '../scene/scene.ts';
import { type Goal, wanting } from './goal.ts';
import { type Standing, summed } from './standing.ts';

export type Focus = {
  /** Names of mics that want something; every mic where a part does, since what stays of it may be in any. */
  readonly mics: ReadonlySet<string>;
  /** Names of players, and of sources that nobody plays, who are heard at these mics, wanted or loud. */
  readonly sounding: ReadonlySet<string>;
  /** Loud against whom, worst first: a player's index and a mic's. */
  readonly spills: readonly { readonly player: number; readonly mic: number }[];
};

/** Bleeders of each mic that are gone into. */
const LOUDEST = 3;

export function focusOf(scene: Scene, result: Transfer, standing: Standing, goal: Goal): Focus {
  const wants = standing.rows
    .filter((row) => wanting(summed([row]), goal) > 0)
    .sort((a, b) => a.margin - b.margin);
  const general = wants.some(({ kind }) => kind !== 'signal-to-bleed');
  const asked = wants.flatMap(({ name }) => micOf(scene, name));
  const judged = scene.mics.flatMap(({ purpose, line }, i) => (purpose === 'parts' && !line ? [i] : []));
  const mics = general ? [...new Set([...asked, ...judged])] : [...new Set(asked)];
  const spills = mics.flatMap((mic) => loudestAt(scene, result, mic).map((source) => ({ source, mic })));
  const sources = [
    ...spills.map(({ source }) => source),
    ...mics.flatMap((mic) => scene.mics[mic]?.wanted ?? []),
  ];
  return {
    mics: new Set(mics.flatMap((mic) => scene.mics[mic]?.name ?? [])),
    sounding: new Set(sources.map((source) => nameOf(scene, source))),
    spills: spills.flatMap(({ source, mic }) => {
      const player = scene.sources[source]?.player ?? null;
      return player === null ? [] : [{ player, mic }];
    }),
  };
}

const micOf = ({ capsules }: Scene, name: string): number[] =>
  capsules.flatMap((capsule) => (capsule.name === name ? [capsule.mic] : []));

function nameOf({ sources, players }: Scene, index: number): string {
  const source = sources[index];
  if (source?.path[0] === 'sources') return source.name;
  return players[source?.player ?? -1]?.name ?? source?.name ?? '';
}

/** Sources that bring most to a mic of all that is bleed there. */
function loudestAt(scene: Scene, result: Transfer, index: number): number[] {
  const mic = scene.mics[index];
  if (!mic) return [];
  const listening = listenAt(result, mic, mic.capsules);
  const level = (source: number) =>
    heard(listening, [source], { filtered: true }).reduce((sum, energy) => sum + energy, 0);
  return scene.sources
    .flatMap((_, source) => (mic.wanted.includes(source) || mic.ignored.includes(source) ? [] : [source]))
    .map((source) => ({ source, level: level(source) }))
    .sort((a, b) => b.level - a.level)
    .slice(0, LOUDEST)
    .map(({ source }) => source);
}
