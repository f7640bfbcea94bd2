/** The plan's JSON Schema, held against a general-purpose validator of draft 7 and against the reader it is made from. */
import { readdirSync, readFileSync } from 'node:fs';
import { Ajv, type ValidateFunction } from 'ajv';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { shelvesOf } from '../../src/catalogue/entries.ts';
import { readDocument, type Scalar } from '../../src/plan/document.ts';
import {
  BAND_PATTERN,
  exampleOfKey,
  type Json,
  jsonOf,
  levelPattern,
  NAME_PATTERN,
  NO_NAME_PATTERN,
  planJsonSchema,
  quantityPattern,
  titleOf,
  UNCOMMON,
} from '../../src/plan/json-schema.ts';
import { nameFault } from '../../src/plan/names.ts';
import { planSchema } from '../../src/plan/plan.ts';
import { byBand, quantity, readWith, type Shape, type ShapeOf } from '../../src/plan/schema.ts';
import { DIMENSIONS, type Dimension, readQuantity, uncommon } from '../../src/plan/units.ts';
import { level } from '../../src/plan/values.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { sized } from '../sized.ts';

const shelves = shelvesOf(shippedCatalogue());
const schema = planJsonSchema(shelves);
const FIXTURES = new URL('../../fixtures/', import.meta.url);

/** Strict: what draft 7 does not know is an error; only the words that editors show in place of a pattern are ours. */
const ajv = new Ajv({ allowUnionTypes: true, strictRequired: false, strictTypes: false });
ajv.addVocabulary(['patternErrorMessage']);
ajv.addSchema(schema, 'plan');
const valid = ajv.getSchema('plan') as ValidateFunction;

const accepts = (plan: unknown): boolean => valid(plan);
const fixture = (name: string): unknown => parse(readFileSync(new URL(name, FIXTURES), 'utf8'));

const plansIn = (folder: string) =>
  readdirSync(new URL(folder, FIXTURES))
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => `${folder}${name}`);

test('it is a schema of draft 7', () => {
  expect(schema.$schema).toBe('http://json-schema.org/draft-07/schema#');
  expect({ valid: ajv.validateSchema(schema), errors: ajv.errors }).toEqual({ valid: true, errors: null });
});

test.each([...plansIn(''), ...plansIn('studio/')])('%s is valid', (name) => {
  valid(fixture(name));
  expect(valid.errors).toBeNull();
});

test.each([...plansIn(''), ...plansIn('studio/')])('%s leads editors to the schema that ships', (name) => {
  const [line = ''] = readFileSync(new URL(name, FIXTURES), 'utf8').split('\n');
  const [, path = ''] = /^# yaml-language-server: \$schema=(\S+)$/.exec(line) ?? [];
  expect(new URL(path, new URL(name, FIXTURES)).href).toBe(
    new URL('../../shared/schemas/plan.schema.json', import.meta.url).href,
  );
});

describe('broken plans', () => {
  /** Faults of YAML itself, of places that only arithmetic sees, and of names in two maps: no schema can tell. */
  const BEYOND = [
    ...['alias-bomb', 'alias-loop', 'alias-of-nothing', 'duplicate-name', 'not-yaml'],
    ...['proto', 'standard-tag', 'tab', 'tag', 'two-documents', 'self-crossing', 'no-area', 'shared-name'],
  ];
  const told = plansIn('broken/').filter((name) => !BEYOND.some((word) => name === `broken/${word}.yaml`));

  test.each(told)('%s is refused', (name) => {
    expect(accepts(fixture(name))).toBe(false);
  });
});

