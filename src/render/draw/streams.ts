/** What a microphone hears, as the lines of a drawing: each player, loudspeaker or whole kit once. */
import { decibels, energyOf } from '../../acoustics/bands.ts';
import type { LevelRow, MicRow, PairRow } from '../../judge/report.ts';
import type { Source } from '../../scene/scene.ts';
import type { Told } from './sheet.ts';

export type Row = MicRow | PairRow;

export type Stream = {
  readonly name: string;
  readonly wanted: boolean;
  readonly sources: readonly number[];
  /** Level in the octaves that the microphone is judged in, after its filters, dB. */
  readonly level: number;
  /** The same over what the microphone is for, dB; null where it is for nothing in particular or hears none of it. */
  readonly relative: number | null;
};

/** Loudest first; what counts neither as wanted nor as bleed, and what does not get there, is left out. */
export function streamsAt({ scene }: Told, row: Row): Stream[] {
  const heard = row.levels.flatMap((level, source) =>
    level.ignored || level.judgedLevel === null ? [] : [{ level, source, db: level.judgedLevel }],
  );
  const keys = [...new Set(heard.map(({ level, source }) => keyOf(scene.sources[source], level)))];
  const own = row.purpose === 'parts' ? sumOf(heard.filter(({ level }) => level.wanted)) : null;
  return keys
    .map((key): Stream => {
      const mine = heard.filter(({ level, source }) => keyOf(scene.sources[source], level) === key);
      const level = sumOf(mine) ?? Number.NEGATIVE_INFINITY;
      const first = mine[0] as (typeof mine)[number];
      return {
        name: scene.sources[first.source]?.kit ?? first.level.source,
        wanted: first.level.wanted,
        sources: mine.map(({ source }) => source),
        level,
        relative: own === null ? null : level - own,
      };
    })
    .sort((a, b) => b.level - a.level);
}

const keyOf = (source: Source | undefined, { wanted }: LevelRow): string =>
  `${wanted} ${source?.kit ?? source?.name}`;

function sumOf(heard: readonly { readonly db: number }[]): number | null {
  const sum = heard.reduce((total, { db }) => total + energyOf(db), 0);
  return sum > 0 ? decibels(sum) : null;
}
