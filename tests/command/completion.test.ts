/** Completion: the words the program offers, and the scripts in real shells, where there are any. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { KINDS } from '../../src/catalogue/entries.ts';
import { SECTIONS } from '../../src/report/answer.ts';
import { cpuTimeOfNode } from '../cpu-time.ts';
import { spillcheck } from '../spillcheck.ts';

const BIN = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));

/** Names as people give them: with blanks, quotes and marks that mean something to a shell. */
const PLAN = `spillcheck: 1
players:
  Ann's voice: {at: [0, 0], plays: singing-voice, later: tune}
  Big Drum: {at: [2, 0], plays: drum-kit, part: beat, parts: {tom-2: ~, cowbell: {instrument: cowbell}}}
  duo: {at: [4, 0], plays: {lute: steel-string-guitar, hum: {instrument: singing-voice}}}
sources:
  bell: {at: [1, 1, 1], instrument: tubular-bells}
mics:
  voice mic: {for: "Ann's voice", near: {distance: 20 cm}}
  voice-2: {for: "Ann's voice", near: {distance: 30 cm}}
  <kick> & co: {for: Big Drum.kick, near: {distance: 20 cm}}
  overheads: {for: Big Drum, at: [2, 1, 2], stereo: ortf}
passages: {verse: [duo], "last verse": [duo, bell]}
`;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  mkdirSync(join(folder, 'bin'));
  symlinkSync(BIN, join(folder, 'bin', 'spillcheck'));
  writeFileSync(join(folder, 'plan.yaml'), PLAN);
  writeFileSync(
    join(folder, 'day.yaml'),
    'spillcheck: 1\nstudio: plan.yaml\nmics: {late: {for: bell, at: [0, 0]}}\n',
  );
  writeFileSync(join(folder, 'broken.yaml'), `${PLAN}limits: {nonsense: 1}\n`);
  writeFileSync(join(folder, 'hostile.yaml'), 'mics: {"a\\u001b[31mb": 1, "c\\nd": 1, good: 1}\n');
});
afterAll(() => rmSync(folder, { recursive: true }));

function run(program: string, args: readonly string[], input?: string) {
  const path = [join(folder, 'bin'), dirname(process.execPath), process.env.PATH].join(delimiter);
  const { status, stdout, stderr } = spawnSync(program, args, {
    encoding: 'utf8',
    cwd: folder,
    env: {
      ...process.env,
      PATH: path,
      HOME: folder,
      XDG_CONFIG_HOME: folder,
      XDG_DATA_HOME: folder,
      TERM: 'xterm',
    },
    timeout: 900_000,
    ...(input !== undefined && { input }),
  });
  return { status, stdout, stderr };
}

/** What the program offers for a line that ends where the cursor is. */
function offered(...words: readonly string[]): string[] {
  const { status, stdout, stderr } = spillcheck(['completion', 'words', '--', ...words], { cwd: folder });
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  return stdout.split('\n').slice(0, -1);
}
const words = (...line: readonly string[]): string[] =>
  offered(...line).map((each) => each.split('\t')[0] ?? '');

