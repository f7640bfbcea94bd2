/** What is computed with a few values changed is what the changed plan, read afresh, gives: to the last bit. */
import { describe, expect, test } from 'vitest';
import { contextOf, marginsOf } from '../../src/judge/criteria.ts';
import { sessionOf } from '../../src/judge/session.ts';
import { limitMargins } from '../../src/judge/tolerance.ts';
import { applyReadings, measuredLevels, withReadings } from '../../src/line-check/measured-levels.ts';
import { matchReadings, readTable } from '../../src/line-check/readings.ts';
import { type Edit, withEdits } from '../../src/plan/edit.ts';
import { validate } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { evaluatorOf } from '../../src/suggest/evaluate.ts';
import { axisOf, valueAt } from '../../src/suggest/sweep.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { catalogue, fixture, onBench } from './evaluator.ts';

const CHANGES = [
  { plan: 'brass-hall', set: ['mics.voice-mic.aim.bearing=77'], mics: ['voice-mic'] },
  {
    plan: 'brass-hall',
    set: ['mics.voice-mic.pattern=cardioid', 'mics.horn-mic.high-pass=80'],
    mics: ['voice-mic', 'horn-mic'],
  },
  {
    plan: 'brass-hall',
    set: ['mics.overheads.aim.bearing=100', 'mics.overheads.stereo=ortf'],
    mics: ['overheads'],
  },
  { plan: 'brass-hall', set: ['mics.overheads.stereo=~'], mics: null },
  { plan: 'brass-hall', set: ['mics.tuba-mic.use=false'], mics: null },
  {
    plan: 'brass-hall',
    set: ['mics.tuba-mic.for=drums.snare', 'mics.tuba-mic.near.distance=30 cm'],
    mics: null,
  },
  { plan: 'brass-hall', set: ['players.tuba.at=[2.6, 6]', 'mics.voice-mic.near.distance=0.1'], mics: null },
  { plan: 'brass-hall', set: ['players.tuba.dynamic=p'], mics: null },
  { plan: 'brass-hall', set: ['rooms.hall.floor=carpet-heavy'], mics: null },
  { plan: 'trio-and-singer', set: ['baffles.drum-baffle.from=[6, 3.4]'], mics: null },
  { plan: 'trio-and-singer', set: ['mics.voice-mic.null-at=piano'], mics: ['voice-mic'] },
  {
    plan: 'trio-and-singer',
    set: ['mics.snare-mic.aim.bearing=140', 'mics.bass-mic.pattern=omni'],
    mics: ['bass-mic', 'snare-mic'],
  },
  {
    plan: 'trio-and-singer',
    set: ['mics.piano-mics.aim=singer', 'mics.bass-mic.pattern=figure-8'],
    mics: ['piano-mics', 'bass-mic'],
  },
  { plan: 'radio-play', set: ['mics.narrator-mic.aim.bearing=40'], mics: ['narrator-mic'] },
  {
    plan: 'church-choir',
    set: ['mics.choir-left.aim.bearing=40', 'mics.main.pattern=cardioid'],
    mics: ['main', 'choir-left'],
  },
  { plan: 'four-piece', set: ['partitions.party.doors[0].state=open'], mics: null },
  {
    plan: 'four-piece',
    set: ['sources.bass-amp.level=90 dBC at 1 m', 'mics.voice-mic.aim-loss=1 dB'],
    mics: null,
  },
  { plan: 'four-piece', set: ['air.temperature=5'], mics: null },
  {
    plan: 'four-piece',
    set: ['players.singer.at=[8.5, 2]', 'mics.voice-mic.near.distance=9 cm'],
    mics: null,
  },
  { plan: 'folk-barn', set: ['players.singer.at=[3, 2]'], mics: null },
] as const;

async function editsOf(set: readonly string[], tree: Parameters<typeof axisOf>[1]): Promise<Edit[]> {
  const axes = await Promise.all(set.map((one) => axisOf(one, tree)));
  return axes.map((axis) => {
    if ('code' in axis) throw new Error(axis.message);
    const value = valueAt(axis.values, 0);
    return { path: axis.path, value: value.kind === 'scalar' && value.value === null ? null : value };
  });
}

