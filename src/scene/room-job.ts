/** What turning rooms, walls and baffles into the scene works from. */
import type { PlanData } from '../plan/plan.ts';
import type { Materials } from './material.ts';
import type { Notes } from './notes.ts';
import type { RoomPlaces } from './room-places.ts';

export type RoomJob = {
  readonly plan: PlanData;
  readonly materials: Materials;
  readonly places: RoomPlaces;
  readonly notes: Notes;
};
