/** The shaded floor against the report of a plan that has microphones where the probes are. */
import { describe, expect, test } from 'vitest';
import { levelGrids, loopsAt } from '../../src/draw/level-map.ts';
import { drawn, fixture, marksOf, type Point, placing, toldOf } from './drawn.ts';

const ROOMS = `spillcheck: 1
title: Two rooms that do not exist
rooms:
  hall: {size: [6, 4], height: 3, floor: wood-on-joists, walls: plaster, ceiling: acoustic-tile}
  store: {size: [2, 4], origin: [6, 0], height: 2.5, floor: carpet-heavy, walls: plaster, ceiling: plaster}
partitions: {wall: {between: [hall, store], wall: stud-gypsum-insulated}}
baffles: {baffle-1: {from: [3, 1], to: [3, 3], height: 1.8, made-of: upholstered-baffle}}
players:
  tuba: {at: [1.5, 2], facing: 90, plays: tuba}
  cornet: {at: [5, 3], facing: 270, plays: cornet}
`;

describe('probes', () => {
  test('ten of them read what omnidirectional microphones in their places report, all sources of a kind together', async () => {
    const bare = await toldOf(ROOMS);
    const grids = levelGrids(bare.result.prepared, [0]);
    const cells = [0, 0, 0, 0, 0, 0, 0, 1, 1, 1].map((room, i) => {
      const grid = grids[room];
      if (!grid) throw new Error('a room has no grid');
      const cell = Math.floor((((i * 37 + 11) % 97) / 97) * grid.levels.length);
      const [x, y] = grid.at(cell % grid.columns, Math.floor(cell / grid.columns));
      return { x, y, level: grid.levels[cell] };
    });
    const probes = cells.map(
      ({ x, y }, i) =>
        `  probe-${i}: {for: room, at: [${x}, ${y}, 1.2], aim: 0, pattern: omni, null-depth: textbook}`,
    );
    const { report } = await toldOf(`${ROOMS}mics:\n${probes.join('\n')}\n`);
    cells.forEach(({ level }, i) => {
      const row = report.mics.find(({ name }) => name === `probe-${i}`);
      expect(level).toBeCloseTo(row?.levels.find(({ source }) => source === 'tuba')?.level ?? Number.NaN, 9);
    });
  });

  test('cells are 20 to 30 cm wide in a room, wider in a church, and cover the floor', async () => {
    const [hall] = levelGrids((await toldOf(ROOMS)).result.prepared, [0]);
    expect(hall?.cell).toBeGreaterThanOrEqual(0.2);
    expect(hall?.cell).toBeLessThanOrEqual(0.3);
    expect(hall?.levels.every((level) => level !== null && Number.isFinite(level))).toBe(true);
    const church = await fixture('church-choir');
    const [nave] = levelGrids(church.result.prepared, [0]);
    expect(nave?.cell).toBeGreaterThan(0.3);
    expect(nave?.levels.length).toBeLessThan(1700);
  });

  test('where a booth stands in a room, the room has no probes', async () => {
    const told = await toldOf(`spillcheck: 1
rooms:
  hall: {size: [6, 4], height: 3}
  booth: {size: [2, 2], origin: [3, 1], height: 2.2, booth: true}
partitions: {wall: {between: [booth, hall], wall: stud-gypsum-insulated}}
players: {tuba: {at: [1, 1], facing: 0, plays: tuba}}
`);
    const [hall, booth] = levelGrids(told.result.prepared, [0]);
    hall?.levels.forEach((level, i) => {
      const [x, y] = hall.at(i % hall.columns, Math.floor(i / hall.columns));
      expect(level === null).toBe(x > 3 && x < 5 && y > 1 && y < 3);
    });
    expect(booth?.levels.every((level) => level !== null)).toBe(true);
  });
});

const field = (columns: number, rows: number, value: (x: number, y: number) => number) => ({
  columns,
  rows,
  values: Float64Array.from({ length: columns * rows }, (_, i) =>
    value(i % columns, Math.floor(i / columns)),
  ),
});

