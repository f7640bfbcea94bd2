/** Plans against their former selves, in a folder or a git revision; folders of plans; one plan after another by the thousand. */
import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { shapeOf } from '../schemas/shape.ts';
import { sized } from '../sized.ts';
import { spillcheck } from '../spillcheck.ts';

/** In a free field, each mic 1 m from its own source and 3 m from the other: 20·lg 3 = 9.5 dB, at 2 m 20·lg 2 = 6.0 dB. */
const STUDIO = `spillcheck: 1
sources:
  left: {at: [0, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
  right: {at: [4, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
`;
const DAY = `spillcheck: 1
studio: rooms/free.yaml
mics:
  left-mic: {for: left, at: [1, 0, 1], pattern: omni}
  right-mic: {for: right, at: [3, 0, 1], pattern: omni}
limits: {signal-to-bleed: 12 dB}
`;
const NEARER = DAY.replace('[1, 0, 1]', '[0.5, 0, 1]');
const FARTHER = DAY.replace('[1, 0, 1]', '[1.5, 0, 1]');

let folder = '';
const at = (name: string) => join(folder, name);
const lay = (files: Readonly<Record<string, string>>) => {
  for (const [name, text] of Object.entries(files)) {
    mkdirSync(join(at(name), '..'), { recursive: true });
    writeFileSync(at(name), text);
  }
};
const git = (...args: readonly string[]) => {
  const who = [
    '-c',
    'user.name=nobody',
    '-c',
    'user.email=nobody@example.org',
    '-c',
    'init.defaultBranch=main',
  ];
  const { status, stderr } = spawnSync('git', [...who, ...args], { cwd: folder, encoding: 'utf8' });
  if (status !== 0) throw new Error(stderr);
};
const check = (args: readonly string[], input = '') => spillcheck(['check', ...args], { cwd: folder, input });
const outcomes = (args: readonly string[], input = ''): string[] =>
  JSON.parse(check([...args, '--json'], input).stdout).plans.map(
    ({ name, outcome }: { name: string; outcome: string }) => `${name} ${outcome}`,
  );

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  lay({ 'plans/day.yaml': DAY, 'plans/rooms/free.yaml': STUDIO });
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('a folder', () => {
  test('gives its plans and those below, with the studios they lie over, and nothing else', () => {
    lay({
      'plans/more/night.yml': DAY.replace('rooms/', '../rooms/'),
      'plans/more/alone.yaml': NEARER.replace(
        'studio: rooms/free.yaml\n',
        STUDIO.slice(STUDIO.indexOf('sources')),
      ),
      'plans/.hidden/x.yaml': DAY,
      'plans/node_modules/x/x.yaml': DAY,
      'plans/pipeline.yaml': 'jobs: {build: {steps: []}}\n',
      'plans/notes.txt': DAY,
      'outside.yaml': NEARER,
    });
    symlinkSync('../outside.yaml', at('plans/link.yaml'));
    symlinkSync('..', at('plans/up'));
    expect(outcomes(['plans', '--allow-outside'])).toEqual([
      'plans/day.yaml missed',
      'plans/more/alone.yaml missed',
      'plans/more/night.yml missed',
    ]);
    expect(outcomes(['plans/rooms'])).toEqual(['plans/rooms/free.yaml met']);
  });

  test('shows a plan that has lost its first line, and says so where there is none', () => {
    lay({ 'plans/broken.yaml': DAY.replace('spillcheck: 1\n', ''), 'empty/x.txt': '' });
    expect(outcomes(['plans'])).toEqual(['plans/broken.yaml invalid', 'plans/day.yaml missed']);
    const { status, stdout } = check(['empty']);
    expect([status, stdout]).toEqual([2, expect.stringContaining('FILE_UNREADABLE empty holds no plans')]);
  });
});

test('--quiet shows what fails, and nothing where nothing does', () => {
  lay({ 'plans/good.yaml': DAY.replace('12 dB', '3 dB') });
  const { status, stdout, stderr } = check(['plans', '--quiet']);
  expect([status, stderr]).toEqual([1, '']);
  expect(stdout).toMatch(/^plans\/day\.yaml: 2 of 2 limits missed.*\n {2}missed /);
  expect(stdout).not.toMatch(/good|plans:/);
  expect(check(['plans/good.yaml', '--quiet'])).toEqual({ status: 0, stdout: '', stderr: '' });
  expect(check(['plans', '--quiet', '--format', 'junit=x.xml'])).toEqual({
    status: 1,
    stdout: '',
    stderr: '',
  });
  expect(existsSync(at('x.xml'))).toBe(true);
});

