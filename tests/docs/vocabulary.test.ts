/** One vocabulary: no string that a person can see uses a retired word in its retired sense. */
import { describe, expect, test } from 'vitest';
import { RETIRED, type Retired } from './retired.ts';
import { everythingSaid } from './said.ts';

/** What is found, each with some words around it. */
function foundIn(text: string, { phrase, allowed = [] }: Retired): string[] {
  const rest = allowed.reduce((left, context) => left.replace(new RegExp(context.source, 'gi'), '·'), text);
  return [...rest.matchAll(phrase)].map(({ index, 0: hit }) =>
    rest.slice(Math.max(0, index - 40), index + hit.length + 40),
  );
}

describe('the list', () => {
  test.each(RETIRED)('finds the words of before: $before', (retired) => {
    expect(foundIn(retired.before, retired)).not.toEqual([]);
  });

  test.each(RETIRED)('does not ask for what it retires: $write', ({ write }) => {
    expect(RETIRED.flatMap((retired) => foundIn(write, retired))).toEqual([]);
  });
});

const said = everythingSaid();

test('what is shown is gathered from every place', () => {
  expect(new Set(said.map(({ area }) => area)).size).toBeGreaterThan(20);
  expect(said.length).toBeGreaterThan(2000);
});

test.each(RETIRED)('nothing shown says "$before": write "$write"', (retired) => {
  const hits = said.flatMap(({ where, text }) =>
    foundIn(text, retired).map((words) => `${where}: "${words}" → write: ${retired.write}`),
  );
  expect([...new Set(hits)]).toEqual([]);
});