describe('lines of one height', () => {
  test('of a cone are circles: within a tenth of a cell at ten cells across', () => {
    const [loop, ...more] = loopsAt(
      field(21, 21, (x, y) => -Math.hypot(x - 10, y - 10)),
      -6.5,
    );
    expect(more).toEqual([]);
    for (const [x, y] of loop ?? []) expect(Math.hypot(x - 10, y - 10)).toBeCloseTo(6.5, 1);
    // all the way round, once: 2π·6.5 = 40.8
    const length = (loop ?? []).reduce((sum, [x, y], i, all) => {
      const [nx, ny] = all[(i + 1) % all.length] ?? [x, y];
      return sum + Math.hypot(nx - x, ny - y);
    }, 0);
    expect(length).toBeGreaterThan(40.2);
    expect(length).toBeLessThan(40.9);
  });

  test('of a pyramid between square sides lie exactly where the height is', () => {
    const [loop] = loopsAt(
      field(9, 9, (x, y) => -Math.abs(x - 4) - Math.abs(y - 4)),
      -2.5,
    );
    for (const [x, y] of loop ?? []) expect(Math.abs(x - 4) + Math.abs(y - 4)).toBeCloseTo(2.5, 9);
  });

  test('close, two hills have two, and a height that a cell has exactly is no trouble', () => {
    const hills = field(12, 6, (x, y) =>
      Math.max(3 - Math.hypot(x - 3, y - 2.5), 3 - Math.hypot(x - 8, y - 2.5)),
    );
    expect(loopsAt(hills, 1.5).length).toBe(2);
    const steps = field(8, 8, (x, y) => (x > 1 && x < 6 && y > 1 && y < 6 ? 3 : 0));
    expect(loopsAt(steps, 3).length).toBe(1);
  });

  test('where two opposite corners of a cell are high, two closed loops meet and none is lost', () => {
    const values = [0, 0, 0, 0, 0, 9, 0, 0, 0, 0, 9, 0, 0, 0, 0, 0];
    const loops = loopsAt({ columns: 4, rows: 4, values: Float64Array.from(values) }, 5);
    expect(loops.flat()).toHaveLength(8);
  });
});

test('the floor at a probe has the shade of its level: of ten, whichever lies a third of a dB or more from a step', async () => {
  const told = await toldOf(ROOMS);
  const svg = drawn(told, { level: { name: 'tuba', sources: [0] } });
  const at = placing(svg, 'hall', [0, 0]);
  // each room's shades run on past its walls and are cut off there
  const [, clipped = ''] = /url\(#floor-0\)">([\s\S]*?)<\/g>/.exec(svg) ?? [];
  const ranges = rangesOf(svg);
  const [hall] = levelGrids(told.result.prepared, [0]);
  const cells = (hall?.levels ?? []).flatMap((level, i) =>
    level !== null && Math.abs(level - 3 * Math.round(level / 3)) > 0.33 ? [{ level, i }] : [],
  );
  const tried = Array.from({ length: 10 }, (_, k) => cells[Math.floor(((k + 0.5) / 10) * cells.length)]);
  for (const one of tried) {
    const { level, i } = one ?? { level: Number.NaN, i: 0 };
    const [x, y] = hall?.at(i % hall.columns, Math.floor(i / hall.columns)) ?? [0, 0];
    const [low, high] = ranges.get(shadeUnder(clipped, at(x, y))) ?? [Number.NaN, Number.NaN];
    expect(level).toBeGreaterThanOrEqual(low);
    expect(level).toBeLessThan(high);
  }
});

/** What the key says of each shade, dB. */
function rangesOf(svg: string): Map<string, readonly [number, number]> {
  const key = svg.slice(svg.indexOf('<g class="key">'));
  const entries = [...key.matchAll(/class="level (shade-\d)"[^>]*\/><text[^>]*>([^<]*)</g)];
  return new Map(
    entries.map(([, shade = '', text = '']) => {
      const [low = 0, high = Number.POSITIVE_INFINITY] = (text.match(/\d+/g) ?? []).map(Number);
      return [shade, text.startsWith('under') ? [Number.NEGATIVE_INFINITY, low] : [low, high]] as const;
    }),
  );
}

/** The last shade laid over a point: a path covers it where it goes round it an odd number of times. */
function shadeUnder(svg: string, [x, y]: Point): string {
  const laid = [...svg.matchAll(/<path class="level (shade-\d)" d="([^"]+)"/g)].filter(([, , d = '']) => {
    const loops = d.split('Z').map((loop) => [...loop.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)]);
    const crossed = loops.reduce((sum, loop) => {
      const points = loop.map(([, px, py]): Point => [Number(px), Number(py)]);
      return (
        sum + points.filter((a, i) => isCrossed(a, points[(i + 1) % points.length] as Point, [x, y])).length
      );
    }, 0);
    return crossed % 2 === 1;
  });
  return laid.at(-1)?.[1] ?? '';
}

const isCrossed = ([ax, ay]: Point, [bx, by]: Point, [x, y]: Point): boolean =>
  ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax;

test('the key names every shade that the map uses, in steps of 3 dB', async () => {
  const svg = drawn(await toldOf(ROOMS), { level: { name: 'tuba', sources: [0] } });
  const used = new Set(marksOf(svg).flatMap(({ kind }) => /shade-\d/.exec(kind)?.[0] ?? []));
  const key = svg.slice(svg.indexOf('<g class="key">'));
  for (const shade of used) expect(key).toContain(`level ${shade}"`);
  const steps = [...key.matchAll(/>(\d+) to (\d+) dB</g)].map(([, low, high]) => Number(high) - Number(low));
  expect(steps.length).toBeGreaterThan(2);
  expect(new Set(steps)).toEqual(new Set([3]));
});
