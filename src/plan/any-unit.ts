/** Quantities in uncommon units, read by a library that is loaded only where a plan has one. */
import { numberAndUnit, readsAsQuantity } from './quantity.ts';
import { type Foreign, type Node, scalarsOf } from './tree.ts';

const BASES = {
  length: 'm',
  area: 'm^2',
  'surface-mass': 'kg/m^2',
  frequency: 'Hz',
  angle: 'deg',
  temperature: 'degC',
  time: 's',
};
const LONGEST = 40;

/** Gives every scalar of a tree that is a quantity in an uncommon unit its value in SI. */
export async function readUncommon(tree: Node): Promise<void> {
  for (const scalar of scalarsOf(tree)) {
    if (typeof scalar.value !== 'string' || !mayBeUncommon(scalar.text)) continue;
    scalar.foreign = await uncommon(scalar.text);
  }
}

/** A quantity in any unit, in SI (°C for temperatures, degrees for angles); null where it is none. */
export async function uncommon(text: string): Promise<Foreign | null> {
  const parts = numberAndUnit(text);
  if (!parts) return null;
  const { unit } = await import('mathjs');
  try {
    const quantity = unit(parts.number, spelling(parts.unit));
    for (const [dimension, base] of Object.entries(BASES)) {
      if (quantity.equalBase(unit(base))) return { dimension, value: quantity.toNumber(base) };
    }
  } catch {
    // the library throws on a unit it does not know, and the schema then says so of the value
  }
  return null;
}

const mayBeUncommon = (text: string): boolean =>
  text.length <= LONGEST && (numberAndUnit(text)?.unit ?? '') !== '' && !readsAsQuantity(text);

const spelling = (unit: string): string =>
  unit
    .replace(/^°(?=[CFK]$)/, 'deg')
    .replace(/^[F]$/, 'degF')
    .replace('²', '^2');
