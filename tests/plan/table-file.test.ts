/** Measured tables that a plan names by file. Microphones and singers are invented. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type ReadPlan, readPlan } from '../../src/plan/plan.ts';
import { read } from './plans.ts';

type Files = Readonly<Record<string, string>>;

function readWith(text: string, files: Files, name = 'plan.yaml'): Promise<ReadPlan & { asked: string[] }> {
  const asked: string[] = [];
  const load = async (path: string) => {
    asked.push(path);
    const found = files[path];
    return found === undefined ? { problem: 'no such file' } : { text: found };
  };
  return readPlan(`spillcheck: 1\n${text}`, { name, load }).then((answer) => ({ ...answer, asked }));
}

const patternOf = ({ plan }: ReadPlan, mic = 'm') => plan?.mics.get(mic)?.pattern;
const MIC = 'mics: {m: {for: all, at: [1, 2, 3], pattern: {table: mic.csv}}}';
const TABLE = 'angle_deg,125,1000\n0,0,0\n90,-3,-6\n180,-10,-25.5\n';
const READ = {
  table: {
    angles: [0, 90, 180],
    columns: [
      { hertz: 125, levels: [0, -3, -10] },
      { hertz: 1000, levels: [0, -6, -25.5] },
    ],
  },
};

describe('a table by file is what it would be in the plan', () => {
  test('for a mic', async () => {
    const answer = await readWith(MIC, { 'mic.csv': TABLE });
    expect(answer.findings).toEqual([]);
    expect(patternOf(answer)).toEqual(READ);
    const inline = MIC.replace(
      'mic.csv',
      '{angle_deg: [0, 90, 180], 125: [0, -3, -10], 1000: [0, -6, -25.5]}',
    );
    expect(patternOf(await read(`spillcheck: 1\n${inline}`))).toEqual(READ);
  });

  test.each([
    ['a source', 'sources: {s: {at: [1, 1], instrument: x, directivity: {table: t.csv}}}'],
    ['a player', 'players: {p: {at: [1, 1], plays: x, directivity: {table: t.csv}}}'],
    [
      'one of several instruments',
      'players: {p: {at: [1, 1], plays: {v: {instrument: x, directivity: {table: t.csv}}}}}',
    ],
    [
      'a part of a kit',
      'players: {p: {at: [1, 1], plays: x, parts: {snare: {directivity: {table: t.csv}}}}}',
    ],
    [
      'a part of a named kit',
      'players: {p: {at: [1, 1], plays: {k: {instrument: x, parts: {snare: {directivity: {table: t.csv}}}}}}}',
    ],
  ])('for %s', async (_, text) => {
    const { plan, findings, asked } = await readWith(text, { 't.csv': TABLE });
    expect(findings).toEqual([]);
    expect(asked).toEqual(['t.csv']);
    expect(JSON.stringify([plan?.sources, plan?.players], ofMaps)).toContain(
      JSON.stringify({ kind: 'table', ...READ }),
    );
  });

  test.each([
    ['as a spreadsheet writes it', `\ufeff${TABLE.replaceAll('\n', '\r\n')}`],
    ['with remarks, blanks and empty lines', `# invented\n\n${TABLE.replaceAll(',', ' , ')}\n# the end\n`],
    ['with quotes', TABLE.replaceAll(/[^,\n]+/g, '"$&"')],
    ['with units and other names of bands', 'angle_deg,125 Hz,1k\n0,0,0\n90,-3 dB,-6\n180,-10,-25.5'],
  ])('%s', async (_, csv) => {
    expect(patternOf(await readWith(MIC, { 'mic.csv': csv }))).toEqual(READ);
  });

  test('for the made-up ones that come along', async () => {
    const file = (name: string) =>
      readFileSync(new URL(`../../fixtures/patterns/${name}`, import.meta.url), 'utf8');
    const [mic, singer] = ['made-up-condenser.csv', 'made-up-singer.csv'].map(file);
    const plan = `${MIC}\nsources: {s: {at: [1, 1], instrument: x, directivity: {table: singer.csv}}}`;
    const answer = await readWith(plan, { 'mic.csv': mic ?? '', 'singer.csv': singer ?? '' });
    expect(answer.findings).toEqual([]);
    const pattern = patternOf(answer);
    expect(pattern && 'table' in pattern ? pattern.table.columns.map(({ hertz }) => hertz) : []).toEqual([
      125, 250, 500, 1000, 2000, 4000, 8000,
    ]);
  });
});

describe('where the file is', () => {
  test('goes by the file that names it, a studio by its own folder', async () => {
    const studio = 'mics: {hung: {for: all, at: [1, 2, 3], pattern: {table: ../tables/hung.csv}}}';
    const answer = await readWith(
      `studio: rooms/studio.yaml\n${MIC}`,
      {
        'rooms/studio.yaml': studio,
        'tables/hung.csv': TABLE,
        'mic.csv': TABLE,
      },
      'plans/today.yaml',
    );
    expect(answer.findings).toEqual([]);
    expect(answer.asked).toEqual(['rooms/studio.yaml', 'tables/hung.csv', 'mic.csv']);
    expect(patternOf(answer, 'hung')).toEqual(READ);
  });

  test('is asked once for all who name it', async () => {
    const two =
      'mics: {m: {for: all, at: [1, 2, 3], pattern: &p {table: mic.csv}}, n: {for: all, at: [2, 2, 3], pattern: *p}}';
    const answer = await readWith(two, { 'mic.csv': TABLE });
    expect(answer.asked).toEqual(['mic.csv']);
    expect(patternOf(answer, 'n')).toEqual(READ);
  });

  test.each([
    '../mic.csv',
    '/etc/mic.csv',
    'a/../../mic.csv',
    'https://example.org/mic.csv',
    'a\\mic.csv',
    '""',
  ])('is within the folder of the plan: not %s', async (path) => {
    const { findings, asked, plan } = await readWith(MIC.replace('mic.csv', path), {});
    expect(findings.map(({ code, path: at }) => [code, at])).toEqual([
      ['FILE_UNREADABLE', ['mics', 'm', 'pattern', 'table']],
    ]);
    expect(asked).toEqual([]);
    expect(plan).toBeNull();
  });
});

describe('a fault', () => {
  test('is shown where the plan names the file', async () => {
    const { findings, show, spotOf } = await readWith(MIC, { 'mic.csv': TABLE.replace('-25.5', 'loud') });
    expect(findings).toHaveLength(1);
    expect(findings.map(spotOf)).toEqual([
      { file: 'plan.yaml', line: 2, column: MIC.indexOf('mic.csv') + 1, text: MIC },
    ]);
    expect(show(findings)).toContain(
      'mics.m.pattern.table names mic.csv, whose cell 3 (1000) in line 4 must be a value in dB, got loud',
    );
  });

  test('is shown in the studio that names the file', async () => {
    const files = { 'hall.yaml': `\n${MIC}`, 'mic.csv': 'angle_deg\n' };
    const { findings, spotOf } = await readWith('studio: hall.yaml', files, 'plans/today.yaml');
    expect(findings.map(spotOf).map(({ file, line }) => [file, line])).toEqual([['plans/hall.yaml', 2]]);
  });

  test.each([
    ['no such file', undefined, 'FILE_UNREADABLE', /names mic\.csv: no such file/],
    ['an empty file', '\n# nothing\n', 'WRONG_TYPE', /is empty/],
    ['another head', 'angle,125\n0,0\n', 'WRONG_TYPE', /cell 1 in line 1 must be angle_deg, got angle/],
    ['bars', 'angle_deg|125\n0|0\n180|-3\n', 'WRONG_TYPE', /must be angle_deg, got angle_deg\|125/],
    ['an open quote', '#\nangle_deg,125\n0,0\n"180,-3\n', 'WRONG_TYPE', /quote in line 4 is never closed/],
    ['no band', '#\nangle_deg\n0\n180\n', 'WRONG_TYPE', /line 2 names no octave/],
    ['no angles', 'angle_deg,125\n0,0\n', 'WRONG_TYPE', /at least two angles/],
    [
      'a band of its own',
      'angle_deg,130\n0,0\n180,0\n',
      'UNKNOWN_KEY',
      /cell 2 in line 1 is not an octave band/,
    ],
    ['a band twice', 'angle_deg,125,125\n0,0,0\n180,0,0\n', 'WRONG_TYPE', /cell 3 in line 1 repeats 125/],
    [
      'a band by two names',
      'angle_deg,1k,1000\n0,0,0\n180,0,0\n',
      'BAD_NAME',
      /line 1 repeats the 1000 Hz octave/,
    ],
    [
      'a cell too few',
      'angle_deg,125,250\n0,0,0\n180,-3\n',
      'WRONG_TYPE',
      /line 3 has 2 cells, not 3 as the header/,
    ],
    [
      'a decimal comma',
      'angle_deg,125\n0,0\n180,-3,5\n',
      'WRONG_TYPE',
      /line 3 has 3 cells, not 2 as the header/,
    ],
    ['an empty cell', 'angle_deg,125\n0,\n180,-3\n', 'BAD_VALUE', /cell 2 \(125\) in line 2 is empty/],
    [
      'a level out of range',
      'angle_deg,125\n0,0\n180,-300\n',
      'OUT_OF_RANGE',
      /cell 2 \(125\) in line 3 must be .*got -300/,
    ],
    [
      'an angle out of range',
      'angle_deg,125\n0,0\n180,0\n200,0\n',
      'OUT_OF_RANGE',
      /cell 1 \(angle_deg\) in line 4 must be/,
    ],
    [
      'angles that fall',
      'angle_deg,125\n0,0\n90,0\n# aside\n60,0\n180,0\n',
      'OUT_OF_RANGE',
      /cell 1 \(angle_deg\) in line 5 must rise/,
    ],
    [
      'a start beyond 0',
      'angle_deg,125\n10,0\n180,0\n',
      'OUT_OF_RANGE',
      /cell 1 \(angle_deg\) in line 2 must rise from 0/,
    ],
    [
      'an end before 180',
      'angle_deg,125\n0,0\n170,0\n',
      'OUT_OF_RANGE',
      /cell 1 \(angle_deg\) in line 3 must rise from 0 to 180/,
    ],
  ])('in the file is told by line and cell: %s', async (_, csv, code, message) => {
    const { findings, plan } = await readWith(MIC, csv === undefined ? {} : { 'mic.csv': csv });
    expect(findings).toMatchObject([{ code, path: ['mics', 'm', 'pattern', 'table'] }]);
    expect(findings[0]?.message).toMatch(message);
    expect(plan).toBeNull();
  });

  test('of a hundred is told ten times, then counted', async () => {
    const rows = Array.from({ length: 101 }, (_, i) => `${i * 1.8},loud`);
    const { findings } = await readWith(MIC, { 'mic.csv': `angle_deg,125\n${rows.join('\n')}` });
    expect(findings).toHaveLength(11);
    expect(findings[10]?.message).toMatch(/has 91 more errors/);
  });

  test('is a file beyond all measure', async () => {
    const long = `${TABLE}#${'x'.repeat(200_000)}`;
    const rows = Array.from({ length: 2001 }, (_, i) => `${(i * 180) / 2000},0`);
    for (const csv of [long, `angle_deg,125\n${rows.join('\n')}`]) {
      const { findings } = await readWith(MIC, { 'mic.csv': csv });
      expect(findings.map(({ message }) => message)).toEqual([
        expect.stringMatching(/limit 200000|more than 2000/),
      ]);
    }
  });

  test('is anything but a word where a file is named', async () => {
    for (const wrong of ['5', 'true', '[mic.csv]']) {
      const { findings } = await readWith(MIC.replace('mic.csv', wrong), {});
      expect(findings).toMatchObject([{ code: 'WRONG_TYPE', path: ['mics', 'm', 'pattern', 'table'] }]);
    }
  });

  test('steers no terminal', async () => {
    const { findings } = await readWith(MIC, { 'mic.csv': 'angle_deg,125\n0,\u001b[31m\n180,0\n' });
    expect(findings[0]?.message).not.toContain('\u001b');
  });
});

const ofMaps = (_: string, value: unknown): unknown => (value instanceof Map ? [...value] : value);