test('a plan from standard input takes its studio from the folder of its name', () => {
  expect(outcomes(['-', '--stdin-name', 'plans/new.yaml'], DAY)).toEqual(['plans/new.yaml missed']);
  expect(outcomes(['-'], DAY)).toEqual(['standard input invalid']);
  expect(check(['-', '--stdin-name', 'plans/../../x.yaml'], DAY).stdout).toContain('no such file');
});

describe.each([
  {
    what: 'a folder',
    past: 'before',
    keep: () => cpSync(at('plans'), at('before/plans'), { recursive: true }),
  },
  {
    what: 'a git revision',
    past: 'HEAD',
    keep: () => {
      git('init', '-q');
      git('add', '.');
      git('commit', '-qm', 'before');
    },
  },
])('--no-worse-than $what', ({ past, keep }) => {
  beforeEach(keep);
  const since = (...args: readonly string[]) => ['plans', '--no-worse-than', past, ...args];

  test('passes what is the same, however many limits it misses', () => {
    const { status, stdout } = check(since());
    expect(status).toBe(0);
    expect(stdout).toContain(`plans/day.yaml: unchanged since ${past}; 2 of 2 limits missed`);
    expect(stdout).toContain('1 plan: 1 no worse');
  });

  test('passes what is better, and fails what is worse, by how much', () => {
    lay({ 'plans/day.yaml': NEARER });
    expect(check(since()).stdout).toContain(`no worse than in ${past}; 1 of 2 limits missed`);
    lay({ 'plans/day.yaml': FARTHER });
    const { status, stdout } = check(since());
    expect(status).toBe(1);
    // 20·lg (2.5/1.5) = 4.4 dB where it was 9.5
    expect(stdout).toMatch(/worse {7}left-mic S\/B 9\.[56] → 4\.[45] dB \(still short\)/);
    expect(stdout).not.toMatch(/worse {7}right-mic/);
    expect(check(since('--within', '6')).status).toBe(0);
  });

  test('sees a change in a studio alone', () => {
    lay({ 'plans/rooms/free.yaml': STUDIO.replace('right: {at: [4, 0, 1]', 'right: {at: [3.9, 0, 1]') });
    expect(check(since()).stdout).toContain('worse than in');
    expect(check(since('--within', '1')).status).toBe(0);
  });

  test('judges by its limits what was not there, or was invalid', () => {
    lay({ 'plans/new.yaml': NEARER });
    const { status, stdout } = check(since());
    expect(status).toBe(1);
    expect(stdout).toContain(`plans/new.yaml: not in ${past}, so judged by its limits; 1 of 2 limits missed`);
  });

  test('keeps to every format, at the setting that it is about', () => {
    lay({ 'plans/day.yaml': FARTHER });
    const formats = ['json', 'junit', 'sarif'].flatMap((one) => ['--format', `${one}=x.${one}`]);
    const { stdout } = check(since('--format', 'annotations', ...formats));
    expect(stdout).toMatch(
      new RegExp(
        `^::error file=plans/day.yaml,line=4,col=3,title=worse than in ${past}::worse than in ${past}: left-mic S/B`,
      ),
    );
    expect(stdout.match(/^::error/gm)).toHaveLength(1);
    const told = JSON.parse(check(since('--json')).stdout);
    const validate = shapeOf('check.schema.json');
    validate(told);
    expect(validate.errors).toBeNull();
    expect(told.plans[0].former).toMatchObject({
      name: past,
      is: 'changed',
      regressions: [
        { kind: 'signal-to-bleed', about: ['left-mic'], file: 'plans/day.yaml', line: 4, column: 3 },
      ],
    });
    expect(told.plans[0].former.regressions).toHaveLength(1);
    const [run] = JSON.parse(check(since('--format', 'sarif')).stdout).runs;
    expect(run.results.filter(({ level }: { level: string }) => level === 'error')).toMatchObject([
      {
        ruleId: 'no-worse-than',
        locations: [{ physicalLocation: { region: { startLine: 4, startColumn: 3 } } }],
      },
    ]);
    const junit = check(since('--format', 'junit')).stdout;
    expect(junit).toMatch(/tests="3" failures="1" errors="0"/);
    expect(junit).toContain(`<testcase name="no-worse-than ${past} signal-to-bleed left-mic"`);
  });

  test('a plan from standard input goes by its name', () => {
    const args = ['-', '--stdin-name', 'plans/day.yaml', '--no-worse-than', past];
    expect(outcomes(args, FARTHER)).toEqual(['plans/day.yaml worse']);
    expect(outcomes(args, DAY)).toEqual(['plans/day.yaml no worse']);
  });
});

