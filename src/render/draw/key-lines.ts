/** What the key says of the lines of bleed: what becomes of it by dash and colour, how loud it is by weight. */
import { FAINTEST, weightOf } from './bleed-marks.ts';
import type { Entry } from './key.ts';
import { mark, trace } from './mark.ts';
import type { Point } from './plane.ts';
import type { View } from './view.ts';

/** Of the weight in which the kinds are shown, dB. */
const USUAL = -8;
const WEIGHTS = [0, FAINTEST / 3, (2 * FAINTEST) / 3, FAINTEST];

export function bleedEntries({ lines, words }: View): Entry[] {
  if (lines.length === 0) return [];
  const kinds = (['own', 'short', 'marginal', 'clear'] as const).filter((kind) =>
    lines.some((one) => one.kind === kind),
  );
  return [
    ...kinds.map((kind) => ({ symbol: sample(kind, USUAL), text: words[kind] })),
    ...WEIGHTS.map((db) => ({ symbol: sample('plain', db), text: db === 0 ? words.weight : below(db) })),
  ];
}

const below = (db: number): string => `−${-db} dB${db === FAINTEST ? ' and less' : ''}`;

const sample =
  (kind: string, db: number) =>
  ([x, y]: Point): string => {
    const ends: Point[] = [
      [x - 6, y],
      [x + 6, y],
    ];
    return mark('path', { class: `way ${kind}`, d: trace(ends), 'stroke-width': weightOf(db) });
  };
