/** Every key of the plan format in every form it may be written in. Expected values are worked out by hand. */
import { describe, expect, test } from 'vitest';
import { type PlanData, planSchema } from '../../src/plan/plan.ts';
import type { Reader } from '../../src/plan/schema.ts';
import { faultsOf, rounded, schemaOf } from './plans.ts';

/** Key and value, and what it is read as under the key in camel case. */
type Case = readonly [key: string, written: string, read: unknown];
type Place = {
  wrap: (key: string) => string;
  entry: (plan: Omit<PlanData, 'units'>) => unknown;
  cases: readonly Case[];
};

const PLACES: Readonly<Record<string, Place>> = {
  plan: {
    wrap: (line) => line,
    entry: (plan) => plan,
    cases: [
      ['spillcheck', '1', undefined],
      ['title', 'Hall', 'Hall'],
      ['title', '2024', '2024'],
      ['units', 'ft', undefined],
      ['studio', 'hall.yaml', undefined],
      ['rooms', '', new Map()],
      ['partitions', '{}', new Map()],
      ['baffles', '', new Map()],
      ['players', '', new Map()],
      ['sources', '', new Map()],
      ['listeners', '', new Map()],
      ['mics', '', new Map()],
      ['limits', '{}', { seeEachOther: [], hear: new Map(), balance: [], weighting: 'own' }],
      ['on-hand', '{}', { baffles: [], absorption: [], mics: [] }],
      ['floor', '{}', { noStands: new Map(), walkways: new Map() }],
      ['tolerance', '{}', {}],
      [
        'passages',
        '{verse: [a, b], solo: [a]}',
        new Map([
          ['verse', ['a', 'b']],
          ['solo', ['a']],
        ]),
      ],
    ],
  },
  air: {
    wrap: (line) => `air: {${line}}`,
    entry: (plan) => plan.air,
    cases: [
      ['temperature', '21.5', 21.5],
      ['temperature', '21 °C', 21],
      ['temperature', '68 degF', 20], // (68 − 32)·5/9
      ['humidity', '40', 40],
      ['humidity', '40 %', 40],
    ],
  },
  room: {
    wrap: (line) =>
      `rooms: {hall: {${/^(size|outline)/.test(line) ? '' : 'size: [4, 3], '}${line}${line.startsWith('height') ? '' : ', height: 3'}}}`,
    entry: (plan) => plan.rooms.get('hall'),
    cases: [
      ['height', '3.5', 3.5],
      ['height', '10 ft', 3.048],
      ['floor-level', '-0.5', -0.5],
      ['floor', 'wood', { name: 'wood' }],
      ['floor', '0.3', { absorption: 0.3 }],
      ['floor', '20 %', { absorption: 0.2 }],
      [
        'floor',
        '{1k: 0.5, 125 Hz: 0.1}',
        {
          absorption: {
            kind: 'bands',
            points: [
              [125, 0.1],
              [1000, 0.5],
            ],
          },
        },
      ],
      ['ceiling', 'tile', { name: 'tile' }],
      ['walls', 'brick', Array(4).fill({ name: 'brick' })],
      ['walls', '{125: 0.1}', Array(4).fill({ absorption: { kind: 'bands', points: [[125, 0.1]] } })],
      [
        'walls',
        '{top: a, right: b, bottom: c, left: d}',
        [{ name: 'c' }, { name: 'b' }, { name: 'a' }, { name: 'd' }],
      ],
      ['walls', '[a, b, 0.1, d]', [{ name: 'a' }, { name: 'b' }, { absorption: 0.1 }, { name: 'd' }]],
      [
        'outline',
        '[[0, 0], [3, 0], [0, 3]]',
        [
          [0, 0],
          [3, 0],
          [0, 3],
        ],
      ],
      [
        'patches',
        '{rug: {on: floor, finish: felt, area: 6 m2}}',
        new Map([['rug', { on: 'floor', finish: { name: 'felt' }, area: 6 }]]),
      ],
      [
        'patches',
        '{p: {on: left, finish: 0.8, area: 2}}',
        new Map([['p', { on: 3, finish: { absorption: 0.8 }, area: 2 }]]),
      ],
      ['reverberation', '0.8', { seconds: 0.8, measured: 'empty', decay: 'late' }],
      [
        'reverberation',
        '{500: 0.4 s, 125: 500 ms, measured: set-up}',
        {
          seconds: {
            kind: 'bands',
            points: [
              [125, 0.5],
              [500, 0.4],
            ],
          },
          measured: 'set-up',
          decay: 'late',
        },
      ],
      [
        'reverberation',
        '{500: 0.4 s, decay: early}',
        { seconds: { kind: 'bands', points: [[500, 0.4]] }, measured: 'empty', decay: 'early' },
      ],
      [
        'reverberation',
        '{500: 0.4 s, decay: {500: early}}',
        { seconds: { kind: 'bands', points: [[500, 0.4]] }, measured: 'empty', decay: [[500, 'early']] },
      ],
      [
        'contents',
        '{chair: 40, curtain: 12 m²}',
        new Map<string, unknown>([
          ['chair', { count: 40 }],
          ['curtain', { area: 12 }],
        ]),
      ],
      ['noise', '35', 35],
      ['noise', '35 dBA', 35],
      ['booth', 'true', true],
      ['control', 'true', true],
      ['outside', 'felt', { name: 'felt' }],
    ],
  },
  partition: {
    wrap: (line) =>
      `partitions: {p: {${line}${line.startsWith('between') ? '' : ', between: [a, outside]'}${line.startsWith('wall') ? '' : ', wall: brick'}}}`,
    entry: (plan) => plan.partitions.get('p'),
    cases: [
      ['between', '[a, b]', ['a', 'b']],
      ['wall', 'stud', { name: 'stud' }],
      ['wall', '{mass: 12}', { mass: 12 }],
      ['wall', '{mass: 12.5 kg/m2, absorption: 0.1}', { mass: 12.5, absorption: 0.1 }],
      [
        'wall',
        '{reduction: {125: 20, 1000: 40 dB}}',
        {
          reduction: {
            kind: 'bands',
            points: [
              [125, 20],
              [1000, 40],
            ],
          },
        },
      ],
      ['area', '12', 12],
      [
        'doors',
        '[{at: [1, 2], width: 90 cm, height: 2, leaf: oak}]',
        [{ at: [1, 2], width: 0.9, height: 2, state: 'closed', made: { name: 'oak' } }],
      ],
      [
        'doors',
        '[{at: [1, 2], width: 1, height: 2, state: open}]',
        [{ at: [1, 2], width: 1, height: 2, state: 'open' }],
      ],
      [
        'doors',
        '[{at: [1, 2], width: 1, height: 2, leaf: {reduction: 30, absorption: 0.1}, state: ajar}]',
        [{ at: [1, 2], width: 1, height: 2, state: 'ajar', made: { reduction: 30, absorption: 0.1 } }],
      ],
      [
        'windows',
        '[{at: [1, 2], width: 1, height: 1, sill: 0.9, glass: double}]',
        [{ at: [1, 2], width: 1, height: 1, sill: 0.9, state: 'closed', made: { name: 'double' } }],
      ],
      [
        'openings',
        '[{at: [1, 2], width: 1, height: 2, sill: 0}]',
        [{ at: [1, 2], width: 1, height: 2, sill: 0 }],
      ],
    ],
  },
  baffle: {
    wrap: (line) =>
      `baffles: {b: {${line}${['from: [0, 0]', 'to: [2, 0]', 'height: 2', 'made-of: felt']
        .filter((each) => !line.startsWith(`${each.split(' ')[0]}`))
        .map((each) => `, ${each}`)
        .join('')}}}`,
    entry: (plan) => plan.baffles.get('b'),
    cases: [
      ['from', '[-1, 4 ft]', [-1, 1.2192]],
      ['to', '[5, 5]', [5, 5]],
      ['height', '1.5', 1.5],
      ['gap', '5 cm', 0.05],
      [
        'made-of',
        '{reduction: 20, absorption: {125: 0.1}}',
        { reduction: 20, absorption: { kind: 'bands', points: [[125, 0.1]] } },
      ],
      ['window-from', '1.2', 1.2],
      ['fixed', 'true', true],
    ],
  },
  player: {
    wrap: (line) => `players: {p: {${line.startsWith('at:') ? line : `at: [1, 2], ${line}`}}}`,
    entry: (plan) => plan.players.get('p'),
    cases: [
      ['at', '[1.5, -2]', [1.5, -2]],
      ['facing', '-90', { bearing: 270 }],
      ['facing', '30 deg', { bearing: 30 }],
      ['facing', 'drums', { target: 'drums' }],
      ['standing', 'true', true],
      ['riser', '40 cm', 0.4],
      ['hands', 'left', 'left'],
      ['fixed', 'true', true],
      ['cue', 'one-off', { wearing: 'one-off' }],
      [
        'cue',
        '{wearing: in-ear, level: 85 dBA}',
        { wearing: 'in-ear', level: { spl: 85, weighting: 'A', at: 0 } },
      ],
      ['plays', 'tuba', [{ instrument: 'tuba', name: null, fixed: false, parts: new Map() }]],
      [
        'plays',
        '{v: {instrument: voice, later: tune}, g: guitar}',
        [
          { instrument: 'voice', later: 'tune', name: 'v', fixed: false, parts: new Map() },
          { instrument: 'guitar', name: 'g', fixed: false, parts: new Map() },
        ],
      ],
    ],
  },
  listener: {
    wrap: (line) => `listeners: {l: {${line.startsWith('at:') ? line : `at: [1, 2], ${line}`}}}`,
    entry: (plan) => plan.listeners.get('l'),
    cases: [
      ['at', '[0, 0]', [0, 0]],
      ['facing', 'stage', { target: 'stage' }],
      ['standing', 'false', false],
      ['riser', '0.2', 0.2],
      ['cue', 'none', { wearing: 'none' }],
      ['fixed', 'true', true],
    ],
  },
  source: {
    wrap: (line) =>
      `sources: {s: {${line.startsWith('at:') ? line : `at: [1, 2, 3], ${line}`}${/^(instrument|power)/.test(line) ? '' : ', instrument: organ'}${line.startsWith('spectrum') ? ', level: 90 dB' : ''}}}`,
    entry: (plan) => plan.sources.get('s'),
    cases: [
      ['at', '[1, 2]', { x: 1, y: 2 }],
      ['at', '[1, 2, 0.4]', { x: 1, y: 2, z: 0.4 }],
      ['instrument', 'bell', 'bell'],
      [
        'spectrum',
        '{125: 0, 1k: -6 dB}',
        {
          kind: 'bands',
          points: [
            [125, 0],
            [1000, -6],
          ],
        },
      ],
      ['directivity', '{Q: 2}', { kind: 'factors', q: 2 }],
      [
        'directivity',
        '{Q: {1000: 4}, front-to-back: 12 dB}',
        { kind: 'factors', q: { kind: 'bands', points: [[1000, 4]] }, frontToBack: 12 },
      ],
      [
        'directivity',
        '{table: {angle_deg: [0, 90, 180], 1000: [0, -3, -9]}}',
        { kind: 'table', table: { angles: [0, 90, 180], columns: [{ hertz: 1000, levels: [0, -3, -9] }] } },
      ],
      ['radius', '15 cm', 0.15],
      [
        'power',
        '{63: 80, 8000: 60}',
        {
          kind: 'bands',
          points: [
            [63, 80],
            [8000, 60],
          ],
        },
      ],
      ['power', '90', 90],
      ['facing', '45', { bearing: 45 }],
      ['tilt', '-20', -20],
      ['level', '88 dB', { spl: 88, weighting: 'Z', at: 1, unsaid: ['distance'] }],
      ['level', '88 dBA at 2 m', { spl: 88, weighting: 'A', at: 2 }],
      ['level', '82 dBC', { spl: 82, weighting: 'C', at: 1, unsaid: ['distance'] }],
      ['level', '82 dB(A) at 50 cm', { spl: 82, weighting: 'A', at: 0.5 }],
      ['level', '88', { spl: 88, weighting: 'A', at: 1, unsaid: ['weighting', 'distance'] }],
      ['level', '{spl: 88, weighting: Z, at: 3 ft}', { spl: 88, weighting: 'Z', at: 0.9144 }],
      ['level', '{spl: 88 dBC}', { spl: 88, weighting: 'C', at: 1, unsaid: ['distance'] }],
      ['dynamic', 'ff', 'ff'],
      ['dynamic', 'soft', 'soft'],
      ['playing', 'brushes', 'brushes'],
      ['later', 'leave', 'leave'],
      ['part', 'bass', 'bass'],
      ['repeats', 'voice', 'voice'],
      ['player', 'anna', { name: 'anna' }],
      [
        'player',
        '{at: [3, 3], facing: drums}',
        { person: { at: [3, 3], facing: { target: 'drums' }, fixed: false } },
      ],
      [
        'section',
        '{players: 12, rows: 2, size: [4, 1.5], rise: 20 cm}',
        { players: 12, rows: 2, size: [4, 1.5], rise: 0.2 },
      ],
      ['section', '{players: 3, size: [2, 1]}', { players: 3, size: [2, 1], rise: 0 }],
      ['cover', 'duvet', { name: 'duvet' }],
      ['cover', '6', { loss: 6 }],
      [
        'cover',
        '{125: 2, 4000: 12}',
        {
          loss: {
            kind: 'bands',
            points: [
              [125, 2],
              [4000, 12],
            ],
          },
        },
      ],
      ['fixed', 'true', true],
    ],
  },
  mic: {
    wrap: (line) =>
      `mics: {m: {${line.startsWith('for') ? line : `for: a, ${line}`}${/^(at|near|di)/.test(line) ? '' : ', at: [1, 2]'}}}`,
    entry: (plan) => plan.mics.get('m'),
    cases: [
      ['for', 'tuba', { kind: 'parts', names: ['tuba'] }],
      ['for', '[tuba, drums.snare]', { kind: 'parts', names: ['tuba', 'drums.snare'] }],
      ['for', 'all', { kind: 'all' }],
      ['for', 'room', { kind: 'room' }],
      ['di', 'true', true],
      ['at', '[1, 2]', { x: 1, y: 2 }],
      ['at', '[1, 2, 1.5]', { x: 1, y: 2, z: 1.5 }],
      ['near', '{distance: 20 cm}', { distance: 0.2, angle: 0, side: 'right' }],
      [
        'near',
        '{distance: 0.3, angle: 45, side: left, height: 1.2}',
        { distance: 0.3, angle: 45, side: 'left', height: 1.2 },
      ],
      ['near', '{distance: 0.3, above: 10 cm}', { distance: 0.3, angle: 0, side: 'right', above: 0.1 }],
      ['near', '{distance: 0.3, below: 10 cm}', { distance: 0.3, angle: 0, side: 'right', below: 0.1 }],
      ['aim', 'drums', { target: 'drums' }],
      ['aim', '400', { bearing: 40 }],
      ['aim', '{bearing: 90 deg, tilt: -30}', { bearing: 90, tilt: -30 }],
      ['aim', '{bearing: 90}', { bearing: 90 }],
      ['null-at', 'guitar', 'guitar'],
      ['aim-loss', '3 dB', 3],
      ['pattern', 'figure-8', { name: 'figure-8' }],
      ['pattern', '0.6', { a: 0.6 }],
      ['pattern', '{A: 0.6}', { a: 0.6 }],
      [
        'pattern',
        '{A: {125: 0.7, 8000: 0.5}}',
        {
          a: {
            kind: 'bands',
            points: [
              [125, 0.7],
              [8000, 0.5],
            ],
          },
        },
      ],
      [
        'pattern',
        '{table: {angle_deg: [0, 180], 1000: [0, -20 dB]}}',
        { table: { angles: [0, 180], columns: [{ hertz: 1000, levels: [0, -20] }] } },
      ],
      ['null-depth', '20 dB', 20],
      ['null-depth', 'textbook', 'textbook'],
      ['proximity', 'false', false],
      ['inside', 'true', true],
      ['switchable', '[omni, cardioid]', ['omni', 'cardioid']],
      ['stereo', 'ortf', { kind: 'ortf' }],
      ['stereo', 'nos', { kind: 'nos' }],
      ['stereo', 'crossed-8', { kind: 'crossed-8' }],
      ['stereo', 'mid-side', { kind: 'mid-side' }],
      ['stereo', 'xy', { kind: 'xy', angle: 90 }],
      ['stereo', '{xy: 110}', { kind: 'xy', angle: 110 }],
      ['stereo', '{spaced: 90 cm}', { kind: 'spaced', distance: 0.9 }],
      ['stereo', '{spaced: 3 ft, line: 90}', { kind: 'spaced', distance: 0.9144, line: 90 }],
      ['mix', '-6 dB', -6],
      ['high-pass', '100', { at: 100, slope: 12 }],
      ['high-pass', '{at: 80 Hz, slope: 18}', { at: 80, slope: 18 }],
      ['low-pass', '1.2 kHz', { at: 1200, slope: 12 }],
      ['channel', '7', ['7']],
      ['channel', 'B1', ['B1']],
      ['use', 'false', false],
      ['fixed', 'true', true],
    ],
  },
  limits: {
    wrap: (line) => `limits: {${line}}`,
    entry: (plan) => plan.limits,
    cases: [
      ['signal-to-bleed', '20 dB', { all: 20 }],
      [
        'signal-to-bleed',
        '{voice-mic: 20 dB, b: 6}',
        {
          mics: new Map([
            ['voice-mic', 20],
            ['b', 6],
          ]),
        },
      ],
      ['ghost', '{tuba: -25 dB}', new Map([['tuba', -25]])],
      ['isolation', '20', { all: 20 }],
      ['isolation', '{tuba: 15}', { parts: new Map([['tuba', 15]]) }],
      ['three-to-one', 'true', 3],
      ['three-to-one', '2.5', 2.5],
      ['three-to-one', 'false', undefined],
      [
        'see-each-other',
        '[[a, b], [a, c, d]]',
        [
          ['a', 'b'],
          ['a', 'c', 'd'],
        ],
      ],
      ['hear', '{a: [b, c]}', new Map([['a', ['b', 'c']]])],
      [
        'balance',
        '[{of: a, over: [b, c], least: 3 dB}, {of: [a], over: b, least: -3, at: main}]',
        [
          { of: ['a'], over: ['b', 'c'], least: 3 },
          { of: ['a'], over: ['b'], least: -3, at: 'main' },
        ],
      ],
      ['direct-to-reverberant', '-6 dB', { all: -6 }],
      ['direct-to-reverberant', '{main: 0}', { mics: new Map([['main', 0]]) }],
      ['session-length', '3', 10800], // hours
      ['session-length', '90 min', 5400],
      ['weighting', 'A', 'A'],
      ['confidence', '90 %', 0.9],
    ],
  },
  tolerance: {
    wrap: (line) => `tolerance: {${line}}`,
    entry: (plan) => plan.tolerance,
    cases: [
      ['aim', '8', 8],
      ['facing', '20 deg', 20],
      ['place', '10 cm', 0.1],
      ['near', '20 %', 0.2],
      ['level', '3', 3],
      ['guessed-level', '6 dB', 6],
      ['null-depth', '[15, 30]', [15, 30]],
      ['panel', '3', 3],
      ['absorption', '0.2', 0.2],
      ['reverberation', '10 %', 0.1],
      ['seed', '7', 7],
      ['draws', '500', 500],
    ],
  },
  'on-hand': {
    wrap: (line) => `on-hand: {${line}}`,
    entry: (plan) => plan.onHand,
    cases: [
      [
        'baffles',
        '[{made-of: felt, width: 1.5, height: 6 ft, count: 2}]',
        [{ madeOf: { name: 'felt' }, width: 1.5, height: 1.8288, count: 2 }],
      ],
      ['absorption', '[{finish: felt, area: 6}]', [{ finish: { name: 'felt' }, area: 6, count: 1 }]],
      ['mics', '[{patterns: [omni, cardioid], count: 4}]', [{ patterns: ['omni', 'cardioid'], count: 4 }]],
    ],
  },
  floor: {
    wrap: (line) => `floor: {${line}}`,
    entry: (plan) => plan.floor,
    cases: [
      [
        'no-stands',
        '{pit: [[0, 0], [1, 0], [0, 1]]}',
        new Map([
          [
            'pit',
            [
              [0, 0],
              [1, 0],
              [0, 1],
            ],
          ],
        ]),
      ],
      [
        'walkways',
        '{door: {along: [[0, 0], [3, 0]], width: 90 cm}}',
        new Map([
          [
            'door',
            {
              along: [
                [0, 0],
                [3, 0],
              ],
              width: 0.9,
            },
          ],
        ]),
      ],
      ['elbow-room', '0.6', 0.6],
    ],
  },
};

