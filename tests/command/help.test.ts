/** The help of every command: what it is for in one line, options by group, one example that works, 80 columns. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { waveFile } from '../line-check/wave-files.ts';
import { type CommandResult, spillcheck } from '../spillcheck.ts';

const BIN = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));
const FIXTURES = fileURLToPath(new URL('../../fixtures/', import.meta.url));

let folder = '';
const at = (name: string) => join(folder, name);
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  // what the examples speak of: a session with a microphone `vocal` and a drum kit, two states of it, and readings
  const session = readFileSync(join(FIXTURES, 'brass-hall.yaml'), 'utf8').replaceAll('voice-mic', 'vocal');
  mkdirSync(at('plans'));
  for (const name of ['session', 'before', 'after', 'plans/day']) writeFileSync(at(`${name}.yaml`), session);
  const readings = readFileSync(join(FIXTURES, 'readings', 'brass-hall.csv'), 'utf8');
  writeFileSync(at('readings.csv'), readings.replaceAll('voice-mic', 'vocal'));
  // a burst and its decay of 60 dB in half a second, after half a second of quiet
  const clap = Float64Array.from({ length: 96_000 }, (_, i) =>
    i < 24_000 ? 0 : Math.sin(i * i) * 10 ** ((-6 * (i - 24_000)) / 48_000),
  );
  writeFileSync(at('clap.wav'), waveFile([clap]));
  const git = ['git init -q', 'git add plans', 'git -c user.name=x -c user.email=x@example.org commit -qm x'];
  for (const one of [...git, 'git branch stable']) spawnSync('sh', ['-c', one], { cwd: folder });
});
afterAll(() => rmSync(folder, { recursive: true }));

const help = (command: string): string[] => {
  const { status, stdout, stderr } = spillcheck([command, '--help']);
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  return stdout.split('\n');
};

/** A line as typed into a shell: bash itself splits one command into its words, and runs all else whole. */
function typed(line: string): CommandResult {
  const inBash = (script: string) => spawnSync('bash', ['-c', script], { cwd: folder, encoding: 'utf8' });
  const [, rest] = /^spillcheck ([^<>&|;]*)$/.exec(line) ?? [];
  if (rest === undefined) return inBash(line.replaceAll('spillcheck ', `"${process.execPath}" "${BIN}" `));
  const words = inBash(`printf '%s\\0' ${rest}`).stdout.split('\0').slice(0, -1);
  return spillcheck(words, { cwd: folder });
}

const listed = spillcheck(['--help']).stdout;
const COMMANDS = [...listed.matchAll(/^ {2}([a-z][a-z-]*)(?: [<[].*?)? {2,}\S/gm)]
  .map(([, name = '']) => name)
  .filter((name) => name !== 'help');

test('there are these', () => {
  expect(COMMANDS.sort()).toEqual(
    [
      ...[
        'report',
        'why',
        'check',
        'compare',
        'try',
        'suggest',
        'draw',
        'sheet',
        'line-check',
        'decay',
        'catalogue',
        'explain',
      ],
      ...['start', 'schema', 'completion'],
    ].sort(),
  );
});

test('the help of the program is 80 columns wide', () => {
  expect(listed.split('\n').filter((line) => line.length > 80)).toEqual([]);
});

describe.each(COMMANDS)('%s', (command) => {
  let lines: string[] = [];
  beforeAll(() => {
    lines = help(command);
  });

  test('says in one line what it is for, and is 80 columns wide', () => {
    const [usage, blank, purpose = '', after] = lines;
    expect(usage).toMatch(new RegExp(`^Usage: spillcheck ${command} `));
    expect([blank, after]).toEqual(['', '']);
    expect(purpose).toMatch(/^[A-Z].*\.$/);
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
  });

  test('has every option in a group, that of the help itself last', () => {
    const groups = lines.filter((line) => /^[A-Z][^.]*:$/.test(line)).map((line) => line.slice(0, -1));
    expect(groups).not.toContain('Options');
    expect(groups).toContain('Help');
    const servers = groups.indexOf('CI formats');
    if (servers >= 0) expect(groups[servers + 1]).toBe('Help');
  });

  test('has words for build servers in a group of their own, if at all', () => {
    const from = lines.indexOf('CI formats:');
    const before = from < 0 ? lines : lines.slice(0, from);
    expect(before.filter((line) => /\b(?:CI|junit|sarif|annotations)\b/i.test(line))).toEqual([]);
  });

  test('gives one example or two, and they work', () => {
    const text = lines.join('\n');
    const examples = [...text.matchAll(/^Examples?:\n((?: {2,}.*\n)+)/gm)];
    expect(examples).toHaveLength(1);
    const commands = (examples[0]?.[1] ?? '').replaceAll('\\\n', ' ').trim().split('\n');
    expect(commands.length).toBeLessThanOrEqual(2);
    for (const line of commands) {
      const { status, stderr } = typed(line.trim());
      const ran = status === 0 || (command === 'check' && status === 1);
      expect({ ran, stderr }).toEqual({
        ran: true,
        stderr: line.includes('--apply') ? expect.any(String) : '',
      });
    }
  });
});
