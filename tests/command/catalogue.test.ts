import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { displayWidth } from '../../src/format/table.ts';
import { spillcheck } from '../spillcheck.ts';

const shared = (file: string): string =>
  readFileSync(new URL(`../../shared/${file}`, import.meta.url), 'utf8');
const written = (file: string): Record<string, Record<string, unknown>> =>
  parse(shared(`catalogue/${file}.yaml`));

function run(...args: string[]) {
  const { status, stdout, stderr } = spillcheck(['catalogue', ...args]);
  return { status, stdout, stderr };
}

const FAMILIES = ['brass', 'keys', 'loudspeakers', 'percussion', 'strings', 'voices', 'winds'];
const FILES: Readonly<Record<string, readonly string[]>> = {
  instruments: FAMILIES.map((family) => `instruments/${family}`),
  kits: ['instruments/kits'],
  ...Object.fromEntries(
    [
      'covers',
      'headphones',
      'finishes',
      'contents',
      'constructions',
      'doors',
      'glazings',
      'panels',
      'patterns',
    ].map((kind) => [kind, [kind]]),
  ),
};
const namesOf = (kind: string) => (FILES[kind] ?? []).flatMap((file) => Object.keys(written(file)));

describe('without a word', () => {
  test('every kind is there with its count and every name of its files', () => {
    const { status, stdout, stderr } = run();
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const words = stdout.split(/[\s,]+/);
    for (const kind of Object.keys(FILES)) {
      const names = namesOf(kind);
      expect(stdout).toContain(`${kind} (${names.length}): `);
      expect(names.filter((name) => !words.includes(name))).toEqual([]);
    }
  });
});

describe('a kind', () => {
  test.each(Object.keys(FILES))('%s lists every entry of its files, 80 columns wide', (kind) => {
    const { status, stdout } = run(kind);
    const lines = stdout.split('\n');
    expect(status).toBe(0);
    expect(lines[0]).toContain(`${kind}, ${namesOf(kind).length} entries`);
    expect(namesOf(kind).filter((name) => !lines.some((line) => line.startsWith(`  ${name} `)))).toEqual([]);
    expect(Math.max(...lines.map(displayWidth))).toBeLessThanOrEqual(80);
  });
});

test('each entry of a list ends with how far its figure can be trusted', () => {
  const listed = run('instruments')
    .stdout.replaceAll(/\n {20,}/g, ' ')
    .split('\n');
  const entries = listed.filter((line) => /^ {2}\S+ +[\d.]+ dB/.test(line));
  expect(entries).toHaveLength(namesOf('instruments').length);
  expect(entries.filter((line) => !/\((?:published|unverified|estimate)\)$/.test(line))).toEqual([]);
});

describe('a name', () => {
  test('shows every band with grade, note and the citation in full', () => {
    const { stdout } = run('violin');
    expect(stdout).toMatch(/sound power, dB re 1 pW\n +pp +p +mp +mf +f +ff\n +63 +69 +76 +83 +89 +93\n/);
    expect(stdout).toMatch(/ none +none +-11\.8 +-7\.3 +-6\.1 +-4\.0 +-10\.2 +-21\.8\n/);
    expect(stdout).toContain('unverified [MEYER2009, SIMURRA]: forte 89, unverified; steps between');
    expect(stdout).toContain('[SHARC] Sandell, G.J. (1991/1994), SHARC (Sandell Harmonic Archive)');
    expect(stdout).toContain('plucked: differences from bowed');
    expect(stdout).toContain('[PATYNEN2010] ');
  });

  test('that is two things shows both, and the rest that mentions it', () => {
    const { stdout } = run('duvet');
    expect(stdout).toMatch(/^duvet \(covers\)\n/);
    expect(stdout).toContain('\nduvet (panels, soft)\n');
    expect(stdout).toMatch(/\n\d+ others by name or description:\n[\s\S]*\n {2}duvet-on-wall /);
  });

  test('after its kind is that one thing', () => {
    const { stdout } = run('panels', 'duvet');
    expect(stdout).toMatch(/^duvet \(panels, soft\)\n/);
    expect(stdout).not.toContain('(covers)');
  });

  test('of a material cites its own sources, band by band where they differ', () => {
    const { stdout } = run('constructions', 'stud-gypsum');
    expect(stdout).toMatch(/ 12 +17 +31 +33 +40 +38 +36 +36\n/);
    expect(stdout).toContain('nearest published value used at 8000 Hz');
    expect(stdout).toContain('63 Hz: estimate [five-down-at-63]');
    expect(stdout).toContain('[rossing-2014] Rossing (ed.), Springer Handbook of Acoustics, 2nd ed., 2014,');
  });
});

