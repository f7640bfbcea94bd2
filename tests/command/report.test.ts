/** The built command line, run as a user runs it; `npm test` builds it first. The plan is invented. */
import { spawn, spawnSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { shapeOf } from '../schemas/shape.ts';
import * as warm from '../spillcheck.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const BIN = join(ROOT, 'bin/spillcheck.js');

const PLAN = `spillcheck: 1
title: Two brass players who do not exist
rooms:
  hall: {size: [7, 5], height: 3, reverberation: {125: 0.8, 500: 0.6, 2000: 0.5, decay: early}}
players:
  tuba: {at: [1.5, 2], facing: 90, plays: tuba}
  cornet: {at: [5, 3], facing: 270, plays: cornet}
mics:
  tuba-mic: {for: tuba, near: {distance: 50 cm}}
  cornet-mic: {for: cornet, near: {distance: 60 cm}}
  main: {for: all, at: [3, 4, 2], aim: tuba, stereo: ortf}
`;

let folder = '';
const at = (name: string) => join(folder, name);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  chmodSync(folder, 0o755);
  writeFileSync(at('plan.yaml'), PLAN);
});
afterAll(() => rmSync(folder, { recursive: true }));

type Run = Partial<{ input: string; environment: Record<string, string>; user: number }>;

function spillcheck(
  args: readonly string[],
  { input = '', environment = {}, user }: Run = {},
): warm.CommandResult {
  const asked = { cwd: folder, env: { PATH: process.env.PATH ?? '', ...environment }, input };
  if (user === undefined) return warm.spillcheck(args, asked);
  const as = { uid: user, gid: user };
  return spawnSync(process.execPath, [BIN, ...args], { encoding: 'utf8', ...asked, ...as });
}

describe('a good plan', () => {
  test('is reported on standard output, with exit code 0 and nothing said beside it', () => {
    const { status, stdout, stderr } = spillcheck(['report', 'plan.yaml']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout.split('\n')[0]).toBe('Two brass players who do not exist');
    expect(stdout).toMatch(/(SHORT|marginal|clear)\?? +cornet-mic +-?\d+\.\d +[-+]\d/);
  });

  test('comes as JSON that fits the schema, the same from a file and from standard input', () => {
    const { status, stdout } = spillcheck(['report', 'plan.yaml', '--json']);
    const validate = shapeOf('report.schema.json');
    expect({ status, valid: validate(JSON.parse(stdout)), errors: validate.errors }).toMatchObject({
      status: 0,
      valid: true,
      errors: null,
    });
    expect(spillcheck(['report', '-', '--json'], { input: PLAN }).stdout).toBe(stdout);
    expect(JSON.parse(stdout).mics.map((mic: { name: string }) => mic.name)).toEqual([
      'tuba-mic',
      'cornet-mic',
      'main.left',
      'main.right',
    ]);
  });

  test('is written to a file as a whole, and nothing is left beside it', () => {
    const { status, stdout } = spillcheck(['report', 'plan.yaml', '-o', 'report.txt']);
    expect({ status, stdout }).toEqual({ status: 0, stdout: '' });
    expect(readFileSync(at('report.txt'), 'utf8')).toBe(spillcheck(['report', 'plan.yaml']).stdout);
    expect(readdirSync(folder).sort()).toEqual(['plan.yaml', 'report.txt']);
  });

  test('can be asked about one microphone', () => {
    const { stdout } = spillcheck(['report', 'plan.yaml', '--mic', 'tuba-mic', '--json']);
    expect(JSON.parse(stdout).mics.map((mic: { name: string }) => mic.name)).toEqual(['tuba-mic']);
  });

  test('lists by octave and every assumption only when asked', () => {
    const short = spillcheck(['report', 'plan.yaml']).stdout;
    const long = spillcheck(['report', 'plan.yaml', '--octaves', '--all', '--assumptions']).stdout;
    expect(short).toMatch(/\d+ values assumed \(--assumptions\)/);
    expect(short).not.toContain('By octave');
    expect(long).toContain('By octave');
    expect(long).toMatch(/Uncertainty\n {2}\d+ values assumed:\n/);
  });
});

