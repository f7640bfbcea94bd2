/** What becomes of files when writing goes wrong: the old one is whole, nothing stands half written, one line says what happened. */
import { type SpawnSyncReturns, spawn, spawnSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const BIN = join(ROOT, 'bin/spillcheck.js');
const PLAN = join(ROOT, 'fixtures/radio-play-open.yaml');
const READINGS = join(ROOT, 'fixtures/readings/brass-hall.csv');

let folder = '';
const at = (name: string) => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  for (const name of ['radio-play-open.yaml', 'radio-play.yaml', 'brass-hall.yaml'])
    writeFileSync(at(name), readFileSync(join(ROOT, 'fixtures', name)));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Runs the command with a piece of node:fs put out of order first. */
function runWith(broken: string, args: readonly string[]): SpawnSyncReturns<string> {
  const preload = at('.preload.mjs');
  writeFileSync(
    preload,
    `import fs from 'node:fs';\nimport { syncBuiltinESMExports } from 'node:module';\n${broken}\nsyncBuiltinESMExports();\n`,
  );
  const run = spawnSync(process.execPath, ['--import', preload, BIN, ...args], {
    encoding: 'utf8',
    cwd: folder,
  });
  rmSync(preload);
  return run;
}

/** Half of it is written, as on a disk that fills. */
const FULL = `const write = fs.writeFileSync;
fs.writeFileSync = (file, text, options) => {
  write(file, String(text).slice(0, String(text).length / 2), options);
  throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC', syscall: 'write' });
};`;
const KILLED = "fs.renameSync = () => { process.kill(process.pid, 'SIGKILL'); for (;;); };";

/** Every way to a file, with the file it writes. */
const WAYS: readonly { readonly args: readonly string[]; readonly file: string }[] = [
  { args: ['report', PLAN, '--no-fixes', '-o', 'out'], file: 'out' },
  { args: ['report', PLAN, '--no-fixes', '--json', '-o', 'out'], file: 'out' },
  { args: ['report', PLAN, '--no-fixes', '--html', 'out'], file: 'out' },
  { args: ['why', PLAN, '--mic', 'narrator-mic', '--source', 'bell', '-o', 'out'], file: 'out' },
  { args: ['compare', PLAN, PLAN, '-o', 'out'], file: 'out' },
  { args: ['suggest', PLAN, '-o', 'out'], file: 'out' },
  { args: ['suggest', 'radio-play-open.yaml', '--apply', '1', '--in-place'], file: 'radio-play-open.yaml' },
  { args: ['draw', PLAN, '-o', 'out'], file: 'out' },
  { args: ['sheet', PLAN, '-o', 'out'], file: 'out' },
  { args: ['check', PLAN, '--format', 'json=out'], file: 'out' },
  { args: ['line-check', 'brass-hall.yaml', READINGS, '-o', 'out'], file: 'out' },
  { args: ['catalogue', '-o', 'out'], file: 'out' },
  { args: ['schema', '--force', '-o', 'out'], file: 'out' },
  { args: ['start', '--force', '-o', 'out'], file: 'out' },
];

describe.each(WAYS)('$args', ({ args, file }) => {
  const old = () => {
    if (file === 'out') writeFileSync(at(file), 'what stood there before');
    return readFileSync(at(file), 'utf8');
  };

  test('on a full disk leaves the old file and nothing beside it, and says so in one line', () => {
    const [before, names] = [old(), readdirSync(folder)];
    const { status, stderr } = runWith(FULL, args);
    expect(status).toBe(2);
    expect(stderr.match(/cannot be written/g)).toHaveLength(1);
    expect(stderr).toMatch(
      new RegExp(`^spillcheck: FILE_UNREADABLE ${file} cannot be written: no space left$`, 'm'),
    );
    expect(readFileSync(at(file), 'utf8')).toBe(before);
    expect(readdirSync(folder)).toEqual(names);
  });
});

test.each(WAYS.filter(({ args }) => args.includes('--in-place') || args.includes('--html')))(
  '$args, killed between draft and file, leaves the old file',
  ({ args, file }) => {
    if (file === 'out') writeFileSync(at(file), 'what stood there before');
    const before = readFileSync(at(file), 'utf8');
    expect(runWith(KILLED, args).signal).toBe('SIGKILL');
    expect(readFileSync(at(file), 'utf8')).toBe(before);
  },
);

test('killed before there was a file, none stands under its name', () => {
  runWith(KILLED, ['report', PLAN, '-o', 'new.txt']);
  expect(readdirSync(folder)).not.toContain('new.txt');
});

test.each(['SIGINT', 'SIGTERM'] as const)(
  '%s in mid-write: the file is whole, no draft stays, and the run ends by it',
  (signal) => {
    const interrupted = `const rename = fs.renameSync;
fs.renameSync = (from, to) => { process.kill(process.pid, '${signal}'); rename(from, to); };`;
    const names = readdirSync(folder);
    const run = runWith(interrupted, ['report', PLAN, '-o', 'out.txt']);
    expect(run.signal).toBe(signal);
    expect(readdirSync(folder).sort()).toEqual([...names, 'out.txt'].sort());
    expect(readFileSync(at('out.txt'), 'utf8')).toMatch(/^Radio play .*\n$/s);
  },
);

test('a folder that may not be written to is said to be so', () => {
  mkdirSync(at('shut'));
  writeFileSync(at('shut/out.txt'), 'old');
  chmodSync(at('shut'), 0o555);
  chmodSync(folder, 0o755);
  const nobody = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {};
  const args = [BIN, 'report', PLAN, '-o', at('shut/out.txt')];
  const { status, stderr } = spawnSync(process.execPath, args, { encoding: 'utf8', ...nobody });
  chmodSync(at('shut'), 0o755);
  expect({ status, stderr }).toEqual({
    status: 2,
    stderr: `spillcheck: FILE_UNREADABLE ${at('shut/out.txt')} cannot be written: permission denied\n  fix: choose another name or folder\n`,
  });
  expect(readdirSync(at('shut'))).toEqual(['out.txt']);
  expect(readFileSync(at('shut/out.txt'), 'utf8')).toBe('old');
});

test('a read-only file system is said to be so', () => {
  const readOnly =
    "fs.writeFileSync = () => { throw Object.assign(new Error('EROFS'), { code: 'EROFS' }); };";
  const { status, stderr } = runWith(readOnly, ['draw', PLAN, '-o', 'out.svg']);
  expect(status).toBe(2);
  expect(stderr).toBe(
    'spillcheck: FILE_UNREADABLE out.svg cannot be written: the file system is read-only\n  fix: choose another name or folder\n',
  );
});

test.runIf(process.platform === 'linux')('a device without room, as a file and as standard output', () => {
  const file = spawnSync(process.execPath, [BIN, 'report', PLAN, '-o', '/dev/full'], { encoding: 'utf8' });
  expect([file.status, file.stderr]).toEqual([
    2,
    'spillcheck: FILE_UNREADABLE /dev/full cannot be written: no space left\n  fix: choose another name or folder\n',
  ]);
  const out = spawnSync('sh', ['-c', `"${process.execPath}" "${BIN}" report "${PLAN}" > /dev/full`], {
    encoding: 'utf8',
  });
  expect([out.status, out.stderr]).toEqual([
    2,
    'spillcheck: FILE_UNREADABLE standard output cannot be written: no space left\n  fix: choose another name or folder\n',
  ]);
});

test.each([
  ['report', 'x.yaml'],
  ['check', '*.yaml'],
  ['check', PLAN],
])('in a folder that is gone: %s %s says so in one line', (...args) => {
  mkdirSync(at('gone'));
  const script = `cd "${at('gone')}" && rmdir "${at('gone')}" && exec "${process.execPath}" "${BIN}" "$@"`;
  const { status, stdout, stderr } = spawnSync('sh', ['-c', script, 'sh', ...args], { encoding: 'utf8' });
  expect({ status, stdout, stderr }).toEqual({
    status: 2,
    stdout: '',
    stderr:
      'spillcheck: FILE_UNREADABLE the current folder no longer exists\n  fix: change to an existing folder\n',
  });
});

test('a reader that leaves early is no error', async () => {
  const child = spawn(process.execPath, [BIN, 'report', PLAN, '--all', '--octaves'], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  child.stderr.on('data', (chunk) => {
    said += chunk;
  });
  child.stdout.destroy();
  const code = await new Promise((done) => child.once('close', done));
  expect({ code, said }).toEqual({ code: 0, said: '' });
});

describe('what was read is never what is written', () => {
  beforeEach(() => {
    for (const each of ['studio', 'patterns', 'readings'])
      cpSync(join(ROOT, 'fixtures', each), at(each), { recursive: true });
    writeFileSync(
      at('table.yaml'),
      'spillcheck: 1\nplayers: {tuba: {at: [1, 1], plays: tuba}}\nmics: {m: {for: tuba, near: {distance: 50 cm}, pattern: {table: patterns/odd.csv}}}\n',
    );
    writeFileSync(at('patterns/odd.csv'), 'angle_deg,1000\n0,0\n180,-9\n');
    mkdirSync(at('takes'));
    writeFileSync(at('takes/tuba.wav'), 'RIFF');
    symlinkSync('studio/hall.yaml', at('link.yaml'));
    linkSync(at('studio/hall.yaml'), at('twin.yaml'));
    symlinkSync('.', at('here'));
  });

  const READINGS_HERE = 'readings/brass-hall.csv';
  test.each([
    ['report', 'brass-hall.yaml', '-o', './studio/../brass-hall.yaml'],
    ['report', 'studio/saturday.yaml', '--no-fixes', '-o', 'studio/hall.yaml'],
    ['report', 'studio/saturday.yaml', '--no-fixes', '--html', 'link.yaml'],
    ['sheet', 'studio/saturday.yaml', '-o', 'twin.yaml'],
    ['draw', 'studio/saturday.yaml', '-o', 'here/here/studio/hall.yaml'],
    ['why', 'table.yaml', '--mic', 'm', '--source', 'tuba', '-o', 'patterns/odd.csv'],
    ['report', 'brass-hall.yaml', '--no-fixes', '--readings', READINGS_HERE, '-o', READINGS_HERE],
    ['suggest', 'brass-hall.yaml', '--readings', READINGS_HERE, '-o', READINGS_HERE],
    ['line-check', 'brass-hall.yaml', READINGS_HERE, '-o', READINGS_HERE],
    ['compare', 'brass-hall.yaml', 'studio/saturday.yaml', '-o', 'link.yaml'],
    ['check', 'studio/saturday.yaml', '--format', 'text', '--format', 'junit=link.yaml'],
    ['check', 'brass-hall.yaml', '--readings', READINGS_HERE, '--format', `json=${READINGS_HERE}`],
  ])('%s %s %s %s %s %s %s', (...args) => {
    const before = filesIn(folder);
    const { status, stdout, stderr } = spillcheck(args, { cwd: folder });
    const said = stderr.split('\n').filter((line) => line.startsWith('spillcheck: '));
    expect({ status, stdout, said }).toEqual({
      status: 2,
      stdout: '',
      said: [
        `spillcheck: FILE_UNREADABLE output would overwrite ${args.at(-1)?.replace(/^\w+=/, '')}, which is an input`,
      ],
    });
    expect(filesIn(folder)).toEqual(before);
  });

  test('a take', () => {
    const before = filesIn(folder);
    const { status } = spillcheck(['line-check', 'brass-hall.yaml', 'takes', '-o', 'takes/tuba.wav'], {
      cwd: folder,
    });
    expect(status).toBe(2);
    expect(filesIn(folder)).toEqual(before);
  });

  test('an output to a name beside it, to a device and to what another plan is stays possible', () => {
    for (const output of ['new.txt', '/dev/null', 'brass-hall.yaml'])
      expect(spillcheck(['sheet', 'studio/saturday.yaml', '-o', output], { cwd: folder }).stderr).toBe('');
    expect(readFileSync(at('brass-hall.yaml'), 'utf8')).toBe(readFileSync(at('new.txt'), 'utf8'));
  });

  test.each(['schema', 'start'])(
    '%s leaves a plan that is there, and writes over it when told to',
    (command) => {
      const before = readFileSync(at('brass-hall.yaml'), 'utf8');
      const { status, stderr } = spillcheck([command, '-o', 'brass-hall.yaml'], { cwd: folder });
      expect({ status, stderr }).toEqual({
        status: 2,
        stderr:
          'spillcheck: FILE_EXISTS brass-hall.yaml already exists\n  fix: choose another name or add --force\n',
      });
      expect(readFileSync(at('brass-hall.yaml'), 'utf8')).toBe(before);
      expect(spillcheck([command, '-o', 'brass-hall.yaml', '--force'], { cwd: folder }).status).toBe(0);
      expect(readFileSync(at('brass-hall.yaml'), 'utf8')).not.toBe(before);
    },
  );

  test('two formats to one file, whatever it is called, are refused', () => {
    for (const [one, other] of [
      ['x', './x'],
      ['x', 'here/x'],
      ['link.yaml', 'twin.yaml'],
    ]) {
      const formats = ['--format', `json=${one}`, '--format', `junit=${other}`];
      expect(spillcheck(['check', 'radio-play.yaml', ...formats], { cwd: folder }).stderr).toContain(
        'two formats would write to',
      );
      expect(existsSync(at('x'))).toBe(false);
    }
  });
});

/** Every file below, links as what they lead to, with what it holds. */
const filesIn = (path: string): readonly (readonly [string, string])[] =>
  readdirSync(path, { recursive: true, encoding: 'utf8' })
    .sort()
    .filter((name) => !name.startsWith('here/') && name.includes('.'))
    .map((name) => [name, readFileSync(join(path, name), 'utf8')]);

describe('suggest --in-place', () => {
  const MADE = ['suggest', 'radio-play-open.yaml', '--apply', '1', '--in-place'];

  test('refuses where the plan was saved while it searched, and keeps what was saved', () => {
    const plan = readFileSync(at('radio-play-open.yaml'), 'utf8');
    const saved = `const open = fs.openSync;
fs.openSync = (file, flags, ...rest) => {
  if (flags === 'wx') fs.writeFileSync('radio-play-open.yaml', ${JSON.stringify(`${plan}# saved meanwhile\n`)});
  return open(file, flags, ...rest);
};`;
    const { status, stdout, stderr } = runWith(saved, MADE);
    expect({ status, stdout, stderr }).toEqual({
      status: 2,
      stdout: '',
      stderr:
        'spillcheck: FILE_UNREADABLE radio-play-open.yaml has changed since it was read; nothing was written\n  fix: run it again\n',
    });
    expect(readFileSync(at('radio-play-open.yaml'), 'utf8')).toBe(`${plan}# saved meanwhile\n`);
    expect(readdirSync(folder).filter((name) => name.includes('spillcheck'))).toEqual([]);
  });

  test('of runs at once one writes the whole, and each other says that it did not', async () => {
    const before = readFileSync(at('radio-play-open.yaml'), 'utf8');
    const runs = await Promise.all(
      ['1', '2', '3'].map(
        (which) =>
          new Promise<{ code: number | null; said: string }>((done) => {
            const args = [BIN, 'suggest', 'radio-play-open.yaml', '--apply', which, '--in-place'];
            const child = spawn(process.execPath, args, { cwd: folder, stdio: ['ignore', 'ignore', 'pipe'] });
            let said = '';
            child.stderr.on('data', (chunk) => (said += chunk));
            child.on('close', (code) => done({ code, said }));
          }),
      ),
    );
    // a run that starts when another has ended finds a plan with fewer fixes, or none
    const texts = runs.filter(({ code }) => code === 0);
    expect(texts.length).toBeGreaterThan(0);
    for (const { said } of runs.filter(({ code }) => code !== 0))
      expect(said).toMatch(/nothing was written|no such fix/);
    expect(readFileSync(at('radio-play-open.yaml'), 'utf8')).not.toBe(before);
    expect(spillcheck(['check', 'radio-play-open.yaml'], { cwd: folder }).status).not.toBe(2);
    expect(readdirSync(folder).filter((name) => name.includes('spillcheck-'))).toEqual([]);
  });

  test('has no file to write for a plan from standard input', () => {
    const input = readFileSync(at('radio-play-open.yaml'), 'utf8');
    const { status, stdout, stderr } = spillcheck(['suggest', '-', '--apply', '1', '--in-place'], { input });
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toContain('--in-place: a plan from standard input has no file');
  });
});

describe('Ctrl-C in long work', () => {
  /** At the second pause, when the work is well under way. */
  const PRESSED = `const wait = globalThis.setTimeout;
let pauses = 0;
globalThis.setTimeout = (...given) => {
  if (++pauses === 2) process.kill(process.pid, 'SIGINT');
  return wait(...given);
};`;
  const nothing = 'spillcheck: interrupted: nothing was written\n';
  test.each([
    { args: ['report', 'brass-hall.yaml', '--html', 'out'], says: nothing },
    { args: ['report', 'brass-hall.yaml', '--json', '-o', 'out'], says: nothing },
    { args: ['report', 'brass-hall.yaml', '--tolerance', '--no-fixes'], says: nothing },
    {
      args: ['suggest', 'brass-hall.yaml', '--apply', '1', '--in-place'],
      says: 'spillcheck: interrupted: the search was stopped; nothing was written\n',
    },
  ])('$args says so in one line, writes nothing and ends with 130', ({ args, says }) => {
    const before = filesIn(folder);
    const { status, stdout, stderr } = runWith(PRESSED, args);
    expect({ status, stdout, stderr }).toEqual({ status: 130, stdout: '', stderr: says });
    expect(filesIn(folder)).toEqual(before);
  });

  test('suggest shows the best until then, and ends with 130', () => {
    const { status, stdout, stderr } = runWith(PRESSED, ['suggest', 'brass-hall.yaml', '--json']);
    const { complete, tried, suggestions } = JSON.parse(stdout);
    expect([status, complete, suggestions.length > 0]).toEqual([130, false, true]);
    expect(stderr).toBe(`spillcheck: interrupted: shown is the best of ${tried} plans\n`);
  });
});
