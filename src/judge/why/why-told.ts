/** A way told: what it meets, and what each thing on it gives or takes. */
import { type Bands, energyOf } from '../../acoustics/bands.ts';
import type { Link } from '../../acoustics/link.ts';
import type { SoundPath } from '../../acoustics/path.ts';
import type { EdgeTrace, ScreenTrace } from '../../acoustics/screen-trace.ts';
import type { Stage } from '../../acoustics/stage.ts';
import type { Surroundings } from '../../acoustics/surroundings.ts';
import { OUTSIDE } from '../../scene/scene.ts';
import { type Course, type Factor, factor } from './why-gains.ts';

/** One point of a source with a capsule. `firstHit` is its α₁ by band. */
export type Between = { readonly stage: Stage; readonly link: Link; readonly firstHit: Bands };

/** A screen met on the whole of a way, or on its stretch before or after a reflection or wall. */
export type Met = ScreenTrace & { readonly where: 'whole' | 'before' | 'after' };

export const met = (where: Met['where'], traces: readonly ScreenTrace[]): Met[] =>
  traces.map((trace) => ({ ...trace, where }));

export type Told = {
  /** Surface, panel or element, and the partition or room that it belongs to. */
  readonly by: string | null;
  readonly of: string | null;
  /** Null for a field. */
  readonly course: Course | null;
  readonly factors: readonly Factor[];
  readonly screens: readonly Met[];
  /** Of an opening. */
  readonly edges: readonly EdgeTrace[];
};

export const told = (factors: readonly Factor[], more: Partial<Told> = {}): Told => ({
  by: null,
  of: null,
  course: null,
  screens: [],
  edges: [],
  ...more,
  factors,
});

export const straightCourse = ({ cosLeave, cosArrive, length }: SoundPath): Course => ({
  cosLeave,
  cosArrive,
  spread: length,
  travelled: length,
});

/** What all screens leave of a way on which each acts by its share alone. */
export const screenFactors = (screens: readonly ScreenTrace[]): Factor[] => {
  const loss = (band: number) => screens.reduce((sum, one) => sum + (one.loss[band] as number), 0);
  return screens.length > 0 ? [factor('screens', (band) => energyOf(-loss(band)))] : [];
};

/** Screens and corners of a room, or of the open. */
export const aroundOf = ({ surroundings, shapes }: Stage, room: number): Surroundings =>
  surroundings[room === OUTSIDE ? shapes.length : room] as Surroundings;
