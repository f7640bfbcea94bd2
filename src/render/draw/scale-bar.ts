/** A bar to measure by, in the plan's own unit, and the scale in figures. */
import type { LengthUnit } from '../../plan/tree.ts';
import { FOOT } from '../../plan/units.ts';
import { mark } from './mark.ts';

const LENGTHS = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
const PARTS = 4;
const HIGH = 1.5;

/** As long as fits into `width` mm; `x` and `y` are its upper left corner. */
export function scaleBar(
  [x, y]: readonly [number, number],
  width: number,
  { perMetre, units }: { readonly perMetre: number; readonly units: LengthUnit },
): string {
  const perUnit = perMetre * (units === 'ft' ? FOOT : 1);
  const length = LENGTHS.filter((one) => one * perUnit <= width).at(-1) ?? 0.5;
  const part = (length * perUnit) / PARTS;
  const fields = Array.from({ length: PARTS }, (_, i) =>
    mark('rect', {
      class: i % 2 === 0 ? 'bar-dark' : 'bar-light',
      x: x + i * part,
      y,
      width: part,
      height: HIGH,
    }),
  );
  const figure = (value: number, label: string) =>
    mark(
      'text',
      { class: 'entry', x: x + value * perUnit, y: y + HIGH + 3.2, 'text-anchor': 'middle' },
      label,
    );
  const figures = [
    figure(0, '0'),
    figure(length / 2, String(length / 2)),
    figure(length, `${length} ${units}`),
  ];
  return fields.join('') + figures.join('');
}
