/** What the key says of a floor shaded by level. */
import type { Entry } from './key.ts';
import { STEP, shadeOf } from './level-map.ts';
import { mark } from './mark.ts';
import type { Point } from './plane.ts';

/** Fields touch, the loudest on top. */
const HIGH = 4.6;

export const levelEntries = (steps: readonly number[]): Entry[] =>
  steps
    .map(
      (step, i): Entry => ({
        symbol: swatch(shadeOf(i, steps.length)),
        text: rangeText(step, i, steps.length),
        height: HIGH,
      }),
    )
    .reverse();

function rangeText(step: number, i: number, steps: number): string {
  if (i === 0 && steps > 1) return `under ${step + STEP} dB`;
  return i === steps - 1 ? `${step} dB and more` : `${step} to ${step + STEP} dB`;
}

const swatch =
  (shade: number) =>
  ([x, y]: Point): string =>
    mark('rect', { class: `level shade-${shade}`, x: x - 5, y: y - HIGH / 2, width: 10, height: HIGH });
