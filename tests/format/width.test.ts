import { expect, test } from 'vitest';
import { cut, displayWidth, wrap } from '../../src/format/table.ts';

// Columns by Unicode Annex 11 (W and F two, others one) and Technical Standard 51 (emoji presentation two).
test.each([
  ['kit', 3],
  ['カホン', 6],
  ['ｶﾎﾝ', 3],
  ['ＭＩＣ', 6],
  ['장구', 4],
  ['é', 1],
  ['e\u0301', 1],
  ['🎤', 2],
  ['👩‍🎤', 2],
  ['👍🏽', 2],
  ['🇫🇷', 2],
  ['❤\ufe0f', 2],
  ['°', 1],
  ['', 0],
])('%s takes %i columns', (text, columns) => expect(displayWidth(text)).toBe(columns));

test('cutting never splits a character and never exceeds the width', () => {
  expect(cut('カホン', 4)).toBe('カ…');
  expect(cut('👩‍🎤 singer', 4)).toBe('👩‍🎤 …');
  expect(cut('voice', 5)).toBe('voice');
});

test('wrapping breaks at spaces, indents and splits what is too long', () => {
  expect(wrap('one two three', 9, '', '  ')).toEqual(['one two', '  three']);
  expect(wrap('abcdefghij', 6, '  ')).toEqual(['  abcd', '  efgh', '  ij']);
});
