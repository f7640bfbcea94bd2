/** Lengths of moves in the plan's own units: as they are said, and as they are written there. */
import { type Lengths, lengthsIn } from '../plan/lengths.ts';
import { type LengthUnit, type MapNode, type Node, unitsOf } from '../plan/tree.ts';
import { FOOT, INCH } from '../plan/units.ts';
import { scalarOf } from './written.ts';

export type Tape = Lengths & {
  /** A coordinate or height as it is written, to 1 cm or a hundredth of a foot. */
  readonly place: (metres: number) => Node;
  /** Distances that one sets a mic up at, m, the gentle ones first. Common practice, no source. */
  readonly distances: readonly number[];
};

export const tapeOf = (tree: MapNode): Tape => TAPES[unitsOf(tree)];

const hundredth = (value: number): number => Math.round(value * 100) / 100 + 0;

const TAPES: Readonly<Record<LengthUnit, Tape>> = {
  m: {
    ...lengthsIn('m'),
    place: (metres) => scalarOf(hundredth(metres)),
    distances: [1.5, 1, 0.8, 0.6, 0.5, 0.4, 0.3, 0.25, 0.2, 0.15, 0.1, 0.08, 0.05, 0.03],
  },
  ft: {
    ...lengthsIn('ft'),
    place: (metres) => scalarOf(hundredth(metres / FOOT), 'ft'),
    distances: [60, 40, 32, 24, 20, 16, 12, 10, 8, 6, 4, 3, 2, 1.5].map((inches) => inches * INCH),
  },
};
