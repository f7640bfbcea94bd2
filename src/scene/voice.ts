/** One sounding thing on its way to a source of the scene: what placing microphones needs besides. */
import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { OMNIDIRECTIONAL } from '../acoustics/directivity.ts';
import type { Path } from '../finding.ts';
import type { Later } from '../plan/plan-players.ts';
import type { Figures } from './instrument.ts';
import type { Source, SourcePoint } from './scene.ts';
import type { Sounding } from './sounding.ts';
import type { Vec3 } from './vector.ts';

export type Voice = {
  readonly name: string;
  readonly path: Path;
  readonly instrument: string | null;
  readonly player: string | null;
  readonly kit: string | null;
  readonly partName: string;
  readonly repeats: boolean;
  readonly later: Later | undefined;
  readonly points: readonly SourcePoint[];
  /** Bearing that stands in for the axis where that is too steep: the player's facing, or the thing's own. */
  readonly facing: number;
  readonly sounding: Sounding | null;
  /** Where whoever plays it has ears and eyes; null where nothing is known of that. */
  readonly held: Pick<Figures, 'ears' | 'eyes'> | null;
  readonly cover: Bands | null;
  /** Sounds nowhere; only a line can be for it. */
  readonly lineOnly: boolean;
};

/** Acoustic middle of a voice: the mean of its points. */
export function middleOf(points: readonly SourcePoint[]): Vec3 {
  const sum = points.reduce<Vec3>((s, { at }) => [s[0] + at[0], s[1] + at[1], s[2] + at[2]], [0, 0, 0]);
  const count = Math.max(1, points.length);
  return [sum[0] / count, sum[1] / count, sum[2] / count];
}

export function toSource(voice: Voice, player: number | null, part: number): Source {
  const figures = voice.sounding?.figures;
  return {
    name: voice.name,
    path: voice.path,
    instrument: voice.instrument,
    player,
    kit: voice.kit,
    part,
    repeats: voice.repeats,
    power: voice.sounding?.power ?? sameInAllBands(0),
    measured: voice.sounding?.measured ?? false,
    directivity: voice.sounding?.directivity ?? OMNIDIRECTIONAL,
    radius: voice.sounding?.radius ?? 0,
    points: voice.points,
    cover: voice.cover,
    lowestNote: figures?.lowestNote ?? 0,
    closest: figures?.closest ?? 0,
    crest: figures?.crest ?? 0,
  };
}
