/** Entries made by hand; the pages beside them are typed out as they should read. */
import { describe, expect, test } from 'vitest';
import { bands, sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Origin } from '../../src/catalogue/catalogue.ts';
import {
  bandProperty,
  type CatalogueEntry,
  findEntries,
  nearestEntries,
  numberProperty,
  placeProperty,
} from '../../src/catalogue/entries.ts';
import { displayWidth } from '../../src/format/table.ts';
import { renderText } from '../../src/format/text.ts';
import { catalogueAnswer, decimalsOf, shownNumber } from '../../src/report/catalogue.ts';

const linesOf = (found: Parameters<typeof catalogueAnswer>[0]): string[] =>
  renderText(catalogueAnswer(found, cited), { width: 80, colour: false }).trimEnd().split('\n');
const measured: Origin = { grade: 'published', sources: ['lab'], note: null };
const guessed: Origin = { grade: 'unverified', sources: ['rule'], note: 'half of 125 Hz, as LAB has it' };
const alpha = { name: 'absorption coefficient', unit: '', digits: 3, from: measured };

const moss: CatalogueEntry = {
  kind: 'finishes',
  name: 'moss-wall',
  group: 'green',
  about: 'moss on a board, an invented finish',
  also: ['green wall', 'living wall'],
  properties: [
    {
      ...bandProperty(
        alpha,
        bands((band) => (band === 0 ? 0.05 : 0.125)),
      ),
      origins: [
        { of: '', origin: measured },
        { of: '63 Hz', origin: guessed },
      ],
      remarks: ['nearest published value used at 8000 Hz'],
    },
  ],
};
const ivy: CatalogueEntry = {
  ...moss,
  name: 'ivy-wall',
  about: 'ivy on a trellis before a wall',
  also: [],
  properties: [],
};
const fern: CatalogueEntry = {
  kind: 'instruments',
  name: 'fern-harp',
  group: 'strings',
  about: 'an invented harp',
  also: [],
  properties: [
    bandProperty(
      { name: 'spectrum', unit: 'dB', digits: 1, from: guessed },
      sameInAllBands(Number.NEGATIVE_INFINITY),
    ),
    placeProperty(
      { name: 'acoustic centre', unit: 'm', digits: 3, from: measured },
      { seated: [0.1, 0, 1], standing: [0.1, 0, 1.4] },
    ),
    {
      ...numberProperty({ name: 'crest factor', unit: 'dB', digits: 1, from: measured }, 16),
      technique: 'plucked',
    },
  ],
};
const cited = new Map([
  ['lab', { cite: 'A laboratory', read: 'in print' }],
  ['LAB', { cite: 'Another laboratory', where: 'https://example.org/lab' }],
  ['rule', { cite: 'A rule', note: 'rough' }],
]);

describe('an entry whole', () => {
  test('gives every band, every origin with grade and note, and what the keys stand for', () => {
    expect(linesOf({ whole: [moss], listed: [] })).toEqual([
      'moss-wall (finishes, green)',
      'moss on a board, an invented finish',
      'Also called green wall, living wall',
      '  absorption coefficient',
      '    63 Hz  125 Hz  250 Hz  500 Hz  1 kHz  2 kHz  4 kHz  8 kHz',
      '    0.050   0.125   0.125   0.125  0.125  0.125  0.125  0.125',
      '    nearest published value used at 8000 Hz',
      '    published [lab]',
      '    63 Hz: unverified [rule]: half of 125 Hz, as LAB has it',
      '',
      'Sources',
      '  [lab] A laboratory; read: in print',
      '  [rule] A rule; rough',
      '  [LAB] Another laboratory; read at https://example.org/lab',
    ]);
  });

  test('calls silence none, and sets postures and ways of playing apart', () => {
    expect(linesOf({ whole: [fern], listed: [] }).slice(3, 17)).toEqual([
      '  spectrum, dB',
      '    63 Hz  125 Hz  250 Hz  500 Hz  1 kHz  2 kHz  4 kHz  8 kHz',
      '     none    none    none    none   none   none   none   none',
      '    unverified [rule]: half of 125 Hz, as LAB has it',
      '  acoustic centre, m',
      '              right  ahead   up',
      '    seated      0.1      0  1.0',
      '    standing    0.1      0  1.4',
      '    published [lab]',
      '  crest factor: 16 dB',
      '    published [lab]',
      '',
      'Sources',
      '  [rule] A rule; rough',
    ]);
  });
});

