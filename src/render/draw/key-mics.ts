/** What the key says of microphones and lines. */
import type { Scene } from '../../scene/scene.ts';
import type { Entry } from './key.ts';
import { area, circle, line, mark } from './mark.ts';
import { CAPSULE } from './mics.ts';
import { away, type Point } from './plane.ts';

export function micEntries({ mics, capsules }: Scene): Entry[] {
  if (capsules.length === 0) return [];
  const pair = mics.some((mic) => mic.capsules.length > 1);
  return [
    {
      symbol: micSymbol,
      text: 'Pattern in the level plane: how much it takes of sound from each side. The tick ends at 0 dB on axis',
      height: 10,
    },
    ...(pair ? [{ symbol: pairSymbol, text: 'Pair: two capsules' }] : []),
  ];
}

/** A made-up pattern, half and half, toward the right. */
function micSymbol([x, y]: Point): string {
  const at: Point = [x - 2, y];
  const curve = Array.from({ length: 60 }, (_, i) => {
    const angle = (i * Math.PI) / 30;
    return away(at, angle, 4.4 * (0.5 + 0.5 * Math.cos(angle)));
  });
  const tip = away(at, 0, 4.4);
  const head = [away(tip, 2.6, 1.1), tip, away(tip, -2.6, 1.1)];
  return area('pattern', curve) + line('aim', [at, tip]) + line('aim', head) + circle('capsule', at, CAPSULE);
}

const pairSymbol = ([x, y]: Point): string =>
  line('pair', [
    [x - 2.5, y],
    [x + 2.5, y],
  ]) +
  circle('capsule', [x - 2.5, y], CAPSULE) +
  circle('capsule', [x + 2.5, y], CAPSULE);

export const lineEntries = ({ mics, sources }: Scene): Entry[] =>
  mics
    .filter(({ line: isLine }) => isLine)
    .map(({ name, wanted }) => ({
      symbol: plug,
      text: `${name}, from ${wanted.map((index) => sources[index]?.name).join(', ')}`,
    }));

const plug = ([x, y]: Point): string =>
  mark('rect', { class: 'bar-dark', x: x - 1.2, y: y - 1.2, width: 2.4, height: 2.4 });
