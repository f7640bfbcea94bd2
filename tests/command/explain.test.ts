/** Keys and error codes explained: every one of them, by whatever path or word it is asked for. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { shelvesOf } from '../../src/catalogue/entries.ts';
import { displayWidth } from '../../src/format/table.ts';
import { concepts } from '../../src/plan/concepts.ts';
import { nodeOf } from '../../src/plan/edit.ts';
import { exampleOfKey } from '../../src/plan/json-schema.ts';
import { readWith } from '../../src/plan/schema.ts';
import { CODES_IN_ORDER, defaults, explainKey, findKeys, keyPlaces } from '../../src/report/explain.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { spillcheck } from '../spillcheck.ts';

function run(...args: string[]) {
  const { status, stdout, stderr } = spillcheck(['explain', ...args]);
  return { status, stdout, stderr };
}

const page = (...args: string[]): string => {
  const { status, stdout, stderr } = run(...args);
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  return stdout;
};

const titleOf = (...args: string[]): string | undefined => page(...args).split('\n')[0];

describe('a key', () => {
  test.each([
    ['mics.near', 'mics.NAME.near'],
    ['mics.NAME.near', 'mics.NAME.near'],
    ['mics.vocal.near.distance', 'mics.NAME.near.distance'],
    ['mics.near.distance', 'mics.NAME.near.distance'],
    ['rooms', 'rooms'],
    ['rooms.hall', 'rooms'],
    ['rooms.hall.walls', 'rooms.NAME.walls'],
    ['limits.ghost', 'limits.ghost'],
    ['mic', 'mics'],
    ['room.wall', 'rooms.NAME.walls'],
    ['player', 'sources.NAME.player'],
    ['limits.ghost.tuba', 'limits.ghost'],
    ['players.cue.level', 'players.NAME.cue.level'],
    ['players.ann.plays.voice.later', 'players.NAME.plays.NAME.later'],
    ['partitions.doors[0].leaf', 'partitions.NAME.doors.leaf'],
    ['partitions.wall.doors.0.leaf', 'partitions.NAME.doors.leaf'],
    ['null-at', 'mics.NAME.null-at'],
    ['near.distance', 'mics.NAME.near.distance'],
  ])('%s is %s', (asked, path) => expect(titleOf(asked)).toBe(path));

  test('has its values, units, default, places, an example, its keys and its neighbours', () => {
    const { keys } = JSON.parse(page('rooms.height', '--json'));
    // the reader takes 0.1 to 100 m: src/plan/values.ts
    expect(keys[0]).toMatchObject({
      path: 'rooms.NAME.height',
      presence: 'required',
      values: ['0.1 to 100 m'],
    });
    expect(keys[0].units).toContain('6 ft');
    expect(keys[0].places).toEqual([{ path: 'rooms.NAME.height', map: 'a room' }]);
    expect(keys[0].example).toMatch(/^rooms:\n {2}hall:\n {4}height: /);
    expect(keys[0].neighbours).toContain('booth');
    expect(page('mics.near')).toMatch(/\nKeys\n {2}distance .*\n/);
    expect(page('rooms.size')).toContain('exactly one of `size` and `outline` is needed');
  });

  test.each([
    ['air.temperature', '20 °C'],
    ['mics.null-depth', '25 dB'],
    ['mics.proximity', 'true'],
    ['partitions.doors.state', 'closed'],
    ['tolerance.aim', '8°'],
    ['tolerance.guessed-level', '6 dB'],
    ['players.later', 'rebalance'],
    ['limits.weighting', 'own'],
  ])('%s is %s where a plan leaves it out', (key, value) => {
    expect(JSON.parse(page(key, '--json')).keys[0].default).toBe(value);
  });

  test('has the default of the code in its description, where that gives one', () => {
    const typed = Object.entries(defaults()).flatMap(([path, value]) => {
      const [{ key } = { key: null }] = findKeys(path);
      const [, text] = /Default: (.*)\.$/.exec(key?.description ?? '') ?? [];
      return key && text !== undefined && typeof value === 'number' ? [{ key, text, value, path }] : [];
    });
    expect(typed.length).toBeGreaterThan(10);
    for (const { key, text, value, path } of typed)
      expect({ path, value: readWith(key.reader, nodeOf(text)).value }).toEqual({ path, value });
  });

  test('has an example that is YAML of the value that the schema gives', () => {
    const shelves = shelvesOf(shippedCatalogue());
    /** A bare 4 and the text 4 are the same to a plan. */
    const loose = (value: unknown): unknown =>
      JSON.parse(JSON.stringify(value), (_, one) => (typeof one === 'number' ? String(one) : one));
    for (const place of keyPlaces()) {
      const { example, path } = explainKey(place, shelves);
      let value: unknown = parse(example.join('\n'));
      for (const step of place.steps) {
        const map = value as Record<string, unknown>;
        const below = map[step === 'NAME' ? (Object.keys(map)[0] ?? '') : step.replace('[]', '')];
        value = step.endsWith('[]') ? (below as unknown[])[0] : below;
      }
      expect({ path, value: loose(value) }).toEqual({ path, value: loose(exampleOfKey(place.key, shelves)) });
    }
  });

  test('of several maps is listed with each of them', () => {
    const shown = page('width');
    for (const path of ['partitions.NAME.doors.width', 'on-hand.baffles.width', 'floor.walkways.NAME.width'])
      expect(shown).toContain(path);
  });

  test('is explained wherever it stands, 80 columns wide', () => {
    for (const { steps } of keyPlaces()) {
      const asked = steps.join('.');
      expect({ asked, found: findKeys(asked).length }).toEqual({ asked, found: 1 });
    }
    for (const top of ['rooms', 'mics', 'players', 'limits', 'players.directivity'])
      expect(
        page(top)
          .split('\n')
          .filter((line) => displayWidth(line) > 80),
      ).toEqual([]);
  });
});

