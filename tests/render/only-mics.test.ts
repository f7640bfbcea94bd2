import { expect, test } from 'vitest';
import { onlyMics } from '../../src/render/only-mics.ts';
import { session } from './hand-made.ts';

const shown = (names: readonly string[]) => {
  const { mics, pairs, lines, threeToOne } = onlyMics(session, names);
  return {
    mics: mics.map((m) => m.name),
    pairs: pairs.length,
    lines: lines.length,
    spacings: threeToOne.length,
  };
};

test('a pair brings its capsules, a capsule comes alone', () => {
  expect(shown(['overheads'])).toEqual({
    mics: ['overheads.left', 'overheads.right'],
    pairs: 1,
    lines: 0,
    spacings: 1,
  });
  expect(shown(['overheads.left'])).toEqual({ mics: ['overheads.left'], pairs: 0, lines: 0, spacings: 1 });
});

test('a line can be asked for', () =>
  expect(shown(['bass-di'])).toEqual({ mics: [], pairs: 0, lines: 1, spacings: 0 }));

test('nobody named is everybody shown', () => expect(onlyMics(session, [])).toBe(session));
