/** What is refused before a plan is looked at, and where things are said to stand. */
import { expect, test } from 'vitest';
import { LONGEST_TEXT, MOST_IN_ONE, MOST_SIGNS, markOf, readDocument } from '../../src/plan/document.ts';
import { cpuTime } from '../cpu-time.ts';
import { read } from './plans.ts';

const parse = (text: string) => readDocument({ name: 'plan.yaml', text });

test('a plan over 1 MB is refused before it is parsed', async () => {
  const long = `spillcheck: 1\n# ${'x'.repeat(LONGEST_TEXT)}\n`;
  expect(await cpuTime(() => read(long))).toBeLessThan(500);
  const { plan, findings } = await read(long);
  expect(plan).toBeNull();
  expect(findings).toMatchObject([{ code: 'PLAN_SYNTAX', message: expect.stringContaining('1 MB') }]);
});

test('2000 names in one map are read, and not one more', () => {
  const names = (count: number) => Array.from({ length: count }, (_, i) => `  n${i}: 1`).join('\n');
  expect(parse(`sources:\n${names(MOST_IN_ONE)}\n`).findings).toEqual([]);
  expect(parse(`sources:\n${names(MOST_IN_ONE + 1)}\n`).findings).toMatchObject([
    { code: 'PLAN_SYNTAX', offset: 11, message: expect.stringMatching(/2001 entries, limit 2000/) },
  ]);
  expect(parse(`a: [${'1,'.repeat(MOST_IN_ONE + 1)}]`).findings).toMatchObject([
    { message: expect.stringMatching(/list of 2001 entries/) },
  ]);
});

test('a text of marks alone is read no further than 250,000 of them', () => {
  // two signs a line: a comment and its end
  const lines = (count: number) => '#\n'.repeat(count);
  expect(parse(`a: 1\n${lines(MOST_SIGNS / 2 - 10)}`).findings).toEqual([]);
  for (const text of [lines(MOST_SIGNS / 2 + 10), ': : : :\n'.repeat(100_000), 'a: "\n'.repeat(150_000)])
    expect(parse(text).findings).toMatchObject([
      { code: 'PLAN_SYNTAX', message: expect.stringMatching(/more than 250000 words and marks/) },
    ]);
});

test.each([100, 5_000, 200_000])('%d brackets in one another are refused in words', (depth) => {
  const { tree, findings } = parse(`title: ${'['.repeat(depth)}${']'.repeat(depth)}`);
  expect(findings).toMatchObject([{ code: 'PLAN_SYNTAX', message: expect.stringContaining('too deeply') }]);
  expect(depth > 100 && tree).toBeFalsy();
});

test('aliases stand for what was written at their anchor', () => {
  const { tree, findings } = parse('a: &one {x: [1, 2]}\nb: *one\n');
  expect(findings).toEqual([]);
  expect(tree && markOf(tree, ['b']).offset).toBe(23);
  expect(tree && markOf(tree, ['b', 'x', 1]).offset).toBe(16);
});

test('a value, a key, and what is missing are each found', () => {
  const { tree } = parse('mics:\n  main: {for: all}\n');
  expect(tree && markOf(tree, ['mics', 'main', 'for']).offset).toBe(20);
  expect(tree && markOf(tree, ['mics', 'main', 'for'], 'key').offset).toBe(15);
  expect(tree && markOf(tree, ['mics', 'main', 'at'], 'key').offset).toBe(14);
});

test('a key that is a list or a map is refused', () => {
  expect(parse('? [a, b]\n: 1\n').findings).toMatchObject([
    { message: expect.stringContaining('a key must be a plain name') },
  ]);
});

test('letters put together in two ways are one name', async () => {
  const composed = 'caf\u00e9';
  const { findings } = await read(
    `spillcheck: 1\nmics:\n  ${composed}: {for: all, at: [0, 0, 2]}\n  cafe\u0301: {for: all, at: [0, 0, 2]}\n`,
  );
  expect(findings).toMatchObject([
    { code: 'PLAN_SYNTAX', message: expect.stringContaining('duplicate key') },
  ]);
});

test('a byte order mark and Windows line ends are no matter', async () => {
  const { plan, findings } = await read('\ufeffspillcheck: 1\r\ntitle: Hall\r\n');
  expect(findings).toEqual([]);
  expect(plan?.title).toBe('Hall');
});

test.each([
  ['- ', 'x'],
  ['? ', 'x'],
  ['{a: ', ''],
  ['[[{a: [', ''],
])('%j over and over is refused in words', (open, inside) => {
  const { findings } = parse(open.repeat(50_000) + inside);
  expect(findings).toMatchObject([{ code: 'PLAN_SYNTAX', message: expect.stringContaining('too deeply') }]);
});

test.each([
  ['lists in lines', `${'- '.repeat(60)}x`],
  ['maps in braces', `${'{a: '.repeat(60)}x${'}'.repeat(60)}`],
  ['maps by indent', Array.from({ length: 60 }, (_, i) => `${' '.repeat(i)}a:`).join('\n')],
])('60 levels of %s are read', (_what, text) => {
  const said = parse(text).findings.map(({ message }) => message);
  expect(said.filter((message) => message.includes('deep'))).toEqual([]);
});

test('one slip of the pen is one finding, two on two lines are two', () => {
  const rest = Array.from({ length: 20 }, (_, i) => `  b${i}: {at: [1, 2], plays: tuba}\n`).join('');
  expect(parse(`players:\n  a: : [10, 2], plays: tuba}\n${rest}`).findings.length).toBeLessThan(3);
  // @ and ` may begin no plain value in YAML 1.2
  const two = parse('a: 1\nd: @x\ne: `y\n').findings;
  expect(two).toHaveLength(2);
});
