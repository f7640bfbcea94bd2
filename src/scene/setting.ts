/** What every step of resolving sources and microphones needs at hand. */
import type { PlanData } from '../plan/plan.ts';
import type { Catalogue } from './catalogue.ts';
import type { Notes } from './notes.ts';
import type { Air } from './scene.ts';

export type Setting = {
  readonly plan: PlanData;
  readonly catalogue: Catalogue;
  readonly notes: Notes;
  readonly air: Air;
  /** Room at a place of the plan, OUTSIDE in a plan without rooms, null outside every room. */
  readonly roomAt: (x: number, y: number) => number | null;
  /** Height of a room's floor above the ground. */
  readonly floorOf: (room: number) => number;
  /** Height of its ceiling; Infinity in the free field. */
  readonly ceilingOf: (room: number) => number;
};