test('a folder that is the former self of another is found by the paths within', () => {
  cpSync(at('plans'), at('before'), { recursive: true });
  lay({ 'plans/day.yaml': FARTHER });
  expect(outcomes(['plans', '--no-worse-than', 'before'])).toEqual(['plans/day.yaml worse']);
});

describe('a git revision', () => {
  beforeEach(() => {
    git('init', '-q');
    git('add', '.');
    git('commit', '-qm', 'first');
    lay({ 'plans/day.yaml': FARTHER });
    git('commit', '-qam', 'farther');
  });

  test('is any that git knows, from any folder within', () => {
    const worse = ['plans/day.yaml worse'];
    for (const one of ['HEAD~1', 'HEAD^', 'main~1'])
      expect(outcomes(['plans', '--no-worse-than', one])).toEqual(worse);
    const inside = spillcheck(['check', 'day.yaml', '--no-worse-than', 'HEAD~1', '--quiet'], {
      cwd: at('plans'),
    });
    expect([inside.status, inside.stdout]).toEqual([1, expect.stringContaining('worse than in HEAD~1')]);
    expect(outcomes(['plans', '--no-worse-than', 'HEAD'])).toEqual(['plans/day.yaml no worse']);
  });

  test.each([
    '--upload-pack=touch x',
    '-h',
    '--help',
    'none',
    'HEAD:plans',
    '$(touch x)',
    '',
    'HEAD --output=x',
  ])('%s is none, never an option or a command', (name) => {
    const { status, stdout, stderr } = check(['plans', `--no-worse-than=${name}`]);
    expect([status, stdout]).toEqual([2, '']);
    expect(stderr).toMatch(
      /^spillcheck: FILE_UNREADABLE --no-worse-than: no folder or git revision named .*\n {2}fix: .*\n$/,
    );
    expect(existsSync(at('x'))).toBe(false);
  });

  test('runs nothing that the repository names', () => {
    const trap = at('trap.sh');
    writeFileSync(trap, `#!/bin/sh\ntouch ${at('sprung')}\ncat\n`);
    chmodSync(trap, 0o755);
    for (const key of [
      'core.fsmonitor',
      'core.pager',
      'core.sshCommand',
      'core.editor',
      'diff.x.textconv',
      'filter.x.smudge',
    ])
      git('config', key, trap);
    lay({ '.gitattributes': '*.yaml diff=x filter=x\n' });
    for (const hook of ['post-checkout', 'post-index-change', 'reference-transaction'])
      cpSync(trap, at(`.git/hooks/${hook}`));
    expect(outcomes(['plans', '--no-worse-than', 'HEAD~1'])).toEqual(['plans/day.yaml worse']);
    expect(existsSync(at('sprung'))).toBe(false);
  });

  test('follows links within it, and none that lead out', () => {
    lay({ 'shared/free.yaml': STUDIO, 'outside.yaml': DAY });
    rmSync(at('plans/rooms'), { recursive: true });
    symlinkSync('../shared', at('plans/rooms'));
    symlinkSync('/etc/hostname', at('plans/host.yaml'));
    git('add', '.');
    git('commit', '-qm', 'links');
    expect(outcomes(['plans/day.yaml', '--no-worse-than', 'HEAD', '--allow-outside'])).toEqual([
      'plans/day.yaml no worse',
    ]);
    expect(
      check(['-', '--stdin-name', 'plans/host.yaml', '--no-worse-than', 'HEAD', '--allow-outside'], DAY)
        .stdout,
    ).toContain('not in HEAD, so judged by its limits');
  });
});

