/** The day, laid over the scene of a plan. */
import type { Bands } from '../acoustics/bands.ts';
import type { ReadLevel, ReadWay, Scene } from '../scene/scene.ts';

export type Measured = {
  /** By name of the source; a source that the plan gives another instrument is another source. */
  readonly levels: ReadonlyMap<string, DayLevel>;
  /** By name of the capsule, then of the source. */
  readonly ways: ReadonlyMap<string, ReadonlyMap<string, ReadWay>>;
};

export type DayLevel = {
  readonly instrument: string | null;
  /** Energy factor by band on the power that the plan gives. */
  readonly factor: Bands;
  readonly read: ReadLevel;
};

/** The scene of a plan as it was measured; what is so already stays. Everything after it is as without. */
export function laidOver(scene: Scene, { levels, ways }: Measured): Scene {
  return {
    ...scene,
    asRead: true,
    sources: scene.sources.map((source) => {
      const level = levels.get(source.name);
      if (!level || source.read || level.instrument !== source.instrument) return source;
      const power = source.power.map((one, band) => one * (level.factor[band] as number));
      return { ...source, power, measured: true, read: level.read };
    }),
    capsules: scene.capsules.map((capsule) => {
      const read = ways.get(capsule.name);
      return read && read !== capsule.read ? { ...capsule, read } : capsule;
    }),
  };
}
