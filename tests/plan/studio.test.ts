/** Plans over studios. */
import { expect, test } from 'vitest';
import { type ReadPlan, readPlan } from '../../src/plan/plan.ts';
import { read, rounded } from './plans.ts';

type Files = Readonly<Record<string, string>>;

type Over = ReadPlan & { asked: string[] };

function readOver(text: string, files: Files, name = 'plan.yaml', allowOutside = false): Promise<Over> {
  const asked: string[] = [];
  const load = async (path: string) => {
    asked.push(path);
    const found = files[path];
    return found === undefined ? { problem: 'no such file' } : { text: found };
  };
  return readPlan(text, { name, load, allowOutside }).then((answer) => ({ ...answer, asked }));
}

const STUDIO = `spillcheck: 1
units: ft
rooms:
  hall: {size: [30, 20], height: 10, floor: wood, walls: {top: felt, left: glass}}
  store: {size: [3 m, 10], origin: [30, 0], height: 8}
baffles:
  screen-1: {from: [3, 2], to: [8, 2], height: 5, made-of: felt}
  screen-2: {from: [3, 4], to: [8, 4], height: 5, made-of: felt}
sources:
  organ: {at: [10, 10, 6], instrument: organ, level: {spl: 90 dB, at: 10}}
`;
const OVER = `spillcheck: 1
studio: studios/hall.yaml
rooms:
  hall: {height: 3.5, walls: {top: brick}}
baffles:
  screen-1: ~
  screen-2: {from: [1, 1], gap: 10 cm}
sources:
  organ: {level: {spl: 85 dB}}
players:
  tuba: {at: [2, 4], plays: tuba}
`;
// 30 ft = 9.144 m, 20 ft = 6.096 m, 8 ft = 2.4384 m, 4 ft = 1.2192 m, 5 ft = 1.524 m, 10 ft = 3.048 m, 6 ft = 1.8288 m
const WHOLE = `spillcheck: 1
rooms:
  hall: {size: [30 ft, 20 ft], height: 3.5, floor: wood, walls: {top: brick, left: glass}}
  store: {size: [3, 3.048], origin: [9.144, 0], height: 2.4384}
baffles:
  screen-2: {from: [1, 1], to: [2.4384, 1.2192], height: 1.524, gap: 0.1, made-of: felt}
sources:
  organ: {at: [3.048, 3.048, 1.8288], instrument: organ, level: {spl: 85 dB, at: 3.048}}
players:
  tuba: {at: [2, 4], plays: tuba}
`;

test('a plan over a studio equals the plan written whole', async () => {
  const over = await readOver(OVER, { 'studios/hall.yaml': STUDIO });
  const whole = await read(WHOLE);
  expect(over.findings).toEqual([]);
  expect(whole.findings).toEqual([]);
  expect(rounded(over.plan)).toEqual(rounded({ ...whole.plan, unitsGiven: true }));
});

test('a fault in the studio is shown in the studio, one above it in the plan', async () => {
  const files = { 'studios/hall.yaml': 'rooms:\n  hall: {size: [9, 7], height: -3, colour: red}\n' };
  const { findings, spotOf } = await readOver(
    'spillcheck: 1\nstudio: studios/hall.yaml\nrooms:\n  hall: {floor: [1]}\n',
    files,
    'plans/a.yaml',
  );
  const shown = findings.map((finding) => ({ ...spotOf(finding), text: finding.code, told: finding.file }));
  expect(shown).toEqual([
    {
      file: 'plans/studios/hall.yaml',
      line: 2,
      column: 32,
      text: 'OUT_OF_RANGE',
      told: 'plans/studios/hall.yaml',
    },
    { file: 'plans/a.yaml', line: 4, column: 17, text: 'WRONG_TYPE', told: 'plans/a.yaml' },
    {
      file: 'plans/studios/hall.yaml',
      line: 2,
      column: 36,
      text: 'UNKNOWN_KEY',
      told: 'plans/studios/hall.yaml',
    },
  ]);
});

test('lists replace, and another form of a value replaces', async () => {
  const files = {
    's.yaml':
      'limits: {signal-to-bleed: 20}\nmics: {a: {for: [x, y], at: [1, 1], channel: [1, 2], stereo: ortf}}\n',
  };
  const { plan } = await readOver(
    'spillcheck: 1\nstudio: s.yaml\nlimits: {signal-to-bleed: {a: 10}}\nmics: {a: {for: [z], stereo: {spaced: 0.4}}}\n',
    files,
  );
  expect(plan?.mics.get('a')?.for).toEqual({ kind: 'parts', names: ['z'] });
  expect(plan?.mics.get('a')?.stereo).toEqual({ kind: 'spaced', distance: 0.4 });
  expect(plan?.limits.signalToBleed).toEqual({ mics: new Map([['a', 10]]) });
});

test('a part of a kit taken out above a studio is taken out of the kit', async () => {
  const files = {
    's.yaml':
      'players: {drums: {at: [1, 1], plays: drum-kit, parts: {tom-2: {level: 90 dB}, snare: {level: 99 dB}}}}\n',
  };
  const { plan } = await readOver(
    'spillcheck: 1\nstudio: s.yaml\nplayers: {drums: {parts: {tom-2: ~}}}\n',
    files,
  );
  const parts = plan?.players.get('drums')?.plays[0]?.parts;
  expect(parts?.get('tom-2')).toBeNull();
  expect(parts?.get('snare')?.level?.spl).toBe(99);
});

