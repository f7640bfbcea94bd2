import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** In a free field, each mic 1 m from its own source and 3 m from the other: 20·lg 3 = 9.54 dB, and what 2 m of air take. */
const planWith = (limit: number, more = '') => `spillcheck: 1
title: Two loudspeakers that do not exist
sources:
  left: {at: [0, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
  right: {at: [4, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
mics:
  left-mic: {for: left, at: [1, 0, 1], pattern: omni}
  right-mic:
    for: right
    at: [3, 0, 1]
    pattern: omni
limits:
  signal-to-bleed: ${limit} dB
${more}`;
const CLEAR = planWith(6);
const MARGINAL = planWith(8);
const SHORT = planWith(12);
const BROKEN = CLEAR.replace('pattern: omni}', 'pattern: omnii}').replace('[4, 0, 1]', '[4, parsnip, 1]');

let folder = '';
const at = (name: string) => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

function lay(files: Readonly<Record<string, string>>): void {
  for (const [name, text] of Object.entries(files)) {
    mkdirSync(join(at(name), '..'), { recursive: true });
    writeFileSync(at(name), text);
  }
}

function check(args: readonly string[], input = '', environment = {}) {
  const env = { PATH: process.env.PATH ?? '', ...environment };
  return spillcheck(['check', ...args], { cwd: folder, env, input });
}

type Answer = {
  readonly plans: readonly {
    readonly name: string;
    readonly outcome: string;
    readonly limits: readonly Record<string, unknown>[];
    readonly errors: readonly Record<string, unknown>[];
  }[];
};
const answerOf = (args: readonly string[], input = ''): Answer =>
  JSON.parse(check([...args, '--json'], input).stdout);
const outcomes = ({ plans }: Answer) => plans.map(({ name, outcome }) => `${name} ${outcome}`);

describe('exit codes', () => {
  test.each([
    { what: 'every limit met', files: { 'a.yaml': CLEAR, 'b.yaml': MARGINAL }, strict: false, code: 0 },
    { what: 'one limit short', files: { 'a.yaml': CLEAR, 'b.yaml': SHORT }, strict: false, code: 1 },
    { what: 'a limit met by a hair, strict', files: { 'a.yaml': MARGINAL }, strict: true, code: 1 },
    { what: 'all clear, strict', files: { 'a.yaml': CLEAR }, strict: true, code: 0 },
    {
      what: 'a broken plan beside a short one',
      files: { 'a.yaml': BROKEN, 'b.yaml': SHORT },
      strict: false,
      code: 2,
    },
  ])('$what: $code', ({ files, strict, code }) => {
    lay(files as Readonly<Record<string, string>>);
    const { status, stderr } = check([...Object.keys(files), ...(strict ? ['--strict'] : [])]);
    expect({ status, stderr }).toEqual({ status: code, stderr: '' });
  });

  test.each([
    { args: [], says: /BAD_OPTION check needs a plan/ },
    { args: ['a.yaml', '--format', 'junitt'], says: /no format named "junitt"[\s\S]*"junit"/ },
    { args: ['a.yaml', '--format', 'junit='], says: /has no file name/ },
    {
      args: ['a.yaml', '--format', 'text', '--format', 'json'],
      says: /two formats would write to standard output/,
    },
    { args: ['a.yaml', '--format', 'sarif=x', '--format', 'junit=x'], says: /two formats would write to x/ },
    { args: ['a.yaml', '--format', 'junit=a.yaml'], says: /would overwrite a\.yaml/ },
    { args: ['a.yaml', '--format', 'junit=none/x.xml'], says: /none\/x\.xml cannot be written/ },
  ])('check $args is refused with 2 and an answer nowhere', ({ args, says }) => {
    lay({ 'a.yaml': CLEAR });
    const { status, stdout, stderr } = check(args);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
    expect(readFileSync(at('a.yaml'), 'utf8')).toBe(CLEAR);
    expect(existsSync(at('x'))).toBe(false);
  });
});

