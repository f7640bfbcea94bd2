/** Whoever sounds, as one hears them: a person with all he plays, a kit, or a source that nobody here plays. */
import type { Scene, Source } from '../../scene/scene.ts';

export type Sounder = {
  readonly name: string;
  /** Who plays it, or null. */
  readonly player: number | null;
  /** All of it, loudspeakers that repeat it included: a singer in a wedge is that singer. */
  readonly sources: readonly number[];
};

/** In the order of the scene. */
export function soundersOf({ players, sources }: Pick<Scene, 'players' | 'sources'>): Sounder[] {
  const own = sources.flatMap((source, i) => (source.repeats ? [] : [{ source, i, name: nameOf(source) }]));
  const names = [...new Set(own.map(({ name }) => name))];
  return names.map((key) => {
    const members = own.filter(({ name }) => name === key);
    const parts = new Set(members.map(({ source }) => source.part));
    const { player, kit, name } = (members[0] as (typeof members)[0]).source;
    return {
      name: player === null ? (kit ?? name) : (players[player]?.name ?? name),
      player,
      sources: sources.flatMap((source, i) =>
        members.some((member) => member.i === i) || (source.repeats && parts.has(source.part)) ? [i] : [],
      ),
    };
  });
}

/** The same for all that belongs together. Names hold no line break. */
const nameOf = ({ player, kit, name }: Source): string =>
  player === null ? (kit ?? name) : `player\n${player}`;
