/** Entries of a plan to be varied, mostly ones that it has, over values that mostly fit. */
import type { MapNode, Node } from '../../src/plan/document.ts';
import type { Dice } from './dice.ts';

const VALUES = [
  '0..350/10',
  '0.1..3',
  '1..10/3',
  '~',
  'cardioid, figure-8, omni',
  '0, 1, 1e9',
  '[1, 2], [3, 4]',
  '.nan',
  '{A: 0.5}',
  '10..50/5 cm',
  '',
  '1..',
  '-1..1',
];

export const axisAt = (tree: MapNode, dice: Dice): string =>
  `${dice.pick([...pathsIn(tree)])}=${dice.pick(VALUES)}`;

function* pathsIn(node: Node, above = ''): Generator<string> {
  if (above !== '') yield above;
  if (node.kind === 'map')
    for (const [key, { node: below }] of node.entries)
      yield* pathsIn(below, above === '' ? key : `${above}.${key}`);
  if (node.kind === 'list')
    for (const [i, below] of node.items.entries()) yield* pathsIn(below, `${above}[${i}]`);
}
