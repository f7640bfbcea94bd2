/**
 * Separated values: RFC 4180 (section 2) for commas, quotes and line ends, and the marks that spreadsheets write instead of
 * commas. Tables by angle and readings are read by the one reader. All names and figures are invented.
 */
import { describe, expect, test } from 'vitest';
import { readTable } from '../../src/line-check/readings.ts';
import { MOST_CELLS, readCsv } from '../../src/plan/csv.ts';
import { readPlan } from '../../src/plan/plan.ts';

const texts = (text: string) => readCsv(text).lines.map(({ cells }) => cells.map((cell) => cell.text));

describe('cells', () => {
  test.each([
    [
      'lines of cells, the last with or without a line end (rules 1, 2)',
      'a,b\r\nc,d',
      [
        ['a', 'b'],
        ['c', 'd'],
      ],
    ],
    [
      'cells in quotes (rule 5)',
      '"a","b"\r\n"c",d\r\n',
      [
        ['a', 'b'],
        ['c', 'd'],
      ],
    ],
    [
      'separators and line ends within quotes (rule 6)',
      '"a,1","b\r\n2"\r\nc,d',
      [
        ['a,1', 'b\r\n2'],
        ['c', 'd'],
      ],
    ],
    [
      'doubled quotes within quotes (rule 7)',
      '"a ""x"" b",c\n"""",d',
      [
        ['a "x" b', 'c'],
        ['"', 'd'],
      ],
    ],
    [
      'empty cells, also at the end of a line',
      'a,,\n,b,""',
      [
        ['a', '', ''],
        ['', 'b', ''],
      ],
    ],
    [
      'line feeds alone, and returns alone',
      'a,b\nc,d\re,f',
      [
        ['a', 'b'],
        ['c', 'd'],
        ['e', 'f'],
      ],
    ],
    [
      'semicolons, with commas in cells',
      'a;b\n1,5;2',
      [
        ['a', 'b'],
        ['1,5', '2'],
      ],
    ],
    [
      'tabs',
      'a\tb\n\tc',
      [
        ['a', 'b'],
        ['', 'c'],
      ],
    ],
    ['a byte order mark', '\ufeffa,b', [['a', 'b']]],
    [
      'remarks, empty lines and blanks about cells',
      '# one\n\n a , "b" \n  # two\nc,d\n',
      [
        ['a', 'b'],
        ['c', 'd'],
      ],
    ],
    [
      'a comma in a quoted head among semicolons',
      '"a, b";"c, d, e";f\n1;2;3',
      [
        ['a, b', 'c, d, e', 'f'],
        ['1', '2', '3'],
      ],
    ],
  ])('%s', (_, text, cells) => expect(texts(text)).toEqual(cells));

  test('know their place: of a quoted one, its quote', () => {
    const text = '\ufeff# x\r\n a,  "b,c" ,d\r\n"e\nf",g,h';
    const { lines } = readCsv(text);
    // counted in the text: the mark is 1, the remark 3 and its line end 2; then blanks before a and "b
    expect(lines[0]?.cells.map(({ offset }) => offset)).toEqual([7, 11, 18]);
    expect(lines[1]?.cells.map(({ offset }) => text[offset])).toEqual(['"', 'g', 'h']);
  });

  test('lines count remarks and line ends within quotes', () => {
    expect(readCsv('# x\n"a\nb",c\n\nd,e').lines.map(({ number }) => number)).toEqual([2, 5]);
  });

  test.each([
    ['a,b\n"c,d\n', 4],
    ['a,b\nc,  "d""\n', 8],
  ])('a quote that is never closed is told by its place: %j', (text, offset) =>
    expect(readCsv(text)).toMatchObject({ lines: [{ number: 1 }], stop: { why: 'open quote', offset } }),
  );

  test('no more are read than fit', () => {
    const text = `a,b\n${'x,'.repeat(MOST_CELLS)}\n`;
    expect(readCsv(text)).toMatchObject({
      lines: [{ number: 1 }],
      stop: { why: 'too many cells', offset: 4 },
    });
  });
});

describe('a table by angle and readings take the same text', () => {
  /** One table of numbers in each way to write it; −1.5 dB is `-1.5`, or `-1,5` where the comma is no separator. */
  const WAYS = {
    commas: 'X,125,1000\r\n0,0,0\r\n180,-1.5,-20\r\n',
    semicolons: 'X;125;1000\n0;0;0\n180;-1,5;-20\n',
    tabs: 'X\t125\t1000\n0\t0\t0\n180\t-1.5\t-20\n',
    'quoted commas': '"X","125","1000"\n"0","0","0"\n"180","-1,5","-20"\n',
    'a mark, a remark, blanks': '\ufeff# made up\n X , 125 , 1000 \n\n0 , 0 , 0\n180 , "-1.5" , -20\n',
  };

  test.each(Object.entries(WAYS))('with %s', async (_, text) => {
    const plan = 'spillcheck: 1\nmics: {m: {for: all, at: [1, 2, 3], pattern: {table: t.csv}}}';
    const load = async () => ({ text: text.replace('X', 'angle_deg') });
    const read = await readPlan(plan, { name: 'plan.yaml', load });
    expect(read.findings).toEqual([]);
    const columns = [
      { hertz: 125, levels: [0, -1.5] },
      { hertz: 1000, levels: [0, -20] },
    ];
    expect(read.plan?.mics.get('m')?.pattern).toEqual({ table: { angles: [0, 180], columns } });

    const { entries, findings } = readTable(text.replace('X', 'played'), 'readings.csv');
    expect(findings).toEqual([]);
    expect(entries.map(({ who, mic, level }) => [who.name, mic.name, level])).toEqual([
      ['0', '125', 0],
      ['0', '1000', 0],
      ['180', '125', -1.5],
      ['180', '1000', -20],
    ]);
  });
});
