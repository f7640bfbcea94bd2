import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { cellAt, matchReadings, type Readings, readTable } from '../../src/line-check/readings.ts';
import { spotAt } from '../../src/plan/document.ts';
import { onALine } from '../judge/on-a-line.ts';

const scene = onALine(
  { tuba: { at: 0 }, horn: { at: 4 }, flute: { at: 8 }, bell: { at: 12 } },
  {
    'tuba-mic': { at: 0.5, for: [0] },
    'horn-mic': { at: 4.5, for: [1] },
    'tuba-line': { at: null, for: [0] },
  },
);

function read(text: string) {
  const table = readTable(text, 'day.csv');
  const gathered = matchReadings(table.entries, scene);
  const findings = [...table.findings, ...(table.findings.length > 0 ? [] : gathered.findings)];
  return { findings, readings: findings.length > 0 ? null : gathered.readings };
}

const levelIn = (readings: Readings | null, row: number, column: number, layer = 0): number =>
  readings?.levels[cellAt(readings, row, column, layer)] ?? Number.NaN;

describe('a table', () => {
  const wanted = [-10, -22.5, -31, -8];
  test.each([
    { name: 'with commas', text: 'played,tuba-mic,horn-mic\ntuba,-10,-22.5\nhorn,-31,-8\n' },
    {
      name: 'with semicolons and decimal commas',
      text: 'played;tuba-mic;horn-mic\r\ntuba;-10,0;-22,5\r\nhorn;-31;-8\r\n',
    },
    { name: 'with tabs', text: 'played\ttuba-mic\thorn-mic\ntuba\t-10\t-22.5\nhorn\t-31\t-8' },
    {
      name: 'in quotes, after remarks and a byte order mark',
      text: '\ufeff# a day\n"played","tuba-mic","horn-mic"\n\n"tuba","-10","-22,5"\nhorn,-31,-8\n',
    },
    {
      name: 'with units and true minus signs',
      text: 'played,tuba-mic,horn-mic\ntuba,−10 dBFS,-22.5 dBFS\nhorn,-31 dBFS,-8\n',
    },
  ])('$name is read', ({ text }) => {
    const { readings, findings } = read(text);
    expect(findings).toEqual([]);
    expect([
      levelIn(readings, 0, 0),
      levelIn(readings, 0, 1),
      levelIn(readings, 1, 0),
      levelIn(readings, 1, 1),
    ]).toEqual(wanted);
  });

  test('may have gaps, a row of noise, and columns of direct lines', () => {
    const { readings } = read(
      'who,tuba-mic,horn-mic,tuba-line\ntuba,-10,,-5\nhorn,-,-inf,-90\nflute,-30,-31,-99\nnoise,-70,-72,\n'.replace(
        'horn,-,-inf',
        'horn,-44,-inf',
      ),
    );
    expect(Number.isNaN(levelIn(readings, 0, 1))).toBe(true);
    expect(Number.isNaN(levelIn(readings, 1, 1))).toBe(true);
    expect([...(readings?.noise ?? [])]).toEqual([-70, -72]);
    expect(readings?.skipped).toEqual(['tuba-line']);
  });

  test('may be by octave', () => {
    const { readings } = read('who,band,tuba-mic\ntuba,1k,-10\nhorn,63 Hz,-20\ntuba,63,-12\nhorn,1000,-30\n');
    expect(readings?.layers).toEqual([0, 4]);
    expect([levelIn(readings, 0, 0, 0), levelIn(readings, 0, 0, 1)]).toEqual([-12, -10]);
  });

  test('in dBA is A-weighted', () =>
    expect(read('who,tuba-mic\ntuba,70 dBA\nhorn,60 dB(A)\n').readings?.weighting).toBe('A'));
});