describe('a kind', () => {
  test('is a table under its headings, descriptions wrapped beside the figures', () => {
    const long = {
      ...moss,
      name: 'x',
      about: 'a description that is so long that it needs a second line beside the figures',
    };
    expect(linesOf({ whole: [], listed: [moss, long] })).toEqual([
      'finishes, 2 entries; absorption coefficient',
      '  name       125 Hz  500 Hz  2 kHz',
      'green',
      // 0.125 to two decimals; 63 Hz is unverified, the rest published
      '  moss-wall    0.13    0.13   0.13  moss on a board, an invented finish',
      '                                    (unverified)',
      '  x            0.13    0.13   0.13  a description that is so long that it needs',
      '                                    a second line beside the figures',
      '                                    (unverified)',
    ]);
  });

  test('no line is wider than the page', () => {
    const about = Array.from({ length: 60 }, (_, i) => 'abcdefgh'.slice(i % 8)).join(' ');
    const wide = { ...moss, name: 'n'.repeat(27), about };
    const lines = linesOf({ whole: [wide], listed: [wide, ivy] });
    expect(Math.max(...lines.map(displayWidth))).toBeLessThanOrEqual(80);
  });
});

describe('looking for', () => {
  const all = [moss, ivy, fern];
  const names = ({ whole, listed }: ReturnType<typeof findEntries>) =>
    [whole, listed].map((some) => some.map(({ name }) => name));

  test.each([
    { words: ['moss-wall'], whole: ['moss-wall'], listed: [], why: 'a name' },
    { words: ['Moss', 'WALL'], whole: ['moss-wall'], listed: [], why: 'a name in two words' },
    { words: ['wall'], whole: [], listed: ['moss-wall', 'ivy-wall'], why: 'part of two names' },
    { words: ['trellis', 'ivy'], whole: ['ivy-wall'], listed: [], why: 'the only one that has both words' },
    { words: ['trellis', 'moss'], whole: [], listed: [], why: 'words that no one entry has together' },
    { words: ['Living', 'wall'], whole: ['moss-wall'], listed: [], why: 'another name of one' },
    { words: ['all'], whole: [], listed: [], why: 'letters inside words' },
    { words: ['walls'], whole: [], listed: ['moss-wall', 'ivy-wall'], why: 'a plural' },
    { words: ['living'], whole: ['moss-wall'], listed: [], why: 'a word of it' },
    { words: ['invented'], whole: [], listed: ['moss-wall', 'fern-harp'], why: 'a word of descriptions' },
  ])('$words: $why', ({ words, whole, listed }) => {
    expect(names(findEntries(all, words))).toEqual([whole, listed]);
  });

  test('what is spelled wrong leads to the nearest names and words of names', () => {
    expect(nearestEntries(all, ['mos-wal'])[0]).toBe('moss-wall');
    expect(nearestEntries(all, ['trelis'])).toEqual([]);
    expect(nearestEntries(all, ['fren'])[0]).toBe('fern');
  });
});

describe('numbers', () => {
  test.each([
    [0.5, 3, '0.5'],
    [0.0625, 3, '0.063'],
    [100, 2, '100'],
    [-0.001, 2, '0'],
    [95, 1, '95'],
  ])('%d with at most %i decimals is %s', (value, most, text) => expect(shownNumber(value, most)).toBe(text));

  test('a column has the decimals that one of its numbers needs', () => {
    expect(decimalsOf([1, 0.25, null, 0.3], 3)).toBe(2);
    expect(decimalsOf([], 3)).toBe(0);
  });
});
