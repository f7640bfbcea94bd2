/** Fixes written into the text of a plan: every line, comment and anchor that is not changed stays. Plans are invented. */
import { describe, expect, test } from 'vitest';
import { isFinding, type Path } from '../../src/finding.ts';
import { type Edit, nodeOf } from '../../src/plan/edit.ts';
import { readPlan, validate } from '../../src/plan/plan.ts';
import { applied } from '../../src/suggest/apply.ts';
import { fixOf } from '../../src/suggest/fixes.ts';
import { deepEqual } from '../../src/transfer/incremental.ts';
import { noStudio } from '../plan/plans.ts';

/** With carriage returns, an anchor that two mics share, explicit keys, block and flow, and a comment in every place. */
const NASTY = `# on top
spillcheck: 1 # version
rooms: # all of them
  # the hall
  hall: &hall # one
    size: [8, 6] # wide
    height: 3
players:
  ? tuba # the big one
  : at: [2, 3] # by the wall
    facing: 90
    plays: tuba
  cornet: # the small one
    at:
      - 5 # right
      - 3 # up
    facing: 270
    plays: cornet # in B flat
mics:
  tuba-mic: {for: tuba, near: &close {distance: 50 cm}} # close
  cornet-mic: # this one, too
    for: cornet
    near: *close # as the other
    aim: # by hand
      bearing: 90 # east
      tilt: 0
on-hand: # in the van
  baffles:
    - {made-of: upholstered-baffle, width: 1.5, height: 1.5} # grey
    # and
    - {made-of: upholstered-baffle, width: 1, height: 1.5} # blue
# at the end
`.replaceAll('\n', '\r\n');

const COMMENTS = [...NASTY.matchAll(/#[^\r\n]*/g)].map(([one]) => one);
const set = (path: Path, value: Parameters<typeof nodeOf>[0]): Edit => ({ path, value: nodeOf(value) });

const load = (studio: string | null) => (studio === null ? noStudio : async () => ({ text: studio }));

/** The text with edits made; it is read again as what was meant. */
async function made(text: string, edits: readonly Edit[], studio: string | null = null): Promise<string> {
  const from = { name: 'plan.yaml', load: load(studio) };
  const { tree, plan } = await readPlan(text, from);
  if (!tree || !plan) throw new Error('no plan');
  const done = applied(text, { tree, plan }, [{ id: 0, ...fixOf('closer', [], edits, () => '') }]);
  if (isFinding(done)) throw new Error(done.message);
  const again = (await readPlan(done.text, from)).plan;
  expect(deepEqual(again, validate(done.tree).plan)).toBe(true);
  return done.text;
}

describe('no comment, anchor or block is lost', () => {
  test.each<{ what: string; edits: Edit[] }>([
    { what: 'a value under an explicit key', edits: [set(['players', 'tuba', 'at', 0], 2.5)] },
    { what: 'a key more under an explicit key', edits: [set(['players', 'tuba', 'dynamic'], 'p')] },
    { what: 'items of a list of lines', edits: [set(['players', 'cornet', 'at'], [4, 2])] },
    { what: 'what an alias repeats', edits: [set(['mics', 'tuba-mic', 'near', 'distance'], '30 cm')] },
    { what: 'an alias', edits: [set(['mics', 'cornet-mic', 'near', 'distance'], '30 cm')] },
    { what: 'a map of lines', edits: [set(['mics', 'cornet-mic', 'aim'], { bearing: 100, tilt: -10 })] },
    { what: 'a key out of a map of lines', edits: [{ path: ['mics', 'cornet-mic', 'aim'], value: null }] },
    { what: 'an item out of a list', edits: [{ path: ['on-hand', 'baffles', 0], value: null }] },
    { what: 'an anchored map', edits: [set(['rooms', 'hall', 'height'], 3.5)] },
    {
      what: 'several at once',
      edits: [
        set(['players', 'tuba', 'facing'], 100),
        set(['mics', 'cornet-mic', 'near', 'distance'], '20 cm'),
        { path: ['on-hand', 'baffles', 1], value: null },
      ],
    },
  ])('$what', async ({ edits }) => {
    const text = await made(NASTY, edits);
    for (const comment of COMMENTS) expect(text).toContain(comment);
    expect(text).toContain('&close');
    expect(text).toContain('&hall');
    expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    // no more lines than before are gone than there are edits, and what takes their place
    const lines = text.split('\r\n');
    const gone = NASTY.split('\r\n').filter((line) => !lines.includes(line));
    expect(gone.length).toBeLessThanOrEqual(4);
  });
});

test('over a studio a list is written whole into the plan, and what the studio has goes out as ~', async () => {
  const studio = `spillcheck: 1
rooms:
  hall: {size: [8, 6], height: 3}
  store: {size: [3, 6], origin: [8, 0], height: 3}
partitions:
  party:
    between: [hall, store]
    wall: separate-gypsum-insulated
    doors:
      - {at: [8, 1], width: 0.9, height: 2, leaf: solid-core-sealed, state: open}
      - {at: [8, 4], width: 0.9, height: 2, leaf: solid-core-sealed, state: open}
players:
  tuba: {at: [2, 3], facing: 90, plays: tuba}
baffles: {old: {from: [4, 1], to: [4, 2], height: 1.5, made-of: upholstered-baffle}}
mics: {tuba-mic: {for: tuba, at: [3, 3, 1.5], aim: tuba}}
`;
  const plan = '# Saturday\nspillcheck: 1\nstudio: studio.yaml # the usual\n';
  const text = await made(
    plan,
    [
      set(['partitions', 'party', 'doors', 1, 'state'], 'closed'),
      set(['players', 'tuba', 'at', 0], 2.5),
      set(['players', 'tuba', 'at', 1], 2),
      { path: ['baffles', 'old'], value: null },
    ],
    studio,
  );
  expect(text.startsWith(plan.trimEnd())).toBe(true);
  const first = '{at: [8, 1], width: 0.9, height: 2, leaf: solid-core-sealed, state: open}';
  expect(text).toContain(first);
  expect(text).toContain(first.replace('[8, 1]', '[8, 4]').replace('open', 'closed'));
  expect(text).toContain('[2.5, 2]');
  expect(text).toMatch(/old: ~/);
});

test('what a studio has on hand is written whole into the plan, less what is taken', async () => {
  const studio = `spillcheck: 1
rooms: {hall: {size: [8, 6], height: 3}}
players: {tuba: {at: [2, 3], facing: 90, plays: tuba}}
mics: {tuba-mic: {for: tuba, at: [3, 3, 1.5], aim: tuba}}
on-hand:
  baffles:
    - {made-of: upholstered-baffle, width: 1.5, height: 1.5}
    - {made-of: upholstered-baffle, width: 1, height: 2}
`;
  const plan = 'spillcheck: 1\nstudio: studio.yaml # the usual\n';
  const text = await made(plan, [{ path: ['on-hand', 'baffles', 0], value: null }], studio);
  expect(text).toBe(
    `${plan.trimEnd()}\non-hand: {baffles: [{made-of: upholstered-baffle, width: 1, height: 2}]}\n`,
  );
});
