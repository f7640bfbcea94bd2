import { expect, test } from 'vitest';
import { announce, inAscii, linesOf, speaksUtf8, wantsColour, widthOf } from '../../src/io/terminal.ts';

const colourful = { isTTY: true, columns: 100, hasColors: () => true };
const dumb = { isTTY: true, hasColors: () => false };
const pipe = {};

test.each([
  { what: 'a terminal', stream: colourful, environment: {}, colour: true },
  { what: 'a pipe', stream: pipe, environment: {}, colour: false },
  { what: 'a terminal that knows no colour', stream: dumb, environment: {}, colour: false },
  { what: 'NO_COLOR', stream: colourful, environment: { NO_COLOR: '1' }, colour: false },
  { what: 'an empty NO_COLOR', stream: colourful, environment: { NO_COLOR: '' }, colour: true },
  { what: 'FORCE_COLOR on a pipe', stream: pipe, environment: { FORCE_COLOR: '1' }, colour: true },
  { what: 'FORCE_COLOR=0', stream: colourful, environment: { FORCE_COLOR: '0' }, colour: false },
  {
    what: 'FORCE_COLOR beside NO_COLOR',
    stream: pipe,
    environment: { FORCE_COLOR: '1', NO_COLOR: '1' },
    colour: true,
  },
])('$what: colour $colour', ({ stream, environment, colour }) => {
  expect(wantsColour(stream, environment)).toBe(colour);
});

test.each([
  { stream: colourful, environment: {}, width: 100 },
  { stream: pipe, environment: {}, width: 80 },
  { stream: pipe, environment: { COLUMNS: '120' }, width: 120 },
  { stream: colourful, environment: { COLUMNS: '500' }, width: 140 },
  { stream: { columns: 40 }, environment: {}, width: 80 },
  { stream: pipe, environment: { COLUMNS: 'wide' }, width: 80 },
  { stream: pipe, environment: { COLUMNS: '-5' }, width: 80 },
])('a page is $width columns wide', ({ stream, environment, width }) => {
  expect(widthOf(stream, environment)).toBe(width);
});

test.each([
  { stream: pipe, lines: 40 },
  { stream: { rows: 24 }, lines: 40 },
  { stream: { rows: 60 }, lines: 59 },
])('a page that is seen at once has $lines lines', ({ stream, lines }) => {
  expect(linesOf(stream)).toBe(lines);
});

test.each([
  { isTTY: true, shown: ['12 sources …', `\r${' '.repeat(12)}\r`] },
  { isTTY: false, shown: [] },
])('what takes long is said on a terminal only, and taken away ($isTTY)', ({ isTTY, shown }) => {
  const written: string[] = [];
  announce('12 sources …', { isTTY, write: (text) => written.push(text) })();
  expect(written).toEqual(shown);
});

test('what takes long is said without what would steer the terminal', () => {
  const written: string[] = [];
  announce('listening to \u001b[2Jone\u202e …', { isTTY: true, write: (text) => written.push(text) })();
  expect(written).toEqual(['listening to \\u{1b}[2Jone\\u{202e} …', `\r${' '.repeat(35)}\r`]);
});

/** LC_ALL goes before LC_CTYPE, that before LANG (POSIX.1-2017, 8.2). */
test.each([
  [{}, true],
  [{ LANG: 'en_GB.UTF-8' }, true],
  [{ LANG: 'C.utf8' }, true],
  [{ LANG: 'C' }, false],
  [{ LANG: 'de_DE.ISO-8859-1' }, false],
  [{ LANG: 'en_GB.UTF-8', LC_ALL: 'C' }, false],
  [{ LANG: 'C', LC_CTYPE: 'en_GB.UTF-8' }, true],
])('%o: UTF-8 %s', (environment, speaks) => {
  expect(speaksUtf8(environment)).toBe(speaks);
});

test('without UTF-8 bars, arrows and signs are drawn in ASCII; names stay as they are', () => {
  expect(inAscii('  SHORT  horn-mic  ███┃  40 → 15 cm, 13°')).toBe(
    '  SHORT  horn-mic  ###|  40 -> 15 cm, 13 deg',
  );
  expect(inAscii('12.0 × 9.0 m, 454 m³, ±5 dB – Käthe')).toBe('12.0 x 9.0 m, 454 m3, +/-5 dB - Käthe');
});