describe('what is wrong is told with its line and column', () => {
  test.each([
    {
      text: 'who,tuba-mick\ntuba,-10\nhorn,-11\n',
      at: '1:5',
      says: /no mic in use named "tuba-mick"/,
      fix: /"tuba-mic"/,
    },
    {
      text: 'who,tuba-mic\ntubba,-10\nhorn,-11\n',
      at: '2:1',
      says: /no player, source, kit or part named "tubba"/,
      fix: /"tuba"/,
    },
    {
      text: 'who,tuba-mic,horn-mic\ntuba,-10,loud\nhorn,-1,-2\n',
      at: '2:10',
      says: /row tuba, column horn-mic: "loud" is not a level/,
    },
    {
      text: 'who,tuba-mic\ntuba,-10 dBu\nhorn,-12 dBFS\n',
      at: '3:6',
      says: /row horn, column tuba-mic is in dbfs; row tuba, column tuba-mic in dbu/,
    },
    {
      text: 'who,tuba-mic,horn-mic\ntuba,-10\nhorn,-1,-2\n',
      at: '2:1',
      says: /row tuba has 2 cells, the first row 3/,
    },
    { text: 'who,tuba-mic\ntuba,-1000\n', at: '2:6', says: /column tuba-mic: -1000 is outside/ },
    { text: 'who,band,tuba-mic\ntuba,700,-10\n', at: '2:6', says: /column band: "700" is not an octave/ },
    {
      text: 'who,tuba-mic\ntuba,-10\ntuba,-11\n',
      at: '3:6',
      says: /duplicate reading: row tuba, column tuba-mic/,
    },
    { text: 'who,tuba-mic,tuba-mic\ntuba,-10,-11\n', at: '1:14', says: /duplicate column tuba-mic/ },
    { text: 'who,tuba-mic\ntuba,\nhorn,-\n', at: '2:6', says: /every cell at a mic is empty/ },
    {
      text: 'who,tuba-mic,horn-mic\ntuba,-10,\nhorn,-11,-\n',
      at: '1:14',
      says: /column horn-mic is empty/,
    },
    {
      text: 'who,tuba-mic,horn-mic\ntuba,-,\nhorn,-11,-3\n',
      at: '2:1',
      says: /row tuba is empty/,
    },
    {
      text: 'who,tuba-mic,horn-mic\ntuba,-60,-10\nhorn,-60,-3\nflute,-60,-9\nbell,-60,-8\n',
      at: '1:5',
      says: /column tuba-mic has the same level whoever plays/,
    },
    { text: 'who,tuba-mic\nnoise,-60\n', at: '2:7', says: /no player in these readings/ },
    { text: 'who,tuba-mic\n"tuba,-60\n', at: '2:1', says: /unclosed quote/ },
    { text: '', at: '1:1', says: /no readings/ },
  ])('$at $says', ({ text, at, says, fix }) => {
    const { findings } = read(text);
    expect(findings).toHaveLength(1);
    const [finding] = findings;
    const spot = spotAt({ name: 'day.csv', text }, finding?.offset ?? -1);
    expect(`${spot.line}:${spot.column}`).toBe(at);
    expect(finding?.message).toMatch(says);
    if (fix) expect(finding?.fix).toMatch(fix);
  });

  test('three who read alike by chance are no dead channel, unless the noise does too', () => {
    const three = 'who,tuba-mic,horn-mic\ntuba,-60,-10\nhorn,-60,-3\nflute,-60,-9\n';
    expect(read(three).findings).toEqual([]);
    expect(read(`${three}noise,-60,-70\n`).findings.map(({ message }) => message)).toEqual([
      'column tuba-mic has the same level whoever plays',
    ]);
  });
});

test('no text whatever stops the reader', () => {
  const pieces = fc.constantFrom(
    'who',
    'tuba',
    'tuba-mic',
    ',',
    ';',
    '\t',
    '\n',
    '"',
    '#',
    '-',
    '-12',
    'band',
    '63',
    '\r',
    ' ',
    'é',
  );
  fc.assert(
    fc.property(fc.array(pieces, { maxLength: 40 }), (list) => {
      const { findings, readings } = read(list.join(''));
      expect(findings.length > 0 || readings !== null).toBe(true);
    }),
    { numRuns: 500 },
  );
});