describe('one slip in a good plan', () => {
  const GOOD = `
spillcheck: 1
title: A hall
units: m
rooms:
  hall: {size: [9, 7], height: 3.6, floor: wood-on-joists, contents: {chair-wooden: 20}, reverberation: {500: 0.9}}
partitions:
  wall: {between: [hall, outside], wall: two-layer-gypsum, doors: [{at: [9, 2], width: 0.9, height: 2, leaf: solid-core-sealed}]}
baffles:
  screen: {from: [3, 2], to: [4.5, 2], height: 1.5, made-of: upholstered-baffle}
players:
  tuba: {at: [2, 4], facing: 90, plays: tuba, later: leave, level: 88 dBA at 1 m}
  duo: {at: [5, 4], plays: {voice: {instrument: singing-voice}, guitar: steel-string-guitar}}
sources:
  bell: {at: [1, 1, 2], spectrum: {500: 0}, level: 90 dB, directivity: {Q: 2}}
mics:
  tuba-mic: {for: tuba, near: {distance: 30 cm}, pattern: cardioid, high-pass: 80 Hz}
  main: {for: all, at: [4, 3, 2.4], aim: {bearing: 0}, stereo: {spaced: 90 cm}}
limits: {signal-to-bleed: {tuba-mic: 12 dB}, session-length: 3, three-to-one: true}
on-hand: {mics: [{patterns: [omni], count: 2}]}
`;

  test('the good plan is valid', () => {
    expect({ ok: accepts(parse(GOOD)), errors: valid.errors }).toEqual({ ok: true, errors: null });
  });

  test.each([
    ['an unknown key at the top', 'title: A hall', 'titel: A hall'],
    ['an unknown key of a room', 'height: 3.6', 'height: 3.6, hieght: 3'],
    ['an unknown key of a mic', 'high-pass', 'highpass'],
    ['no version', 'spillcheck: 1', ''],
    ['another version', 'spillcheck: 1', 'spillcheck: 2'],
    ['units that are none', 'units: m', 'units: yards'],
    ['a room without a height', 'height: 3.6, ', ''],
    ['a room without a shape', 'size: [9, 7], ', ''],
    ['a room of two shapes', 'size: [9, 7]', 'size: [9, 7], outline: [[0, 0], [1, 0], [0, 1]]'],
    ['a size of three', 'size: [9, 7]', 'size: [9, 7, 3]'],
    ['a height in kilograms', 'height: 3.6', 'height: 3 kg'],
    ['a height with a comma', 'height: 3.6', 'height: "3,6"'],
    ['a height as a list', 'height: 3.6', 'height: [3.6]'],
    ['a height below the floor', 'height: 3.6', 'height: -3.6'],
    ['a finish that is none', 'wood-on-joists', 'wood-on-joist'],
    ['an absorption over 1', 'floor: wood-on-joists', 'floor: 1.2'],
    ['an absorption in metres', 'floor: wood-on-joists', 'floor: 20 cm'],
    ['a thing in no catalogue', 'chair-wooden: 20', 'chair-woden: 20'],
    ['half a chair', 'chair-wooden: 20', 'chair-wooden: 1.5'],
    ['no octave band', 'reverberation: {500: 0.9}', 'reverberation: {600: 0.9}'],
    ['a partition without a wall', 'wall: two-layer-gypsum, ', ''],
    ['a partition of three rooms', 'between: [hall, outside]', 'between: [hall, outside, a]'],
    ['a wall for a leaf', 'leaf: solid-core-sealed', 'leaf: two-layer-gypsum'],
    ['a door without a leaf', ', leaf: solid-core-sealed', ''],
    ['a baffle without an end', 'to: [4.5, 2], ', ''],
    ['a panel that is none', 'upholstered-baffle', 'upholstery'],
    ['a player nowhere', 'at: [2, 4], facing: 90', 'facing: 90'],
    ['a bearing in hertz', 'facing: 90', 'facing: 90 Hz'],
    ['an instrument that is none', 'plays: tuba', 'plays: tubba'],
    ['an instrument twice', 'plays: tuba', 'plays: tuba, instrument: tuba'],
    ['a purpose that is none', 'later: leave', 'later: fix'],
    ['a level in metres', 'level: 88 dBA at 1 m', 'level: 88 m'],
    ['a level at a bearing', 'level: 88 dBA at 1 m', 'level: 88 dBA at 90 deg'],
    ['a name with a dot', '  bell:', '  a.bell:'],
    ['a name that is a quantity', '  bell:', '  6 ft:'],
    ['a name that is taken', '  bell:', '  all:'],
    ['a source that makes no sound', 'spectrum: {500: 0}, ', ''],
    ['a spectrum without a level', ', level: 90 dB', ''],
    ['a directivity in two ways', 'directivity: {Q: 2}', 'directivity: {Q: 2, table: x.csv}'],
    ['a mic for nobody', '{for: tuba, ', '{'],
    ['a mic nowhere', 'near: {distance: 30 cm}, ', ''],
    ['a mic at two places', 'near: {distance: 30 cm}', 'near: {distance: 30 cm}, at: [1, 1]'],
    ['a pattern that is none', 'pattern: cardioid', 'pattern: cardoid'],
    ['a filter in seconds', '80 Hz', '80 s'],
    ['a pair of two kinds', '{spaced: 90 cm}', '{spaced: 90 cm, xy: 90}'],
    ['an aim without a bearing', 'aim: {bearing: 0}', 'aim: {tilt: 0}'],
    ['a limit that is a word', 'tuba-mic: 12 dB', 'tuba-mic: much'],
    ['a limit in hertz', 'tuba-mic: 12 dB', 'tuba-mic: 12 Hz'],
    ['a day of 25 hours', 'session-length: 3', 'session-length: 25'],
    ['a yes that is a word', 'three-to-one: true', 'three-to-one: aye'],
    ['a negative count', 'count: 2', 'count: -2'],
    ['an empty value', 'height: 3.6', 'height:'],
  ])('%s is refused', (_what, good, bad) => {
    expect(GOOD).toContain(good);
    expect(accepts(parse(GOOD.replace(good, bad)))).toBe(false);
  });

  test('over a studio what it may have can be left out, and what it has be taken out, but nothing unknown be put in', () => {
    const day = (text: string) => accepts(parse(`spillcheck: 1\nstudio: hall.yaml\n${text}`));
    expect(day('rooms: {hall: {floor: carpet-thin}}\nbaffles: {screen: ~}\nlimits: ~')).toBe(true);
    expect(day('rooms: {hall: {flor: carpet-thin}}')).toBe(false);
    expect(day('rooms: {hall: {floor: carpet-thinn}}')).toBe(false);
    expect(day('rooms: {hall: {height: 3 kg}}')).toBe(false);
  });
});

