import { expect, test } from 'vitest';
import { resolvePanels } from '../../src/scene/baffles.ts';
import { resolvePartitions } from '../../src/scene/partitions.ts';
import { resolveRooms } from '../../src/scene/rooms.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { boxOf, contextOf, doorAt, planOf, wallBetween } from './plan-of.ts';

test('the shipped catalogue holds everything that is guessed', () => {
  const typed = { made: { reduction: 30 } };
  const shell = wallBetween('hall', 'booth', {
    doors: [doorAt([5, 3], typed)],
    windows: [doorAt([5, 4.5], { height: 1, ...typed })],
  });
  const baffle = {
    from: [1, 2],
    to: [2, 2],
    height: 1.5,
    gap: 0,
    madeOf: { reduction: 20 },
    fixed: false,
  } as const;
  const plan = planOf({
    rooms: new Map([
      ['hall', boxOf([0, 0], [9, 7], 3.6)],
      ['booth', boxOf([4, 3], [2, 1.5], 2.2)],
    ]),
    partitions: new Map([['shell', shell]]),
    baffles: new Map([['screen', baffle]]),
  });
  const context = contextOf(plan, shippedCatalogue().materials);
  const { notes } = context;
  const partitions = resolvePartitions(context);
  const panels = resolvePanels(context);
  const people = [true, false].map((standing) => ({ room: 0, standing }));
  const rooms = resolveRooms(context, { people, panels, partitions });
  expect(notes.findings).toEqual([]);
  const figures = rooms.flatMap(({ surfaces, people: bodies }) => [
    ...surfaces.flatMap(({ alpha }) => [...alpha]),
    ...bodies,
  ]);
  expect(figures.every((figure) => Number.isFinite(figure) && figure >= 0)).toBe(true);
  expect(notes.assumptions.filter(({ kind }) => kind === 'assumed').map(({ text }) => text)).toEqual([
    'absorption of wooden-door on both faces',
    'absorption of window-glass on both faces',
    'absorption of wooden-door on both faces',
    'floor of wood-on-joists',
    'ceiling of plaster',
    'walls of plaster',
    'plaster on the outside of booth',
    'floor of wood-on-joists',
    'ceiling of plaster',
    'walls of plaster',
  ]);
});
