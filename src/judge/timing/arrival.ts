/** When a source's sound reaches a capsule, and on which side of its pattern. */
import { eachPath } from '../../acoustics/pair.ts';
import type { Stage } from '../../acoustics/stage.ts';

/** Band of 1 kHz, which decides where a drifting pattern turns its sign. */
const KILOHERTZ = 4;

export type Arrival = {
  /** Length of the direct way from the source's nearest point, m. */
  readonly way: number;
  /** True where the mic hears it upside down: `A + B·cos θ` below 0 at 1 kHz. A measured table does not tell. */
  readonly rear: boolean;
};

/** A line has its signal at once. */
export const AT_ONCE: Arrival = { way: 0, rear: false };

/** By the shortest direct way, straight or round a corner of the room; null where there is none. */
export function arrivalAt(stage: Stage, source: number, capsule: number): Arrival | null {
  const { table, a } = stage.scene.capsules[capsule]?.pattern ?? { table: null, a: [] };
  const pressure = a[KILOHERTZ] ?? 1;
  let found: Arrival | null = null;
  eachPath(stage, source, capsule, ({ kind, length, cosArrive }) => {
    if (kind !== 'direct' && kind !== 'bent') return;
    if (found && found.way <= length) return;
    found = { way: length, rear: table === null && pressure + (1 - pressure) * cosArrive < 0 };
  });
  return found;
}
