/** Lengths as a tape shows them. */
import type { LengthUnit } from '../../plan/tree.ts';
import { INCH } from '../../plan/units.ts';

/** How metres are said on a sheet. */
export type Lengths = (metres: number) => string;

const FOOT = 12;

/** Whole centimetres, or feet and inches to the nearest half inch. */
export const lengthsIn = (units: LengthUnit): Lengths => (units === 'ft' ? feetAndInches : centimetres);

const centimetres: Lengths = (metres) => `${Math.round(metres * 100) + 0} cm`;

function feetAndInches(metres: number): string {
  const halves = Math.round((Math.abs(metres) / INCH) * 2);
  const sign = metres < 0 && halves > 0 ? 'minus ' : '';
  const feet = Math.floor(halves / 2 / FOOT);
  const inches = inchesName(halves - feet * FOOT * 2);
  return sign + (feet > 0 ? `${feet} ft ${inches}` : inches);
}

function inchesName(halves: number): string {
  const whole = Math.floor(halves / 2);
  if (halves % 2 === 0) return `${whole} in`;
  return whole > 0 ? `${whole}½ in` : '½ in';
}