const scalar = (value: string | number): Scalar => {
  const mark = { source: { name: 'plan.yaml', text: '' }, offset: 0 };
  return { kind: 'scalar', value, text: String(value), units: 'm', mark, foreign: null };
};

describe('texts', () => {
  const NUMBERS = [
    '1',
    '+2',
    '-3',
    '−4',
    '–5',
    '2.5',
    '.5',
    '3.',
    '1e2',
    '1E-2',
    '2,5',
    '1.2.3',
    '',
    '1 2',
    'x',
  ];
  const rare = [
    'yd',
    'yards',
    'km',
    'mi',
    'ha',
    'acre',
    'rad',
    'MHz',
    'minutes',
    'K',
    'degF',
    '°F',
    'F',
    'g/m^2',
  ];
  const odd = [
    'kg',
    'V',
    'dBA',
    'cellos',
    'm m',
    '"',
    "''",
    '′',
    '″',
    '%',
    'm^2',
    'yd²',
    'oz/sqft',
    'N',
    'M',
    'Ms',
  ];
  const units = [
    ...new Set([...Object.values(DIMENSIONS).flatMap(({ units }) => [...units.keys()]), ...rare, ...odd, '']),
  ];
  const feet = [
    '5 ft 3 in',
    '5\'3"',
    '5′ 3″',
    "5'3",
    "5'3''",
    '-5 ft 3.5 inches',
    '5 feet 3',
    '5 ft 3 m',
    "5'3'",
  ];

  const text = fc.oneof(
    fc
      .tuple(fc.constantFrom(...NUMBERS), fc.constantFrom('', ' ', '  '), fc.constantFrom(...units))
      .map((parts) => parts.join('')),
    fc.constantFrom(...feet),
    fc.constantFrom(...feet, ' 2 m ', '2\tm', '1e400 m', 'm 2', '0x10', '.inf'),
  );

  test.each(Object.keys(DIMENSIONS) as Dimension[])(
    'a %s is a text to the schema where it is one to the reader',
    async (dimension) => {
      const pattern = new RegExp(quantityPattern(dimension), 'u');
      await fc.assert(
        fc.asyncProperty(text, async (written) => {
          fc.pre(written !== '1e400 m'); // a number too large for one is no matter of its shape
          const node = { ...scalar(written), foreign: await uncommon(written) };
          const { ok } = readQuantity(node, dimension, { min: -1e300, max: 1e300 });
          expect({ written, dimension, ok: pattern.test(written) }).toEqual({ written, dimension, ok });
        }),
        { numRuns: sized(375, 1500) },
      );
    },
  );

  test('a bare number is one to both, within the same bounds', () => {
    const height = ajv.compile({
      ...jsonOf(quantity('ratio', [0, 1]).shape, context()),
      definitions: schema.definitions as Json,
    });
    fc.assert(
      fc.property(fc.double({ min: -2, max: 2, noNaN: true }), (value) => {
        expect(height(value)).toBe(readQuantity(scalar(value), 'ratio', { min: 0, max: 1 }).ok);
      }),
    );
  });

  test('units of the library are listed whole', async () => {
    const { Unit } = (await import('mathjs')) as unknown as {
      Unit: { UNITS: Record<string, { name: string; prefixes: Record<string, unknown> }> };
    };
    const names = Object.entries(Unit.UNITS).flatMap(([name, { prefixes }]) =>
      Object.keys(prefixes).map((prefix) => prefix + name),
    );
    const listed = Object.entries(UNCOMMON).filter(([dimension]) => dimension !== 'surface-mass');
    const wrong: string[] = [];
    for (const name of names) {
      const known = (await uncommon(`3 ${name}`))?.dimension;
      for (const [dimension, pattern] of listed) {
        const isListed = new RegExp(`^(?:${pattern})$`, 'u').test(name);
        if (isListed !== (known === dimension)) wrong.push(`${name}: ${dimension}, ${known}`);
      }
    }
    expect(wrong).toEqual([]);
  }, 60_000);

  const figures = fc.constantFrom('88', '-3', '1e2', '', 'loud');
  const weightings = fc.constantFrom(
    '',
    ' dB',
    'dBA',
    ' dba',
    ' dB(A)',
    ' dBC',
    'dB(Z)',
    ' dBX',
    ' m',
    '(A)',
  );
  const distances = fc.constantFrom(
    '',
    ' at 1 m',
    ' @ 50 cm',
    ' at 3 ft',
    ' at 90 deg',
    ' at',
    ' at 5\'3"',
    'at 1 m',
  );

  test('a level is one to both', () => {
    const pattern = new RegExp(levelPattern('any', true), 'u');
    fc.assert(
      fc.property(fc.tuple(figures, weightings, distances), (parts) => {
        const written = parts.join('');
        const faults = readWith(level, scalar(written)).faults.filter(({ code }) => code !== 'OUT_OF_RANGE');
        expect({ written, ok: pattern.test(written) }).toEqual({ written, ok: faults.length === 0 });
      }),
      { numRuns: sized(250, 1000) },
    );
  });

  test('a band is one to both', () => {
    const pattern = new RegExp(BAND_PATTERN, 'u');
    const word = fc
      .tuple(
        fc.constantFrom('', '0', '00'),
        fc.constantFrom(
          '63',
          '125',
          '250',
          '500',
          '1000',
          '8000',
          '1',
          '8',
          '0.5',
          '0.063',
          '0.25',
          '.5',
          '16',
          '31.5',
        ),
        fc.constantFrom('', '.0', '0', '.'),
        fc.constantFrom('', ' '),
        fc.constantFrom('', 'Hz', 'k', 'kHz', 'KHZ', 'hz', 'm'),
      )
      .map((parts) => parts.join(''));
    fc.assert(
      fc.property(word, (written) => {
        const entries = new Map([[written, { key: scalar('').mark, node: scalar(0.5) }]]);
        const { faults } = readWith(byBand(quantity('ratio', [0, 1])), {
          kind: 'map',
          entries,
          mark: scalar('').mark,
        });
        expect({ written, ok: pattern.test(written) }).toEqual({ written, ok: faults.length === 0 });
      }),
      { numRuns: sized(500, 2000) },
    );
  });

  test('a name is one to both', () => {
    const good = new RegExp(NAME_PATTERN, 'u');
    const no = new RegExp(NO_NAME_PATTERN, 'u');
    const word = fc.oneof(
      text,
      fc.string({ unit: 'grapheme', maxLength: 6 }),
      fc.constantFrom(
        'all',
        'room',
        'outside',
        'ALL',
        'True',
        'null',
        '~',
        'a.b',
        'a[0]',
        'a\u202eb',
        'x'.repeat(101),
      ),
      fc.constantFrom('snare-2', 'zweite Geige', 'Ünal', '太郎', '🎺', '2nd violin', 'é'),
    );
    const ANGLE = /(?:rad|grad|turn|arcmin|arcsec)/; // units of the library alone: a schema lets them by
    fc.assert(
      fc.property(word, (name) => {
        fc.pre(!ANGLE.test(name));
        const ok = good.test(name) && !no.test(name);
        expect({ name, ok }).toEqual({ name, ok: nameFault(name) === null });
      }),
      { numRuns: sized(500, 2000) },
    );
  });
});

