import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { NOMINAL_BANDS } from '../../src/acoustics/bands.ts';
import { type BandValues, readMaterials, type WrittenMaterial } from '../../src/catalogue/catalogue.ts';
import { everyEntry, materials, written } from './shipped-materials.ts';

const { finishes, contents, constructions, doors, glazings, panels, patterns, sources } = materials;
const schema = JSON.parse(
  readFileSync(new URL('../../shared/schemas/catalogue-materials.schema.json', import.meta.url), 'utf8'),
);
const fits = new Ajv({ allErrors: true }).compile(schema);
const FIGURES = [
  ...(['absorption', 'each', 'per-area', 'reduction', 'a', 'off-axis', 'self-noise', 'footprint'] as const),
];

describe('shape', () => {
  test('the files fit their schema', () => {
    fits(written);
    expect(fits.errors ?? []).toEqual([]);
  });

  test.each([
    ['an unknown key', { absorbtion: 0.2 }],
    ['a band that is none', { absorption: { 300: 0.2 } }],
    ['a coefficient of 14', { absorption: 14 }],
    ['an invented grade', { from: [{ of: ['absorption'], source: 'bies-2017', grade: 'measured' }] }],
    ['a figure without an origin', { from: [] }],
  ])('the schema refuses %s', (_, fault) => {
    const plaster = written.finishes.plaster as WrittenMaterial;
    expect(fits({ ...written, finishes: { plaster: { ...plaster, ...fault } } })).toBe(false);
  });

  test('there are 40 finishes, and 35 walls, leaves, panes and baffles, at the least', () => {
    expect(finishes.size).toBeGreaterThanOrEqual(40);
    expect(constructions.size + doors.size + glazings.size + panels.size).toBeGreaterThanOrEqual(35);
  });

  test('the names that plans are written with are there', () => {
    const names = ['wood-on-joists', 'acoustic-tile', 'plaster', 'curtain-heavy', 'window-glass'];
    expect(names.filter((name) => !finishes.has(name))).toEqual([]);
    expect(['person-seated', 'person-standing'].filter((name) => !contents.has(name))).toEqual([]);
    expect(['stud-gypsum', 'stud-gypsum-insulated'].filter((name) => !constructions.has(name))).toEqual([]);
    expect(['hollow-core', 'solid-core-sealed', 'acoustic-door'].filter((name) => !doors.has(name))).toEqual(
      [],
    );
    expect(['studio-window'].filter((name) => !glazings.has(name))).toEqual([]);
    expect(['upholstered-baffle', 'duvet'].filter((name) => !panels.has(name))).toEqual([]);
  });
});

describe('origins', () => {
  test.each(everyEntry)('%s: every figure of %s has exactly one origin', (_file, _name, entry) => {
    const claimed = entry.from.flatMap(({ of }) => of);
    expect(claimed.filter((figure) => !figure.includes('.')).sort()).toEqual(
      FIGURES.filter((figure) => entry[figure] !== undefined).sort(),
    );
    expect(new Set(claimed).size).toBe(claimed.length);
  });

  test.each(everyEntry)(
    '%s: origins of single bands in %s name bands that are written',
    (_file, _name, entry) => {
      const single = entry.from.flatMap(({ of }) => of).filter((figure) => figure.includes('.'));
      const missing = single.filter((figure) => {
        const [key, band] = figure.split('.') as ['absorption', string];
        return (entry[key] as Record<string, number>)[band] === undefined;
      });
      expect(missing).toEqual([]);
    },
  );

  test('every source named is there, and every source there is named', () => {
    const named = new Set(
      everyEntry.flatMap(([, , { from }]) => from.flatMap(({ source }) => [source].flat())),
    );
    expect([...named].sort()).toEqual([...sources.keys()].sort());
  });

  test('an estimate says why, or its source is a rule that does', () => {
    const rules = ['half-at-63', 'seats-at-63', 'five-down-at-63'];
    const bare = everyEntry.flatMap(([, name, { from }]) =>
      from
        .filter(({ grade, source, note }) => grade === 'estimate' && !note && !rules.includes(String(source)))
        .map(() => name),
    );
    expect(bare).toEqual([]);
  });

  test('what is called published comes from a publication, not from a rule of ours', () => {
    const ours = /^(half-at|seats-at|five-down|by-|trade|limp-sheet|rigid-sphere|mass-law)/;
    const wrong = everyEntry.flatMap(([, name, { from }]) =>
      from.filter(({ grade, source }) => grade === 'published' && ours.test(String(source))).map(() => name),
    );
    expect(wrong).toEqual([]);
  });
});

