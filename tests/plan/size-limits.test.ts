/** How much a plan may hold: each limit from both sides. */
import { expect, test } from 'vitest';
import { MOST_CORNERS, MOST_ENTRIES, MOST_HOLES, MOST_MICS, MOST_SOURCES } from '../../src/plan/document.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { read } from './plans.ts';

const ENTRIES: Readonly<Record<keyof typeof MOST_ENTRIES, string>> = {
  rooms: '{size: [1, 1], height: 3}',
  partitions: '{between: [a, b], wall: stud-gypsum}',
  baffles: '{from: [1, 1], to: [2, 1], height: 1, made-of: upholstered-baffle}',
  players: '{at: [1, 1]}',
  sources: '{at: [1, 1, 1], instrument: bass-amp}',
  listeners: '{at: [1, 1]}',
  mics: '{for: all, at: [1, 1, 1]}',
  passages: '[a]',
};

const entries = (count: number, one: string, from = 0): string =>
  Array.from({ length: count }, (_, i) => `  x${from + i}: ${one}\n`).join('');

test.each(Object.entries(MOST_ENTRIES))('%s: %d and no more', async (section, most) => {
  const plan = (count: number) =>
    read(`spillcheck: 1\n${section}:\n${entries(count, ENTRIES[section as keyof typeof ENTRIES])}`);
  expect((await plan(most)).findings).toEqual([]);
  const { plan: none, findings, show } = await plan(most + 1);
  expect(none).toBeNull();
  expect(findings).toMatchObject([
    { code: 'OUT_OF_RANGE', path: [section], fix: expect.stringMatching(/split the plan in two/) },
  ]);
  expect(show(findings)).toContain(
    `plan.yaml:3:3 OUT_OF_RANGE ${section} has ${most + 1} entries, limit ${most}`,
  );
});

test('corners of rooms and holes in walls are counted together', async () => {
  const corners = (count: number) =>
    `[${Array.from({ length: count }, (_, i) => `[${Math.cos((2 * Math.PI * i) / count) * 50}, ${Math.sin((2 * Math.PI * i) / count) * 50}]`).join(', ')}]`;
  const rooms = (count: number) =>
    read(
      `spillcheck: 1\nrooms:\n  a: {height: 3, outline: ${corners(count)}}\n  b: {size: [1, 1], height: 3}\n`,
    );
  expect((await rooms(MOST_CORNERS - 4)).findings).toEqual([]);
  expect((await rooms(MOST_CORNERS - 3)).findings).toMatchObject([
    { message: `rooms have ${MOST_CORNERS + 1} corners in total, limit ${MOST_CORNERS}` },
  ]);
  const hole = '{at: [1, 1], width: 1, height: 1}';
  const walls = (count: number) =>
    read(
      `spillcheck: 1\npartitions:\n  a: {between: [a, b], wall: stud-gypsum, openings: [${`${hole}, `.repeat(count)}]}\n  b: {between: [a, c], wall: stud-gypsum, openings: [${hole}]}\n`,
    );
  expect((await walls(MOST_HOLES - 1)).findings).toEqual([]);
  expect((await walls(MOST_HOLES)).findings).toMatchObject([
    { message: expect.stringContaining(`have ${MOST_HOLES + 1} doors, windows and openings in total`) },
  ]);
});

async function resolved(text: string) {
  const { plan, findings, show } = await read(text);
  if (!plan) throw new Error(show(findings));
  return resolve(plan, shippedCatalogue());
}

/** On a grid, 2 m apart. */
const people = (count: number, plays: string, from = 0): string =>
  Array.from({ length: count }, (_, i) => i + from)
    .map((i) => `  p${i}: {at: [${2 * (i % 20)}, ${2 * Math.floor(i / 20)}], plays: ${plays}}\n`)
    .join('');

test('of what sounds each piece of a kit counts', async () => {
  expect((await resolved(`spillcheck: 1\nplayers:\n${people(MOST_SOURCES, 'cornet')}`)).findings).toEqual([]);
  const { scene, findings } = await resolved(
    `spillcheck: 1\nplayers:\n${people(MOST_SOURCES - 1, 'cornet')}${people(1, 'drum-kit', MOST_SOURCES)}`,
  );
  expect(scene).toBeNull();
  expect(findings).toMatchObject([
    { code: 'OUT_OF_RANGE', path: ['players'], fix: expect.stringMatching(/split the plan in two/) },
  ]);
  expect(findings[0]?.message).toMatch(/^20\d sources, each piece of a kit counted, limit 200$/);
});

test('of microphones both of a pair count, lines too, and none that is not in use', async () => {
  const mics = (single: number, pairs: number, lines = 0, idle = 0) =>
    resolved(
      `spillcheck: 1\nplayers:\n  p: {at: [-5, -5], plays: violin}\nmics:\n${[
        ...Array.from(
          { length: single + pairs },
          (_, i) =>
            `  m${i}: {for: p, at: [${i % 20}, ${Math.floor(i / 20)}, 1]${i < pairs ? ', stereo: ortf' : ''}}\n`,
        ),
        ...Array.from({ length: lines }, (_, i) => `  l${i}: {for: p, di: true}\n`),
        ...Array.from({ length: idle }, (_, i) => `  i${i}: {for: p, at: [30, ${i}, 1], use: false}\n`),
      ].join('')}`,
    );
  expect((await mics(MOST_MICS, 0)).findings).toEqual([]);
  expect((await mics(MOST_MICS - 4, 1, 2, 1)).findings).toEqual([]);
  for (const over of [mics(MOST_MICS - 1, 1), mics(MOST_MICS - 4, 1, 3)])
    expect((await over).findings).toMatchObject([
      {
        path: ['mics'],
        message: '401 mics and DIs in use, both of a pair counted, limit 400',
      },
    ]);
});

test('of very many faults the first hundred are told, and how many more there are', async () => {
  const { findings, show } = await read(`spillcheck: 1\n${'k'.repeat(3)}: 1\nmics:\n${entries(150, '{}')}`);
  expect(findings).toHaveLength(101);
  expect(findings.at(-1)?.message).toBe('and 201 more errors');
  expect(show(findings).split('\n\n')).toHaveLength(101);
  const few = await read(`spillcheck: 1\nmics:\n${entries(50, '{}')}`);
  expect(few.findings).toHaveLength(100);
});

test('a title ends after 1000 characters, a name that is looked for after 100', async () => {
  const title = (count: number) => read(`spillcheck: 1\ntitle: ${'🎺'.repeat(count)}\n`);
  expect((await title(1000)).findings).toEqual([]);
  expect((await title(1001)).findings).toMatchObject([
    { path: ['title'], message: expect.stringMatching(/longer than 1000/) },
  ]);
  const { findings, show } = await read(
    `spillcheck: 1\nplayers: {a: {at: [1, 1], plays: ${'x'.repeat(101)}}}\n`,
  );
  expect(findings).toMatchObject([{ code: 'OUT_OF_RANGE', path: ['players', 'a', 'plays'] }]);
  expect(show(findings).length).toBeLessThan(500);
});
