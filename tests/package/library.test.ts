/** The package's own door, as a script without types may use it. The two loudspeakers do not exist. */
import { describe, expect, test } from 'vitest';
import * as spillcheck from '../../src/index.ts';

const PLAN = `spillcheck: 1
sources:
  left: {at: [0, 0, 1], facing: 90, spectrum: {1000: 0}, level: 80 dB at 1 m}
  right: {at: [4, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
mics:
  left-mic: {for: left, at: [1, 0, 2], aim: {bearing: 225, tilt: -30}, pattern: cardioid}
  right-mic: {for: right, at: [3, 0, 1], pattern: omni}
limits: {signal-to-bleed: 10 dB}
`;
const catalogue = spillcheck.shippedCatalogue();
const read = await spillcheck.readPlan(PLAN, { name: 'plan.yaml' });
const { open } = spillcheck.openPlan(read, catalogue);
if (!open) throw new Error('the plan does not stand');
const session = spillcheck.sessionOf(open);
const broken = spillcheck.openPlan(
  await spillcheck.readPlan(PLAN.replace('[4, 0, 1]', 'nowhere'), { name: 'plan.yaml' }),
  catalogue,
);
const axis = await spillcheck.axisOf('mics.right-mic.pattern=omni, cardioid', open.tree);
const [column] = spillcheck.usualColumns(open.scene);

/** As a script without types would call it. */
type Loose = { readonly [Name in keyof typeof spillcheck]: (...args: readonly unknown[]) => never };
const loose = spillcheck as unknown as Loose;

test('the report says where sources are and where mics are aimed, for drawings of one’s own', () => {
  expect(session.report.sources).toMatchObject([
    { name: 'left', player: null, at: [0, 0, 1], bearing: 90, tilt: 0, room: null },
    { name: 'right', at: [4, 0, 1] },
  ]);
  const [left] = session.report.mics;
  expect([left?.at, left?.bearing, left?.tilt]).toEqual([
    [1, 0, 2],
    expect.closeTo(225, 9),
    expect.closeTo(-30, 9),
  ]);
});

describe('what is wrong with a request', () => {
  const ALL = { random: null, seed: 1, slice: [1, 1] as const };

  test('comes as a finding, which passes through calls that take the answer', async () => {
    const lost = await spillcheck.axisOf('mics.lost.pattern=omni', open.tree);
    expect(spillcheck.isFinding(lost)).toBe(true);
    expect(spillcheck.trialsOf([axis, lost], ALL)).toBe(lost);
    for (const answer of [
      spillcheck.columnNamed(open.scene, 'lost'),
      spillcheck.askedFor(open.scene, 'lost', 'left'),
      spillcheck.inPassage(open, 'lost'),
    ])
      expect([spillcheck.isFinding(answer), (answer as spillcheck.Finding).severity]).toEqual([
        true,
        'error',
      ]);
    for (const answer of [axis, column, open, null, undefined, 'text', [], { code: 'x' }])
      expect(spillcheck.isFinding(answer)).toBe(false);
    expect(broken.open).toBeNull();
    expect(broken.findings.map(spillcheck.isFinding)).not.toContain(false);
  });

  test.each([
    [0, 0],
    [0, 1],
    [3, 2],
    [1.5, 2],
    [1, Number.NaN],
    [-1, 3],
    [1, Number.POSITIVE_INFINITY],
    ['1', '2'],
  ])('a slice %s/%s is none', (...slice) => {
    const trials = loose.trialsOf([axis], { ...ALL, slice });
    expect(trials).toMatchObject({
      code: 'BAD_OPTION',
      message: expect.stringContaining('part of the rows'),
    });
  });

  test.each([
    { random: 0 },
    { random: -3 },
    { random: 2.5 },
    { random: Number.NaN },
    { seed: 0.5 },
    { seed: 'x' },
  ])('%o is none', (draw) => {
    expect(spillcheck.isFinding(loose.trialsOf([axis], { ...ALL, ...draw }))).toBe(true);
  });
});