/** Values at 125 Hz to 4 kHz as the source prints them. */
const printed = (figure: BandValues | null | undefined) => [...(figure?.values.subarray(1, 7) ?? [])];

describe('figures as printed', () => {
  // Absorption at 125, 250, 500 Hz, 1, 2, 4 kHz.
  test.each([
    ['wood-on-joists', 'bies-2017', [0.15, 0.11, 0.1, 0.07, 0.06, 0.07]],
    ['plaster', 'bies-2017', [0.013, 0.015, 0.02, 0.03, 0.04, 0.05]],
    ['window-glass', 'bies-2017', [0.35, 0.25, 0.18, 0.12, 0.07, 0.04]],
    ['curtain-heavy', 'bies-2017', [0.14, 0.35, 0.55, 0.72, 0.7, 0.65]],
    ['acoustic-tile', 'bies-2017', [0.75, 0.7, 0.65, 0.85, 0.85, 0.9]],
    ['gypsum-board', 'bies-2017', [0.29, 0.1, 0.05, 0.04, 0.07, 0.09]],
    ['stage-floor', 'bies-2017', [0.4, 0.3, 0.2, 0.17, 0.15, 0.1]],
    ['carpet-heavy', 'bies-2017', [0.02, 0.06, 0.14, 0.37, 0.6, 0.65]],
    ['brick', 'cox-2017', [0.03, 0.03, 0.03, 0.04, 0.05, 0.07]],
    ['block-bare', 'cox-2017', [0.36, 0.44, 0.31, 0.29, 0.39, 0.25]],
    ['plywood-panelling', 'cox-2017', [0.28, 0.22, 0.17, 0.09, 0.1, 0.11]],
    ['foam-25', 'cox-2017', [0.16, 0.25, 0.45, 0.84, 0.97, 0.87]],
    ['foam-50', 'barron-2003', [0.16, 0.25, 0.57, 0.82, 0.86, 0.86]],
    ['parquet', 'long-2014', [0.04, 0.04, 0.07, 0.06, 0.06, 0.07]],
    ['concrete-floor', 'long-2014', [0.01, 0.01, 0.015, 0.02, 0.02, 0.02]],
    ['wool-50', 'vorlaender-2008', [0.23, 0.59, 0.86, 0.86, 0.86, 0.86]],
    ['wooden-door', 'vorlaender-2008', [0.14, 0.1, 0.06, 0.08, 0.1, 0.1]],
    ['orchestra-area', 'vorlaender-2008', [0.27, 0.53, 0.67, 0.93, 0.87, 0.8]],
  ])('finish %s is as %s prints it', (name, source, row) => {
    expect(printed(finishes.get(name)?.absorption)).toEqual(row);
    expect(finishes.get(name)?.absorption.from).toMatchObject({ sources: [source], grade: 'published' });
  });

  // Absorption area in m²; the musician is printed as 4.0 8.5 11.5 14.0 15.0 12.0 ft², 1 ft² = 0.0929 m².
  test.each([
    ['person-seated', 'bies-2017', [0.23, 0.37, 0.44, 0.45, 0.45, 0.45]],
    ['person-standing', 'bies-2017', [0.15, 0.37, 0.43, 0.44, 0.44, 0.43]],
    ['musician', 'long-2014', [0.37, 0.79, 1.07, 1.3, 1.39, 1.11]],
  ])('content %s is as %s prints it', (name, source, row) => {
    expect(printed(contents.get(name)?.each)).toEqual(row);
    expect(contents.get(name)?.each?.from.sources).toEqual([source]);
  });

  // Sound reduction index in dB.
  test.each([
    ['stud-gypsum', 'rossing-2014', constructions, [17, 31, 33, 40, 38, 36]],
    ['stud-gypsum-insulated', 'rossing-2014', constructions, [15, 30, 34, 44, 46, 41]],
    ['metal-stud-gypsum-insulated', 'rossing-2014', constructions, [26, 41, 52, 54, 45, 51]],
    ['staggered-gypsum-wide', 'bies-2017', constructions, [35, 50, 55, 62, 62, 68]],
    ['separate-gypsum-insulated', 'bies-2017', constructions, [42, 56, 68, 74, 70, 73]],
    ['gypsum-64-gap', 'norton-2003', constructions, [18, 27, 37, 45, 43, 39]],
    ['brick-plastered', 'bies-2017', constructions, [36, 37, 40, 46, 54, 57]],
    ['block-thick', 'rossing-2014', constructions, [36, 44, 50, 54, 58, 56]],
    ['concrete-200', 'bies-2017', constructions, [42, 41, 50, 57, 60, 65]],
    ['booth-panel', 'bies-2017', constructions, [21, 27, 38, 48, 58, 67]],
    ['hollow-core', 'bies-2017', doors, [12, 13, 14, 16, 18, 24]],
    ['solid-core-cracks', 'bies-2017', doors, [17, 21, 26, 29, 31, 34]],
    ['solid-core', 'rossing-2014', doors, [29, 31, 31, 31, 39, 43]],
    ['acoustic-door', 'bies-2017', doors, [36, 39, 44, 49, 54, 57]],
    ['glass-4', 'bies-2017', glazings, [20, 22, 28, 34, 29, 28]],
    ['glass-laminated', 'bies-2017', glazings, [23, 31, 38, 40, 47, 52]],
    ['studio-window', 'bies-2017', glazings, [36, 45, 58, 59, 55, 66]],
    ['plywood-baffle', 'bies-2017', panels, [10, 15, 17, 19, 20, 26]],
    ['office-divider', 'rossing-2014', panels, [10, 12, 12, 12, 12, 11]],
    ['loaded-vinyl-curtain', 'bies-2017', panels, [22, 23, 25, 31, 35, 42]],
  ])('%s is as %s prints it', (name, source, file, row) => {
    expect(printed(file.get(name)?.reduction)).toEqual(row);
    expect(file.get(name)?.reduction.from).toMatchObject({ sources: [source], grade: 'published' });
  });

  // Bies, Hansen & Howard 2017 print 63 Hz and 8 kHz for these.
  test('63 Hz and 8 kHz stand where they are printed', () => {
    const ends = (figure: BandValues | undefined) => [figure?.values[0], figure?.values[7]];
    expect(ends(constructions.get('brick-plastered')?.reduction)).toEqual([30, 59]);
    expect(ends(doors.get('hollow-core')?.reduction)).toEqual([1, 26]);
    expect(ends(glazings.get('studio-window')?.reduction)).toEqual([27, 70]);
    expect(finishes.get('seats-upholstered')?.absorption.values[0]).toBe(0.28);
  });
});