describe('words', () => {
  test.each([
    { word: 'upright bass', first: /^double-bass \(instruments/ },
    { word: 'baffle', first: /^panels, \d+ entries/ },
    { word: 'gobo', first: /^upholstered-baffle \(panels/ },
    { word: 'fiddle', first: /^violin / },
    { word: 'vocals', first: /^singing-voice / },
    { word: 'gobos', first: /^(?:upholstered-baffle|panels)/ },
    { word: 'condenser', first: /^patterns, / },
    { word: 'IEM', first: /^in-ear / },
    { word: 'drywall', first: /^gypsum-board/ },
    { word: 'DI', first: /^In a plan, a DI is a mic with `di: true`; see spillcheck explain mics\.di\n$/ },
    { word: 'direct box', first: /^In a plan, a DI is a mic/ },
    { word: 'foldback', first: /^monitor-wedge / },
    { word: 'loudspeakers', first: /\nIn a plan, a loudspeaker is a source with `repeats`/ },
    { word: 'booth', first: /^constructions, [\s\S]*\nIn a plan, a booth is a room with `booth: true`/ },
  ])('$word is found by the name that others use', ({ word, first }) => {
    const { status, stdout } = run(word);
    expect(status).toBe(0);
    expect(stdout).toMatch(first);
  });

  test('a word does not match inside other words: air is not in chair', () => {
    const { stdout } = run('air');
    expect(stdout).not.toMatch(/chair/);
    expect(run('ha').status).toBe(2);
  });

  test('a word lists every entry whose name, group or description has it', () => {
    const { stdout } = run('curtain');
    const holding = Object.keys(FILES).flatMap((kind) =>
      (FILES[kind] ?? []).flatMap((file) =>
        Object.entries(written(file)).flatMap(([name, entry]) =>
          `${name} ${entry.group ?? ''} ${entry.about}`.includes('curtain') ? [name] : [],
        ),
      ),
    );
    const listed = stdout.split('\n').flatMap((line) => /^ {2}(?!name)(\S+) +[\d.]+ /.exec(line)?.[1] ?? []);
    expect(listed.sort()).toEqual(holding.sort());
    expect(listed).toContain('curtain-in-doorway');
  });

  test('all must match, in whatever order, given as one argument or several', () => {
    const { stdout } = run('wool', '100');
    expect(run('100 wool').stdout).toBe(stdout);
    expect(stdout).toContain('wool-100-firm');
    expect(stdout).not.toContain('wool-50-firm');
  });
});

describe('as JSON', () => {
  const validate = new Ajv({ allowUnionTypes: true }).compile(
    JSON.parse(shared('schemas/catalogue.schema.json')),
  );

  test.each([
    [[]],
    [['instruments']],
    [['patterns']],
    [['curtain']],
    [['kits', 'drum-kit']],
    [['headphones']],
  ])('it fits its schema for %j', (args) => {
    const { status, stdout } = run(...args, '--json');
    validate(JSON.parse(stdout));
    expect({ status, errors: validate.errors }).toEqual({ status: 0, errors: null });
  });

  test('the figures are those of the files', () => {
    const { entries, sources } = JSON.parse(run('covers', 'quilt', '--json').stdout);
    expect(entries).toHaveLength(1);
    expect(entries[0].properties[0].rows[0].values).toEqual(written('covers').quilt?.loss);
    expect(sources.map(({ key }: { key: string }) => key)).toEqual(['COVER_MODEL']);
  });
});

describe('what is not there', () => {
  test.each([
    { args: ['curtin'], says: /no catalogue entry named "curtin"[\s\S]*fix: did you mean "curtain/ },
    { args: ['violn'], says: /no catalogue entry named "violn"[\s\S]*violin/ },
    { args: ['finishes', 'violin'], says: /no catalogue entry in finishes named "violin"/ },
    { args: ['patterns', 'cardoid'], says: /no catalogue entry in patterns named "cardoid"[\s\S]*cardioid/ },
    { args: ['finnishes'], says: /fix: did you mean "finishes"/ },
    { args: ['zzzzzzzz'], says: /spillcheck catalogue lists all entries/ },
  ])('$args is refused with the nearest names, exit code 2', ({ args, says }) => {
    const { status, stdout, stderr } = run(...args);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
  });
});

test('-o writes the same page to a file', () => {
  const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  const file = join(folder, 'doors.txt');
  expect(run('doors', '-o', file)).toEqual({ status: 0, stdout: '', stderr: '' });
  expect(readFileSync(file, 'utf8')).toBe(run('doors').stdout);
  rmSync(folder, { recursive: true });
});

test('help shows an example', () => {
  expect(run('--help').stdout).toMatch(/Example:\n {2}spillcheck catalogue /);
});
