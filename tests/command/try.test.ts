import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const PLAN = `spillcheck: 1
sources:
  left: {at: [0, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
  right: {at: [4, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
mics:
  left-mic: {for: left, at: [1, 0, 1], pattern: omni}
  right-mic: {for: right, at: [3, 0, 1], pattern: omni}
`;
const MOVE = ['--each', 'mics.right-mic.at[0]=3, 3.5', '--show', 'signal-to-bleed.right-mic'];

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  writeFileSync(join(folder, 'a.yaml'), PLAN);
});
afterEach(() => rmSync(folder, { recursive: true }));

function run(args: readonly string[], input = '') {
  const env = { PATH: process.env.PATH ?? '' };
  return spillcheck(['try', ...args], { cwd: folder, env, input });
}

test('a row of CSV for each value, nothing else on either stream', () => {
  const { status, stdout, stderr } = run(['a.yaml', ...MOVE]);
  expect([status, stderr]).toEqual([0, '']);
  // 20·lg 3 and 20·lg 7, and some hundredths for the air
  expect(stdout).toMatch(
    /^row,mics\.right-mic\.at\[0\],signal-to-bleed\.right-mic,error\n1,3,9\.55\d?,\n2,3\.5,16\.91\d?,\n$/,
  );
  expect(run(['-', ...MOVE], PLAN).stdout).toBe(stdout);
});

test('slices together are the whole, and lists with commas are quoted', () => {
  const each = ['--each', 'mics.right-mic.at=[3, 0, 1], [3.5, 0, 1], [3.2, 0.5, 1]'];
  const lines = (slice: string) =>
    run(['a.yaml', ...each, '--slice', slice])
      .stdout.split('\n')
      .slice(1, -1);
  expect([...lines('1/2'), ...lines('2/2')]).toEqual(lines('1/1'));
  expect(lines('1/1')[0]).toMatch(/^1,"\[3, 0, 1\]",/);
});

test('the best come first, by a column that is then shown', () => {
  const args = [
    '--each',
    'mics.right-mic.at[0]=2..3.5/0.5',
    '--top',
    '2',
    '--sort',
    'signal-to-bleed.right-mic',
  ];
  const { stdout } = run(['a.yaml', ...args, '--show', 'shortfall']);
  const rows = stdout.trimEnd().split('\n');
  expect(rows[0]).toBe('row,mics.right-mic.at[0],shortfall,signal-to-bleed.right-mic,error');
  expect(rows.slice(1).map((row) => row.split(',')[1])).toEqual(['3.5', '3']);
});

test('what does not stand is a row with its fault; where nothing stands the exit code is 2', () => {
  const some = run(['a.yaml', '--each', 'mics.right-mic.at[0]=3, 4', '--show', 'shortfall']);
  expect(some.status).toBe(0);
  expect(some.stdout).toMatch(/\n2,4,,.*acoustic centre/);
  expect(some.stderr).toMatch(/^1 of 2 plans invalid; row 2: /);
  expect(run(['a.yaml', '--each', 'mics.right-mic.at[0]=4']).status).toBe(2);
});

test('JSON lines keep to their schema', () => {
  const validate = new Ajv({ allowUnionTypes: true }).compile(
    JSON.parse(readFileSync(join(ROOT, 'shared/schemas/try.schema.json'), 'utf8')),
  );
  const each = ['--each', 'mics.right-mic.at[0]=3, 4', '--each', 'mics.left-mic.pattern=~, cardioid'];
  const rows = run(['a.yaml', ...each, '--json'])
    .stdout.trimEnd()
    .split('\n')
    .map((row) => JSON.parse(row));
  expect(rows).toHaveLength(4);
  for (const row of rows) expect(validate(row), JSON.stringify(validate.errors)).toBe(true);
});

test.each([
  { args: ['a.yaml'], says: /no values given to vary/ },
  {
    args: ['a.yaml', '--each', 'mics.rihgt-mic.at=1'],
    says: /no setting named "mics\.rihgt-mic"[\s\S]*"mics\.right-mic"/,
  },
  { args: ['a.yaml', ...MOVE, '--slice', '3/2'], says: /slice 3\/2/ },
  { args: ['a.yaml', ...MOVE, '--random', 'many'], says: /--random many/ },
  { args: ['a.yaml', ...MOVE, '--top', '2'], says: /--top and --sort/ },
  { args: ['a.yaml', ...MOVE, '--sort', 'shortfall', '--top', '10001'], says: /1 to 10000/ },
  {
    args: ['a.yaml', ...MOVE, '--sort', 'shortfal', '--top', '2'],
    says: /no column named "shortfal"[\s\S]*did you mean "shortfall"/,
  },
  { args: ['a.yaml', ...MOVE, '--format', 'xml'], says: /csv or ndjson/ },
  { args: ['none.yaml', ...MOVE], says: /none\.yaml: no such file/ },
])('$args is refused with 2 and no answer', ({ args, says }) => {
  const { status, stdout, stderr } = run(args);
  expect([status, stdout]).toEqual([2, '']);
  expect(stderr).toMatch(says);
});

test('no cell of CSV is a formula, and a number below 0 stays one', () => {
  const { stdout } = run([
    'a.yaml',
    ...['--each', 'title="=1+2", "@x", -3, -3 dB', '--show', 'signal-to-bleed.right-mic'],
  ]);
  expect(stdout.split('\n').map((line) => line.split(',')[1])).toEqual([
    'title',
    "'=1+2",
    "'@x",
    '-3',
    "'-3 dB",
    undefined,
  ]);
});

test('a setting of a name with = in it is found, also beside one that begins like it', () => {
  const plan = PLAN.replace('left-mic:', '"right-mic=a":');
  const named = run(['-', '--each', 'mics.right-mic=a.pattern=omni, cardioid'], plan);
  expect([named.stderr, named.stdout.split('\n')[0]]).toEqual([
    '',
    'row,mics.right-mic=a.pattern,worst-margin,shortfall,signal-to-bleed.right-mic=a,signal-to-bleed.right-mic,error',
  ]);
  expect(run(['-', '--each', 'title=a=b'], plan).stdout).toMatch(/^row,title,.*\n1,a=b,/);
  expect(run(['-', '--each', 'mics.lost=a.pattern=omni'], plan).stderr).toContain(
    'no setting named "mics.lost"',
  );
});
