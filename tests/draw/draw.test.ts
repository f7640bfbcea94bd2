/** The drawing as a whole: XML, everything once, everything in its place, the same bytes each time. */
import { describe, expect, test } from 'vitest';
import { sized } from '../sized.ts';
import {
  centreOf,
  cornersOf,
  drawn,
  expectXml,
  far,
  fixture,
  marksIn,
  type Point,
  placing,
  rowOf,
  toldOf,
} from './drawn.ts';
import { CROWD, HOSTILE, HOUSE } from './plans.ts';

const count = (svg: string, group: string, name: string): number =>
  svg.split(`<g class="${group}"><title>${name}</title>`).length - 1;

describe('XML', () => {
  const fixtures = [
    'brass-hall',
    'folk-barn-store',
    'four-piece',
    'church-choir',
    'living-room-duo',
    'trio-and-singer',
  ];
  test.each(fixtures.slice(0, sized(2, 6)))('%s in every view is well formed', async (name) => {
    const told = await fixture(name);
    const mic = told.report.mics[0] ?? null;
    const source = { name: 'first', sources: [0] };
    const views = [{}, { dark: true }, { paper: 'a4' }, { paper: 'letter', mic }, { level: source }] as const;
    await expectXml(...views.map((options) => drawn(told, options)));
  });

  test.each([HOUSE, HOSTILE, CROWD, 'spillcheck: 1\n'])('a made-up plan is well formed', async (text) => {
    await expectXml(drawn(await toldOf(text)));
  });
});

test('every entry of the plan is drawn once, doors and windows as they stand', async () => {
  const svg = drawn(await toldOf(HOUSE));
  const entries: Readonly<Record<string, readonly string[]>> = {
    room: ['hall', 'den', 'box'],
    partition: ['hall-den', 'box-wall', 'den-yard'],
    door: ['hall-den, door, open', 'box-wall, door, ajar', 'den-yard, door, closed'],
    window: ['hall-den, window, closed'],
    opening: ['hall-den, opening, open'],
    baffle: ['baffle-1', 'baffle-2'],
    player: ['singer', 'drummer', 'bells', 'tuba'],
    listener: ['producer'],
    source: ['singer', 'drummer.snare', 'drummer.kick', 'cow', 'shake', 'tuba', 'amp', 'choir'],
    mic: ['voice-mic', 'overheads', 'cow-mic', 'tuba-mic', 'amp-mic', 'main', 'air'],
  };
  for (const [group, names] of Object.entries(entries))
    for (const name of names) expect([group, name, count(svg, group, name)]).toEqual([group, name, 1]);
  expect(svg.split('amp-line, from amp').length).toBe(2);
});

test('a pair is two capsules, a section its points, a door that stands open has its leaf square to the wall', async () => {
  const svg = drawn(await toldOf(HOUSE));
  const capsules = (name: string) =>
    marksIn(svg, 'mic', name).filter(({ kind }) => kind === 'capsule').length;
  expect([capsules('voice-mic'), capsules('overheads'), capsules('main')]).toEqual([1, 2, 2]);
  // 8 singers in 2 rows stand as 2 rows of 4 points: the plan format has 4 to 12 points
  expect(marksIn(svg, 'source', 'choir').filter(({ kind }) => kind === 'centre').length).toBe(8);
  const [hinge, tip] = leafOf(svg, 'hall-den, door, open');
  expect(Math.abs(hinge[1] - tip[1])).toBeLessThan(0.02);
  expect(far(hinge, tip)).toBeCloseTo(0.9 * perMetre(svg), 1);
  const [shutFrom, shutTo] = leafOf(svg, 'den-yard, door, closed');
  expect(Math.abs(shutFrom[0] - shutTo[0])).toBeLessThan(0.02);
  expect(far(shutFrom, shutTo)).toBeCloseTo(0.9 * perMetre(svg), 1);
});

