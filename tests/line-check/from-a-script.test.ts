/** Readings of the day by way of the package's own door. The two who play do not exist. */
import { expect, test } from 'vitest';
import * as spillcheck from '../../src/index.ts';
import { noStudio } from '../plan/plans.ts';
import { catalogue } from '../scene/resolved.ts';

const PLAN = `spillcheck: 1
sources:
  left: {at: [0, 0, 1], facing: 0, spectrum: {1000: 0}, directivity: {Q: 1}, level: 90 dB at 1 m}
  right: {at: [4, 0, 1], facing: 0, spectrum: {1000: 0}, directivity: {Q: 1}, level: 90 dB at 1 m}
mics:
  left-mic: {for: left, at: [0, 1, 1], pattern: omni}
  right-mic: {for: right, at: [4, 1, 1], pattern: omni}
`;

/** −10 over −28 dB, and −12 over −17 dB: gains cancel. */
test('a script reads a plan and a table, and judges by them', async () => {
  const { plan } = await spillcheck.readPlan(PLAN, { name: 'plan.yaml', load: noStudio });
  const scene = plan && spillcheck.resolve(plan, catalogue).scene;
  if (!scene) throw new Error('the plan does not stand');
  const table = spillcheck.readTable('played,left-mic,right-mic\nleft,-10,-17\nright,-28,-12\n', 'day.csv');
  const { readings, findings } = spillcheck.matchReadings(table.entries, scene);
  expect([...table.findings, ...findings]).toEqual([]);
  if (!readings) throw new Error('the readings are refused');
  const measured = spillcheck.applyReadings(scene, spillcheck.measuredLevels(scene, readings));
  const { mics } = spillcheck.judge(measured, spillcheck.transfer(measured));
  expect(mics.map(({ signalToBleed, basis }) => [signalToBleed, basis])).toEqual([
    [expect.closeTo(18, 6), 'measured'],
    [expect.closeTo(5, 6), 'measured'],
  ]);
});
