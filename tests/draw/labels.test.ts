/**
 * Names lie on nothing. Their boxes are taken from the drawn text by the stated estimate of its width; the drawing's lines
 * are walked along in steps of a quarter of a millimetre.
 */
import { describe, expect, test } from 'vitest';
import { setInLines, textWidth } from '../../src/draw/svg.ts';
import { sized } from '../sized.ts';
import type { Point } from './drawn.ts';
import { centreOf, cornersOf, drawn, fixture, marksOf, rowOf, toldOf, unescaped } from './drawn.ts';
import { CROWD, HOSTILE, HOUSE } from './plans.ts';

type Box = {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
};

/** Lines of text as boxes from a little over their capitals to under their foot. */
function boxesOf(svg: string): Box[] {
  const names = svg.slice(svg.indexOf('<g class="names">'), svg.indexOf('<g class="key">'));
  return [...names.matchAll(/<text class="([^"]*)" x="([\d.-]+)" y="([\d.-]+)"[^>]*>([^<]*)<\/text>/g)].map(
    ([, kind = '', x, y, written = '']) => {
      const text = unescaped(written);
      const size = kind.includes('small') || /label (wall|contour)/.test(kind) ? 2.2 : 2.7;
      const width = textWidth(text, size);
      const [middle, foot] = [Number(x), Number(y)];
      return {
        text,
        left: middle - width / 2,
        right: middle + width / 2,
        top: foot - 0.78 * size,
        bottom: foot + 0.22 * size,
      };
    },
  );
}

/** Points along every line that is drawn, but for floors under walls, shades of level and the leaders of names. */
function inkOf(svg: string): { readonly kind: string; readonly at: Point }[] {
  const ignored = /^(paper|shell|hole|leader|level|label|title|subtitle)/;
  return marksOf(svg)
    .filter(({ kind, tag }) => kind !== '' && !ignored.test(kind) && (tag === 'path' || tag === 'circle'))
    .flatMap((mark) => {
      const closed = mark.of.d?.endsWith('Z') === true;
      const points = mark.tag === 'circle' ? ring(centreOf(mark), Number(mark.of.r)) : cornersOf(mark);
      const ends = closed && points[0] ? [...points, points[0]] : points;
      return alongside(ends).map((at) => ({ kind: mark.kind, at }));
    });
}

/** Points in the middle of the drawn thickness of the walls, outside the floors; floors run anticlockwise. */
function wallsOf(svg: string): Point[] {
  const shells = marksOf(svg).filter(({ kind }) => kind === 'shell');
  return shells.flatMap((shell) => {
    const corners = cornersOf(shell);
    return corners.flatMap((a, i) => {
      const b = corners[(i + 1) % corners.length] as Point;
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      const [x, y] = [(-(b[1] - a[1]) * 0.8) / length, ((b[0] - a[0]) * 0.8) / length];
      return alongside([
        [a[0] + x, a[1] + y],
        [b[0] + x, b[1] + y],
      ]);
    });
  });
}

const ring = ([x, y]: Point, r: number): Point[] =>
  Array.from(
    { length: 49 },
    (_, i): Point => [x + r * Math.cos((i * Math.PI) / 24), y + r * Math.sin((i * Math.PI) / 24)],
  );

function alongside(points: readonly Point[]): Point[] {
  return points.slice(1).flatMap(([x, y], i) => {
    const [fx, fy] = points[i] as Point;
    const steps = Math.max(1, Math.ceil(Math.hypot(x - fx, y - fy) / 0.25));
    return Array.from(
      { length: steps + 1 },
      (_, k): Point => [fx + ((x - fx) * k) / steps, fy + ((y - fy) * k) / steps],
    );
  });
}

const holds = (box: Box, [x, y]: Point): boolean =>
  x > box.left && x < box.right && y > box.top && y < box.bottom;

const meet = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

function expectFree(svg: string): void {
  const boxes = boxesOf(svg);
  expect(boxes.length).toBeGreaterThan(3);
  const clashes = boxes.flatMap((a, i) =>
    boxes.slice(i + 1).flatMap((b) => (meet(a, b) ? [`${a.text} on ${b.text}`] : [])),
  );
  expect(clashes).toEqual([]);
  const ink = [...inkOf(svg), ...wallsOf(svg).map((at) => ({ kind: 'wall', at }))];
  const inked = boxes.flatMap((box) =>
    ink.filter(({ at }) => holds(box, at)).map(({ kind }) => `${box.text} on ${kind}`),
  );
  expect([...new Set(inked)]).toEqual([]);
  const leaders = marksOf(svg)
    .filter(({ kind }) => kind === 'leader')
    .flatMap((leader) => alongside(cornersOf(leader)));
  expect(boxes.filter((box) => leaders.some((at) => holds(box, at))).map(({ text }) => text)).toEqual([]);
}

const FIXTURES = [
  'brass-hall',
  'folk-barn',
  'folk-barn-store',
  'four-piece',
  'church-choir',
  'living-room-duo',
  'trio-and-singer',
  'radio-play',
];

describe.each(FIXTURES.slice(0, sized(2, 8)))(
  'in %s no name lies on another, on a line or on a leader',
  (name) => {
    test.each([{}, { paper: 'a4' }, { paper: 'letter', dark: true }] as const)('%o', async (options) => {
      expectFree(drawn(await fixture(name), options));
    });

    test('nor in what a microphone hears, nor over levels', async () => {
      const told = await fixture(name);
      expectFree(drawn(told, { mic: rowOf(told, told.report.mics[0]?.name ?? '') }));
      expectFree(drawn(told, { level: { name: 'first', sources: [0] } }));
    });
  },
);

describe('in close quarters', () => {
  test.each([CROWD, HOUSE, HOSTILE])('no name lies on anything, and none is lost', async (text) => {
    const told = await toldOf(text);
    for (const options of [{}, { paper: 'a4' }] as const) {
      const svg = drawn(told, options);
      expectFree(svg);
      for (const { name } of [...told.scene.players, ...told.scene.mics, ...told.scene.rooms])
        expect(unescaped(svg.slice(svg.indexOf('<g class="names">'))), name).toContain(name);
    }
  });
});

test('the estimate is wider than the letters of a broad face: digits of 0.636, i of 0.278, m of 0.974 em', () => {
  // DejaVu Sans, the broadest of the faces in common use, from its advance widths; from memory
  const advances = {
    i: 0.278,
    l: 0.278,
    m: 0.974,
    n: 0.634,
    e: 0.615,
    A: 0.684,
    '0': 0.636,
    '-': 0.361,
    ' ': 0.318,
  };
  for (const [letter, width] of Object.entries(advances))
    expect(textWidth(letter, 1), letter).toBeGreaterThanOrEqual(width);
});

test('marks and joiners take no room, wide scripts and pictures take more than an em', () => {
  expect(textWidth('e\u0301', 1)).toBe(textWidth('e', 1));
  expect(textWidth('合', 1)).toBeGreaterThan(1);
  expect(textWidth('🥁', 1)).toBeGreaterThan(1);
});

test('words are set in lines that fit', () => {
  for (const line of setInLines('how much it takes of sound from each side', 2.5, 30))
    expect(textWidth(line, 2.5)).toBeLessThanOrEqual(30);
});
