/** Lengths of moves in the plan's own units: as they are written there, and as a tape shows them. */
import { type MapNode, type Node, unitsOf } from '../plan/tree.ts';
import { FOOT, INCH } from '../plan/units.ts';
import { scalarOf } from './written.ts';

export type Tape = {
  /** A coordinate or height as it is written, to 1 cm or a hundredth of a foot. */
  readonly place: (metres: number) => Node;
  /** A short distance as it is written and said: "15 cm", "6 in". */
  readonly distance: (metres: number) => string;
  /** A place in words: "1.20 m", "3 ft 11 in". */
  readonly words: (metres: number) => string;
  /** Distances that one sets a mic up at, m, the gentle ones first. Common practice, no source. */
  readonly distances: readonly number[];
};

export function tapeOf(tree: MapNode): Tape {
  if (unitsOf(tree) === 'm') return METRES;
  // a plan that has its units from a studio counts bare lengths in metres
  const isOwn = tree.entries.get('units')?.node.mark.source === tree.mark.source;
  return isOwn ? FEET : { ...FEET, place: (metres) => scalarOf(`${inFeet(metres)} ft`) };
}

const hundredth = (value: number): number => Math.round(value * 100) / 100 + 0;
const inFeet = (metres: number): number => hundredth(metres / FOOT);
const centimetres = (metres: number): string => `${Math.round(metres * 100)} cm`;

const METRES: Tape = {
  place: (metres) => scalarOf(hundredth(metres)),
  distance: centimetres,
  words: (metres) => `${metres.toFixed(2)} m`,
  distances: [1.5, 1, 0.8, 0.6, 0.5, 0.4, 0.3, 0.25, 0.2, 0.15, 0.1, 0.08, 0.05, 0.03],
};

const FEET: Tape = {
  place: (metres) => scalarOf(inFeet(metres), 'ft'),
  distance: (metres) => `${Math.round((metres / INCH) * 2) / 2} in`,
  words: feetAndInches,
  distances: [60, 40, 32, 24, 20, 16, 12, 10, 8, 6, 4, 3, 2, 1.5].map((inches) => inches * INCH),
};

/** To the nearest inch. */
function feetAndInches(metres: number): string {
  const inches = Math.round(metres / INCH);
  const feet = Math.trunc(inches / 12);
  return feet === 0 ? `${inches} in` : `${feet} ft ${Math.abs(inches % 12)} in`;
}
