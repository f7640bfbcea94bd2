/** The order of src as DEVELOPERS.md states it: nothing reaches back, nothing goes in circles, each package has one door. */
import { readdirSync, readFileSync } from 'node:fs';
import { posix } from 'node:path';
import { parseSync } from 'rolldown/utils';
import { describe, expect, test } from 'vitest';
import { blocksIn, pageOf } from '../docs/pages.ts';

const SRC = new URL('../../src/', import.meta.url).pathname;

/** "acoustics", "cli.ts": folders and files at the top of src, in groups that know only groups before theirs. */
const ORDER: readonly (readonly string[])[] = (
  blocksIn(pageOf('DEVELOPERS.md')).find(({ text }) => text.includes(' < '))?.text ?? ''
)
  .split('<')
  .map((group) => group.split(',').map((name) => name.trim()));

/** Which top entries may import a package, lazily too. */
const DOORS: Readonly<Record<string, readonly string[]>> = {
  yaml: ['plan'],
  mathjs: ['plan'],
  'pure-rand/generator/mersenne': ['statistics.ts'],
  commander: ['cli', 'cli.ts'],
  chalk: ['format'],
  'd3-contour': ['draw'],
  tinyglobby: ['io'],
  'node:async_hooks': ['io'],
  'node:child_process': ['io'],
  'node:crypto': ['format', 'shipped.ts'],
  'node:fs': ['io', 'shipped.ts'],
  'node:path': ['io'],
  'node:timers/promises': ['io'],
  'node:url': ['io', 'shipped.ts'],
  '../package.json': ['commands', 'cli.ts'],
};

/** A node of the syntax tree: whatever has a type. */
type Syntax = { readonly [key: string]: unknown; readonly type: string };

const isSyntax = (value: unknown): value is Syntax =>
  typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string';

/** Every node below, and the node itself. */
function* nodesIn(value: unknown): Generator<Syntax> {
  if (Array.isArray(value)) for (const each of value) yield* nodesIn(each);
  if (!isSyntax(value)) return;
  yield value;
  for (const part of Object.values(value)) if (typeof part === 'object') yield* nodesIn(part);
}

type File = { readonly name: string; readonly imports: readonly string[]; readonly nodes: readonly Syntax[] };

/** Names as from src: "plan/units.ts", "../package.json", "node:fs". */
function fileOf(name: string): File {
  const { program, errors } = parseSync(name, readFileSync(`${SRC}${name}`, 'utf8'));
  if (errors.length > 0) throw new Error(`${name}: ${errors[0]?.message}`);
  const nodes = [...nodesIn(program)];
  const sources = nodes.flatMap((node) => (isSyntax(node.source) ? [node.source.value] : []));
  const imports = sources
    .filter((source) => typeof source === 'string')
    .map((source) =>
      source.startsWith('.') ? posix.normalize(posix.join(posix.dirname(name), source)) : source,
    );
  return { name, imports: [...new Set(imports)], nodes };
}

const FILES: ReadonlyMap<string, File> = new Map(
  readdirSync(SRC, { recursive: true, encoding: 'utf8' })
    .map((name) => name.replaceAll('\\', '/'))
    .filter((name) => name.endsWith('.ts'))
    .map((name) => [name, fileOf(name)]),
);

const topOf = (name: string): string => name.split('/')[0] ?? '';
const rankOf = (name: string): number => ORDER.findIndex((group) => group.includes(topOf(name)));

/** The first circle of imports met from `start` down, as the names along it; `done` holds what is known to be in none. */
function circleFrom(
  start: string,
  done: Set<string>,
  trail: readonly string[] = [],
): readonly string[] | null {
  if (done.has(start)) return null;
  if (trail.includes(start)) return [...trail.slice(trail.indexOf(start)), start];
  for (const next of FILES.get(start)?.imports ?? []) {
    const circle = circleFrom(next, done, [...trail, start]);
    if (circle) return circle;
  }
  done.add(start);
  return null;
}

describe('imports', () => {
  const all = [...FILES.values()].flatMap(({ name, imports }) => imports.map((target) => ({ name, target })));
  const own = all.filter(({ target }) => FILES.has(target));

  test('are found, types and lazy ones too', () => {
    expect(FILES.size).toBeGreaterThan(100);
    expect(FILES.get('plan/units.ts')?.imports).toContain('mathjs');
    expect(FILES.get('scene/scene.ts')?.imports).toContain('geometry.ts');
  });

  test('lead from a folder to folders before it alone, in the order that DEVELOPERS.md states', () => {
    expect([...FILES.keys()].filter((name) => rankOf(name) < 0)).toEqual([]);
    const back = own.filter(
      ({ name, target }) => topOf(name) !== topOf(target) && rankOf(target) >= rankOf(name),
    );
    expect(back).toEqual([]);
  });

  test('never lead from a file back to it', () => {
    const done = new Set<string>();
    expect([...FILES.keys()].flatMap((name) => circleFrom(name, done) ?? [])).toEqual([]);
  });

  test('of a package come through its own door', () => {
    const strays = all.filter(
      ({ name, target }) => !FILES.has(target) && !DOORS[target]?.includes(topOf(name)),
    );
    expect(strays).toEqual([]);
  });
});

test('files hold a concept each: 220 lines on average, at least', () => {
  const lines = [...FILES.keys()].map((name) => readFileSync(`${SRC}${name}`, 'utf8').split('\n').length);
  expect(lines.reduce((sum, each) => sum + each, 0) / FILES.size).toBeGreaterThanOrEqual(220);
});

describe('a file', () => {
  test('keeps no variable of its own between calls', () => {
    const kept = [...FILES.values()].flatMap(({ name, nodes: [program] }) =>
      (Array.isArray(program?.body) ? program.body : [])
        .map((node) => (node.type === 'ExportNamedDeclaration' ? node.declaration : node))
        .filter((node) => node?.type === 'VariableDeclaration' && node.kind !== 'const')
        .map((node) => `${name}: ${node.declarations[0].id.name}`),
    );
    expect(kept).toEqual([]);
  });

  test('has no function of more than five parameters', () => {
    const long = [...FILES.values()].flatMap(({ name, nodes }) =>
      nodes
        .filter(
          ({ type, params }) => /Function|Signature/.test(type) && Array.isArray(params) && params.length > 5,
        )
        .map(({ id }) => `${name}: ${isSyntax(id) ? id.name : 'without a name'}`),
    );
    expect(long).toEqual([]);
  });
});