describe('figures in use', () => {
  const coefficients = [
    ...[...finishes.values()].map(({ name, absorption }) => [name, absorption] as const),
    ...[doors, glazings, panels].flatMap((file) =>
      [...file.values()].map((c) => [c.name, c.absorption] as const),
    ),
    ...[...contents.values()].flatMap(({ name, perArea }) => (perArea ? [[name, perArea] as const] : [])),
  ];

  test.each(coefficients)('absorption of %s lies between 0 and 0.99 in every band', (_, absorption) => {
    const outside = [...(absorption?.values ?? [])].filter((alpha) => !(alpha >= 0 && alpha <= 0.99));
    expect(absorption?.values).toHaveLength(8);
    expect(outside).toEqual([]);
  });

  // Long 2014 prints 0.22 0.82 1.21 1.10 1.02 1.05.
  test('a coefficient printed above 0.99 is kept to it, and the bands are named', () => {
    const board = finishes.get('wool-50-board')?.absorption;
    expect(printed(board)).toEqual([0.22, 0.82, 0.99, 0.99, 0.99, 0.99]);
    expect(board?.kept).toEqual([500, 1000, 2000, 4000, 8000]);
  });

  const barriers = [constructions, doors, glazings, panels].flatMap((file) => [...file.values()]);
  test.each(barriers.map((c) => [c.name, c] as const))(
    '%s keeps a finite loss of 0 dB or more',
    (_, barrier) => {
      expect([...barrier.reduction.values].every((r) => Number.isFinite(r) && r >= 0)).toBe(true);
    },
  );

  test('what was not printed is either held and reported, or written with an origin of its own', () => {
    const joists = finishes.get('wood-on-joists')?.absorption;
    expect(joists?.filled).toEqual({ interpolated: [], held: [63, 8000], silent: [] });
    const gypsum = constructions.get('stud-gypsum')?.reduction;
    // 5 dB under the printed 17 dB at 125 Hz.
    expect(gypsum?.values[0]).toBe(12);
    expect(gypsum?.bandsFrom.get(63)).toMatchObject({ grade: 'estimate', sources: ['five-down-at-63'] });
    expect(gypsum?.filled.held).toEqual([8000]);
  });
});