const chain = (length: number): Files =>
  Object.fromEntries(
    Array.from({ length }, (_, i) => [
      `s${i}.yaml`,
      i + 1 < length ? `studio: s${i + 1}.yaml\n` : 'title: last\n',
    ]),
  );

test('chains go to a depth of 8, each path from the file that holds it', async () => {
  const eight = await readOver('spillcheck: 1\nstudio: s0.yaml\n', chain(8));
  expect(eight.findings).toEqual([]);
  expect(eight.plan?.title).toBe('last');
  const nine = await readOver('spillcheck: 1\nstudio: s0.yaml\n', chain(9));
  expect(nine.findings).toMatchObject([
    { code: 'FILE_UNREADABLE', file: 's7.yaml', message: expect.stringContaining('more than 8') },
  ]);
  const nested = await readOver('spillcheck: 1\nstudio: a/b.yaml\n', {
    'a/b.yaml': 'studio: ../c.yaml\n',
    'c.yaml': 'title: c\n',
  });
  expect(nested.plan?.title).toBe('c');
});

test.each([
  '/etc/passwd',
  '../hall.yaml',
  'a/../../hall.yaml',
  'C:/hall.yaml',
  'c:hall.yaml',
  'https://x/hall.yaml',
  'a\\hall.yaml',
  '.',
  './',
])('studio: %s is refused, and never asked for', async (path) => {
  const { findings, asked, spotOf } = await readOver(`spillcheck: 1\nstudio: '${path}'\n`, {});
  expect(findings).toMatchObject([{ code: 'FILE_UNREADABLE' }]);
  expect(findings.map(spotOf)).toMatchObject([{ line: 2, column: 9 }]);
  expect(asked).toEqual([]);
});

test.each(['/etc/passwd', '../hall.yaml', 'a/../../hall.yaml'])(
  'studio: %s is told by path, line and the option that allows it',
  async (path) => {
    const { findings, show } = await readOver(`spillcheck: 1\nstudio: ${path}\n`, {});
    expect(show(findings)).toContain(
      `plan.yaml:2:9 FILE_UNREADABLE studio names ${path}, outside the plan's folder`,
    );
    expect(show(findings)).toContain('--allow-outside');
  },
);

test('with leave to go beyond the folder, each path counts from the file that holds it', async () => {
  const files = {
    '../shared/hall.yaml': 'studio: rooms/big.yaml\n',
    '../shared/rooms/big.yaml': 'studio: /srv/base.yaml\n',
    '/srv/base.yaml': 'studio: more/last.yaml\n',
    '/srv/more/last.yaml': 'title: {}\n',
  };
  const { findings, asked, spotOf } = await readOver(
    'spillcheck: 1\nstudio: ../shared/hall.yaml\n',
    files,
    'plans/a.yaml',
    true,
  );
  expect(asked).toEqual(Object.keys(files));
  expect(findings.map(spotOf)).toMatchObject([{ file: '/srv/more/last.yaml', line: 1 }]);
});

test('loops are refused: through others, to itself, to the plan', async () => {
  const files = {
    'a.yaml': 'studio: b.yaml\n',
    'b.yaml': 'studio: ./x/../a.yaml\n',
    'c.yaml': 'studio: plan.yaml\n',
  };
  for (const first of ['a.yaml', 'c.yaml', 'plan.yaml']) {
    const { findings } = await readOver(`spillcheck: 1\nstudio: ${first}\n`, files);
    expect(findings).toMatchObject([
      { code: 'FILE_UNREADABLE', message: expect.stringContaining('refers back to itself') },
    ]);
  }
});

test('a studio that is not there, or is not YAML, is said to be so at its place', async () => {
  const lost = await readOver('spillcheck: 1\nstudio: no.yaml\n', {});
  expect(lost.findings).toMatchObject([
    { code: 'FILE_UNREADABLE', message: expect.stringContaining('no.yaml: no such file') },
  ]);
  const torn = await readOver('spillcheck: 1\nstudio: s.yaml\n', { 's.yaml': 'rooms: {\n' });
  expect(torn.findings).toMatchObject([{ code: 'PLAN_SYNTAX', file: 's.yaml' }]);
});

test('version and units of a studio are its own, and looked at', async () => {
  const over = (studio: string) =>
    readOver('spillcheck: 1\nunits: m\nstudio: s.yaml\n', { 's.yaml': studio });
  expect((await over('units: feet\n')).findings).toMatchObject([
    { code: 'WRONG_TYPE', file: 's.yaml', path: ['units'] },
  ]);
  expect((await over('spillcheck: 2\n')).findings).toMatchObject([{ code: 'PLAN_VERSION', file: 's.yaml' }]);
  expect((await over('title: x\n')).findings).toEqual([]);
});

test('a studio that is a list, a number or nothing is not passed over', async () => {
  expect((await readOver('spillcheck: 1\nstudio: [a.yaml]\n', {})).findings[0]).toMatchObject({
    code: 'WRONG_TYPE',
    path: ['studio'],
  });
  expect((await readOver('spillcheck: 1\nstudio: 12\n', {})).findings).toMatchObject([
    { code: 'FILE_UNREADABLE' },
  ]);
  expect((await readOver('spillcheck: 1\nstudio:\n', {})).findings).toMatchObject([{ code: 'WRONG_TYPE' }]);
});