describe.each(CHANGES)('$plan with $set', ({ plan: name, set, mics }) => {
  test('gives the energies, the mics that changed, and the standing of the plan read afresh', async () => {
    const base = await onBench(fixture(name));
    const edits = await editsOf(set, base.tree);
    const made = evaluatorOf(base).attempt(edits);
    const { plan } = validate(withEdits(base.tree, edits));
    const afresh = plan && resolve(plan, catalogue).scene;
    if ('faults' in made || !afresh) throw new Error('the plan does not stand');
    const whole = transfer(afresh);
    expect(made.result.energy).toEqual(whole.energy);
    expect(made.mics?.map((index) => afresh.mics[index]?.name) ?? null).toEqual(
      mics &&
        base.scene.mics.map((one) => one.name).filter((one) => (mics as readonly string[]).includes(one)),
    );
    expect(limitMargins(made.scene, made.result)).toEqual(limitMargins(afresh, whole));
    if (!made.mics) return;
    const known = { context: contextOf(base.scene, base.result), changed: made.mics };
    expect(marginsOf(contextOf(made.scene, made.result, known), null)).toEqual(limitMargins(afresh, whole));
  });
});

test.each([
  ['a player moves', 'players.singer.at=[3.4, 0.9]'],
  ['a mic turns', 'mics.snare-mic.aim.bearing=10'],
  ['a pair takes another pattern', 'mics.overheads.pattern=figure-8'],
])('with a door open, what comes through it is not lost where %s', async (_, change) => {
  const base = await onBench(fixture('four-piece').replace('state: closed', 'state: open'));
  const edits = await editsOf([change], base.tree);
  const made = evaluatorOf(base).attempt(edits);
  const { plan } = validate(withEdits(base.tree, edits));
  const afresh = plan && resolve(plan, catalogue).scene;
  if ('faults' in made || !afresh) throw new Error('the plan does not stand');
  expect(made.result.energy).toEqual(transfer(afresh).energy);
});

test.each([
  'players.tuba.at=[2.6, 6]',
  'players.tuba.dynamic=p',
  'mics.voice-mic.aim.bearing=77',
  'mics.voice-mic.pattern=cardioid',
  'mics.horn-mic.near.distance=20 cm',
  'rooms.hall.floor=carpet-heavy',
])(
  'with readings of the day laid over it, the plan with %s is as if read afresh and laid over',
  async (change) => {
    const plain = await onBench(fixture('brass-hall'));
    const table = readTable(fixture('readings/brass-hall-octaves', 'csv'), 'day.csv');
    const { readings } = matchReadings(table.entries, plain.scene);
    if (!readings) throw new Error('the readings are refused');
    const day = measuredLevels(plain.scene, readings);
    const base = sessionOf(withReadings(plain, day, ['day.csv']));
    const edits = await editsOf([change], base.tree);
    const made = evaluatorOf(base).attempt(edits);
    const { plan } = validate(withEdits(base.tree, edits));
    const afresh = plan && resolve(plan, catalogue).scene;
    if ('faults' in made || !afresh) throw new Error('the plan does not stand');
    expect(made.result.energy).toEqual(transfer(applyReadings(afresh, day)).energy);
    expect(made.result.energy).not.toEqual(transfer(afresh).energy);
  },
);

test('a mic that others look at is never changed alone', async () => {
  const base = await onBench(
    fixture('brass-hall').replace('horn-mic: {for', 'horn-mic: {aim: euph-mic, for'),
  );
  const made = evaluatorOf(base).attempt(await editsOf(['mics.euph-mic.near.distance=60 cm'], base.tree));
  expect('mics' in made && made.mics).toBe(null);
});

test.each([
  { set: ['mics.voice-mic.near.distance=900'], says: /mics\.voice-mic\.near\.distance must be/ },
  { set: ['mics.voice-mic.pattern=cardoid'], says: /cardoid/ },
  { set: ['mics.voice-mic.near.distance=9'], says: /outside/ },
  { set: ['players.tuba.at=[-3, 2]'], says: /outside every room/ },
])('$set does not stand, and says why', async ({ set, says }) => {
  const base = await onBench(fixture('brass-hall'));
  const made = evaluatorOf(base).attempt(await editsOf(set, base.tree));
  expect('faults' in made ? made.faults.map(({ message }) => message).join() : 'stands').toMatch(says);
});
