/** Text of other people in every place where it can be shown: nothing of it steers the terminal, on either stream. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { HOSTILE_NAMES } from '../fuzz/hostile.ts';
import { spillcheck } from '../spillcheck.ts';

const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** Escapes (7 and 8 bit), turns of direction, what takes no room, tags, separators; without what no file name may hold. */
const EVIL = 'a\u001b[2J\u001b]0;x\u0007\u009b31m\u202eb\u2066c\u200bd\u00ade\u{e0041}f\u2028g\r\nh';
const quoted = JSON.stringify(EVIL).replace('\u009b', '\\u009b');
const named = EVIL.replace('\r\n', '\n');

const PLAN = `spillcheck: 1
title: ${quoted}
players:
  cornet: {at: [1, 1], plays: cornet}
  tuba: {at: [3, 1], plays: tuba, part: ${quoted}}
mics:
  m: {for: cornet, near: {distance: 30 cm}, channel: ${quoted}}
  n: {for: tuba, near: {distance: 30 cm}, channel: 2}
limits: {signal-to-bleed: 90 dB}
`;
const BROKEN = `spillcheck: 1
title: x
${quoted}: 1
studio: ${quoted}
players:
  ${quoted}: {at: [1, ${quoted}], plays: ${quoted}, facing: ${quoted}}
  cornet: {at: [1, 1], plays: ${quoted}, level: ${quoted}}
mics:
  m: {for: ${quoted}, near: {distance: ${quoted}}, pattern: {table: ${quoted}}, ${quoted}: ~}
`;
writeFileSync(join(folder, `${named}.yaml`), PLAN);
writeFileSync(join(folder, 'plan.yaml'), PLAN);
writeFileSync(join(folder, 'broken.yaml'), BROKEN);
writeFileSync(
  join(folder, 'lost.yaml'),
  PLAN.replace('plays: tuba', `plays: ${quoted}`).replace('for: tuba', `for: ${quoted}`),
);
writeFileSync(join(folder, 'torn.yaml'), `spillcheck: 1\ntitle: "\u001b[2J\n  a: *${named.split('\n')[0]}\n`);
writeFileSync(
  join(folder, 'readings.csv'),
  `played,"${EVIL}",m\n"${EVIL}",80,${EVIL.split('\r')[0]}\ncornet,80,70\n`,
);
writeFileSync(join(folder, `${named}.csv`), 'played,m,n\ncornet,80,70\ntuba,70,80\n');

const shown = (args: readonly string[]): string => {
  const { stdout, stderr } = spillcheck(args, { cwd: folder });
  return stdout + stderr;
};

const COMMANDS: readonly (readonly string[])[] = [
  ...['plan.yaml', 'broken.yaml', 'lost.yaml', 'torn.yaml', `${named}.yaml`].flatMap((plan) => [
    ['report', plan, '--all', '--assumptions'],
    ['check', plan, '--all', '--strict'],
  ]),
  ...['json', 'junit', 'sarif', 'annotations'].flatMap((format) =>
    ['broken.yaml', `${named}.yaml`].map((plan) => ['check', plan, '--format', format]),
  ),
  ['report', 'plan.yaml', '--json'],
  ['report', 'plan.yaml', '--html', '-'],
  ['report', 'plan.yaml', '--mic', EVIL],
  ['report', 'plan.yaml', '--show', EVIL],
  ['report', 'plan.yaml', '-o', `${named}/x`],
  ['report', `no-${EVIL}.yaml`],
  ['report', 'plan.yaml', `--${EVIL}`],
  [EVIL],
  ['why', 'plan.yaml', '--mic', 'm', '--source', EVIL],
  ['why', 'plan.yaml', '--mic', 'm', '--source', 'tuba', '--json'],
  ['compare', 'plan.yaml', `${named}.yaml`, '--all'],
  ['compare', 'plan.yaml', `${named}.yaml`, '--json'],
  ['try', 'plan.yaml', '--each', `title=${EVIL}, x`],
  ['try', 'plan.yaml', '--each', `title=${EVIL}, x`, '--json'],
  ['try', 'plan.yaml', '--each', `players.tuba.plays=${EVIL}`],
  ['suggest', `${named}.yaml`],
  ['suggest', `${named}.yaml`, '--json'],
  ['suggest', 'plan.yaml', '--for', EVIL],
  ['draw', `${named}.yaml`],
  ['draw', 'plan.yaml', '--level', EVIL],
  ...['text', 'csv', 'html', 'json'].map((format) => ['sheet', `${named}.yaml`, '--format', format]),
  ['line-check', 'plan.yaml', 'readings.csv'],
  ['line-check', 'plan.yaml', `${named}.csv`, '-o', `${named}.out`],
  ['line-check', 'plan.yaml', `${named}.csv`, '--json'],
  ['catalogue', EVIL],
];