test('passages, targets of a main pair and headphones fit the shapes of report, check, compare and suggest', () => {
  const plan = at('targets.yaml');
  const more = `  guitar: {at: [3, 1], facing: 0, plays: steel-string-guitar, later: replace, cue: closed}
  bass: {at: [6, 4], facing: 180, plays: {bass: {instrument: bass-amp, at: [6.5, 4]}}, cue: one-off}
mics:
  guitar-mic: {for: guitar, near: {distance: 30 cm}}`;
  const targets = `passages: {verse: [tuba, guitar], chorus: [tuba, cornet, bass], end: [guitar]}
limits:
  balance: [{of: brass, over: [guitar, bass], least: 3}, {of: cornet, over: guitar, least: 0}]
  direct-to-reverberant: {main: 0}
  hear: {guitar: [tuba]}
`;
  writeFileSync(plan, `${PLAN.replace('mics:', more)}${targets}`);
  const shown = Object.fromEntries(
    (['report', 'check', 'compare', 'suggest'] as const).map((command) => {
      const plans = command === 'compare' ? [plan, plan] : [plan];
      const json = JSON.parse(spillcheck([command, ...plans, '--json']).stdout);
      const validate = shapeOf(`${command}.schema.json`);
      validate(json);
      expect([command, validate.errors]).toEqual([command, null]);
      return [command, json];
    }),
  );
  const rows = shown.check.plans[0].limits.filter(({ kind }: { kind: string }) =>
    ['balance', 'direct-to-reverberant'].includes(kind),
  );
  expect(
    rows.map(({ about, passage }: { about: string[]; passage: string }) => [about.join(), passage]),
  ).toEqual(
    expect.arrayContaining([
      ['brass,guitar and bass,main', expect.stringMatching(/verse|chorus/)],
      ['cornet,guitar,main', null],
      ['main', expect.any(String)],
    ]),
  );
  expect(
    shown.report.muting.map(({ passage, mics }: { passage: string; mics: string[] }) => [passage, mics]),
  ).toEqual([
    ['verse', ['cornet-mic']],
    ['chorus', ['guitar-mic']],
    ['end', ['tuba-mic', 'cornet-mic']],
  ]);
  const told = (...args: string[]) => spillcheck([...args, plan]).stdout.replace(/\s+/g, ' ');
  expect(told('report')).toMatch(/In chorus mute guitar-mic \(bleed -?[\d.]+ dB re main mics\)/);
  expect(told('report')).toMatch(
    /guitar \(closed headphones, hears nobody by air\): must have tuba, own part/,
  );
  expect(told('report')).toContain('By section, dB re loudest: brass 0.0');
  // the guitar's mic is judged in the only passage with bleed, where cornet and bass rest
  expect(told('report', '--show', 'matrix')).toMatch(
    /cornet (?:\S+ )*?rests .*Judged in verse: [^:]*guitar-mic/,
  );
  expect(told('check', '--all')).toMatch(/cornet over guitar at main: never sound together; not judged/);
});