describe('a folder of templates with one bad plan', () => {
  beforeEach(() =>
    lay({
      'plans/band.yaml': CLEAR,
      'plans/choir.yaml': BROKEN,
      'plans/duo.yaml': SHORT,
      'plans/old/trio.yaml': MARGINAL,
      'plans/notes.txt': 'not a plan',
    }),
  );

  test('tells of every plan: the bad one hides none', () => {
    const { status, stdout } = check(['plans/*.yaml']);
    expect(status).toBe(2);
    expect(stdout).toContain('plans/band.yaml (Two loudspeakers that do not exist): 2 limits met\n');
    expect(stdout).toMatch(/plans\/choir\.yaml: invalid, \d errors?\nplans\/choir\.yaml:5:19 BAD_VALUE/);
    // 9.5424 dB, and 0.0093 dB for 2 m more of air (ISO 9613-1: 4.66 dB/km at 1 kHz), where 12 dB are wanted
    expect(stdout).toMatch(/missed {6}left-mic: S\/B 9\.6 dB, limit 12[\s\S]*2\.4 dB\s+short/);
    expect(stdout.trimEnd().split('\n').at(-1)).toBe('3 plans: 1 met, 1 missed, 1 invalid');
  });

  test('patterns are matched here where the shell did not, in order of name, each file once', () => {
    const listed = answerOf(['plans/duo.yaml', 'plans/band.yaml', './plans/duo.yaml', 'plans/*.yaml']);
    expect(outcomes(listed)).toEqual([
      'plans/duo.yaml missed',
      'plans/band.yaml met',
      'plans/choir.yaml invalid',
    ]);
    expect(outcomes(answerOf(['**/*.yaml'])).map((one) => one.split(' ')[0])).toEqual([
      'plans/band.yaml',
      'plans/choir.yaml',
      'plans/duo.yaml',
      'plans/old/trio.yaml',
    ]);
    expect(outcomes(answerOf(['plans/{duo,band}.yaml']))).toEqual([
      'plans/band.yaml met',
      'plans/duo.yaml missed',
    ]);
  });

  test('a pattern that matches nothing is an error, and hides nothing either', () => {
    const answer = answerOf(['plans/*.yml', 'plans/band.yaml']);
    expect(outcomes(answer)).toEqual(['plans/*.yml invalid', 'plans/band.yaml met']);
    expect(answer.plans[0]?.errors[0]).toMatchObject({ code: 'FILE_UNREADABLE', line: null });
    expect(check(['plans/*.yml', 'plans/band.yaml']).status).toBe(2);
  });

  test('a file whose name looks like a pattern is that file', () => {
    lay({ 'plans/[take 1].yaml': SHORT });
    expect(outcomes(answerOf(['plans/[take 1].yaml']))).toEqual(['plans/[take 1].yaml missed']);
  });

  test('a file that is not there is told, as is one that is no plan', () => {
    const answer = answerOf(['plans/none.yaml', 'plans/notes.txt', 'plans/band.yaml']);
    expect(answer.plans.map(({ outcome }) => outcome)).toEqual(['invalid', 'invalid', 'met']);
  });

  test('several formats go each to its file, with one line for whoever watches', () => {
    const { status, stdout, stderr } = check([
      ...[
        'plans/*.yaml',
        '--format',
        'junit=out/x.xml',
        '--format',
        'sarif=x.sarif',
        '--format',
        'annotations',
      ],
    ]);
    expect(stderr).toContain('out/x.xml cannot be written');
    expect(status).toBe(2);
    expect(JSON.parse(readFileSync(at('x.sarif'), 'utf8')).runs[0].tool.driver.version).toMatch(/^\d/);
    expect(stdout).toMatch(/^::error file=plans\/choir\.yaml,line=5,col=19,/);
    const quiet = check(['plans/*.yaml', '--format', 'junit=x.xml']);
    expect([quiet.stdout, quiet.stderr]).toEqual(['', '3 plans: 1 met, 1 missed, 1 invalid\n']);
    expect(readFileSync(at('x.xml'), 'utf8').match(/<testsuite /g)).toHaveLength(3);
  });

  test('the same plans give the same answer', () => {
    expect(check(['plans/*.yaml', '--json']).stdout).toBe(check(['plans/*.yaml', '--json']).stdout);
  });
});

describe('places', () => {
  test('each limit points at the entry it is about, by file, line and column', () => {
    lay({ 'a.yaml': planWith(12, '  three-to-one: true\n') });
    const [plan] = answerOf(['a.yaml']).plans;
    const lines = readFileSync(at('a.yaml'), 'utf8').split('\n');
    const keys = plan?.limits.map(({ kind, about, line, column }) => {
      const written = lines[Number(line) - 1]?.slice(Number(column) - 1).split(':')[0];
      return `${kind} ${(about as string[]).join('+')} at ${written}`;
    });
    expect(keys?.sort()).toEqual([
      'signal-to-bleed left-mic at left-mic',
      'signal-to-bleed right-mic at right-mic',
      'three-to-one left-mic+right-mic at three-to-one',
    ]);
  });

  test('a file named from elsewhere is shown from here', () => {
    lay({ 'plans/a.yaml': SHORT });
    const [plan] = answerOf([at('plans/a.yaml')]).plans;
    expect(plan?.limits[0]?.file).toBe('plans/a.yaml');
  });

  test('what a studio holds is pointed at there; each day that overlays it is judged by itself', () => {
    cpSync(join(ROOT, 'fixtures/studio'), at('studio'), { recursive: true });
    const answer = answerOf(['studio/s*.yaml']);
    expect(outcomes(answer)).toEqual(['studio/saturday.yaml met', 'studio/sunday.yaml missed']);
    const ofStudio = answer.plans.flatMap(({ limits }) =>
      limits.filter(({ kind }) => kind === 'three-to-one'),
    );
    expect(ofStudio.length).toBeGreaterThan(0);
    const hall = readFileSync(at('studio/hall.yaml'), 'utf8').split('\n');
    for (const { file, line, column } of ofStudio) {
      expect(file).toBe('studio/hall.yaml');
      expect(hall[Number(line) - 1]?.slice(Number(column) - 1)).toBe('three-to-one: true');
    }
  });
});

