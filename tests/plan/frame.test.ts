/** Findings as text. */
import { expect, test } from 'vitest';
import type { Finding } from '../../src/finding.ts';
import { frame, frameAll, spotAt } from '../../src/plan/document.ts';
import { read } from './plans.ts';

const finding: Finding = {
  code: 'OUT_OF_RANGE',
  severity: 'error',
  path: [],
  message: 'must be less',
  fix: 'write 1',
};

test('place, code, message, source line, caret and fix', () => {
  const text = 'spillcheck: 1\nair: {humidity: 140}\n';
  expect(frame(finding, spotAt({ name: 'plan.yaml', text }, text.indexOf('140')))).toBe(
    'plan.yaml:2:17 OUT_OF_RANGE must be less\n  air: {humidity: 140}\n                  ^\n  fix: write 1\n',
  );
});

test.each([0, 60, 150, 299])('a line of 300 columns is cut to the width around a caret at %d', (at) => {
  const text = Array.from({ length: 300 }, (_, i) => String(i % 10)).join('');
  const [, line = '', caret = ''] = frame(finding, spotAt({ name: 'p', text }, at), 60).split('\n');
  expect(line.length).toBeLessThanOrEqual(60);
  expect(line[caret.indexOf('^')]).toBe(String(at % 10));
});

test.each([0, 7, 20, 39])(
  'a line of escapes is cut between them, the caret below what is meant, at character %d',
  (at) => {
    const text = '\u001b\u{1f3ba}'.repeat(20);
    const spot = { file: 'p', line: 1, column: at + 1, text };
    const [, line = '', caret = ''] = frame(finding, spot, 60).split('\n');
    expect(line.length).toBeLessThanOrEqual(60);
    expect(line.slice(2).replaceAll('\\u{1b}', '').replaceAll('\u{1f3ba}', '')).toBe('');
    expect(line.slice(caret.indexOf('^'))).toMatch(at % 2 === 0 ? /^\\u\{1b\}/ : /^\u{1f3ba}/u);
  },
);

test('columns count characters, not halves of them', () => {
  expect(spotAt({ name: 'p', text: '🎺🎺: x' }, 6)).toMatchObject({ line: 1, column: 5 });
});

test('findings come sorted by file and place', () => {
  const spots = [
    ['b', 1, 1],
    ['a', 9, 1],
    ['a', 2, 7],
    ['a', 2, 3],
  ] as const;
  const findings = spots.map((_, i) => ({ ...finding, message: String(i) }));
  const page = frameAll(findings, ({ message }) => {
    const [file, line, column] = spots[Number(message)] ?? ['', 0, 0];
    return { file, line, column, text: '' };
  });
  expect([...page.matchAll(/^\S+(?= OUT_OF)/gm)].map(String)).toEqual(['a:2:3', 'a:2:7', 'a:9:1', 'b:1:1']);
});

test('a value of a million letters makes no long message', async () => {
  const { findings, show } = await read(`spillcheck: 1\nunits: ${'x'.repeat(1e6)}\n${'y'.repeat(1000)}: 1\n`);
  // of the units: that they are none, and that they are too long
  expect(findings).toHaveLength(3);
  expect(show(findings, 80).length).toBeLessThan(1500);
});