describe('figures derived here', () => {
  const MID = NOMINAL_BANDS.map((_, band) => 1000 * 10 ** (0.3 * (band - 4)));
  const ROUND_R = 0.051;

  /** t = 1/(1 + Z/2ρc), Z = jωm·R_f/(R_f + jωm), ρc = 412: written out in real numbers, |1 + Z/2ρc|² and |Z/2ρc|². */
  const limpSheet = (mass: number, resistance: number) =>
    MID.map((frequency) => {
      const x = (2 * Math.PI * frequency * mass) / resistance;
      const scale = resistance / (2 * 412) / (1 + x * x);
      const [re, im] = [scale * x * x, scale * x];
      const opening = (1 + re) ** 2 + im ** 2;
      return { reduction: 10 * Math.log10(opening), absorption: 1 - (1 + re ** 2 + im ** 2) / opening };
    });

  // Printed in our reference for a quilt of 1 kg/m² and 500 Pa s/m, and two blankets of 2 kg/m² and 2000 Pa s/m.
  test.each([
    ['duvet', [2.1, 3.3, 3.9, 4.1, 4.1, 4.1, 4.1, 4.1]],
    ['moving-blankets-two', [3.9, 7.1, 9.4, 10.3, 10.6, 10.7, 10.7, 10.7]],
  ])('%s keeps what the limp-sheet table gives', (name, row) => {
    expect([...(panels.get(name)?.reduction.values ?? [])]).toEqual(row);
  });

  test.each([
    ['duvet', 1, 500],
    ['duvet-double', 2, 1000],
    ['moving-blanket', 1, 1000],
    ['moving-blankets-two', 2, 2000],
    ['heavy-curtain-line', 1.2, 800],
    ['hanging-rug', 2, 3000],
    ['foam-panel', 1.5, 500],
    ['wool-panel', 4.8, 2000],
  ])('%s is the limp sheet of %d kg/m² and %d Pa s/m', (name, mass, resistance) => {
    const panel = panels.get(name);
    limpSheet(mass, resistance).forEach(({ reduction, absorption }, band) => {
      expect(Math.abs((panel?.reduction.values[band] ?? 0) - reduction)).toBeLessThan(ROUND_R);
      expect(Math.abs((panel?.absorption?.values[band] ?? 0) - absorption)).toBeLessThan(0.0051);
    });
  });

  // τ of 29 31 31 31 39 43 dB plus 0.001: 29 dB is 0.001259, the sum 0.002259 is 26.5 dB, and so on.
  test('a sealed solid-core door is the laboratory leaf with a leak of one thousandth', () => {
    expect(printed(doors.get('solid-core-sealed')?.reduction)).toEqual([26.5, 27.5, 27.5, 27.5, 29.5, 29.8]);
  });

  test('seals never make a door worse, nor do a second leaf or wool in the wall', () => {
    const values = (file: typeof doors, name: string) => {
      const entry = file.get(name);
      if (!entry) throw new Error(`no ${name}`);
      return entry.reduction.values;
    };
    const pairs = [
      [values(doors, 'solid-core-sealed'), values(doors, 'solid-core')],
      [values(doors, 'solid-core-sealed'), values(doors, 'double-door-sealed')],
      [values(constructions, 'gypsum-86-gap'), values(constructions, 'gypsum-86-gap-insulated')],
      [values(panels, 'plywood-baffle'), values(panels, 'upholstered-baffle')],
      [values(panels, 'duvet'), values(panels, 'duvet-double')],
    ] as const;
    const worse = pairs.filter(([less, more]) => less.some((loss, band) => loss > (more[band] ?? 0)));
    expect(worse).toEqual([]);
  });
});

