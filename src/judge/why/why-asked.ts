/** What a pair of names on the command line stands for. */
import type { Finding } from '../../finding.ts';
import { mendedName } from '../../plan/did-you-mean.ts';
import type { Scene } from '../../scene/scene.ts';
import type { Asked } from './why-shape.ts';

/** The capsules and sources of two names, or what is wrong with them. */
export function askedFor(scene: Scene, mic: string, source: string): Asked | Finding {
  const mics = micsByName(scene);
  const sources = sourcesByName(scene);
  const heard = mics.get(mic);
  if (!heard) return stranger('--mic', 'microphone', mic, [...mics.keys()]);
  const sounding = sources.get(source);
  if (!sounding) return stranger('--source', 'source, kit or part', source, [...sources.keys()]);
  return { mic, source, ...heard, sources: sounding };
}

function micsByName({ mics, capsules }: Scene): Map<string, Pick<Asked, 'capsules' | 'line'>> {
  const single = capsules.map(({ name }, i) => [name, { capsules: [i], line: false }] as const);
  return new Map([
    ...single,
    ...mics.map((mic) => [mic.name, { capsules: mic.capsules, line: mic.line }] as const),
  ]);
}

/** Players, parts, kits and sources; of equal names, a source goes before a part and that before a player. */
export function sourcesByName({ players, parts, sources }: Scene): Map<string, readonly number[]> {
  const where = (holds: (source: Scene['sources'][number]) => boolean): number[] =>
    sources.flatMap((source, i) => (holds(source) ? [i] : []));
  const kits = [...new Set(sources.flatMap(({ kit }) => kit ?? []))];
  const names = new Map<string, readonly number[]>([
    ...players.map(({ name }, i) => [name, where(({ player }) => player === i)] as const),
    ...parts.map(({ name, sources: of }) => [name, of] as const),
    ...kits.map((name) => [name, where(({ kit }) => kit === name)] as const),
    ...sources.map(({ name }, i) => [name, [i]] as const),
  ]);
  return new Map([...names].filter(([, of]) => of.length > 0));
}

function stranger(option: string, what: string, name: string, known: readonly string[]): Finding {
  const message = `${option}: there is no ${what} "${name}"`;
  return { code: 'UNKNOWN_NAME', severity: 'error', path: [], message, mend: mendedName(name, known) };
}