describe('results that --json wrote', () => {
  const save = (change: (saved: Record<string, unknown>) => void = () => {}) => {
    const saved = JSON.parse(check(['plans', '--json']).stdout);
    change(saved);
    lay({ 'saved.json': JSON.stringify(saved) });
    return saved;
  };

  test('serve as well as plans', () => {
    save();
    expect(outcomes(['plans', '--no-worse-than', 'saved.json'])).toEqual(['plans/day.yaml no worse']);
    lay({ 'plans/day.yaml': FARTHER, 'plans/new.yaml': NEARER });
    const { status, stdout } = check(['plans', '--no-worse-than', 'saved.json']);
    expect(status).toBe(1);
    expect(stdout).toContain('plans/day.yaml: worse than in saved.json; ');
    expect(stdout).toMatch(/worse {7}left-mic S\/B 9\.[56] → 4\.[45] dB/);
    expect(stdout).toContain('plans/new.yaml: not in saved.json, so judged');
  });

  test('say where model or catalogue are others by now', () => {
    const { model, catalogue } = save((saved) =>
      Object.assign(saved, { model: 0, catalogue: '0123456789ab' }),
    );
    expect([model, catalogue]).toEqual([0, '0123456789ab']);
    const {
      plans,
      model: now,
      catalogue: ours,
    } = JSON.parse(check(['plans', '--no-worse-than', 'saved.json', '--json']).stdout);
    expect(ours).toMatch(/^[\da-f]{12}$/);
    const name = `saved.json (model 0, now ${now}; catalogue 0123456789ab, now ${ours})`;
    expect(plans[0].former).toMatchObject({ name, model: 0, catalogue: '0123456789ab' });
    expect(check(['plans', '--no-worse-than', 'saved.json']).stdout.replace(/\s+/g, ' ')).toContain(
      `no worse than in ${name}`,
    );
  });

  test.each(['', '[]', '{"command": "report"}', '{"spillcheck": 1, "command": "check", "model": 1}'])(
    '%s are none',
    (text) => {
      lay({ 'saved.json': text });
      const { status, stderr } = check(['plans', '--no-worse-than', 'saved.json']);
      expect([status, stderr]).toEqual([
        2,
        expect.stringContaining('--no-worse-than: saved.json has no results of check'),
      ]);
    },
  );
});

test('what is no git repository is said to be none', () => {
  const { status, stderr } = check(['plans', '--no-worse-than', 'HEAD']);
  expect(status).toBe(2);
  expect(stderr).toContain('no folder named HEAD, and no git repository here');
});

test('with readings it is refused', () => {
  const { status, stderr } = check(['plans', '--no-worse-than', 'plans', '--readings', 'x.csv']);
  expect([status, stderr]).toEqual([2, expect.stringContaining('cannot be used together')]);
});

const PLANS = sized(60, 1000);

test(`${PLANS} plans in one run against their former selves: each judged, in bounded time and memory`, () => {
  const names = Array.from({ length: PLANS }, (_, i) => `many/${i % 10}/${i}.yaml`);
  lay({
    'many/free.yaml': STUDIO,
    ...Object.fromEntries(names.map((name) => [name, DAY.replace('rooms/', '../')])),
  });
  git('init', '-q');
  git('add', '.');
  git('commit', '-qm', 'all');
  // every second plan has changed, so that it is computed twice
  lay(
    Object.fromEntries(
      names.filter((_, i) => i % 2 === 0).map((name) => [name, FARTHER.replace('rooms/', '../')]),
    ),
  );
  const script = `process.on('exit', () => console.error(JSON.stringify(process.resourceUsage())))`;
  const bin = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));
  const args = ['--import', `data:text/javascript,${encodeURIComponent(script)}`, bin];
  const many = ['check', 'many', '--no-worse-than', 'HEAD', '--allow-outside', '--format', 'json'];
  const { status, stdout, stderr } = spawnSync(process.execPath, [...args, ...many], {
    ...{ cwd: folder, encoding: 'utf8', maxBuffer: 2 ** 28 },
  });
  const { userCPUTime, systemCPUTime, maxRSS } = JSON.parse(stderr.trimEnd().split('\n').at(-1) ?? '');
  expect(status).toBe(1);
  const { plans } = JSON.parse(stdout);
  const count = (wanted: string) =>
    plans.filter(({ outcome }: { outcome: string }) => outcome === wanted).length;
  expect([plans.length, count('worse'), count('no worse')]).toEqual([PLANS, PLANS / 2, PLANS / 2]);
  // 20 ms of the processor a plan and a second to start are five times what it takes
  expect((userCPUTime + systemCPUTime) / 1e6).toBeLessThan(1.5 + 0.02 * PLANS);
  expect(maxRSS / 1024).toBeLessThan(400);
});