const perMetre = (svg: string): number => {
  const at = placing(svg, 'hall', [0, 0]);
  return far(at(0, 0), at(1, 0));
};

function leafOf(svg: string, title: string): [Point, Point] {
  const leaf = marksIn(svg, 'door', title).find(({ kind }) => kind === 'leaf');
  return (leaf ? cornersOf(leaf) : []) as unknown as [Point, Point];
}

describe('places, to 0.1 mm on paper', () => {
  test('capsules, sources, bodies, baffles and walls stand where the plan has them', async () => {
    const told = await toldOf(HOUSE);
    const svg = drawn(told, { paper: 'a4' });
    const at = placing(svg, 'hall', [0, 0]);
    for (const { mic, at: place } of told.scene.capsules) {
      const name = told.scene.mics[mic]?.name ?? '';
      const dots = marksIn(svg, 'mic', name).filter(({ kind }) => kind === 'capsule');
      expect(Math.min(...dots.map((dot) => far(centreOf(dot), at(place[0], place[1]))))).toBeLessThan(0.1);
    }
    for (const { name, points } of told.scene.sources) {
      const centres = marksIn(svg, 'source', name).filter(({ kind }) => kind === 'centre');
      for (const { at: place } of points)
        expect(Math.min(...centres.map((one) => far(centreOf(one), at(place[0], place[1]))))).toBeLessThan(
          0.1,
        );
    }
    // the plan's own figures
    expect(bodyMiddle(svg, 'singer', at(1.3, 5.8))).toBeLessThan(0.1);
    expect(bodyMiddle(svg, 'tuba', at(11, 3))).toBeLessThan(0.1);
    const [baffle] = marksIn(svg, 'baffle', 'baffle-1').filter(({ kind }) => kind === 'baffle');
    const bar = baffle ? cornersOf(baffle) : [];
    const ends = [bar.slice(1, 3), [bar[0], bar[3]] as Point[]].map(middleOf);
    expect(far(ends[0] as Point, at(3, 3))).toBeLessThan(0.1);
    expect(far(ends[1] as Point, at(3, 1))).toBeLessThan(0.1);
    const [den] = marksIn(svg, 'room', 'den');
    const corners = den ? cornersOf(den) : [];
    for (const [x, y] of [
      [8.2, 0],
      [12.2, 0],
      [12.2, 4],
      [8.2, 4],
    ] as const)
      expect(Math.min(...corners.map((corner) => far(corner, at(x, y))))).toBeLessThan(0.1);
    // the wall between the rooms is as thick as they leave it: 20 cm
    const [wall] = marksIn(svg, 'partition', 'hall-den').filter(({ kind }) => kind === 'wall');
    const xs = (wall ? cornersOf(wall) : []).map(([x]) => x);
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(0.2 * perMetre(svg), 1);
  });

  test('a player looks where the plan says: the tip of the drop lies in the bearing from its middle', async () => {
    const svg = drawn(await toldOf(HOUSE));
    const at = placing(svg, 'hall', [0, 0]);
    const bearings = [
      ['singer', 1.3, 5.8, 180],
      ['drummer', 1.5, 1.5, 90],
      ['tuba', 11, 3, 200],
    ] as const;
    for (const [name, x, y, bearing] of bearings) {
      const [body] = marksIn(svg, 'player', name);
      const [tip] = body ? cornersOf(body) : [];
      const middle = at(x, y);
      const degrees = (Math.atan2((tip?.[0] ?? 0) - middle[0], middle[1] - (tip?.[1] ?? 0)) * 180) / Math.PI;
      expect((degrees + 360) % 360).toBeCloseTo(bearing, 0);
    }
  });
});

/** How unlike the distances are of the rounded corners of a drop from where its middle should be. */
function bodyMiddle(svg: string, name: string, middle: Point): number {
  const [body] = marksIn(svg, 'player', name);
  const radii = (body ? cornersOf(body) : []).slice(1).map((corner) => far(corner, middle));
  return Math.max(...radii) - Math.min(...radii);
}

