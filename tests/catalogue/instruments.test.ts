import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { type Claim, type Origin, toInstrument } from '../../src/catalogue/catalogue.ts';
import * as shipped from './shipped-sources.ts';

const { instrument, instruments, kits, only } = shipped;

describe('shape', () => {
  const schema = JSON.parse(
    readFileSync(new URL('../../shared/schemas/catalogue-instruments.schema.json', import.meta.url), 'utf8'),
  );
  const ajv = new Ajv({ allErrors: true, allowUnionTypes: true });
  ajv.addSchema(schema, 'catalogue');
  const faults = (data: unknown, part = ''): unknown[] => {
    const fits = ajv.getSchema(`catalogue${part}`);
    if (!fits) throw new Error(`no schema for ${part}`);
    fits(data);
    return fits.errors ?? [];
  };

  test.each(shipped.files)('%s fits the schema', (_, entries) => expect(faults(entries)).toEqual([]));

  test.each([
    ['covers', shipped.writtenCovers],
    ['headphones', shipped.writtenHeadphones],
    ['posture', shipped.posture],
    ['sources', shipped.citations],
  ])('%s fit the schema', (part, data) => expect(faults(data, `#/definitions/${part}`)).toEqual([]));

  test.each([
    ['an unknown key', { colour: 'black' }],
    ['an invented grade', { from: [{ of: ['power'], grade: 'measured', source: 'MEYER2009' }] }],
    ['an estimate without a reason', { from: [{ of: ['power'], grade: 'estimate', source: 'ESTIMATE' }] }],
    ['seven bands', { spectrum: [0, 0, 0, 0, 0, 0, 0] }],
    ['a silent spectrum', { spectrum: [null, null, null, null, null, null, null, null] }],
    ['a dynamic left out', { power: { pp: 60, p: 66, mf: 80, f: 86, ff: 92 } }],
    ['both power and level', { level: { at: 1, weighting: 'Z', pp: 1, p: 2, mp: 3, mf: 4, f: 5, ff: 6 } }],
    ['a directivity factor below 1', { directivity: { Q: 0.5, 'front-to-back': 0 } }],
  ])('the schema refuses %s', (_, fault) => {
    const cello = only(shipped.writtenInstruments, 'cello');
    expect(faults({ cello: { ...cello, ...fault } })).not.toEqual([]);
  });

  test('there are 65 instruments at the least, and no name is used twice', () => {
    expect(instruments.size).toBeGreaterThanOrEqual(65);
    const names = shipped.files.flatMap(([, entries]) => Object.keys(entries));
    expect(new Set(names).size).toBe(names.length);
  });

  test('what the plans in the design play is there', () => {
    const wanted = ['tuba', 'cornet', 'singing-voice', 'steel-string-guitar', 'bass-amp', 'speech', 'horn'];
    expect(wanted.filter((name) => !instruments.has(name))).toEqual([]);
    expect(kits.has('drum-kit')).toBe(true);
  });
});

describe('origins', () => {
  const claims = (from: readonly Claim[]) => from.flatMap(({ of }) => of);
  const FIGURES = ['power', 'level', 'spectrum', 'directivity', 'radius', 'place', 'axis', 'ears', 'eyes'];
  const STAND = ['closest', 'furthest', 'keep-clear', 'carried', 'output'];
  const REST = ['lowest-note', 'crest', 'parts', 'loss', 'leak', 'attenuation', 'hears-by-air'];
  const written = (entry: object) =>
    [...FIGURES, ...STAND, ...REST].filter((figure) => figure in entry).sort();

  const entries: (readonly [string, { readonly from: readonly Claim[] }])[] = [
    ...shipped.files.flatMap(([, file]) => Object.entries(file)),
    ...[...shipped.writtenInstruments].flatMap(([name, raw]) =>
      Object.entries(raw.playing ?? {}).map(
        ([way, over]) => [`${name}, ${way}`, { from: [], ...over }] as const,
      ),
    ),
    ...Object.entries(shipped.writtenCovers),
    ...Object.entries(shipped.writtenHeadphones),
    ['posture', shipped.posture],
  ];

  test.each(entries)('every figure of %s has exactly one origin', (_, entry) => {
    expect(claims(entry.from).sort()).toEqual(written(entry));
  });

  test('a figure without an origin is refused when read', () => {
    const cello = only(shipped.writtenInstruments, 'cello');
    const from = cello.from.map((claim) => ({
      ...claim,
      of: claim.of.filter((figure) => figure !== 'radius'),
    }));
    expect(() => toInstrument('cello', { ...cello, from }, shipped.posture)).toThrow(/radius/);
  });

  const cited = entries.flatMap(([, { from }]) => from.flatMap(({ source }) => [source].flat()));

  test('every key leads to a citation, and every citation is used', () => {
    const mentioned = JSON.stringify(entries.flatMap(([, { from }]) => from.map(({ note }) => note)));
    expect(cited.filter((key) => !(key in shipped.citations))).toEqual([]);
    const unused = Object.keys(shipped.citations).filter(
      (key) => !cited.includes(key) && !mentioned.includes(key),
    );
    expect(unused).toEqual([]);
  });

  test('nothing is called published on our own word', () => {
    const own = ['ESTIMATE', 'PRACTICE', 'PITCH', 'COVER_MODEL'];
    const wrong = entries.filter(([, { from }]) =>
      from.some(
        ({ grade, source }) => grade === 'published' && [source].flat().some((key) => own.includes(key)),
      ),
    );
    expect(wrong.map(([name]) => name)).toEqual([]);
  });

  test('a way of playing keeps the origins of what it does not change', () => {
    const violin = instrument('violin');
    const plucked = only(violin.playing, 'plucked');
    expect(plucked.from.directivity).toEqual(violin.from.directivity);
    expect(plucked.from.loudness.grade satisfies Origin['grade']).toBe('estimate');
    expect(violin.from.loudness.sources).toContain('MEYER2009');
    expect(violin.playing.get('bowed')?.spectrum).toEqual(violin.spectrum);
  });
});
