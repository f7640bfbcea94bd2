/** The data's way as imports: no stage reaches back, and each package and the outside world has one door. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative, sep } from 'node:path';
import { describe, expect, test } from 'vitest';

const SRC = new URL('../../src/', import.meta.url).pathname;

/** What each folder or file at the top of src may import beside itself. */
const MAY: Readonly<Record<string, readonly string[]>> = {
  'finding.ts': [],
  plan: ['finding.ts'],
  scene: ['finding.ts', 'plan', 'acoustics'],
  acoustics: ['scene'],
  judge: ['finding.ts', 'plan', 'scene', 'acoustics'],
  linecheck: ['finding.ts', 'plan', 'scene', 'acoustics', 'judge'],
  advise: ['finding.ts', 'plan', 'scene', 'acoustics', 'judge'],
  render: ['finding.ts', 'plan', 'scene', 'acoustics', 'judge', 'linecheck', 'advise'],
  io: ['finding.ts', 'plan'],
  'shipped.ts': ['scene'],
  'index.ts': ['finding.ts', 'plan', 'scene', 'acoustics', 'judge', 'linecheck', 'advise', 'shipped.ts'],
  commands: [
    ...['finding.ts', 'plan', 'scene', 'acoustics', 'judge', 'linecheck', 'advise', 'render', 'io'],
    ...['shipped.ts', 'package.json'],
  ],
  cli: ['commands', 'render'],
  'cli.ts': ['cli', 'io', 'package.json'],
};

/** Which top entries may import a package; lazy imports are not asked about here. */
const DOORS: Readonly<Record<string, readonly string[]>> = {
  yaml: ['plan'],
  valibot: ['plan', 'advise'],
  commander: ['cli', 'cli.ts'],
  chalk: ['render'],
  'node:fs': ['io', 'shipped.ts'],
  'node:path': ['io'],
  'node:url': ['io', 'shipped.ts'],
  'node:timers/promises': ['io'],
  'node:crypto': ['render'],
};

const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.ts'));
const topOf = (path: string): string => path.split(sep)[0] ?? '';
const importsOf = (file: string): string[] =>
  [
    ...readFileSync(join(SRC, file), 'utf8').matchAll(/^(?:import|export)\b[^;]*?from '([^']+)';$/gms),
  ].flatMap(([, target]) => target ?? []);

/** "plan", "finding.ts", "package.json": the top entry that a relative import leads to. */
function leadsTo(file: string, target: string): string {
  const path = relative(SRC, normalize(join(SRC, dirname(file), target)));
  return path.startsWith('..') ? 'package.json' : topOf(path);
}

describe('the arrows of the house', () => {
  test('every top entry of src is known here', () => {
    expect([...new Set(files.map(topOf))].filter((top) => !(top in MAY))).toEqual([]);
  });

  test.each(Object.keys(MAY))('%s imports only what it may', (top) => {
    const strays = files
      .filter((file) => topOf(file) === top)
      .flatMap((file) => importsOf(file).map((target) => ({ file, target })))
      .filter(({ target }) => target.startsWith('.'))
      .filter(({ file, target }) => ![top, ...(MAY[top] ?? [])].includes(leadsTo(file, target)));
    expect(strays).toEqual([]);
  });

  test('each package comes in by its own door', () => {
    const strays = files
      .flatMap((file) => importsOf(file).map((target) => ({ file, target })))
      .filter(({ target }) => !target.startsWith('.'))
      .filter(({ file, target }) => !DOORS[target]?.includes(topOf(file)));
    expect(strays).toEqual([]);
  });
});