const camel = (key: string) => key.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());

describe.each(Object.entries(PLACES))('%s', (_place, { wrap, entry, cases }) => {
  test.each(cases)('%s: %s', async (key, written, read) => {
    const plan = await schemaOf(wrap(`${key}: ${written}`));
    const value = (entry(plan) as Record<string, unknown>)[camel(key)];
    expect(rounded(value)).toEqual(rounded(read));
  });
});

test('a rectangle has a size and an origin', async () => {
  const { rooms } = await schemaOf('rooms: {hall: {size: [4, 3], origin: [1, -2], height: 3}}');
  expect(rooms.get('hall')?.outline).toEqual([
    [1, -2],
    [5, -2],
    [5, 1],
    [1, 1],
  ]);
});

test('bare lengths of a file in feet, and nothing else of it, count in feet', async () => {
  const plan = await schemaOf(
    'units: ft\nsources: {s: {at: [10, 20, 4], instrument: x, radius: 1, tilt: 10, level: {spl: 80 dB, at: 3}}}\nrooms: {r: {size: [10, 10], height: 10, contents: {chair: 10}, patches: {p: {on: floor, finish: x, area: 6}}}}\n',
  );
  const source = plan.sources.get('s');
  // 10, 20, 4, 1 and 3 times 0.3048
  expect(source?.at.x).toBeCloseTo(3.048, 12);
  expect(source?.at.y).toBeCloseTo(6.096, 12);
  expect(source?.at.z).toBeCloseTo(1.2192, 12);
  expect(source?.radius).toBe(0.3048);
  expect(source?.tilt).toBe(10);
  expect(source?.level?.at).toBeCloseTo(0.9144, 12);
  expect(plan.rooms.get('r')?.contents.get('chair')).toEqual({ count: 10 });
  expect(plan.rooms.get('r')?.patches.get('p')?.area).toBe(6);
});