describe('what is shown', () => {
  const PASSAGES = `${PLAN}passages: {verse: [tuba], chorus: [tuba, cornet]}\n`;

  test('of an ordinary plan fits a screen of 80 × 60', () => {
    const { stdout } = spillcheck(['report', join(ROOT, 'fixtures/brass-hall.yaml')]);
    expect(stdout.trimEnd().split('\n').length).toBeLessThanOrEqual(60);
  });

  test('begins with moves, told as suggest tells them; --no-fixes leaves them out', () => {
    const moves = (...args: string[]) => spillcheck(['report', 'plan.yaml', ...args]).stdout;
    const suggested = JSON.parse(spillcheck(['suggest', 'plan.yaml', '--json']).stdout).suggestions;
    expect(suggested.length).toBeGreaterThan(0);
    expect(JSON.parse(moves('--json')).fixes).toEqual(suggested.slice(0, 3));
    expect(JSON.parse(moves('--json', '--no-fixes')).fixes).toBeNull();
    expect(moves()).toMatch(/\nFix first {2}\(--show fixes\)\n {2}1 [A-Z]/);
    expect(moves('--no-fixes')).not.toContain('Fix first');
    expect(moves('--show', 'rooms')).not.toContain('Fix first');
  });

  test('begins with what is odd about the plan, which check says, too', () => {
    const input = PLAN.replace('height: 3,', 'height: 8,')
      .replace('facing: 270, plays: cornet', 'facing: 270, plays: cornet, level: 8.8 dB at 1 m')
      .replace('near: {distance: 50 cm}', 'di: true');
    const odd = [
      /hall is 8\.0 m high/,
      /softer than a cornet ever plays/,
      /but a tuba has neither line output nor pickup/,
    ];
    const [report = '', check = ''] = [
      ['report', '-', '--no-fixes'],
      ['check', '-'],
    ].map((args) => spillcheck(args, { input, environment: { COLUMNS: '200' } }).stdout);
    const top = report.split('\n').slice(0, 9);
    for (const one of odd) {
      expect(top.filter((line) => line.startsWith('Warning: '))).toContainEqual(expect.stringMatching(one));
      expect(check).toMatch(one);
    }
  });

  test('the NIOSH limit of a player is the same in every section, rounded down, and in check, sheet and compare', () => {
    const plan = at('long.yaml');
    writeFileSync(plan, `${PLAN.replaceAll('cornet}', 'cornet, dynamic: ff}')}limits: {session-length: 9}\n`);
    const [{ minutes_niosh: minutes }] = JSON.parse(
      spillcheck(['report', plan, '--json', '--no-fixes']).stdout,
    ).exposure.filter(({ player }: { player: string }) => player === 'cornet');
    const said =
      minutes < 90 ? `${Math.floor(minutes)} min` : `${Math.floor(minutes / 6) / 10} h`.replace('.0 ', ' ');
    const told = (args: string[], what: RegExp) =>
      spillcheck(args).stdout.replace(/\s+/g, ' ').match(what)?.[1] ?? 'not said';
    expect(told(['report', plan, '--show', 'exposure'], /cornet ([\d.]+ \w+) [\d.]+ \w+ [\d.]+ /)).toBe(said);
    expect(told(['report', plan], /NIOSH limit per day: .*?cornet ([\d.]+ \w+)/)).toBe(said);
    expect(
      told(['report', plan, '--show', 'pitfalls'], /cornet: [^,]*, NIOSH limit ([\d.]+ \w+) a day/),
    ).toBe(said);
    expect(told(['check', plan], /cornet: NIOSH limit ([\d.]+ \w+), session 9 h/)).toBe(said);
    expect(told(['sheet', plan], /Noise exposure, .*?cornet ([\d.]+ \w+)/)).toBe(said);
    expect(told(['compare', plan, plan, '--all'], /NIOSH limit .*?cornet ([\d.]+ \w+)/)).toBe(said);
  });

  test('about one microphone are moves that better it', () => {
    const { fixes: moves } = JSON.parse(
      spillcheck(['report', 'plan.yaml', '--mic', 'tuba-mic', '--json']).stdout,
    );
    const asked = JSON.parse(spillcheck(['suggest', 'plan.yaml', '--for', 'tuba-mic', '--json']).stdout);
    expect(moves).toEqual(asked.suggestions.slice(0, 3));
  });

  test('moves of a passage are for what sounds in it: where the tuba plays alone there is nothing to do', () => {
    const run = (passage: string) =>
      spillcheck(['report', '-', '--json', '--passage', passage], { input: PASSAGES });
    expect(JSON.parse(run('verse').stdout).fixes).toEqual([]);
    expect(JSON.parse(run('chorus').stdout).fixes.length).toBeGreaterThan(0);
  });

  test('says of a plan too large for a quick search that it was not looked through', () => {
    const many = Array.from(
      { length: 70 },
      (_, i) => `  p${i}: {at: [${1 + (i % 10) * 2}, ${1 + Math.floor(i / 10) * 2}], plays: cornet}`,
    );
    const mics = many.map((_, i) => `  m${i}: {for: p${i}, near: {distance: 30 cm}}`);
    const input = `spillcheck: 1\nplayers:\n${many.join('\n')}\nmics:\n${mics.join('\n')}\n`;
    const { stdout } = spillcheck(['report', '-'], { input });
    expect(stdout).toContain('Not searched in a plan this large');
  });

  test('are the sections asked for, in one word or several', () => {
    const heads = (...args: string[]) =>
      spillcheck(['report', 'plan.yaml', ...args]).stdout.match(/^(Rooms|Inputs|Noise exposure|Pitfalls)/gm);
    expect(heads('--show', 'rooms,inputs')).toEqual(['Inputs', 'Rooms']);
    expect(heads('--show', 'exposure', '--show', 'rooms')).toEqual(['Noise exposure', 'Rooms']);
    expect(heads('--all')).toEqual(['Noise exposure', 'Inputs', 'Rooms', 'Pitfalls']);
  });

  test('can be one passage: where the cornet rests, nobody bleeds into the tuba', () => {
    const run = (passage: string) =>
      spillcheck(['report', '-', '--json', '--passage', passage], { input: PASSAGES });
    const verse = JSON.parse(run('verse').stdout);
    expect(verse).toMatchObject({
      passage: 'verse',
      mics: [{ signal_to_bleed_db: null, verdict: 'clear' }, {}, {}, {}],
    });
    expect(JSON.parse(run('chorus').stdout).mics[0].signal_to_bleed_db).toBeGreaterThan(0);
    const text = spillcheck(['report', '-', '--passage', 'verse'], { input: PASSAGES }).stdout;
    expect(text).toContain('Passage verse only\n');
  });

  test('has a tolerance when asked for, the same every time', () => {
    const run = () => spillcheck(['report', 'plan.yaml', '--tolerance', '--show', 'uncertainty']);
    const { stdout, stderr } = run();
    expect(stderr).toBe('');
    expect(stdout).toMatch(/S\/B tuba-mic( +-?\d+\.\d){3} +10 +\d+% +level/);
    expect(run().stdout).toBe(stdout);
  });
});

