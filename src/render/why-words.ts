/** Ways, places and ranges in words. */
import type { Range, WhyPath, WhyScreen } from '../judge/why/why-shape.ts';
import { figure } from './words.ts';

export function wayName({ kind, share, by, of, screens }: WhyPath): string {
  switch (kind) {
    case 'direct':
      return screens.length > 0 ? 'direct, past screens' : 'direct';
    case 'bent':
      return 'round the corner';
    case 'surface':
      return by?.startsWith('wall ') ? `off ${by}` : `off the ${by}`;
    case 'mirror':
      return `off ${by}`;
    case 'field':
      return share === 'room' ? 'room field' : 'field through walls';
    case 'through':
      return by === 'wall' ? `through ${of}` : `through the ${by} of ${of}`;
    case 'opening':
      return by?.startsWith('opening') ? `through the ${by} of ${of}` : `through the open ${by} of ${of}`;
  }
}

/** "4.13 m", or "3.9–5.2 m" where a section's points differ. */
export function rangeText(range: Range | null, digits: number, unit: string): string {
  if (range === null) return '';
  const [from, to] = [figure(range.from, digits), figure(range.to, digits)];
  return from === to ? `${to}${unit}` : `${from}–${to}${unit}`;
}

export const inMilliseconds = (range: Range | null): Range | null =>
  range && { from: 1000 * range.from, to: 1000 * range.to };

/** Panels of one screen by name; of a long one the first two. */
export function screenName({ panels }: WhyScreen): string {
  const [first = '', second, ...more] = panels;
  if (second === undefined) return first;
  return more.length > 0 ? `${first}, ${second} and ${more.length} more` : `${first} with ${second}`;
}

/** What the level falls by when this part of it goes, dB; null where next to nothing is left. */
export const lessWithout = (fraction: number): number | null =>
  fraction < 0.99 ? -10 * Math.log10(1 - fraction) : null;