test('every character is one to both, within a name and alone', () => {
  const good = new RegExp(NAME_PATTERN, 'u');
  const wrong: string[] = [];
  for (let code = 0; code <= 0xe01ff; code++) {
    // half characters are in no file; planes between hold nothing that is assigned but letters
    if (code === 0xd800) code = 0xe000;
    if (code === 0x20000) code = 0xe0000;
    const name = `a${String.fromCodePoint(code)}b`;
    if (good.test(name) !== (nameFault(name) === null)) wrong.push(code.toString(16));
  }
  expect(wrong).toEqual([]);
  for (const name of ['=1', 'a=b', 'soft\u00adhyphen', '🏴\u{e0067}\u{e007f}', 'a\u{e0067}', '👩\u200d🎤'])
    expect({ name, ok: good.test(name) }).toEqual({ name, ok: nameFault(name) === null });
});

function context() {
  const define = (name: string): Json => ({ $ref: `#/definitions/${name}` });
  return { shelves, define, nameOf: () => '', overStudio: false };
}

describe('every key', () => {
  /** Every map of the format, once. */
  function* mapsOf(shape: Shape, seen = new Set<Shape>()): Generator<ShapeOf<'object'>> {
    if (seen.has(shape)) return;
    seen.add(shape);
    if (shape.kind === 'object') {
      yield shape;
      for (const { reader } of Object.values(shape.keys)) yield* mapsOf(reader.shape, seen);
    }
    const inner = shape.kind === 'union' ? shape.forms : shape.kind === 'list' ? shape.items.slice(0, 1) : [];
    for (const each of inner) yield* mapsOf(each.shape, seen);
    if (shape.kind === 'record' || shape.kind === 'bands') yield* mapsOf(shape.item.shape, seen);
  }

  const definitions = schema.definitions as Record<
    string,
    { title?: string; properties?: Record<string, Json> }
  >;
  const keys = [...mapsOf(planSchema.shape)].flatMap(({ what, keys }) =>
    Object.entries(keys).map(([key, entry]) => ({ what, key, entry })),
  );

  test('there are many, and each stands in the schema with words and an example', () => {
    expect(keys.length).toBeGreaterThan(150);
    for (const { what, key } of keys) {
      const told = Object.values(definitions).filter(({ title }) => title === titleOf(what));
      const found = told.map(({ properties }) => properties?.[key]).filter((each) => each !== undefined);
      expect({ what, key, found: found.length > 0 }).toEqual({ what, key, found: true });
      for (const each of found) {
        // it reads alone: a verb first, whole sentences
        expect(String(each.description)).toMatch(/^[A-Z][a-z]+s,? .*[.]$/);
        expect(String(each.description)).not.toMatch(/unsaid|either way|^Of |\bas it was\b/);
        expect(each.examples).toHaveLength(1);
      }
    }
  });

  test.each(keys)(
    '$what: the example of `$key` is good to the schema and to the reader',
    ({ what, key, entry }) => {
      const example = exampleOfKey(entry, shelves);
      const told = Object.entries(definitions).filter(
        ([, { title, properties }]) => title === titleOf(what) && properties?.[key],
      );
      const good = told.map(([name]) =>
        ajv.getSchema(`plan#/definitions/${name}/properties/${key}`)?.(example),
      );
      expect({ example, good }).toEqual({ example, good: told.map(() => true) });
      const { tree } = readDocument({ name: 'x', text: JSON.stringify({ x: example }) });
      const node = tree?.kind === 'map' ? tree.entries.get('x')?.node : undefined;
      if (!node) throw new Error('the example is no YAML');
      expect(readWith(entry.reader, node).faults).toEqual([]);
    },
  );
});