const middleOf = (points: readonly Point[]): Point => [
  points.reduce((sum, [x]) => sum + x, 0) / points.length,
  points.reduce((sum, [, y]) => sum + y, 0) / points.length,
];

describe('lines of bleed', () => {
  test('what one microphone hears has a line from everyone, with its level over the own sound as the report has it', async () => {
    const told = await fixture('brass-hall');
    const svg = drawn(told, { mic: rowOf(told, 'cornet-mic') });
    const row = told.report.mics.find(({ name }) => name === 'cornet-mic');
    const level = (source: string) => row?.levels.find((one) => one.source === source)?.judgedLevel ?? 0;
    for (const source of ['tuba', 'trombone', 'soprano', 'solo-cornet', 'euphonium', 'tenor-horn']) {
      const db = Math.round(level(source) - level('second-cornet'));
      expect(count(svg, 'bleed', `${source} into cornet-mic: ${String(db).replace('-', '−')} dB`)).toBe(1);
    }
    expect(svg.match(/<g class="bleed"><title>drums into cornet-mic/g)?.length).toBe(1);
  });

  test('the louder, the heavier', async () => {
    const told = await fixture('brass-hall');
    const svg = drawn(told, { mic: rowOf(told, 'cornet-mic') });
    const weight = (source: string) =>
      Number(
        new RegExp(`<title>${source} into[^<]*</title><path [^>]*stroke-width="([\\d.]+)"`).exec(svg)?.[1],
      );
    const row = told.report.mics.find(({ name }) => name === 'cornet-mic');
    const order = ['tuba', 'trombone', 'soprano', 'euphonium', 'tenor-horn'].sort(
      (a, b) =>
        (row?.levels.find(({ source }) => source === a)?.judgedLevel ?? 0) -
        (row?.levels.find(({ source }) => source === b)?.judgedLevel ?? 0),
    );
    const weights = order.map(weight);
    expect(weights).toEqual([...weights].sort((a, b) => a - b));
    expect(new Set(weights).size).toBeGreaterThan(3);
  });
});

describe('the same plan gives the same bytes', () => {
  test('twice, and without a date, a random name or more than two decimals', async () => {
    const told = await toldOf(HOUSE);
    for (const options of [{}, { mic: rowOf(told, 'tuba-mic') }])
      expect(drawn(await toldOf(HOUSE), options)).toBe(drawn(told, options));
    const once = drawn(told, { level: { name: 'tuba', sources: [3] } });
    expect(once).not.toMatch(/20\d\d-\d\d|NaN|Infinity|undefined|null/);
    expect(once.match(/ (?:d|x|y|cx|cy|r)="[^"]*\d\.\d{3,}/)).toBeNull();
    expect([...once.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id)).toEqual([
      'title',
      'desc',
      'floor-0',
      'floor-1',
      'floor-2',
    ]);
  });

  test.each(['light', 'dark'] as const)(
    'a bare house is drawn as it was last looked at, %s',
    async (sheet) => {
      const bare = HOUSE.slice(0, HOUSE.indexOf('players:'));
      const people =
        'players: {singer: {at: [1.3, 5.8], facing: 180, standing: true, plays: singing-voice}}\n';
      const svg = drawn(await toldOf(bare + people), { dark: sheet === 'dark', paper: 'a4' });
      await expect(svg).toMatchFileSnapshot(`golden/house-${sheet}.svg`);
    },
  );
});

test('it tells itself in words, as text', async () => {
  const svg = drawn(await fixture('living-room-duo'));
  expect(svg).toMatch(/^<svg [^>]*role="img" aria-labelledby="title desc">/);
  expect(svg).toContain('<title id="title">Voice and guitar in a living room</title>');
  expect(svg).toMatch(
    /<desc id="desc">Floor plan at 1:\d+.*singer stands in living-room\..*voice-mic for singer: /,
  );
  expect(svg).toContain('>guitarist</text>');
});