describe('colour', () => {
  const escapes = (environment: Record<string, string>) =>
    spillcheck(['report', 'plan.yaml'], { environment }).stdout.includes('\u001b[');

  test('stays out of a pipe', () => expect(escapes({})).toBe(false));
  test('comes when forced', () => expect(escapes({ FORCE_COLOR: '1' })).toBe(true));
  test('stays out with NO_COLOR', () =>
    expect(escapes({ NO_COLOR: '1', TERM: 'xterm-256color' })).toBe(false));
});

describe('what is refused ends with exit code 2, a clear line and no answer', () => {
  test.each([
    { args: ['report', 'none.yaml'], says: /none\.yaml.*no such file/ },
    { args: ['report', '.'], says: /it is a folder/ },
    {
      args: ['report', 'plan.yaml', '--mic', 'tuba-mick'],
      says: /no mic named "tuba-mick"[\s\S]*"tuba-mic"/,
    },
    {
      args: ['report', 'plan.yaml', '--show', 'rooms,delay'],
      says: /no section named "delay"[\s\S]*"delays"/,
    },
    {
      args: ['report', 'plan.yaml', '--passage', 'verse'],
      says: /no passage named "verse"[\s\S]*this plan has none/,
    },
    { args: ['report', 'plan.yaml', '-o', 'plan.yaml'], says: /would overwrite plan\.yaml/ },
    { args: ['report', 'plan.yaml', '-o', 'none/report.txt'], says: /none\/report\.txt cannot be written/ },
    { args: ['report'], says: /BAD_OPTION report needs a plan\n {2}fix: write spillcheck report PLAN\n/ },
    { args: ['report', 'plan.yaml', 'more.yaml'], says: /report takes 1 argument, not 2/ },
    { args: ['report', 'plan.yaml', '--jsn'], says: /no option named "--jsn"\n {2}fix: did you mean --json/ },
    { args: ['raport', 'plan.yaml'], says: /no command named "raport"[\s\S]*report/ },
    { args: [], says: /Usage: spillcheck/ },
  ])('spillcheck $args', ({ args, says }) => {
    const { status, stdout, stderr } = spillcheck(args);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
    expect(stderr).not.toMatch(/\n +at /);
    expect(readFileSync(at('plan.yaml'), 'utf8')).toBe(PLAN);
  });

  test('a file one may not read', () => {
    mkdirSync(at('closed'), { recursive: true });
    writeFileSync(at('closed/plan.yaml'), PLAN, { mode: 0 });
    // root reads everything: as root, run as nobody
    const run: Run = process.getuid?.() === 0 ? { user: 65_534 } : {};
    const { status, stderr } = spillcheck(['report', 'closed/plan.yaml'], run);
    expect(stderr).toContain('permission denied');
    expect(status).toBe(2);
    rmSync(at('closed'), { recursive: true });
  });

  test('a plan with two faults: both are said, with their places', () => {
    const broken = PLAN.replace('plays: tuba', 'plays: tubba').replace('50 cm', '50 parsnips');
    const { status, stdout, stderr } = spillcheck(['report', '-', '--stdin-name', 'mine.yaml'], {
      input: broken,
    });
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(/mine\.yaml:9:\d+ BAD_VALUE/);
    expect(stderr).not.toContain('standard input');
  });

  test('an output that cannot hold the answer', () => {
    const { status, stderr } = spawnSync(
      'sh',
      ['-c', `"${process.execPath}" "${BIN}" report plan.yaml > /dev/full`],
      {
        cwd: folder,
        encoding: 'utf8',
      },
    );
    expect(stderr).toContain('standard output cannot be written: no space left');
    expect(status).toBe(2);
  });
});

