/** What an editor says of a quantity beside its description: what it counts in, and how far it goes. */
import type { About } from '../schema-frame.ts';
import { BASE, type Dimension } from '../units.ts';

type Quantity = Extract<About, { takes: 'quantity' }>;

const HOUR = 3600;

/** "length from 0.1 to 100 m; bare numbers count in the plan's units" */
export function quantityWords({ dimension, min, max, bareFactor, step }: Quantity): string {
  const unit = BASE[dimension] && `${dimension === 'angle' ? '' : ' '}${BASE[dimension]}`;
  const multiples = step === undefined || step === 1 ? '' : `, in steps of ${step}`;
  return `${KINDS[dimension](step)} from ${min} to ${max}${unit}${multiples}${bare(dimension, bareFactor)}`;
}

function bare(dimension: Dimension, factor: number | null | undefined): string {
  if (factor === null) return '; it says its unit';
  if (factor === HOUR) return '; bare numbers are hours';
  if (dimension === 'length') return "; bare numbers count in the plan's units, m if unsaid";
  return BASE[dimension] ? `; bare numbers are ${BASE[dimension]}` : '';
}

const named = (kind: string) => () => kind;

const KINDS: Readonly<Record<Dimension, (step?: number) => string>> = {
  length: named('length'),
  area: named('area'),
  'surface-mass': named('mass per area'),
  frequency: named('frequency'),
  angle: named('angle'),
  temperature: named('temperature'),
  time: named('time'),
  ratio: named('number or %'),
  percent: named('percentage'),
  decibel: named('figure'),
  count: (step) => (step === 1 ? 'whole number' : 'number'),
};
