/** Values in turn: ranges, lists, draws and slices. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { plainInline } from '../../src/plan/edit.ts';
import type { Axis, TrialOptions } from '../../src/suggest/sweep.ts';
import { axisOf, bestRows, columnNamed, trialRows, trialsOf, tryAll } from '../../src/suggest/sweep.ts';
import { onBench } from './evaluator.ts';

/** In a free field; the mic for the right loudspeaker stands on the line between the two. */
const PLAN = `spillcheck: 1
sources:
  left: {at: [0, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
  right: {at: [4, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
mics:
  left-mic: {for: left, at: [1, 0, 1], pattern: omni}
  right-mic: {for: right, at: [3, 0, 1], pattern: omni}
`;

const ALL: TrialOptions = { random: null, seed: 1, slice: [1, 1] };

async function axes(...texts: string[]): Promise<Axis[]> {
  const { tree } = await onBench(PLAN);
  const made = await Promise.all(texts.map((text) => axisOf(text, tree)));
  return made.map((axis) => {
    if ('code' in axis) throw new Error(`${axis.message}: ${axis.fix}`);
    return axis;
  });
}

async function rows(texts: readonly string[], options: Partial<TrialOptions> = {}): Promise<string[]> {
  const trials = trialsOf(await axes(...texts), { ...ALL, ...options });
  if ('code' in trials) throw new Error(trials.message);
  return [...trialRows(trials)].map(({ row, values }) => `${row}: ${values.map(plainInline).join(' | ')}`);
}

test.each([
  { values: '0..30/10', gives: ['0', '10', '20', '30'] },
  { values: '0..25/10', gives: ['0', '10', '20'] },
  { values: '30..0/15', gives: ['30', '15', '0'] },
  { values: '0..0.3/0.1', gives: ['0', '0.1', '0.2', '0.3'] },
  { values: '10..20/5 cm', gives: ['10 cm', '15 cm', '20 cm'] },
  { values: '80..84/2 dBA at 1 m', gives: ['80 dBA at 1 m', '82 dBA at 1 m', '84 dBA at 1 m'] },
  { values: 'cardioid, figure-8', gives: ['cardioid', 'figure-8'] },
  { values: '[1, 2], [2.5, 2, 1]', gives: ['[1, 2]', '[2.5, 2, 1]'] },
  { values: '~, 3', gives: ['~', '3'] },
])('$values are $gives.length values', async ({ values, gives }) => {
  expect(await rows([`mics.right-mic.aim.bearing=${values}`])).toEqual(
    gives.map((one, i) => `${i + 1}: ${one}`),
  );
});

test('every combination comes once, the last entry turning fastest', async () => {
  expect(await rows(['air.temperature=5, 10', 'mics.left-mic.pattern=omni, cardioid, figure-8'])).toEqual([
    '1: 5 | omni',
    '2: 5 | cardioid',
    '3: 5 | figure-8',
    '4: 10 | omni',
    '5: 10 | cardioid',
    '6: 10 | figure-8',
  ]);
});

describe('slices', () => {
  test('together are exactly the whole, drawn or not', async () => {
    const made = await axes('air.temperature=0..30/1', 'mics.left-mic.pattern=omni, cardioid, figure-8');
    const listed = (options: TrialOptions) => {
      const trials = trialsOf(made, options);
      if ('code' in trials) throw new Error(trials.message);
      return [...trialRows(trials)].map(({ row, values }) => [row, ...values.map(plainInline)].join());
    };
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 120 }),
        fc.option(fc.integer({ min: 1, max: 60 })),
        (parts, random) => {
          const slices = Array.from({ length: parts }, (_, i) =>
            listed({ random, seed: 7, slice: [i + 1, parts] }),
          );
          expect(slices.flat()).toEqual(listed({ random, seed: 7, slice: [1, 1] }));
        },
      ),
      { numRuns: 40 },
    );
  });

  test('one seed draws the same rows again, another others', async () => {
    const drawn = (seed: number) => rows(['air.temperature=0..30'], { random: 4, seed });
    expect(await drawn(3)).toEqual(await drawn(3));
    expect(await drawn(3)).not.toEqual(await drawn(4));
  });
});

