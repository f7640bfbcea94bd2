/** The package as a stranger gets it: packed, installed into an empty folder without a network, and put to use. */
import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { rolldown } from 'rolldown';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const MB = 2 ** 20;

let folder = '';
const installed = (...path: readonly string[]) => join(folder, 'node_modules', 'spillcheck', ...path);

function run(program: string, args: readonly string[], cwd = folder) {
  const { status, stdout, stderr } = spawnSync(program, args, { cwd, encoding: 'utf8', timeout: 900_000 });
  return { status, stdout, stderr };
}

/** npm without a network and without scripts; npm says its own things on standard error. */
const npm = (args: readonly string[], cwd?: string) =>
  run(
    'npm',
    [...args, '--offline', '--ignore-scripts', '--no-audit', '--no-fund', '--no-update-notifier'],
    cwd,
  );

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-package-'));
  const packed = npm(['pack', '--pack-destination', folder, '--json'], ROOT);
  const [{ filename }] = JSON.parse(packed.stdout);
  writeFileSync(join(folder, 'package.json'), '{"private": true, "type": "module"}\n');
  const done = npm(['install', `./${filename}`]);
  if (done.status !== 0) throw new Error(done.stderr);
}, 120_000);
afterAll(() => rmSync(folder, { recursive: true }));

const filesIn = (path: string): string[] =>
  readdirSync(path, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));

