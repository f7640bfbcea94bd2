/** `spillcheck suggest` as built; `npm test` builds it first. The plan is invented. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { untilWorked } from '../cpu-time.ts';
import { spillcheck } from '../spillcheck.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const BIN = join(ROOT, 'bin/spillcheck.js');
const PLAN = `spillcheck: 1   # a made-up plan
title: Two in a hall that does not exist
rooms:
  hall: {size: [8, 6], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
players:
  trumpet: {at: [2, 3], facing: 90, standing: true, plays: trumpet, dynamic: f}   # as loud as he likes
  singer:
    at: [5, 3]      # near the window
    facing: 270
    standing: true
    plays: singing-voice
mics:
  voice-mic: {for: singer, near: {distance: 30 cm}, aim: {bearing: 90}, switchable: [omni, cardioid, figure-8]}
  trumpet-mic: {for: trumpet, near: {distance: 50 cm}}
on-hand:
  baffles: [{made-of: upholstered-baffle, width: 1.5, height: 1.8}]   # in the store
`;

let folder = '';
const at = (name: string) => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  writeFileSync(at('a.yaml'), PLAN);
});
afterEach(() => rmSync(folder, { recursive: true }));

function run(args: readonly string[], input = '') {
  const env = { PATH: process.env.PATH ?? '' };
  return spillcheck(['suggest', ...args], {
    cwd: folder,
    env,
    input,
  });
}

type Answer = {
  readonly shortfall_db: number;
  readonly worst_margin_db: number;
  readonly suggestions: readonly {
    readonly text: readonly string[];
    readonly fixes: readonly { readonly kind: string; readonly about: readonly string[] }[];
    readonly shortfall_db: number;
    readonly worst_margin_db: number;
  }[];
};
const answerOf = (args: readonly string[], input = ''): Answer =>
  JSON.parse(run([...args, '--json'], input).stdout);

test('the page says what to do, how long it takes, whom it helps and what it costs', () => {
  const { status, stdout, stderr } = run(['a.yaml']);
  expect([status, stderr]).toEqual([0, '']);
  expect(stdout).toMatch(
    /^Two in a hall that does not exist\n1 missed limit within reach; S\/B at mics is \d/,
  );
  expect(stdout).toMatch(/\n 1 {2}[A-Z][\s\S]*under 1 min[\s\S]*helps: voice-mic S\/B/);
  expect(stdout).toMatch(/Move voice-mic in, 30 → \d+ cm/);
  expect(run(['-'], PLAN).stdout).toBe(stdout);
});

test('JSON keeps to its schema, sets of moves too', () => {
  const validate = new Ajv({ allowUnionTypes: true }).compile(
    JSON.parse(readFileSync(join(ROOT, 'shared/schemas/suggest.schema.json'), 'utf8')),
  );
  for (const more of [[], ['--combine', '2'], ['--for', 'voice-mic'], ['--robust']]) {
    const answer = answerOf(['a.yaml', ...more]);
    expect(validate(answer), JSON.stringify(validate.errors)).toBe(true);
    expect(answer.suggestions.length).toBeGreaterThan(0);
    for (const one of answer.suggestions)
      expect(one.worst_margin_db).toBeGreaterThanOrEqual(answer.worst_margin_db);
  }
});

describe('--apply', () => {
  test('changes the lines of its moves and nothing else, and gives what was said', () => {
    const { suggestions } = answerOf(['a.yaml']);
    const place = suggestions.findIndex(
      ({ fixes: [fix] }) => fix?.kind === 'closer' && fix.about[0] === 'voice-mic',
    );
    const { status, stdout, stderr } = run(['a.yaml', '--apply', String(place + 1)]);
    expect([status, stderr]).toEqual([0, '1 fix made: closer voice-mic\nlimits missed: 1 → 0\n']);
    const [before, after] = [PLAN, stdout].map((text) => text.split('\n'));
    const changed = after?.filter((line, i) => line !== before?.[i]);
    expect(changed).toHaveLength(1);
    expect(changed?.[0]).toMatch(
      /^ {2}voice-mic: \{for: singer, near: \{distance: \d+ cm\}, aim: \{bearing: 90\}/,
    );
    expect(answerOf(['-'], stdout).shortfall_db).toBeCloseTo(
      suggestions[place]?.shortfall_db ?? Number.NaN,
      2,
    );
  });

  test('a baffle that is placed is no longer on hand', () => {
    const { suggestions } = answerOf(['a.yaml', '--all']);
    const place = suggestions.findIndex(({ fixes: [fix] }) => fix?.kind === 'place-baffle');
    const { stdout } = run(['a.yaml', '--all', '--apply', String(place + 1)]);
    expect(stdout).toMatch(/baffles: \{spare-1-\d+: \{from: \[/);
    expect(stdout).toContain('  baffles: []   # in the store\n');
  });

  test('a baffle of the studio goes out by ~, one of the plan with its line', () => {
    const screen = 'screen: {from: [4, 1], to: [4, 5], height: 2.2, made-of: upholstered-baffle}';
    const hall =
      'rooms: {hall: {size: [8, 6], height: 3, floor: parquet, ceiling: acoustic-tile, walls: curtain-heavy}}';
    const day = `players:
  trumpet: {at: [2, 3], facing: 180, standing: true, plays: trumpet, level: 60 dB at 1 m}
  singer: {at: [6, 3], facing: 90, standing: true, plays: singing-voice}
mics:
  voice-mic: {for: singer, near: {distance: 10 cm}}
limits: {signal-to-bleed: 0 dB, see-each-other: [[trumpet, singer]]}   # they must
`;
    const heading = (over: string) => `spillcheck: 1\n${over}baffles:   # all of them\n`;
    const other = '  other: {from: [7, 1], to: [7, 2], height: 1, made-of: upholstered-baffle}\n';
    writeFileSync(at('hall.yaml'), `spillcheck: 1\n${hall}\nbaffles:\n  ${screen}\n`);
    for (const { top, line, left } of [
      { top: 'studio: hall.yaml\n', line: '', left: '\n  screen: ~' },
      {
        top: 'studio: hall.yaml\n',
        line: '  screen: {height: 2.3}   # higher\n',
        left: '  screen: ~   # higher\n',
      },
      { top: `${hall}\n`, line: `  ${screen}   # the tall one\n`, left: '  # the tall one\n' },
    ]) {
      writeFileSync(at('day.yaml'), heading(top) + line + other + day);
      const { status, stdout, stderr } = run(['day.yaml', '--apply', '1']);
      expect(status).toBe(0);
      expect(stderr).toMatch(
        /^1 fix made: remove-baffle screen\nlimits missed: 1 → 0\ncosts: voice-mic S\/B /,
      );
      const kept = line === '' ? `${other.trimEnd() + left}\n` : left + other;
      expect(stdout).toBe(heading(top) + kept + day);
    }
  });

  test('what cannot be written is marked in the list: another baffle repeats what the anchor is on', () => {
    const plan = `spillcheck: 1
rooms: {hall: {size: [8, 6], height: 3, floor: parquet, ceiling: acoustic-tile, walls: curtain-heavy}}
players:
  trumpet: {at: [2, 3], facing: 180, standing: true, plays: trumpet, level: 60 dB at 1 m}
  singer: {at: [6, 3], facing: 90, standing: true, plays: singing-voice}
mics: {voice-mic: {for: singer, near: {distance: 10 cm}}}
baffles:
  screen: {from: [4, 1], to: [4, 5], height: 2.2, made-of: &made upholstered-baffle}
  other: {from: [7, 1], to: [7, 2], height: 1, made-of: *made}
limits: {signal-to-bleed: 0 dB, see-each-other: [[trumpet, singer]]}
`;
    writeFileSync(at('shared.yaml'), plan);
    expect(run(['shared.yaml']).stdout).toMatch(
      /Remove screen\n(?: {4}.*\n)* {4}by hand: --apply cannot write this/,
    );
    expect(answerOf(['shared.yaml'])).toMatchObject({ by_hand: [1] });
    expect(run(['shared.yaml', '--apply', '1'])).toMatchObject({
      status: 2,
      stderr: expect.stringContaining('cannot be written into the plan'),
    });
  });

  test('a plan in feet stays one: places are bare feet, distances inches, in words too', () => {
    const feet = `spillcheck: 1
units: ft
rooms:
  hall: {size: [26, 20], height: 10, floor: carpet-heavy, ceiling: acoustic-tile, walls: curtain-heavy}
players:
  trumpet: {at: [6, 10], facing: 90, standing: true, plays: trumpet, dynamic: f}
  singer: {at: [16, 10], facing: 270, standing: true, plays: singing-voice}
mics:
  voice-mic: {for: singer, at: [15, 10, 5], aim: singer}
  trumpet-mic: {for: trumpet, near: {distance: 20 in}}
limits: {signal-to-bleed: {trumpet-mic: 36 dB, voice-mic: 0 dB}}
`;
    const { suggestions } = answerOf(['-', '--all'], feet);
    const made = (kind: string, about: string) => {
      const place = suggestions.findIndex(({ fixes: [fix] }) => fix?.kind === kind && fix.about[0] === about);
      const { status, stdout } = run(['-', '--all', '--apply', String(place + 1)], feet);
      expect(status).toBe(0);
      return { stdout, words: suggestions[place]?.text[0] ?? '' };
    };
    const closer = made('closer', 'trumpet-mic');
    const [, inches] = /^move trumpet-mic in, 20 → (\d+) in(?: \(tone: .*\))?$/.exec(closer.words) ?? [];
    expect(closer.stdout).toContain(`near: {distance: ${inches} in}`);
    const { stdout, words } = made('move-player', 'singer');
    const [, x, y] = /singer: \{at: \[([\d.]+), ([\d.]+)\]/.exec(stdout) ?? [];
    const [, whole = '0', inch, bearing] =
      /mics (?:(\d+) ft )?(\d+(?:\.5)?) in \(bearing (\d+)°\)/.exec(words) ?? [];
    const step = 12 * Number(whole) + Number(inch);
    const way = (Number(bearing) * Math.PI) / 180;
    expect(Number(x)).toBeCloseTo(16 + (Number(step) / 12) * Math.sin(way), 1);
    expect(Number(y)).toBeCloseTo(10 + (Number(step) / 12) * Math.cos(way), 1);
    expect(words).toMatch(/to \d+ ft \d+ in from \w+ wall/);
  });

  test('an interrupted search writes nothing and says so', async () => {
    const spots = Array.from({ length: 14 }, (_, i) => [1 + (i % 7) * 1.6, 1 + Math.floor(i / 7) * 3]);
    const players = spots.map(([x, y], i) => `  p${i}: {at: [${x}, ${y}], plays: cornet}`);
    const mics = spots.map((_, i) => `  m${i}: {for: p${i}, near: {distance: 60 cm}}`);
    const room =
      'rooms: {hall: {size: [12, 6], height: 3, floor: parquet, ceiling: plaster, walls: plaster}}';
    const plan = ['spillcheck: 1', room, 'players:', ...players, 'mics:', ...mics, ''].join('\n');
    writeFileSync(at('band.yaml'), plan);
    const args = [BIN, 'suggest', 'band.yaml', '--combine', '5', '--apply', 'all', '--in-place'];
    const child = spawn(process.execPath, args, { cwd: folder, stdio: ['ignore', 'ignore', 'pipe'] });
    let told = '';
    child.stderr.on('data', (chunk: Buffer) => {
      told += chunk;
    });
    // well into the search, which is many seconds of work
    await untilWorked(child, 700);
    child.kill('SIGINT');
    const [status] = await once(child, 'close');
    expect(status).toBe(130);
    expect(told).toContain('the search was stopped; nothing was written');
    expect(readFileSync(at('band.yaml'), 'utf8')).toBe(plan);
  });

  test('all makes as many as go together, in the plan itself where asked', () => {
    expect(run(['a.yaml', '--apply', 'all', '--in-place']).status).toBe(0);
    const now = readFileSync(at('a.yaml'), 'utf8');
    expect(now).not.toBe(PLAN);
    expect(now).toContain('    at: [5, 3]      # near the window\n');
    expect(answerOf(['a.yaml']).shortfall_db).toBeLessThan(answerOf(['-'], PLAN).shortfall_db);
  });
});

test.each([
  {
    args: ['a.yaml', '--for', 'voice-mik'],
    says: /no mic named "voice-mik"[\s\S]*did you mean "voice-mic"/,
  },
  { args: ['a.yaml', '--for-part', 'drums'], says: /--for-part: no part named "drums"/ },
  { args: ['a.yaml', '--combine', '9'], says: /--combine must be 1 to 5/ },
  { args: ['a.yaml', '--minutes', 'lifting=3'], says: /--minutes lifting=3[\s\S]*move-player/ },
  { args: ['a.yaml', '--apply', '500'], says: /no such fix/ },
  { args: ['a.yaml', '--in-place'], says: /--in-place needs --apply/ },
  { args: ['a.yaml', '-o', 'a.yaml'], says: /would overwrite a\.yaml/ },
  { args: ['none.yaml'], says: /none\.yaml: no such file/ },
])('$args is refused with 2, and the plan stays', ({ args, says }) => {
  const { status, stdout, stderr } = run(args);
  expect([status, stdout]).toEqual([2, '']);
  expect(stderr).toMatch(says);
  expect(readFileSync(at('a.yaml'), 'utf8')).toBe(PLAN);
});

describe('who goes where, and a plan for the morning', () => {
  const two = `${PLAN.replace(
    'rooms:',
    `rooms:
  store: {size: [4, 4], origin: [20, 0], height: 3, floor: carpet-heavy, ceiling: acoustic-tile, walls: curtain-heavy, control: true}`,
  )}limits: {signal-to-bleed: 25 dB}
`;

  test('--rooms shows everyone in every room, warns of the control room, and its best line is among the fixes', () => {
    const { status, stdout } = run(['-', '--rooms'], two);
    expect(status).toBe(0);
    expect(stdout).toMatch(/Who goes where/);
    expect(stdout).toMatch(
      /who +store +\w+\n {2}trumpet +\d, [\d.]+ dB +here\n {2}singer +\d, [\d.]+ dB +here\n/,
    );
    expect(stdout).toMatch(/Loudspeakers play in store: off while a mic is open there/);
    expect(stdout).toMatch(/loudspeakers off: (?:voice|trumpet)-mic open in a control room/);
    expect(stdout).toMatch(/\d {2}Move (?:trumpet|singer|with mics)/);
    expect(run(['-', '--rooms'], PLAN)).toMatchObject({
      status: 2,
      stderr: expect.stringContaining('--rooms'),
    });
  });

  test('--schedule ends where --apply all ends, and both say what it costs', () => {
    const { schedule } = JSON.parse(run(['-', '--schedule', '--json'], two).stdout);
    const { stdout, stderr } = run(['-', '--schedule', '--apply', 'all'], two);
    const after = JSON.parse(run(['-', '--json'], stdout).stdout);
    const missed = schedule.limits.filter(
      ({ margins_db: margins }: { margins_db: number[] }) => (margins.at(-1) ?? 0) < 0,
    );
    expect(schedule.missed.at(-1)).toBe(missed.length);
    expect(after.limits_missed + after.out_of_reach.length).toBe(missed.length);
    expect(stderr).toContain(`limits missed: ${schedule.missed[0]} → ${schedule.missed.at(-1)}`);
    for (const { text } of schedule.costs) expect(stderr).toContain(text);
    const shown = run(['-', '--schedule'], two).stdout;
    for (const head of ['Schedule', 'Margin of each limit after each step', 'What it costs', 'What to bring'])
      expect(shown).toContain(head);
  });
});