describe('standard input', () => {
  test('is a plan like any other, under the name it is given', () => {
    const { status, stdout } = check(['-', '--stdin-name', 'plans/x.yaml', '--format', 'annotations'], SHORT);
    expect(status).toBe(1);
    expect(stdout).toMatch(/^::error file=plans\/x\.yaml,line=\d+,col=3,/);
  });

  test('stands beside files', () => {
    lay({ 'a.yaml': CLEAR });
    expect(outcomes(answerOf(['a.yaml', '-'], SHORT))).toEqual(['a.yaml met', 'standard input missed']);
  });
});

test('a plan without a microphone to judge says so, and meets what it asks for', () => {
  lay({ 'a.yaml': CLEAR.replace(/mics:[\s\S]*limits:[\s\S]*$/, '') });
  const { status, stdout } = check(['a.yaml']);
  expect(status).toBe(0);
  expect(stdout).toContain('no limits judged\n  not judged  no mic for a player or part, not judged');
});

test('a limit for what is not there breaks the plan', () => {
  lay({ 'a.yaml': planWith(6, '  ghost: {rihgt: -20}\n') });
  const { status, stdout } = check(['a.yaml']);
  expect(status).toBe(2);
  expect(stdout).toMatch(/a\.yaml:14:\d+ UNKNOWN_NAME .*rihgt/);
});

test('JSON fits the published schema', () => {
  lay({ 'a.yaml': SHORT, 'b.yaml': BROKEN });
  const schema = JSON.parse(readFileSync(join(ROOT, 'shared/schemas/check.schema.json'), 'utf8'));
  const validate = new Ajv({ allowUnionTypes: true }).compile(schema);
  validate(answerOf(['*.yaml', 'none.yaml']));
  expect(validate.errors).toBeNull();
});

test('hostile names of a plan and its file leave every format sound', () => {
  const name = '<&"\'>]]> %0A,::🎤.yaml';
  lay({ [name]: SHORT.replaceAll('left-mic', "'<b>&\" 🎤'").replace('Two loudspeakers', 'Two <&> ]]>') });
  const { stdout } = check([name, '--format', 'annotations']);
  expect(stdout.trimEnd().split('\n')).toHaveLength(2);
  expect(stdout).toContain('file=<&"\'>]]> %250A%2C%3A%3A🎤.yaml,line=');
  const sarif = JSON.parse(check([name, '--format', 'sarif']).stdout);
  const texts = sarif.runs[0].results.map((one: { message: { text: string } }) => one.message.text);
  expect(texts.some((text: string) => text.startsWith('<b>&" 🎤: '))).toBe(true);
  expect(check([name, '--format', 'junit']).stdout).toContain('signal-to-bleed &lt;b&gt;&amp;&quot; 🎤');
  expect(answerOf([name]).plans[0]?.name).toBe(name);
  expect(check([name]).stdout).toContain('<b>&" 🎤: S/B 9.6 dB');
});

test('colour stays out of files and pipes, and comes when forced', () => {
  lay({ 'a.yaml': SHORT });
  expect(check(['a.yaml']).stdout).not.toContain('\u001b[');
  expect(check(['a.yaml'], '', { FORCE_COLOR: '1' }).stdout).toContain('\u001b[');
  check(['a.yaml', '--format', 'text=x.txt'], '', { FORCE_COLOR: '1' });
  expect(readFileSync(at('x.txt'), 'utf8')).not.toContain('\u001b[');
});

test('a measured RT60 that the finishes cannot give is a warning here as at the top of a report', () => {
  // plaster on five sides and a carpet over 105 m³ ring for a second or more; 0.1 s is not theirs
  const odd = `spillcheck: 1
rooms: {hall: {size: [7, 5], height: 3, floor: carpet-heavy, ceiling: plaster, walls: plaster, reverberation: 0.1}}
players: {tuba: {at: [2, 2], facing: 90, plays: tuba}, horn: {at: [5, 3], facing: 270, plays: cornet}}
mics: {horn-mic: {for: horn, near: {distance: 30 cm}}}
`;
  const said = (...args: string[]) => spillcheck(args, { input: odd }).stdout.replaceAll(/\s+/g, ' ');
  const warning = /the measured RT60 is [\d.]+ times shorter than a clap would show by the finishes of hall/;
  expect(said('check', '-')).toMatch(warning);
  expect(said('report', '-', '--no-fixes')).toMatch(warning);
  const [plan] = JSON.parse(spillcheck(['check', '-', '--format', 'json'], { input: odd }).stdout).plans;
  expect(plan.warnings[0]).toMatchObject({ message: expect.stringMatching(warning) });
});
