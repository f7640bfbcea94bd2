import { expect, test } from 'vitest';
import { onlyMics } from '../../src/report/answer.ts';
import { session } from './hand-made.ts';
import { told } from './hand-told.ts';

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

test('what else is told is kept as far as it is about them', () => {
  const { parts, timing, mainPairs, inputs, pitfalls, tolerances } = onlyMics(told, ['tuba-mic']);
  expect(parts).toEqual([]);
  expect(timing.rows.map(({ own }) => own)).toEqual(['tuba-mic']);
  expect([...mainPairs, ...inputs, ...pitfalls, ...timing.overheads]).toEqual([]);
  expect(tolerances?.rows.map(({ kind }) => kind)).toEqual(['three-to-one']);
  expect(onlyMics(told, ['voice-mic']).pitfalls).toHaveLength(4);
  const row = { passage: 'verse', mics: ['tuba-mic'], bleedReMain: -10, bleedReMix: -20, ghosts: [] };
  const rested = { ...told, muting: [row, { ...row, mics: ['voice-mic', 'overheads'] }] };
  expect(onlyMics(rested, ['tuba-mic']).muting).toEqual([row]);
  expect(onlyMics(told, ['voice-mic']).mainPairs[0]?.spots).toHaveLength(1);
});
