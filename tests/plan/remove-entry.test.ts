/** Entries taken out of the text of a plan: what is left is typed out. */
import { describe, expect, test } from 'vitest';
import type { Path } from '../../src/finding.ts';
import { removeEntry } from '../../src/plan/edit.ts';

const TEXT = `# on top
baffles:
  # before the drums
  one:
    from: [0, 0]   # by tape
    to: [1, 0]

  two: {from: [0, 1], to: [1, 1]}   # the old one
  # at the end
  three: &same {from: [0, 2]}
mics: *same
flow: {a: 1, b: {c: 2}, d: 3}   # beside
over: {
  e: 1,  # of e
  f: 2   # of f
}
only: {g: 1}
last:
  h: 1`;

const left = (...path: Path): string => {
  const result = removeEntry(TEXT, path);
  return 'text' in result ? result.text : result.problem;
};

describe('an entry goes out with its own lines, but for what is remarked there, and nothing else', () => {
  test.each([
    [['baffles', 'one'], '  one:\n    from: [0, 0]   # by tape\n    to: [1, 0]\n', '  # by tape\n'],
    [['baffles', 'two'], '  two: {from: [0, 1], to: [1, 1]}   # the old one\n', '  # the old one\n'],
    [['baffles', 'one', 'from'], '    from: [0, 0]   # by tape\n', '    # by tape\n'],
    [['flow', 'a'], 'a: 1, ', ''],
    [['flow', 'b'], 'b: {c: 2}, ', ''],
    [['flow', 'd'], ', d: 3', ''],
    [['flow', 'b', 'c'], 'c: 2', ''],
    [['over', 'f'], 'f: 2', ''],
    [['only', 'g'], 'g: 1', ''],
    [['last', 'h'], '  h: 1', ''],
  ])('%j', (path, gone, come) => {
    expect(TEXT.split(gone)).toHaveLength(2);
    expect(left(...path)).toBe(TEXT.replace(gone, come));
  });

  test('an item goes out of a list as a key out of a map; what is left of the last is an empty list', () => {
    const text = 'a:\n  - x: 1  # one\n    y: 2\n  - z\nb: [1, 2, 3]\nc:\n  - q\n';
    const without = (...path: Path) => removeEntry(text, path);
    expect(without('a', 0)).toEqual({ text: text.replace('  - x: 1  # one\n    y: 2\n', '  # one\n') });
    expect(without('a', 1)).toEqual({ text: text.replace('  - z\n', '') });
    expect(without('b', 1)).toEqual({ text: text.replace('2, ', '') });
    expect(without('b', 2)).toEqual({ text: text.replace(', 3', '') });
    expect(without('c', 0)).toEqual({ text: text.replace('  - q\n', '  []\n') });
  });

  test('carriage returns stay as they are', () => {
    const text = 'a:\r\n  b: 1\r\n  c: 2\r\n';
    expect(removeEntry(text, ['a', 'b'])).toEqual({ text: 'a:\r\n  c: 2\r\n' });
  });
});

test.each([
  [['baffles', 'three'], 'alias'],
  [['mics', 'from'], 'alias'],
  [['baffles', 'four'], 'scalar'],
  [['flow', 'a', 'x'], 'scalar'],
])('%j cannot be taken out: %s', (path, problem) => expect(left(...path)).toBe(problem));