describe('patterns', () => {
  // Values of A as plans define the pattern names; (√3 − 1)/2 = 0.366.
  test.each([
    ['omni', 1],
    ['wide-cardioid', 0.7],
    ['cardioid', 0.5],
    ['supercardioid', 0.366],
    ['hypercardioid', 0.25],
    ['figure-8', 0],
  ])('%s has A = %d in every band', (name, a) => {
    const response = patterns.get(name)?.response;
    expect(response?.kind === 'first-order' && [...response.a.values]).toEqual(Array(8).fill(a));
  });

  test('capsules are at 1 kHz what their name says, and cardioids drift from omni towards hypercardioid', () => {
    const a = (name: string) => {
      const response = patterns.get(name)?.response;
      return response?.kind === 'first-order' ? [...response.a.values] : [];
    };
    expect(['large-cardioid', 'small-cardioid', 'dynamic-cardioid'].map((name) => a(name)[4])).toEqual([
      0.5, 0.5, 0.5,
    ]);
    expect(['small-supercardioid', 'dynamic-supercardioid'].map((name) => a(name)[4])).toEqual([
      0.366, 0.366,
    ]);
    for (const name of ['large-cardioid', 'small-cardioid', 'dynamic-cardioid']) {
      expect(a(name)).toEqual(a(name).toSorted((x, y) => y - x));
    }
  });

  // Rigid sphere of 50 mm at 4 kHz: −3.0 dB at 90°, −5.9 at 120°, −3.2 at 180°; −0.3 dB is an energy of 0.9333.
  test('a large omni is a table in energies, and true below the bands it writes', () => {
    const response = patterns.get('large-omni')?.response;
    if (response?.kind !== 'table') throw new Error('a table was expected');
    const level = (degrees: number, band: number) =>
      10 * Math.log10(response.energy[(degrees / 30) * 8 + band] ?? Number.NaN);
    expect(response.rows).toBe(7);
    expect(response.energy[1 * 8 + 6]).toBeCloseTo(0.9333, 4);
    expect([90, 120, 180].map((degrees) => level(degrees, 6).toFixed(1))).toEqual(['-3.0', '-5.9', '-3.2']);
    expect([0, 60, 180].map((degrees) => level(degrees, 4))).toEqual([0, 0, 0]);
  });

  // Directivity index printed beside the table: −10 lg of the sphere mean of the energies, linear in dB between angles.
  test.each([
    ['lavalier-omni', 7, 0.7],
    ['small-omni', 7, 2.2],
    ['pencil-omni', 6, 1.8],
    ['large-omni', 5, 2.1],
    ['large-omni', 7, 3.0],
  ])('%s in band %d has a directivity index near %d dB', (name, band, index) => {
    const response = patterns.get(name)?.response;
    if (response?.kind !== 'table') throw new Error('a table was expected');
    const level = (row: number) => 10 * Math.log10(response.energy[row * 8 + band] ?? Number.NaN);
    let mean = 0;
    for (let degree = 0.5; degree < 180; degree++) {
      const [row, share] = [Math.floor(degree / 30), (degree % 30) / 30];
      const energy = 10 ** ((level(row) * (1 - share) + level(row + 1) * share) / 10);
      mean += (energy * Math.sin((degree * Math.PI) / 180) * Math.PI) / 360;
    }
    expect(Math.abs(-10 * Math.log10(mean) - index)).toBeLessThan(0.25);
  });

  test.each([...patterns.values()].map((p) => [p.name, p] as const))(
    '%s stays within its kind',
    (_, pattern) => {
      const { response, selfNoise } = pattern;
      const values = response.kind === 'table' ? [...response.energy] : [...response.a.values];
      expect(values.every((value) => value >= 0 && value <= 1)).toBe(true);
      if (response.kind === 'table') {
        const ragged = Object.values(written.patterns[pattern.name]?.['off-axis'] ?? {}).filter(
          (levels) => levels.length !== response.rows || levels[0] !== 0,
        );
        expect(ragged).toEqual([]);
      }
      if (selfNoise) expect(selfNoise.from.grade).toBe('unverified');
    },
  );
});

test('an entry that lacks its figure or its origin is our bug and throws', () => {
  const oddOf = (entry: WrittenMaterial) =>
    readMaterials({ ...written, finishes: { odd: entry } }).finishes.get('odd');
  const entry: WrittenMaterial = { group: 'odd', about: 'odd', from: [] };
  expect(() => oddOf(entry)).toThrow('odd lacks absorption');
  expect(() => oddOf({ ...entry, absorption: 0.2 })).toThrow('absorption without an origin');
});