test('what a player says of all he plays holds where an instrument says nothing', async () => {
  const plan = await schemaOf(
    'players: {p: {at: [0, 0], later: tune, level: 90 dB, playing: bowed, plays: {a: x, b: {instrument: x, dynamic: ff, later: leave}, c: {instrument: x, power: 80}}}}',
  );
  const said = plan.players
    .get('p')
    ?.plays.map(({ later, level, dynamic, playing }) => [later, level?.spl, dynamic, playing]);
  expect(said).toEqual([
    ['tune', 90, undefined, 'bowed'],
    ['leave', undefined, 'ff', 'bowed'],
    ['tune', undefined, undefined, 'bowed'],
  ]);
});

test('source keys of a player are those of his single instrument', async () => {
  const plan = await schemaOf(
    'players: {p: {at: [0, 0], fixed: true, plays: x, radius: 0.1, tilt: 5, part: q, cover: lid, spectrum: {125: 0}, level: 80 dB, directivity: {Q: 2}, parts: {snare: ~, crash-2: {instrument: crash, at: [1, 1, 1]}}}}',
  );
  expect(plan.players.get('p')?.plays).toEqual([
    {
      instrument: 'x',
      name: null,
      fixed: true,
      radius: 0.1,
      tilt: 5,
      part: 'q',
      cover: { name: 'lid' },
      spectrum: { kind: 'bands', points: [[125, 0]] },
      level: { spl: 80, weighting: 'Z', at: 1, unsaid: ['distance'] },
      directivity: { kind: 'factors', q: 2 },
      parts: new Map<string, unknown>([
        ['snare', null],
        ['crash-2', { instrument: 'crash', at: { x: 1, y: 1, z: 1 }, fixed: false }],
      ]),
    },
  ]);
});