test.each([
  {
    text: 'mics.rihgt-mic.at=[1, 2]',
    says: /no setting named "mics\.rihgt-mic"/,
    fix: /"mics\.right-mic"/,
  },
  { text: 'mics.right-mic.aim.baering=1', says: /no setting/, fix: /mics\.right-mic\.aim\.bearing/ },
  { text: 'micz.right-mic.at=1', says: /no setting named "micz"/, fix: /did you mean "mics"/ },
  {
    text: 'sources.left.at[3]=1',
    says: /no setting named "sources\.left\.at\.3"/,
    fix: /sources\.left\.at\.0/,
  },
  { text: 'mics.right-mic.near.distance', says: /has no values/, fix: /PATH=VALUES/ },
  { text: 'air.temperature=1..2/0', says: /step of 0/, fix: /0\.\.350\/10/ },
  { text: 'air.temperature=1 °C..2 °C/1 °C', says: /is not a range/, fix: /unit once/ },
  { text: 'air.temperature=', says: /no values/, fix: /list/ },
])('$text is refused', async ({ text, says, fix }) => {
  const made = await axisOf(text, (await onBench(PLAN)).tree);
  if (!('code' in made)) throw new Error('was taken');
  expect(made.message).toMatch(says);
  expect(made.fix).toMatch(fix);
});

test('an entry set twice, or within another that is set, is refused; so is a range without end', async () => {
  const refused = async (...texts: string[]) => {
    const made = trialsOf(await axes(...texts), ALL);
    return 'code' in made ? made.message : 'taken';
  };
  expect(await refused('mics.left-mic.aim=right', 'mics.left-mic.aim.bearing=1, 2')).toMatch(/set twice/);
  expect(await refused('air.temperature=1..2')).toMatch(/no step/);
});

test('rows hold the figures: a mic from 1 m to 0.5 m off its source, 3 m and 3.5 m from the other', async () => {
  const base = await onBench(PLAN);
  const column = columnNamed(base.scene, 'signal-to-bleed.right-mic');
  if ('code' in column) throw new Error(column.message);
  const trials = trialsOf(await axes('mics.right-mic.at[0]=3, 3.5, 4'), ALL);
  if ('code' in trials) throw new Error(trials.message);
  const made = [...tryAll(base, trials, [column])];
  // 20·lg 3 and 20·lg 7; air takes 4.66 dB/km at 1 kHz (ISO 9613-1) over 2 m and 3 m more
  expect(made[0]?.results[0]).toBeCloseTo(9.542 + 0.009, 2);
  expect(made[1]?.results[0]).toBeCloseTo(16.902 + 0.014, 2);
  expect([made[2]?.results[0], made[2]?.fault]).toEqual([null, expect.stringContaining('acoustic centre')]);
});

test('a column that is not there is refused with the nearest', async () => {
  const { scene } = await onBench(PLAN);
  expect(columnNamed(scene, 'signal-to-bleed.rigth-mic')).toMatchObject({
    fix: 'did you mean "signal-to-bleed.right-mic"?',
  });
});

test('the best rows are those of sorting all, equals in their order, rows without figure never', () => {
  const figures = fc.array(fc.option(fc.integer({ min: 0, max: 9 })), { maxLength: 40 });
  fc.assert(
    fc.property(figures, fc.integer({ min: 1, max: 12 }), fc.boolean(), (all, most, more) => {
      const best = bestRows(most, 0, more);
      const listed = all.map((figure, i) => ({ row: i + 1, values: [], results: [figure], fault: null }));
      for (const row of listed) best.add(row);
      const sign = more ? -1 : 1;
      const sorted = listed
        .filter(({ results: [one] }) => one !== null)
        .sort((a, b) => sign * ((a.results[0] ?? 0) - (b.results[0] ?? 0)));
      expect(best.rows().map(({ row }) => row)).toEqual(sorted.slice(0, most).map(({ row }) => row));
    }),
  );
});