describe('a value of the wrong type throws a TypeError that says what is wanted', () => {
  const trials = loose.trialsOf([axis], { random: null, seed: 1, slice: [1, 1] });
  test.each<[string, () => unknown, RegExp]>([
    [
      'no text',
      () => loose.readPlan(undefined, { name: 'x' }),
      /readPlan takes the text of a plan, not undefined/,
    ],
    [
      'bytes',
      () => loose.readPlan(new Uint8Array(3), { name: 'x' }),
      /the text of a plan, not a object|not an object/,
    ],
    ['no name', () => loose.readPlan(PLAN), /readPlan takes a name for the plan/],
    [
      'a promise',
      () => loose.openPlan(loose.readPlan(PLAN, { name: 'x' }), catalogue),
      /not a promise: wait for it/,
    ],
    ['no catalogue', () => loose.openPlan(read), /openPlan takes the catalogue/],
    [
      'a plan with errors',
      () => loose.sessionOf(broken.open),
      /sessionOf takes an open plan \(.*\), not null/,
    ],
    ['a scene for a session', () => loose.suggest(open.scene), /suggest takes a session/],
    ['a session not computed', () => loose.runSuggest(open), /suggest takes a session/],
    [
      'an axis that failed',
      () => [...loose.tryAll(session, loose.trialsOf([{}], {}), [column])],
      /trialsOf takes axes/,
    ],
    ['no options', () => loose.trialsOf([axis]), /trialsOf takes random, seed and slice/],
    [
      'a column that failed',
      () => [...loose.tryAll(session, trials, [null])],
      /tryAll takes columns .*, not null/,
    ],
    ['trials that failed', () => [...loose.tryAll(session, read.findings, [column])], /tryAll takes trials/],
    ['no scene', () => loose.tolerancesOf(undefined), /tolerancesOf takes a scene, not undefined/],
    ['no energies', () => loose.judge(open.scene), /judge takes energies/],
    [
      'reports alone',
      () => loose.compare([session.report]),
      /compare takes plans with name, tree and report/,
    ],
    [
      'a number for a table',
      () => loose.readTable(3, 'x.csv'),
      /readTable takes the text of a table, not a number/,
    ],
    [
      'a table for its entries',
      () => loose.matchReadings(loose.readTable('', 'x'), open.scene),
      /a list of entries/,
    ],
    ['no fixes', () => loose.applied(PLAN, session), /applied takes a list of fixes/],
    ['no tree', () => loose.axisOf('a=1'), /axisOf takes the tree of a plan/],
  ])('%s', async (_what, call, says) => {
    const error = await (async () => call())().catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(TypeError);
    expect(String(error)).toMatch(says);
  });
});

describe('long work', () => {
  const all = () => {
    const made = spillcheck.trialsOf([axis], { random: 400, seed: 1, slice: [1, 1] });
    if (spillcheck.isFinding(made) || !column) throw new Error('no trials');
    return { made, columns: [column] };
  };

  test('trials with pauses are those at once, and leave timers their turn', async () => {
    const { made, columns } = all();
    const rows: spillcheck.TrialRow[] = [];
    let [ticks, told] = [0, 0];
    const timer = setInterval(() => ticks++, 1);
    const onProgress = ({ done, total }: spillcheck.TrialProgress) => {
      expect([done, total]).toEqual([told++, 400]);
      // as slow as a large plan
      const until = performance.now() + 1;
      while (performance.now() < until);
    };
    for await (const row of spillcheck.runTrials(session, made, columns, { onProgress })) rows.push(row);
    clearInterval(timer);
    expect(rows).toEqual([...spillcheck.tryAll(session, made, columns)]);
    expect(ticks).toBeGreaterThan(2);
  });

  test('ends where the signal comes: in the midst of a loop that never pauses, too', async () => {
    const { made, columns } = all();
    const stop = new AbortController();
    const onProgress = ({ done }: spillcheck.TrialProgress) => done === 9 && stop.abort();
    const options = { onProgress, signal: stop.signal };
    expect([...spillcheck.tryAll(session, made, columns, options)]).toHaveLength(10);
    const none = [];
    for await (const row of spillcheck.runTrials(session, made, columns, { signal: stop.signal }))
      none.push(row);
    expect(none).toEqual([]);
  });
});
