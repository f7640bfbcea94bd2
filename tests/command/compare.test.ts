import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** In a free field; the mic for the right loudspeaker 1 m from it and 3 m from the other, or 0.5 m and 3.5 m. */
const planAt = (x: number) => `spillcheck: 1
sources:
  left: {at: [0, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
  right: {at: [4, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
mics:
  left-mic: {for: left, at: [1, 0, 1], pattern: omni}
  right-mic: {for: right, at: [${x}, 0, 1], pattern: omni}
`;

let folder = '';
const at = (name: string) => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  writeFileSync(at('far.yaml'), planAt(3));
  writeFileSync(at('near.yaml'), planAt(3.5));
  writeFileSync(at('broken.yaml'), 'spillcheck: 1\nmicz: {}\n');
});
afterEach(() => rmSync(folder, { recursive: true }));

function run(args: readonly string[], input = '') {
  const env = { PATH: process.env.PATH ?? '' };
  return spillcheck(['compare', ...args], {
    cwd: folder,
    env,
    input,
  });
}

test('the page tells the change, what it comes from, and hides what stays', () => {
  const { status, stdout, stderr } = run(['far.yaml', 'near.yaml']);
  expect([status, stderr]).toEqual([0, '']);
  // 20·lg 3 and 20·lg 7, and some hundredths for the air
  expect(stdout).toMatch(/right-mic +9\.6 marginal|right-mic +9\.6 short/);
  expect(stdout).toMatch(/right-mic .* 16\.9 clear +\+7\.4\n {2}1 unchanged/);
  expect(stdout).toContain('mics.right-mic.at\n    A  [3, 0, 1]\n    B  [3.5, 0, 1]\n');
  expect(run(['far.yaml', 'near.yaml', '--all']).stdout).toMatch(/left-mic .* 0\.0\n/);
});

test.each([
  { args: ['far.yaml', 'near.yaml', '--no-worse-than', 'far.yaml'], code: 0, says: 'No regressions' },
  {
    args: ['far.yaml', 'near.yaml', '--no-worse-than', 'near.yaml'],
    code: 1,
    says: 'A  right-mic S/B 16.9 → 9.6 dB (now short)',
  },
  {
    args: ['far.yaml', 'near.yaml', '--no-worse-than', 'near.yaml', '--within', '9'],
    code: 1,
    says: 'right-mic S/B 16.9 → 9.6 dB (now short)',
  },
])('$args exits with $code', ({ args, code, says }) => {
  const { status, stdout } = run(args);
  expect(status).toBe(code);
  expect(stdout).toContain(says);
});

test('one side may come from standard input, with a name of its own', () => {
  const { status, stdout } = run(['far.yaml', '-', '--stdin-name', 'tonight'], planAt(3.5));
  expect(status).toBe(0);
  expect(stdout).toContain('B  tonight\n');
});

test.each([
  { args: ['far.yaml'], says: /at least two plans/ },
  { args: ['-', '-'], says: /only one plan can come from standard input/ },
  {
    args: ['far.yaml', 'near.yaml', '--no-worse-than', 'fra.yaml'],
    says: /no plan compared named "fra\.yaml"[\s\S]*did you mean "far\.yaml"/,
  },
  { args: ['far.yaml', 'near.yaml', '--within', 'much'], says: /--within much/ },
  { args: ['far.yaml', 'near.yaml', '-o', 'near.yaml'], says: /would overwrite near\.yaml/ },
  {
    args: ['broken.yaml', 'none.yaml'],
    says: /broken\.yaml:2:1[\s\S]*write `mics`[\s\S]*none\.yaml: no such file/,
  },
])('$args is refused with 2 and no answer', ({ args, says }) => {
  const { status, stdout, stderr } = run(args);
  expect([status, stdout]).toEqual([2, '']);
  expect(stderr).toMatch(says);
});

test('JSON keeps to its schema, with losses and without', () => {
  const validate = new Ajv().compile(
    JSON.parse(readFileSync(join(ROOT, 'shared/schemas/compare.schema.json'), 'utf8')),
  );
  for (const more of [[], ['--no-worse-than', 'near.yaml']]) {
    const answer = JSON.parse(run(['far.yaml', 'near.yaml', '--json', ...more]).stdout);
    expect(validate(answer), JSON.stringify(validate.errors)).toBe(true);
    expect(answer.regressions === null).toBe(more.length === 0);
  }
});
