/** Baffles: a bar as long as the panel, with feet at both ends. Walls of booths are panels too, and drawn as walls. */
import type { Panel } from '../../scene/scene.ts';
import { closedLine, type Layer, type Name, together } from './layer.ts';
import { area, line, named } from './mark.ts';
import { between, type Point, span } from './plane.ts';
import type { Sheet } from './sheet.ts';

/** Half the drawn thickness, and how far a foot stands out, mm. */
const HALF = 0.45;
const FOOT = 1.5;

export function screens(sheet: Sheet): Layer {
  const own = sheet.scene.panels.filter(({ booth }) => booth === null);
  return together(own.map((panel) => screenLayer(panel, [sheet.place(panel.a), sheet.place(panel.b)])));
}

function screenLayer({ name }: Panel, ends: readonly [Point, Point]): Layer {
  return {
    svg: named('baffle', name, screenMarks(ends)),
    keepOff: [closedLine(...bar(ends, FOOT))],
    names: [nameOf(name, ends)],
  };
}

export function screenMarks(ends: readonly [Point, Point]): string {
  const feet = footings(ends).map((foot) => line('foot', foot));
  return area('screen', bar(ends, HALF)) + feet.join('');
}

function nameOf(text: string, [a, b]: readonly [Point, Point]): Name {
  const at = [0.5, 0, 1, 0.25, 0.75].map((part) => between(a, b, part));
  return { text, note: null, noteKind: '', kind: 'screen', at, reach: FOOT };
}

function bar([a, b]: readonly [Point, Point], half: number): Point[] {
  const [x, y] = squareTo(a, b, half);
  return [
    [a[0] + x, a[1] + y],
    [b[0] + x, b[1] + y],
    [b[0] - x, b[1] - y],
    [a[0] - x, a[1] - y],
  ];
}

function footings([a, b]: readonly [Point, Point]): Point[][] {
  const [x, y] = squareTo(a, b, FOOT);
  return [a, b].map((end) => [
    [end[0] + x, end[1] + y],
    [end[0] - x, end[1] - y],
  ]);
}

function squareTo(a: Point, b: Point, by: number): Point {
  const length = span(a, b) || 1;
  return [(-(b[1] - a[1]) * by) / length, ((b[0] - a[0]) * by) / length];
}