describe('installed', () => {
  test('it brings no other package, and runs nothing as it is installed', () => {
    const others = readdirSync(join(folder, 'node_modules')).filter((name) => !name.startsWith('.'));
    expect(others).toEqual(['spillcheck']);
    const { scripts, dependencies } = JSON.parse(readFileSync(installed('package.json'), 'utf8'));
    const run = ['preinstall', 'install', 'postinstall', 'prepare', 'preprepare', 'postprepare'];
    expect({ dependencies, hooks: run.filter((name) => name in scripts) }).toEqual({ hooks: [] });
  });

  test('it takes less than 5 MB, and what README says of it is right', () => {
    const size = filesIn(installed()).reduce((sum, file) => sum + statSync(file).size, 0) / MB;
    const [, stated] =
      /installed it takes ([\d.]+) MB/.exec(readFileSync(installed('README.md'), 'utf8')) ?? [];
    expect(size).toBeLessThan(5);
    expect(Math.abs(Number(stated) - size)).toBeLessThan(0.25);
  });

  test('the script of its own page runs, and prints what the page shows', () => {
    const page = readFileSync(installed('shared/scripts.md'), 'utf8');
    const [, script = ''] = /```js\n(\/\/ rank\.mjs\n[\s\S]*?)```/.exec(page) ?? [];
    const [, shown = ''] = /\$ node rank\.mjs\n([\s\S]*?)```/.exec(page) ?? [];
    writeFileSync(join(folder, 'rank.mjs'), script);
    const ran = run(process.execPath, [join(folder, 'rank.mjs')], installed());
    expect(ran).toEqual({ status: 0, stdout: shown, stderr: '' });
    expect(shown.split('\n')).toHaveLength(4);
  });

  test('its schemas are found by name, and only what it opens is', () => {
    const found = (path: string) =>
      run(process.execPath, [
        '-e',
        `console.log(import.meta.resolve('spillcheck/${path}'))`,
        '--input-type=module',
      ]);
    expect(found('schemas/report.schema.json').stdout.trim()).toBe(
      pathToFileURL(installed('shared', 'schemas', 'report.schema.json')).href,
    );
    expect(found('dist/cli.js').stderr).toContain('ERR_PACKAGE_PATH_NOT_EXPORTED');
  });

  test('it holds what README, help and modelines speak of, and its licence', () => {
    const wanted = ['LICENSE', 'shared/schemas/plan.schema.json', 'shared/schemas/report.schema.json'];
    expect(wanted.filter((file) => !existsSync(installed(file)))).toEqual([]);
  });
});

const others = (process.env.SPILLCHECK_NODES ?? '').split(delimiter).filter((each) => each !== '');
if (others.length === 0)
  test.skip('NOT TRIED: other versions of Node (SPILLCHECK_NODES may list their paths)', () => {});

describe.each([process.execPath, ...others])('with %s', (node) => {
  const bin = () => join('node_modules', 'spillcheck', 'bin', 'spillcheck.js');

  test('the demo runs: a plan to start from, and its report', () => {
    const plan = `plan-${others.indexOf(node)}.yaml`;
    expect(run(node, [bin(), 'start', '--room', 'hall', '-o', plan])).toEqual({
      status: 0,
      stdout: '',
      stderr: '',
    });
    const [modeline = ''] = readFileSync(join(folder, plan), 'utf8').split('\n');
    expect(modeline).toBe(
      '# yaml-language-server: $schema=node_modules/spillcheck/shared/schemas/plan.schema.json',
    );
    const report = run(node, [bin(), 'report', plan]);
    expect({ status: report.status, stderr: report.stderr }).toEqual({ status: 0, stderr: '' });
    expect(report.stdout).toContain('Brass and a singer in a hall');
    expect(run(node, [bin(), 'draw', plan, '-o', `${plan}.svg`]).status).toBe(0);
    expect(run(node, [bin(), 'catalogue', 'trumpet']).stdout).toMatch(/^trumpet \(instruments, brass\)/);
  });
});

test('npx finds the command', () => {
  const { status, stdout } = npm(['exec', '--', 'spillcheck', '--version']);
  const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
  expect({ status, stdout }).toEqual({ status: 0, stdout: `${version}\n` });
});

describe('a script in TypeScript', () => {
  const CONSUMER = fileURLToPath(new URL('consumer/', import.meta.url));
  const compiled = () =>
    run(process.execPath, [join(ROOT, 'node_modules', 'typescript', 'bin', 'tsc'), '-p', '.']);

  test('uses every export, compiles against the published types, and runs', () => {
    cpSync(CONSUMER, folder, { recursive: true });
    mkdirSync(join(folder, 'node_modules', '@types'), { recursive: true });
    for (const types of ['@types/node', 'undici-types'])
      symlinkSync(join(ROOT, 'node_modules', types), join(folder, 'node_modules', types));
    const { stdout: plan } = run(process.execPath, [installed('bin', 'spillcheck.js'), 'start']);
    // a limit that is missed, so that there is something to suggest
    writeFileSync(join(folder, 'plan.yaml'), `${plan}limits: {signal-to-bleed: 14 dB}\n`);
    // the script of the page is one, too, as it is pasted
    const page = readFileSync(installed('shared/scripts.md'), 'utf8');
    const [, pasted = ''] = /```js\n(\/\/ rank\.mjs\n[\s\S]*?)```/.exec(page) ?? [];
    expect(pasted).toContain('isFinding');
    writeFileSync(join(folder, 'pasted.ts'), pasted);
    expect(compiled()).toEqual({ status: 0, stdout: '', stderr: '' });
    const script = run(process.execPath, [join('out', 'consumer.js')]);
    expect(script).toMatchObject({ status: 0, stderr: '' });
    expect(JSON.parse(script.stdout)).toMatchObject({
      first: true,
      told: true,
      minutes: true,
      made: true,
      halfway: false,
      steps: true,
      places: [true, true],
      words: ['10 cm', '15 cm', '20 cm', '25 cm'],
      rows: 4,
      reached: true,
      tried: [4, 2],
      read: 2,
      stopped: null,
    });
  });

  test('none is left out: what a new export is for stands in tests/package/consumer/consumer.ts', async () => {
    const values = Object.keys(await import(pathToFileURL(installed('dist', 'index.js')).href));
    const index = readFileSync(installed('dist', 'types', 'index.d.ts'), 'utf8');
    const namesIn = (list: string) => list.split(',').map((name) => name.replace('type ', '').trim());
    const declared = [...index.matchAll(/export (?:type )?\{([^}]*)\}/g)].flatMap(([, names = '']) =>
      namesIn(names),
    );
    const [, imported = ''] =
      /import \{([^}]*)\} from 'spillcheck'/.exec(readFileSync(join(CONSUMER, 'consumer.ts'), 'utf8')) ?? [];
    expect(declared).toEqual(expect.arrayContaining(values));
    const listed = (names: readonly string[]) => [...new Set(names)].filter((name) => name !== '').sort();
    expect(listed(namesIn(imported))).toEqual(listed(declared));
  });
});

test('the licence of each bundled package is there, word for word', async () => {
  const bundle = await rolldown({ input: ['src/cli.ts', 'src/index.ts'], platform: 'node', cwd: ROOT });
  const { output } = await bundle.generate({ format: 'esm' });
  const modules = output.flatMap((chunk) => (chunk.type === 'chunk' ? chunk.moduleIds : []));
  const folders = new Set(
    modules.flatMap((id) => /^.*\/node_modules\/(?:@[^/]+\/)?[^/]+/.exec(id)?.[0] ?? []),
  );
  const notices = readFileSync(installed('dist', 'THIRD-PARTY.txt'), 'utf8');
  // those of the table in DEVELOPERS.md that are bundled, and what they bring
  for (const name of ['yaml', 'commander', 'mathjs', 'chalk', 'tinyglobby'])
    expect([...folders].some((each) => each.endsWith(`/node_modules/${name}`))).toBe(true);
  for (const each of folders) {
    const { name, version } = JSON.parse(readFileSync(join(each, 'package.json'), 'utf8'));
    const texts = readdirSync(each).filter((file) => /^(?:licen[cs]e|notice)/i.test(file));
    expect({ name, texts: texts.length > 0 }).toEqual({ name, texts: true });
    expect(notices).toContain(`\n${name} ${version} (`);
    for (const file of texts) expect(notices).toContain(readFileSync(join(each, file), 'utf8').trim());
  }
}, 60_000);
