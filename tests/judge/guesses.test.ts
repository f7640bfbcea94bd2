/** Verdicts that rest on a guess turn when the plan is edited so: the level of that source written out, 6 dB off. */
import { expect, test } from 'vitest';
import { NOMINAL_BANDS } from '../../src/acoustics/bands.ts';
import { limitRows } from '../../src/judge/criteria.ts';
import { guesses } from '../../src/judge/guesses.ts';
import { onBench } from '../suggest/evaluator.ts';

const PLAN = `spillcheck: 1
title: Two who do not exist
rooms:
  hall: {size: [7, 5], height: 3, floor: carpet-heavy, ceiling: plaster, walls: plaster}
players:
  tuba: {at: [1.5, 2], facing: 90, plays: tuba}
  cornet: {at: [5, 3], facing: 270, plays: cornet, later: tune}
mics:
  tuba-mic: {for: tuba, near: {distance: 20 cm}}
  cornet-mic: {for: cornet, near: {distance: 30 cm}}
limits: {signal-to-bleed: 10}
`;

test('every verdict that is named turns, by the margin that is stated, and no other does', async () => {
  const { scene, result, report } = await onBench(PLAN);
  const found = guesses(scene, result, report);
  const before = limitRows(report);
  const turned = new Set<string>();
  for (const { name, power } of scene.sources)
    for (const change of [6, -6]) {
      const levels = NOMINAL_BANDS.map((hertz, band) => {
        const watts = power[band] ?? 0;
        return watts > 0 ? `${hertz}: ${10 * Math.log10(watts) + change} dB` : null;
      });
      const written = `power: {${levels.filter((one) => one !== null).join(', ')}}`;
      const after = limitRows(
        (await onBench(PLAN.replace(`plays: ${name}`, `plays: ${name}, ${written}`))).report,
      );
      for (const row of before) {
        const other = after.find(({ kind, about }) => kind === row.kind && about.join() === row.about.join());
        const stated = found.find(
          ({ kind, about, source, change: by }) =>
            kind === row.kind && about.join() === row.about.join() && source === name && by === change,
        );
        if (stated) expect(other?.margin).toBeCloseTo(stated.margin, 2);
        if ((other?.verdict === 'short') !== (row.verdict === 'short'))
          turned.add(`${row.kind} ${row.about}`);
      }
    }
  expect(new Set(found.map(({ kind, about }) => `${kind} ${about}`))).toEqual(turned);
  expect(turned.size).toBeGreaterThan(0);
  expect(turned.size).toBeLessThan(before.length);
});

test('a level that was measured is no guess', async () => {
  const { scene, result, report } = await onBench(
    PLAN.replace('plays: tuba', 'plays: tuba, level: 90 dBA at 1 m').replace(
      'plays: cornet',
      'plays: cornet, level: 90 dBA at 1 m',
    ),
  );
  expect(guesses(scene, result, report)).toEqual([]);
});
