/** Rows made by hand; the tables beside them are typed out as they should read. */
import { describe, expect, test } from 'vitest';
import { displayWidth } from '../../src/format/table.ts';
import { renderText } from '../../src/format/text.ts';
import { compared } from '../../src/report/compare.ts';
import type { ComparedRow, Reached } from '../../src/suggest/compare.ts';

const reached = (figure: number, verdict: Reached['verdict'] = 'clear'): Reached => ({
  figure,
  passage: null,
  verdict,
  words: null,
  rank: null,
  basis: null,
});

const row = (name: string, figures: readonly (number | null)[]): ComparedRow => ({
  kind: 'signal-to-bleed',
  about: [name],
  reached: figures.map((one) => (one === null ? null : reached(one))),
  changes: figures.map((one) => (one === null ? null : one - (figures[0] ?? 0))),
});

const shown = (rows: readonly ComparedRow[], width: number) =>
  renderText(
    { title: '', lead: [], sections: [compared('Signal to bleed', 'microphone', rows, true)] },
    { width, colour: false },
  )
    .trimEnd()
    .split('\n')
    .slice(1);

const four = [row('overhead-left-large-mic', [10, 12, 9, null]), row('kick', [20, 20, 20, 25.5])];

describe('plans side by side', () => {
  test('stand on one line each with their changes where that fits', () => {
    // 23 for the longest name, 10 for each figure, 5 for each change, 2 before each: 2+23 + 12 + 3·(12+7) = 94
    expect(shown(four, 94)).toEqual([
      '  microphone               A           B           B - A  C           C - A  D           D - A',
      '  overhead-left-large-mic  10.0 clear  12.0 clear   +2.0  9.0 clear    -1.0  –',
      '  kick                     20.0 clear  20.0 clear    0.0  20.0 clear    0.0  25.5 clear   +5.5',
    ]);
  });

  test('names go over several lines before anything else, broken after hyphens', () => {
    expect(shown(four, 89)).toEqual([
      '  microphone          A           B           B - A  C           C - A  D           D - A',
      '  overhead-left-      10.0 clear  12.0 clear   +2.0  9.0 clear    -1.0  –',
      '    large-mic',
      '  kick                20.0 clear  20.0 clear    0.0  20.0 clear    0.0  25.5 clear   +5.5',
    ]);
  });

  test('changes go below their figures where they do not fit beside them', () => {
    // 18 for names at the least: 2+18 + 4·12 = 68
    expect(shown(four, 68)).toEqual([
      '  microphone          A           B           C           D',
      '                                  B - A       C - A       D - A',
      '  overhead-left-      10.0 clear  12.0 clear  9.0 clear   –',
      '    large-mic                     +2.0        -1.0',
      '  kick                20.0 clear  20.0 clear  20.0 clear  25.5 clear',
      '                                  0.0         0.0         +5.5',
    ]);
  });

  test('then figures part from their words', () => {
    // 10 for `microphone`, 7 for `clear` where it goes on: 2+10 + 4·9 = 48
    expect(shown([row('kick', [20, 20, 20, 25.5])], 48)).toEqual([
      '  microphone  A        B        C        D',
      '                       B - A    C - A    D - A',
      '  kick        20.0     20.0     20.0     25.5',
      '                clear    clear    clear    clear',
      '                       0.0      0.0      +5.5',
    ]);
  });

  test('nothing is cut and no line is too long, however many plans and however long the names', () => {
    const many = Array.from({ length: 14 }, (_, i) => i - 0.5);
    const names = ['a', 'one-of-many-hyphens-and-more', `x${'y'.repeat(50)}`, 'two words of it'];
    for (const width of [60, 80, 120]) {
      const lines = shown(
        names.map((name) => row(name, many)),
        width,
      );
      expect(Math.max(...lines.map(displayWidth))).toBeLessThanOrEqual(width);
      expect(lines.join('')).not.toContain('…');
      for (const letter of 'BCDEFGHIJKLMN') expect(lines.join('\n')).toContain(` ${letter} - A`);
    }
  });
});
