/** The sources in which a part is played: all of its own but the loudspeakers that repeat it. */
import type { Part, Scene } from '../../scene/scene.ts';

export const playedBy = (scene: Scene, part: Part): number[] =>
  part.sources.filter((source) => !scene.sources[source]?.repeats);