/** General categories of Unicode 15: controls, format characters, half characters, separators. Line ends are ours. */
const STEERS = /(?!\n|\r\n|[\u200c\u200d])[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u;

test('in no command does other people’s text reach the terminal raw', () => {
  const raw: unknown[] = [];
  for (const args of COMMANDS) {
    const out = shown(args);
    const steers = STEERS.exec(out);
    if (steers) raw.push([args, out.slice(Math.max(0, steers.index - 60), steers.index + 20)]);
    // what is shown stands there in another spelling, or is not there at all; the answer is never lost
    if (out === '' || out.includes('internal error')) raw.push([args, out]);
  }
  expect(raw).toEqual([]);
});

describe('commands to a build server', () => {
  // what may follow the marks is the server's; a mark within a word does nothing
  const SET = '::set-output name=a::b';
  const NEXT = '##task[x]';
  const plan = (at: string) => `spillcheck: 1
title: "${SET} ${NEXT}"
players:
  "${SET}": {at: [1, 1], plays: cornet, later: tune, part: "${NEXT}"}
  "::${'long '.repeat(15)}::error": {at: ${at}, plays: tuba, later: tune}
mics:
  "::mic": {for: "${SET}", near: {distance: 30 cm}, channel: "${NEXT}"}
limits: {signal-to-bleed: 90 dB}
`;
  const file = '::error file=x.yaml';
  writeFileSync(join(folder, file), plan('[3, 1]'));
  writeFileSync(join(folder, '::broken.yaml'), plan('[3, parsnip]').replace('limits:', '::limits:'));

  /** Colours may stand before a command, as spaces may. */
  const OBEYED = /^(?:\s|\p{Cc}\[[\d;]*m)*::|##\w*\[/mu;

  test.each([
    ...[[], ['--all', '--assumptions'], ['--json'], ['--html', '-']].map((more) => ['report', file, ...more]),
    ['report', '::broken.yaml'],
    ['report', '::none.yaml'],
    ['report', file, '--mic', SET],
    ...['text', 'json', 'junit', 'sarif'].map((format) => ['check', '*', '--all', '--format', format]),
    ['why', file, '--mic', '::mic', '--source', SET],
    ['sheet', file],
    ['explain', SET],
  ])('are in nothing that `%s %s %s %s %s %s` prints', (...args) => {
    for (const env of [undefined, { ...process.env, FORCE_COLOR: '1', COLUMNS: '80' }]) {
      const { stdout, stderr } = spillcheck(args, { cwd: join(folder), ...(env && { env }) });
      expect((stdout + stderr).length).toBeGreaterThan(0);
      expect(OBEYED.exec(stdout + stderr)).toBeNull();
    }
  });

  test('stay what they are in data that is read back', () => {
    expect(JSON.parse(shown(['report', file, '--json'])).title).toBe(`${SET} ${NEXT}`);
  });

  test('as annotations are ours alone', () => {
    const lines = shown(['check', file, '::broken.yaml', '--format', 'annotations']).trimEnd().split('\n');
    expect(lines.length).toBeGreaterThan(2);
    for (const line of lines) expect(line).toMatch(/^::(?:error|warning|notice) file=/);
    expect(lines.filter((line) => /##\w*\[/.test(line))).toEqual([]);
  });
});

test('what is spelled in JSON reads back as it was', () => {
  expect(JSON.parse(shown(['report', 'plan.yaml', '--json'])).title).toBe(EVIL);
  expect(readFileSync(join(folder, 'plan.yaml'), 'utf8')).toContain('\\u001b');
});

test('the names that the fuzz run tries hold one of each kind', () => {
  for (const one of ['\u001b', '\u009b', '\n', '\u202e', '\u200b', '\u{e0041}', '\u2028'])
    expect(HOSTILE_NAMES.some((name) => name.includes(one))).toBe(true);
});