test('an instrument in `plays` has a place, an axis and kit parts of its own; a player may play nothing', async () => {
  const plan = await schemaOf(
    'players: {p: {at: [0, 0], plays: {k: {instrument: kit, at: [1, 1], facing: p, parts: {tom: {level: 90 dB}}}}}, q: {at: [1, 0]}}',
  );
  const [kit] = plan.players.get('p')?.plays ?? [];
  expect([kit?.at, kit?.facing]).toEqual([{ x: 1, y: 1 }, { target: 'p' }]);
  expect(kit?.parts.get('tom')?.level?.spl).toBe(90);
  expect(plan.players.get('q')?.plays).toEqual([]);
});

test('an own instrument under `instrument` does as well as under `plays`', async () => {
  const plan = await schemaOf('players: {p: {at: [0, 0], instrument: x}}');
  expect(plan.players.get('p')?.plays[0]?.instrument).toBe('x');
});

test('a pair needs two channels', async () => {
  const plan = await schemaOf('mics: {m: {for: all, at: [0, 0, 2], stereo: ortf, channel: [1, 2]}}');
  expect(plan.mics.get('m')?.channel).toEqual(['1', '2']);
});

test.each<[string, readonly (string | number)[], string, RegExp]>([
  [
    'rooms: {r: {size: [4, 3], height: 3, floor: {100: 0.1}}}',
    ['rooms', 'r', 'floor', '100'],
    'UNKNOWN_KEY',
    /not an octave band/,
  ],
  [
    'rooms: {r: {size: [4, 3], height: 3, floor: {1000: 0.1, 1k: 0.2}}}',
    ['rooms', 'r', 'floor', '1k'],
    'BAD_NAME',
    /repeats the 1000 Hz octave/,
  ],
  [
    'rooms: {r: {size: [4, 3], height: 3, floor: {}}}',
    ['rooms', 'r', 'floor'],
    'WRONG_TYPE',
    /a map by band/,
  ],
  ['rooms: {r: {size: [4, 3], height: 3, floor: 1.2}}', ['rooms', 'r', 'floor'], 'OUT_OF_RANGE', /0 to 1/],
  [
    'rooms: {r: {size: [4, 3], height: 3, reverberation: {measured: empty}}}',
    ['rooms', 'r', 'reverberation'],
    'WRONG_TYPE',
    /a map by band/,
  ],
  [
    'rooms: {r: {size: [4, 3], height: 3, reverberation: {500: 0.4, decay: edt}}}',
    ['rooms', 'r', 'reverberation', 'decay'],
    'WRONG_TYPE',
    /one of late, early/,
  ],
  [
    'rooms: {r: {size: [4, 3], height: 3, contents: {chair: 1.5}}}',
    ['rooms', 'r', 'contents', 'chair'],
    'OUT_OF_RANGE',
    /whole number/,
  ],
  [
    'rooms: {r: {size: [4, 3], height: 3, noise: 40 dBC}}',
    ['rooms', 'r', 'noise'],
    'BAD_VALUE',
    /A-weighted/,
  ],
  ['rooms: [a]', ['rooms'], 'WRONG_TYPE', /a map of names/],
  ['air: {humidity: 0.5}', ['air', 'humidity'], 'OUT_OF_RANGE', /1 to 100 %/],
  [
    'partitions: {p: {between: [a, a], wall: x}}',
    ['partitions', 'p', 'between'],
    'BAD_POSITION',
    /same room twice/,
  ],
  [
    'partitions: {p: {between: [a, b], wall: x, doors: [{at: [1, 1], width: 1, height: 2}]}}',
    ['partitions', 'p', 'doors', 0, 'leaf'],
    'MISSING_KEY',
    /is missing/,
  ],
  [
    'partitions: {p: {between: [a, b], wall: x, openings: [{at: [1, 1], width: 1, height: 2, state: open}]}}',
    ['partitions', 'p', 'openings', 0, 'state'],
    'UNKNOWN_KEY',
    /an opening/,
  ],
  [
    'baffles: {b: {from: [1, 1], to: [1, 1.01], height: 2, made-of: x}}',
    ['baffles', 'b', 'to'],
    'BAD_POSITION',
    /same point/,
  ],
  [
    'baffles: {b: {from: [1, 1], to: [2, 1], height: 2, gap: 2, made-of: x}}',
    ['baffles', 'b', 'gap'],
    'OUT_OF_RANGE',
    /less than its height/,
  ],
  [
    'baffles: {b: {from: [1, 1], to: [2, 1], height: 2, window-from: 3, made-of: x}}',
    ['baffles', 'b', 'window-from'],
    'OUT_OF_RANGE',
    /less than its height/,
  ],
  [
    'players: {p: {at: [1, 1, 0.4], plays: x}}',
    ['players', 'p', 'at'],
    'WRONG_TYPE',
    /must be \[x, y\], got a list of 3/,
  ],
  [
    'players: {p: {at: [1, 1], plays: {a: x, b: x}, radius: 1}}',
    ['players', 'p', 'radius'],
    'WRONG_TYPE',
    /combined with `plays`/,
  ],
  [
    'players: {p: {at: [1, 1], plays: x, instrument: y}}',
    ['players', 'p', 'instrument'],
    'WRONG_TYPE',
    /combined with `plays`/,
  ],
  [
    'players: {p: {at: [1, 1], plays: {a: {level: 80 dB}}}}',
    ['players', 'p', 'plays', 'a', 'instrument'],
    'MISSING_KEY',
    /is missing/,
  ],
  ['players: {p: {at: [1, 1], later: tune}}', ['players', 'p', 'plays'], 'MISSING_KEY', /is missing/],
  [
    'players: {p: {at: [1, 1], plays: x, facing: 3 m}}',
    ['players', 'p', 'facing'],
    'BAD_VALUE',
    /3 m, which is not an angle/,
  ],
  [
    'players: {p: {at: [1, 1], plays: x, cue: closd}}',
    ['players', 'p', 'cue'],
    'WRONG_TYPE',
    /one of closed/,
  ],
  [
    'players: {p: {at: [1, 1], plays: x, standing: yes}}',
    ['players', 'p', 'standing'],
    'WRONG_TYPE',
    /true or false/,
  ],
  ['sources: {s: {instrument: x}}', ['sources', 's', 'at'], 'MISSING_KEY', /is missing/],
  ['sources: {s: {at: [1, 1]}}', ['sources', 's', 'instrument'], 'MISSING_KEY', /is missing/],
  [
    'sources: {s: {at: [1, 1], instrument: x, directivity: {Q: 0.5}}}',
    ['sources', 's', 'directivity', 'Q'],
    'OUT_OF_RANGE',
    /1 to/,
  ],
  [
    'sources: {s: {at: [1, 1], instrument: x, directivity: {}}}',
    ['sources', 's', 'directivity'],
    'WRONG_TYPE',
    /either `Q` or `table`/,
  ],
  [
    'sources: {s: {at: [1, 1], instrument: x, directivity: {table: {angle_deg: [0, 90], 125: [0, 1]}}}}',
    ['sources', 's', 'directivity', 'table', 'angle_deg'],
    'OUT_OF_RANGE',
    /from 0 to 180/,
  ],
  [
    'sources: {s: {at: [1, 1], instrument: x, directivity: {table: {angle_deg: [0, 180], 125: [0]}}}}',
    ['sources', 's', 'directivity', 'table', '125'],
    'WRONG_TYPE',
    /a list of/,
  ],
  [
    'sources: {s: {at: [1, 1], instrument: x, level: {spl: 80 dBA, weighting: C}}}',
    ['sources', 's', 'level', 'weighting'],
    'WRONG_TYPE',
    /is given twice/,
  ],
  [
    'sources: {s: {at: [1, 1], instrument: x, level: 80 phon}}',
    ['sources', 's', 'level'],
    'BAD_VALUE',
    /80 phon, which is not a value in dB/,
  ],
  [
    'sources: {s: {at: [1, 1], instrument: x, level: 300 dB}}',
    ['sources', 's', 'level'],
    'OUT_OF_RANGE',
    /0 to 160 dB/,
  ],
  ['mics: {m: {for: [a, all], at: [1, 1]}}', ['mics', 'm', 'for'], 'WRONG_TYPE', /`all` among names/],
  ['mics: {m: {for: a}}', ['mics', 'm'], 'MISSING_KEY', /neither `at` nor `near`/],
  [
    'mics: {m: {for: a, at: [1, 1], near: {distance: 1}}}',
    ['mics', 'm', 'near'],
    'WRONG_TYPE',
    /combined with `at`/,
  ],
  [
    'mics: {m: {for: a, at: [1, 1], aim: b, null-at: c}}',
    ['mics', 'm', 'null-at'],
    'WRONG_TYPE',
    /combined with `aim`/,
  ],
  [
    'mics: {m: {for: a, di: true, pattern: omni}}',
    ['mics', 'm', 'pattern'],
    'WRONG_TYPE',
    /no effect on a DI/,
  ],
  ['mics: {m: {for: all, near: {distance: 1}}}', ['mics', 'm', 'near'], 'WRONG_TYPE', /for `all`/],
  [
    'mics: {m: {for: a, near: {distance: 0.1, above: 0.2}}}',
    ['mics', 'm', 'near', 'above'],
    'BAD_POSITION',
    /more than `distance`/,
  ],
  [
    'mics: {m: {for: a, near: {distance: 1, above: 0.2, height: 1}}}',
    ['mics', 'm', 'near'],
    'WRONG_TYPE',
    /height twice/,
  ],
  [
    'mics: {m: {for: a, at: [1, 1], channel: [1, 2]}}',
    ['mics', 'm', 'channel'],
    'WRONG_TYPE',
    /2 inputs, but a single mic needs one/,
  ],
  [
    'mics: {m: {for: a, at: [1, 1], stereo: ortf, channel: 1}}',
    ['mics', 'm', 'channel'],
    'WRONG_TYPE',
    /1 input, but a pair needs two/,
  ],
  [
    'mics: {m: {for: a, at: [1, 1], stereo: {xy: 90, spaced: 1}}}',
    ['mics', 'm', 'stereo'],
    'WRONG_TYPE',
    /either `xy` or `spaced`/,
  ],
  [
    'mics: {m: {for: a, at: [1, 1], stereo: {xy: 90, line: 1}}}',
    ['mics', 'm', 'stereo', 'line'],
    'WRONG_TYPE',
    /needs `spaced`/,
  ],
  [
    'mics: {m: {for: a, at: [1, 1], null-depth: deep}}',
    ['mics', 'm', 'null-depth'],
    'WRONG_TYPE',
    /textbook/,
  ],
  [
    'mics: {m: {for: a, at: [1, 1], high-pass: {at: 80, slope: 10}}}',
    ['mics', 'm', 'high-pass', 'slope'],
    'OUT_OF_RANGE',
    /multiple of 6/,
  ],
  ['limits: {three-to-one: maybe}', ['limits', 'three-to-one'], 'BAD_VALUE', /a number/],
  [
    'floor: {no-stands: {a: [[0, 0], [1, 1], [1, 0], [0, 1]]}}',
    ['floor', 'no-stands', 'a'],
    'BAD_POSITION',
    /crosses itself/,
  ],
])('%s is refused at its place', async (text, path, code, message) => {
  expect(await faultsOf(text)).toMatchObject([
    { path, code, message: expect.stringMatching(message), fix: expect.any(String) },
  ]);
});

test('every key of the schema stands in a test above, and has a description', () => {
  const tested = new Set(
    Object.values(PLACES).flatMap(({ cases }) =>
      cases.flatMap(([key, written]) => [key, ...(written.match(/[\w-]+(?=:)/g) ?? [])]),
    ),
  );
  for (const key of ['size', 'origin', 'air', 'instrument', 'parts']) tested.add(key); // in tests of their own
  const seen = new Set<string>();
  walk(planSchema, (key, description) => {
    seen.add(key);
    expect(description, key).toBeTruthy();
  });
  expect([...seen].filter((key) => !tested.has(key))).toEqual([]);
  expect(seen.size).toBeGreaterThan(100);
});

function walk({ shape }: Reader<unknown>, visit: (key: string, description: string) => void): void {
  if (shape.kind === 'object') {
    for (const [name, key] of Object.entries(shape.keys)) {
      visit(name, key.description);
      walk(key.reader, visit);
    }
  }
  const inside =
    'item' in shape ? [shape.item] : 'items' in shape ? shape.items : 'forms' in shape ? shape.forms : [];
  for (const each of inside) walk(each, visit);
}
