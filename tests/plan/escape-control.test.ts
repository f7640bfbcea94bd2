import { expect, test } from 'vitest';
import { nameFault } from '../../src/plan/names.ts';
import { escapeControl, escapeControlLines } from '../../src/text.ts';

// C0 and C1 controls of ECMA-48; format characters and separators by General_Category (Unicode 15); lone surrogates.
test.each([
  { what: 'an escape sequence', text: 'a\u001b[2Jb', shown: 'a\\u{1b}[2Jb' },
  { what: 'its one-byte form', text: '\u009b31m', shown: '\\u{9b}31m' },
  { what: 'a bell, a backspace, a delete', text: '\u0007\u0008\u007f', shown: '\\u{7}\\u{8}\\u{7f}' },
  { what: 'line breaks and tabs', text: 'a\nb\r\tc\u0085', shown: 'a\\u{a}b\\u{d}\\u{9}c\\u{85}' },
  { what: 'separators of lines', text: '\u2028\u2029', shown: '\\u{2028}\\u{2029}' },
  { what: 'turns of direction', text: '\u202epilf\u2066x\u200f', shown: '\\u{202e}pilf\\u{2066}x\\u{200f}' },
  {
    what: 'what takes no room',
    text: '\u200b\u2060\ufeff\u00ad',
    shown: '\\u{200b}\\u{2060}\\u{feff}\\u{ad}',
  },
  { what: 'tags beyond the first plane', text: 'x\u{e0041}', shown: 'x\\u{e0041}' },
  { what: 'half a character', text: 'x\ud800y', shown: 'x\\u{d800}y' },
])('$what is shown, not sent, and no name may hold it', ({ text, shown }) => {
  expect(escapeControl(text)).toBe(shown);
  expect(nameFault(`a${text}z`)?.message).toBe('contains a control character');
});

test.each([
  'Jörg 🎺 <&> 東',
  'e\u0301',
  '👩‍👩‍👧',
  'می‌خواهم',
  '🏴\u{e0067}\u{e0062}\u{e0073}\u{e0063}\u{e0074}\u{e007f}',
])('%s is shown as it is, and is a name', (text) => {
  expect(escapeControl(text)).toBe(text);
  expect(nameFault(text)).toBeNull();
});

test('line breaks of our own text stay where lines are asked for', () => {
  expect(escapeControlLines('one\n\u001b[2Jtwo\n')).toBe('one\n\\u{1b}[2Jtwo\n');
});