test('alone it lists the top keys with a line each, and the codes', () => {
  const shown = page();
  for (const { steps } of keyPlaces().filter(({ steps }) => steps.length === 1))
    expect(shown).toMatch(new RegExp(`^ {2}${steps[0]} {2,}\\S`, 'm'));
  for (const code of CODES_IN_ORDER) expect(shown).toContain(code);
});

describe.each(CODES_IN_ORDER)('%s', (code) => {
  const { codes } = JSON.parse(page(code, '--json'));
  const { input, output } = codes[0].example as { input: string; output: string };

  test('is the code of its example', () => expect(output).toContain(code));

  test('shows what its example says', () => {
    const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
    const [, command] = /^\$ spillcheck (.*)$/.exec(input) ?? [];
    if (command === undefined || command !== 'report sesion.yaml')
      writeFileSync(join(folder, 'plan.yaml'), command === undefined ? input : 'spillcheck: 1\n');
    const words = command?.split(' ') ?? ['report', 'plan.yaml'];
    const { stdout, stderr } = spillcheck(words, { cwd: folder });
    rmSync(folder, { recursive: true });
    // a warning is part of the report
    if (code !== 'WARNING') expect(stderr.trimEnd()).toBe(output);
    else
      expect(stdout.replaceAll(/\s+/g, ' ')).toContain(
        output.split('\n')[0]?.split(`${code} `)[1]?.slice(-40),
      );
  });
});

describe('what the trade calls otherwise', () => {
  test.each(concepts())('$key stands for $words', ({ key, words }) => {
    expect(findKeys(key).map(({ steps }) => steps.at(-1))).toEqual([key.split('.').at(-1)]);
    expect(words).not.toContain('');
  });

  test.each([
    ['booths', /a room with `booth: true`; see spillcheck explain rooms\.booth/],
    ['loudspeakers', /a source with `repeats`/],
    ['wedges', /a source with `repeats`/],
    ['monitors', /a source with `repeats`/],
    ['lines', /a mic with `di: true`/],
    ['direct box', /a mic with `di: true`/],
    ['DI box', /a mic with `di: true`/],
    ['gobos', /`baffles`/],
    ['screens', /`baffles`/],
    ['reverb', /`reverberation`/],
    ['headphones', /`cue`/],
    ['amps', /`sources`/],
    ['people', /`players`/],
    ['hpf', /`high-pass`/],
    ['RT60', /`reverberation`/],
    ['trombone', /spillcheck catalogue trombone/],
    ['zzzzzz', /spillcheck explain lists/],
    ['mics.pattrn', /did you mean "pattern"/],
    ['UNKNOWN_KY', /did you mean "UNKNOWN_KEY"/],
  ])('%s: %s, exit code 2', (asked, says) => {
    const { status, stdout, stderr } = run(asked);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(/^spillcheck: UNKNOWN_NAME/);
    expect(stderr).toMatch(says);
  });

  test.each([
    ['booths: {a: {size: [2, 2]}}', /a room with `booth: true`/],
    ['screens: {a: {from: [2, 2]}}', /`baffles`/],
    ['wedges: {a: {at: [2, 2]}}', /a source with `repeats`/],
    ['rooms: {hall: {size: [9, 7], height: 3, booths: true}}', /write `booth`/],
    ['rooms: {hall: {size: [9, 7], height: 3, rt60: 0.5}}', /`reverberation` of a room/],
    ['mic: {a: {di: true}}', /write `mics`/],
  ])('in a plan: %s', (text, says) => {
    const { status, stderr } = spillcheck(['report', '-'], { input: `spillcheck: 1\n${text}\n` });
    expect(status).toBe(2);
    expect(stderr).toMatch(/UNKNOWN_KEY/);
    expect(stderr).toMatch(says);
  });
});

test('as JSON it fits its schema', () => {
  const schema = new URL('../../shared/schemas/explain.schema.json', import.meta.url);
  const validate = new Ajv({ allowUnionTypes: true }).compile(JSON.parse(readFileSync(schema, 'utf8')));
  for (const asked of [[], ['mics'], ['width'], ['UNKNOWN_KEY']]) {
    validate(JSON.parse(page(...asked, '--json')));
    expect({ asked, errors: validate.errors }).toEqual({ asked, errors: null });
  }
});

test('-o writes the same page to a file', () => {
  const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  const file = join(folder, 'mics.txt');
  expect(run('mics', '-o', file)).toEqual({ status: 0, stdout: '', stderr: '' });
  expect(readFileSync(file, 'utf8')).toBe(page('mics'));
  rmSync(folder, { recursive: true });
});
