/** Names of what a fix may take: patterns to switch to, and what is on hand. A slip there would leave a fix out without a word. */
import { expect, test } from 'vitest';
import { readPlan } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { shippedCatalogue } from '../../src/shipped.ts';

const planOf = (switchable: string, onHand: string): string => `spillcheck: 1
rooms: {hall: {size: [5, 4], height: 3}}
players: {tuba: {at: [1, 1], plays: tuba}}
mics: {tuba-mic: {for: tuba, near: {distance: 30 cm}, switchable: ${switchable}}}
on-hand: ${onHand}
`;

async function errorsOf(text: string): Promise<string[]> {
  const { plan, findings } = await readPlan(text, { name: 'plan.yaml' });
  const all = [...findings, ...(plan ? resolve(plan, shippedCatalogue()).findings : [])];
  return all.flatMap(({ severity, code, path, message }) =>
    severity === 'error' ? [`${code} ${path.join('.')}: ${message}`] : [],
  );
}

test('an unknown name is an error where it stands', async () => {
  const onHand =
    '{mics: [{patterns: [omni, cardoid]}], absorption: [{finish: velvet-9, area: 4}], baffles: [{made-of: paperr, width: 1, height: 1}]}';
  expect(await errorsOf(planOf('[omni, figure-9]', onHand))).toEqual([
    'UNKNOWN_NAME mics.tuba-mic.switchable.1: no pattern named "figure-9"',
    'UNKNOWN_NAME on-hand.mics.0.patterns.1: no pattern named "cardoid"',
    'UNKNOWN_NAME on-hand.absorption.0.finish: no finish named "velvet-9"',
    'UNKNOWN_NAME on-hand.baffles.0.made-of: no baffle named "paperr"',
  ]);
});

test('names of the catalogue, and values typed, are none', async () => {
  const onHand =
    '{mics: [{patterns: [omni]}], absorption: [{finish: curtain-heavy, area: 4}], baffles: [{made-of: {reduction: 18, absorption: 0.5}, width: 1, height: 1}]}';
  expect(await errorsOf(planOf('[omni, figure-8]', onHand))).toEqual([]);
});
