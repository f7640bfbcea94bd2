/** Pieces of SVG as text. Numbers are rounded here and nowhere else; text is escaped here and nowhere else. */

import { visible } from '../../plan/visible.ts';
import { xmlAttribute, xmlText } from '../check/xml.ts';
import { mm } from './figure.ts';
import type { Point } from './plane.ts';

export type Attributes = Readonly<Record<string, string | number>>;

/** `content` is SVG already. */
export function mark(name: string, attributes: Attributes, content = ''): string {
  const written = Object.entries(attributes).map(
    ([key, value]) => ` ${key}="${typeof value === 'number' ? mm(value) : xmlAttribute(value)}"`,
  );
  return content === ''
    ? `<${name}${written.join('')}/>`
    : `<${name}${written.join('')}>${content}</${name}>`;
}

/** What a plan says, made harmless: XML's own marks and whatever turns or hides text. */
export const plain = (text: string): string => xmlText(visible(text));

/** A group whose name shows where one points at it. */
export const named = (kind: string, name: string, content: string): string =>
  `${mark('g', { class: kind }, mark('title', {}, plain(name)) + content)}\n`;

export const circle = (kind: string, [x, y]: Point, r: number): string =>
  mark('circle', { class: kind, cx: x, cy: y, r });

export const line = (kind: string, points: readonly Point[]): string =>
  mark('path', { class: kind, d: trace(points) });

export const area = (kind: string, points: readonly Point[]): string =>
  mark('path', { class: kind, d: `${trace(points)}Z` });

export const trace = (points: readonly Point[]): string =>
  points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${mm(x)} ${mm(y)}`).join('');