describe('the words', () => {
  test('first come all commands, each with what it does', () => {
    const { stdout } = spillcheck(['--help']);
    const commands = [...stdout.matchAll(/^ {2}([a-z][a-z-]*)(?: [<[].*?)? {2,}\S/gm)].map(
      ([, name]) => name,
    );
    expect(commands.length).toBeGreaterThan(10);
    expect(words('')).toEqual(commands);
    expect(offered('sug')).toEqual([expect.stringMatching(/^suggest\tcomputed fixes/)]);
    expect(words('help', 'wh')).toEqual(['why']);
  });

  test.each([
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
    'start',
  ])('options of %s are those of its help', (command) => {
    const { stdout } = spillcheck([command, '--help']);
    const told = [...stdout.matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gm)].map(([, name]) => name ?? '');
    expect(words(command, '-').sort()).toEqual(told.sort());
  });

  test('an option is offered once, but again where it may be repeated', () => {
    expect(words('report', 'plan.yaml', '--octaves', '--oc')).toEqual([]);
    expect(words('report', 'plan.yaml', '--mic', 'voice-2', '--mi')).toEqual(['--mic']);
    expect(words('report', 'plan.yaml', '--', '--mi')).toEqual([]);
  });

  test.each([
    [
      'microphones',
      ['report', 'plan.yaml', '--mic', ''],
      ['voice mic', 'voice-2', '<kick> & co', 'overheads'],
    ],
    [
      'sides of a pair',
      ['why', 'plan.yaml', '--mic', 'over'],
      ['overheads', 'overheads.left', 'overheads.right'],
    ],
    ['behind =', ['report', 'plan.yaml', '--mic=voi'], ['--mic=voice mic', '--mic=voice-2']],
    ['in quotes', ['report', 'plan.yaml', '--mic', '"voice m'], ['voice mic']],
    ['with its blank escaped', ['report', 'plan.yaml', '--mic', 'voice\\ '], ['voice mic']],
    ['passages', ['report', 'plan.yaml', '--passage', ''], ['verse', 'last verse']],
    ['parts', ['suggest', 'plan.yaml', '--for-part', ''], ["Ann's voice", 'beat', 'lute', 'hum', 'bell']],
    [
      'pieces of a kit',
      ['why', 'plan.yaml', '--source', 'Big Drum.c'],
      ['Big Drum.crash', 'Big Drum.cowbell'],
    ],
    ['not a piece taken out', ['draw', 'plan.yaml', '--level', 'Big Drum.tom'], ['Big Drum.tom-1']],
    [
      'entries',
      ['try', 'plan.yaml', '--each', 'mics.voice-2.'],
      ['mics.voice-2.for=', 'mics.voice-2.near.distance='],
    ],
    ['entries behind =', ['try', 'plan.yaml', '--each=passages.v'], ['--each=passages.verse=']],
    [
      'columns',
      ['try', 'plan.yaml', '--sort', 'signal-to-bleed.v'],
      ['signal-to-bleed.voice mic', 'signal-to-bleed.voice-2'],
    ],
    [
      'names of the studio below',
      ['report', 'day.yaml', '--mic', ''],
      ['voice mic', 'voice-2', '<kick> & co', 'overheads', 'late'],
    ],
    ['names of a broken plan', ['report', 'broken.yaml', '--mic', 'voice-'], ['voice-2']],
    ['no control characters', ['report', 'hostile.yaml', '--mic', ''], ['good']],
    ['nothing of no plan', ['report', 'none.yaml', '--mic', ''], []],
    ['choices', ['sheet', 'plan.yaml', '--format', ''], ['text', 'csv', 'html', 'json']],
    ['rooms to start from', ['start', '--room', ''], ['living-room', 'hall', 'church', 'garage']],
    ['formats', ['check', '--format', 'j'], ['json', 'junit']],
    ['octaves', ['draw', 'plan.yaml', '--band', '1'], ['125', '1k']],
    ['sections', ['report', 'plan.yaml', '--show', ''], [...SECTIONS]],
    ['the rest of a list', ['report', 'plan.yaml', '--show', 'bleed,b'], []],
    ['names of a kind', ['catalogue', 'kits', ''], ['drum-kit', 'small-kit']],
    [
      'keys',
      ['explain', 'mics.near'],
      [
        'mics.near',
        'mics.near.distance',
        'mics.near.angle',
        'mics.near.side',
        'mics.near.height',
        'mics.near.above',
        'mics.near.below',
      ],
    ],
    ['codes', ['explain', 'UNKNOWN'], ['UNKNOWN_KEY', 'UNKNOWN_NAME']],
    ['shells', ['completion', ''], ['bash', 'zsh', 'fish', 'words']],
  ])('%s', (_what, line, expected) => {
    expect(words(...line)).toEqual(expected);
  });

  test('a list goes on behind its comma', () => {
    expect(words('report', 'plan.yaml', '--show', 'bleed,')).toEqual(
      SECTIONS.filter((section) => section !== 'bleed').map((section) => `bleed,${section}`),
    );
  });

  test('the catalogue offers kinds and names', () => {
    expect(words('catalogue', '')).toEqual(expect.arrayContaining([...KINDS, 'trumpet', 'ribbon', 'duvet']));
  });

  test.each([
    [['report', '']],
    [['compare', 'a.yaml', '']],
    [['report', 'plan.yaml', '-o', '']],
    [['line-check', 'plan.yaml', '']],
  ])('%j asks for a file', (line) => expect(offered(...line)).toEqual(['\tfile']));

  test('a number has nothing to offer', () => {
    expect(offered('report', 'plan.yaml', '--sample-rate', '')).toEqual([]);
  });

  test('an answer takes less than 100 ms of work more than Node alone', () => {
    const line = [BIN, 'completion', 'words', '--', 'why', 'plan.yaml', '--source', ''];
    // other work on the machine slows this one down, never the other way: the least of several
    const least = (args: readonly string[]) => Math.min(...[1, 2, 3, 4, 5].map(() => cpuTimeOfNode(args)));
    expect(least(line) - least(['-e', '0'])).toBeLessThan(100);
  });
});

const isThere = (shell: string): boolean => spawnSync(shell, ['-c', 'true']).status === 0;

