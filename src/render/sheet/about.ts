/** All that a sheet is made from. */
import type { Report } from '../../judge/report.ts';
import { type Lengths, lengthsIn } from '../../plan/lengths.ts';
import type { PlanData } from '../../plan/plan.ts';
import type { LengthUnit } from '../../plan/tree.ts';
import type { Room, Scene } from '../../scene/scene.ts';

export type SheetInput = {
  readonly scene: Scene;
  readonly report: Report;
  readonly plan: PlanData;
  readonly units: LengthUnit;
};

export type About = SheetInput & {
  readonly tell: Lengths['tape'];
  /** Undefined in the open air. */
  readonly roomOf: (index: number) => Room | undefined;
};

export const aboutOf = (input: SheetInput): About => ({
  ...input,
  tell: lengthsIn(input.units).tape,
  roomOf: (index) => input.scene.rooms[index],
});

/** Height above the floor of its room, in words. */
export const heightIn = ({ roomOf, tell }: About, z: number, room: number): string =>
  tell(z - (roomOf(room)?.floor ?? 0));