describe('a reader that leaves early', () => {
  test('gets its line and hears nothing else: exit code 0, no stack', () => {
    const script = `{ "${process.execPath}" "${BIN}" report plan.yaml --all --octaves; echo "code $?" >&2; } | head -1`;
    const { stdout, stderr } = spawnSync('sh', ['-c', script], { cwd: folder, encoding: 'utf8' });
    expect(stdout).toBe('Two brass players who do not exist\n');
    expect(stderr).toBe('code 0\n');
  });

  test('or before the first line', async () => {
    const child = spawn(process.execPath, [BIN, 'report', 'plan.yaml'], { cwd: folder });
    child.stdout.destroy();
    let stderr = '';
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      stderr += text;
    });
    const code = await new Promise((done) => child.on('close', done));
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  });
});

describe('an internal error', () => {
  const damaged = (environment: Record<string, string>) => {
    const copy = at('copy');
    for (const part of ['bin', 'dist', 'package.json'])
      cpSync(join(ROOT, part), join(copy, part), { recursive: true });
    writeFileSync(join(copy, 'dist/catalogue.json'), '{}');
    const run = spawnSync(process.execPath, [join(copy, 'bin/spillcheck.js'), 'report', 'plan.yaml'], {
      cwd: folder,
      encoding: 'utf8',
      env: { PATH: process.env.PATH ?? '', ...environment },
    });
    rmSync(copy, { recursive: true });
    return run;
  };

  test('ends with exit code 70 and asks for a report', () => {
    const { status, stdout, stderr } = damaged({});
    expect({ status, stdout }).toEqual({ status: 70, stdout: '' });
    expect(stderr).toMatch(/^spillcheck: internal error: .+\n {2}fix: please report it .+\n$/);
  });

  test('shows its stack only with SPILLCHECK_DEBUG=1', () => {
    expect(damaged({ SPILLCHECK_DEBUG: '1' }).stderr).toMatch(/\n +at /);
  });
});

describe('help', () => {
  test('and version are on standard output with exit code 0', () => {
    const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'));
    expect(spillcheck(['--version'])).toMatchObject({ status: 0, stdout: `${version}\n`, stderr: '' });
    expect(spillcheck(['--help'])).toMatchObject({ status: 0, stderr: '' });
  });

  test('of the report shows an example and the exit codes', () => {
    const { stdout } = spillcheck(['report', '--help']);
    expect(stdout).toMatch(/Examples:\n {2}spillcheck report /);
    expect(stdout).toMatch(/Exit codes:\n {2}0 .*\n {2}2 .*\n {2}70 /);
  });
});