describe.skipIf(!isThere('bash'))('bash', () => {
  /** As bash itself parts the line, the cursor at its end. */
  const replies = (...line: readonly string[]): string[] => {
    const script = `source <(spillcheck completion bash)
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _spillcheck "$1"; printf '%s\\n' "\${COMPREPLY[@]}"`;
    return run('bash', ['-c', script, 'bash', ...line])
      .stdout.split('\n')
      .filter((each) => each !== '');
  };

  test('completes commands, options and names, ready to stand on the line', () => {
    expect(replies('spillcheck', 'rep')).toEqual(['report']);
    expect(replies('spillcheck', 'report', 'plan.yaml', '--pas')).toEqual(['--passage']);
    expect(replies('spillcheck', 'report', 'plan.yaml', '--mic', 'voice')).toEqual([
      'voice\\ mic',
      'voice-2',
    ]);
    expect(replies('spillcheck', 'report', 'plan.yaml', '--mic', '=', 'voice-')).toEqual(['voice-2']);
    expect(replies('spillcheck', 'report', 'plan.yaml', '--mic', '"voice')).toEqual(['voice mic', 'voice-2']);
    expect(replies('spillcheck', 'report', 'plan.yaml', '--mic', '\\<')).toEqual(['\\<kick\\>\\ \\&\\ co']);
    expect(replies('spillcheck', 'why', 'plan.yaml', '--source', 'Ann')).toEqual(["Ann\\'s\\ voice"]);
  });

  test('knows the command by name', () => {
    const { stdout } = run('bash', ['-c', 'source <(spillcheck completion bash); complete -p spillcheck']);
    expect(stdout).toBe('complete -o default -F _spillcheck spillcheck\n');
  });
});

describe.skipIf(!isThere('zsh'))('zsh', () => {
  /** What stands on the line of a real terminal after each has been typed and Tab pressed. */
  const lines = (...typed: readonly string[]): string[] => {
    const keys = typed.map(
      (line) => `zpty -w -n z ${JSON.stringify(line)}$'\\t\\x18'; zpty -r z out '*<<*>>*'; print -r -- $out`,
    );
    const script = `zmodload zsh/zpty || exit 9
zpty z 'zsh -f -i'
zpty -w z 'PS1=">"; autoload -Uz compinit; compinit -u -D; source <(spillcheck completion zsh); show() { print -r -- "<<$BUFFER>>"; BUFFER=""; }; zle -N show; bindkey "^X" show; print REA""DY'
zpty -r z out '*READY*'
${keys.join('\n')}
zpty -d z`;
    const { stdout } = run('zsh', ['-f', '-c', script]);
    return [...stdout.matchAll(/<<(.*)>>/g)].map(([, line]) => line ?? '');
  };

  test('completes commands, options, names and files on a terminal', () => {
    expect(
      lines(
        'spillcheck rep',
        'spillcheck report plan.yaml --pas',
        'spillcheck report plan.yaml --mic over',
        'spillcheck report plan.yaml --mic=voice-',
        'spillcheck why plan.yaml --source Ann',
        'spillcheck report plan.yaml --mic voi',
        'spillcheck report pla',
      ),
    ).toEqual([
      'spillcheck report ',
      'spillcheck report plan.yaml --passage ',
      'spillcheck report plan.yaml --mic overheads ',
      'spillcheck report plan.yaml --mic=voice-2 ',
      "spillcheck why plan.yaml --source Ann\\'s\\ voice ",
      'spillcheck report plan.yaml --mic voice',
      'spillcheck report plan.yaml ',
    ]);
  });
});

describe.skipIf(!isThere('fish'))('fish', () => {
  const completions = (line: string): string[] =>
    run('fish', ['-N', '-c', `spillcheck completion fish | source; complete -C ${JSON.stringify(line)}`])
      .stdout.split('\n')
      .filter((each) => each !== '');

  test.each([
    ['spillcheck sug', ['suggest\tmoves that better a plan, each computed, best for its effort first']],
    ['spillcheck report plan.yaml --pas', ['--passage\tonly this passage of the plan']],
    ['spillcheck report plan.yaml --mic voice', ['voice mic', 'voice-2']],
    ['spillcheck report plan.yaml --mic=voice-', ['--mic=voice-2']],
    ['spillcheck why plan.yaml --source Ann', ["Ann's voice"]],
    ['spillcheck report pla', ['plan.yaml']],
  ])('%s', (line, expected) => {
    expect(completions(line)).toEqual(expected);
  });
});

for (const shell of ['bash', 'zsh', 'fish'].filter((each) => !isThere(each))) {
  test.skip(`NOT TRIED: ${shell} is not to be had here`, () => {});
}

test('a shell that there is no script for is refused', () => {
  const { status, stderr } = run(process.execPath, [BIN, 'completion', 'csh']);
  expect({ status, says: stderr.includes('bash, zsh, fish, words') }).toEqual({ status: 2, says: true });
});
