/** Names in readings: who played, and which microphone heard it. */
import type { Scene } from '../scene/scene.ts';

/** Row of a table, or take, in which nobody plays. */
export const NOISE = 'noise';

/** Players, parts, kits and sources by name; of equal names a source goes before a kit, that before a part, then a player. */
export function sourcesByName({ players, parts, sources }: Scene): Map<string, readonly number[]> {
  const where = (holds: (source: Scene['sources'][number]) => boolean): number[] =>
    sources.flatMap((source, i) => (holds(source) && !source.repeats ? [i] : []));
  const kits = [...new Set(sources.flatMap(({ kit }) => kit ?? []))];
  const names = new Map<string, readonly number[]>([
    ...players.map(({ name }, i) => [name, where(({ player }) => player === i)] as const),
    ...parts.map((part) => [part.name, part.sources.filter((i) => !sources[i]?.repeats)] as const),
    ...kits.map((name) => [name, where(({ kit }) => kit === name)] as const),
    ...sources.map(({ name }, i) => [name, [i]] as const),
  ]);
  return new Map([...names].filter(([, of]) => of.length > 0));
}

/** What a column may be called; no capsules for a direct line. */
export function columnsByName({
  mics,
  capsules,
}: Scene): Map<string, { mic: number; capsules: readonly number[] }> {
  const single = capsules.map(({ name, mic }, i) => [name, { mic, capsules: [i] }] as const);
  return new Map([
    ...single,
    ...mics.map(({ name, capsules: of }, i) => [name, { mic: i, capsules: of }] as const),
  ]);
}
