/** Broken plans, one fault each: what is said, and where. Lines and columns are counted by hand in the fixtures. */
import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { cpuTime } from '../cpu-time.ts';
import { broken } from './plans.ts';

type Expected = readonly [code: string, line: number, column: number, message: RegExp, fix: RegExp];

const FAULTS: Readonly<Record<string, readonly Expected[]>> = {
  empty: [['PLAN_SYNTAX', 1, 1, /file is empty/, /spillcheck: 1/]],
  'only-a-comment': [['PLAN_SYNTAX', 1, 1, /file is empty/, /spillcheck: 1/]],
  'not-yaml': [['PLAN_SYNTAX', 4, 1, /missing } or wrong indentation/, /brackets/]],
  tab: [['PLAN_SYNTAX', 3, 1, /tab in indentation/, /spaces/]],
  'duplicate-name': [['PLAN_SYNTAX', 6, 3, /duplicate key `tuba`/, /rename or remove one/]],
  'unknown-key': [['UNKNOWN_KEY', 5, 35, /players\.tuba\.facign is not a key of a player/, /write `facing`/]],
  'comma-in-at': [['BAD_VALUE', 5, 14, /players\.tuba\.at mixes decimal commas/, /\[2\.5, 3\]/]],
  'comma-in-height': [
    ['BAD_VALUE', 5, 13, /rooms\.hall\.height is 3,6, which is not a number/, /write 3\.6/],
  ],
  'self-crossing': [['BAD_POSITION', 4, 14, /outline crosses itself: side 0 meets side 2/, /in order/]],
  'two-corners': [
    ['WRONG_TYPE', 3, 19, /outline must be a list of at least 3, got a list of 2/, /at least 3/],
  ],
  'no-area': [['BAD_POSITION', 3, 19, /outline (crosses itself|has no area)/, /in order/]],
  'negative-height': [['OUT_OF_RANGE', 3, 32, /height must be 0\.1 to 100 m, got -3\.6/, /0\.1 to 100 m/]],
  'not-a-number': [['BAD_VALUE', 3, 32, /height must be a finite number, got \.nan/, /2\.5/]],
  infinite: [['BAD_VALUE', 3, 20, /size\[1\] must be a finite number, got \.inf/, /2\.5/]],
  enormous: [['OUT_OF_RANGE', 3, 32, /height must be 0\.1 to 100 m, got 1e308/, /0\.1 to 100 m/]],
  'alias-loop': [['PLAN_SYNTAX', 3, 9, /alias \*all refers to itself/, /write the value out/]],
  'alias-of-nothing': [['PLAN_SYNTAX', 2, 8, /alias \*hall has no anchor/, /&hall/]],
  proto: [
    ['PLAN_SYNTAX', 5, 3, /`__proto__` is not allowed as a name/, /another name/],
    ['PLAN_SYNTAX', 6, 3, /`constructor` is not allowed as a name/, /another name/],
  ],
  tag: [['PLAN_SYNTAX', 2, 8, /tag \S*js\/function/, /remove the tag/]],
  'standard-tag': [['PLAN_SYNTAX', 2, 8, /tag \S+str/, /remove the tag/]],
  'wrong-version': [['PLAN_VERSION', 1, 13, /spillcheck must be 1.*got 2/, /spillcheck: 1/]],
  'no-version': [['PLAN_VERSION', 1, 1, /no format version/, /spillcheck: 1/]],
  'top-level-list': [['WRONG_TYPE', 1, 1, /a plan must be a map of keys, not a list/, /spillcheck: 1/]],
  'top-level-text': [
    ['WRONG_TYPE', 1, 1, /a plan must be a map of keys, not a single value/, /spillcheck: 1/],
  ],
  'two-documents': [['PLAN_SYNTAX', 2, 1, /second YAML document/, /one plan per file/]],
  'number-names': [
    ['BAD_NAME', 5, 3, /mics\.12 reads as a number/, /x12/],
    ['BAD_NAME', 6, 3, /mics\.6 ft reads as a number or quantity/, /letter/],
    ['BAD_NAME', 7, 3, /mics\.5'3" reads as a number or quantity/, /letter/],
    ['BAD_NAME', 8, 3, /mics\.a\.b contains `\.`/, /write a-b/],
    ['BAD_NAME', 9, 3, /mics\.all is a reserved word/, /another name/],
  ],
  'shared-name': [
    ['BAD_NAME', 7, 3, /sources\.voice is already the name of a player/, /share one set of names/],
  ],
  'missing-height': [
    [
      'MISSING_KEY',
      4,
      5,
      /rooms\.hall\.height is missing/,
      /add `height`, which gives the height from floor to ceiling/,
    ],
  ],
  'no-shape': [['MISSING_KEY', 3, 9, /rooms\.hall has neither `size` nor `outline`/, /add `size/]],
  'mic-for-nobody': [
    ['MISSING_KEY', 5, 9, /mics\.main\.for is missing/, /add `for`, which says what the mic is for/],
  ],
  'wrong-unit': [['BAD_VALUE', 3, 32, /is 3 kg, which is not a length/, /6 ft/]],
  'empty-value': [['WRONG_TYPE', 5, 12, /rooms\.hall\.height is empty/, /remove the key/]],
  'spectrum-without-level': [['MISSING_KEY', 5, 8, /sources\.hum\.level is missing/, /power/]],
  'removes-nothing': [
    ['WRONG_TYPE', 5, 13, /baffles\.baffle-1 is empty, and no studio has/, /remove the line/],
  ],
  'control-characters': [
    ['BAD_NAME', 3, 3, /mics\.a\\u\{1b\}\[31mb contains a control character/, /letters/],
    ['UNKNOWN_KEY', 3, 41, /pat\\u\{202e\}tern is not a key of a mic/, /write `pattern`/],
  ],
  several: [
    ['WRONG_TYPE', 2, 8, /units must be one of m, ft, got yards/, /write/],
    ['MISSING_KEY', 4, 9, /rooms\.hall\.height is missing/, /add `height`/],
    ['UNKNOWN_KEY', 4, 24, /hieght is not a key of a room/, /write `height`/],
    ['OUT_OF_RANGE', 6, 18, /players\.tuba\.at\[1\] must be -1000 to 1000 m, got 4000/, /-1000 to 1000/],
    ['WRONG_TYPE', 6, 45, /later must be one of leave, rebalance, tune, replace, got fix/, /leave/],
    ['OUT_OF_RANGE', 8, 48, /pattern\.A must be 0 to 1, got 1\.4/, /0 to 1/],
  ],
};

test.each(Object.entries(FAULTS))('%s: each fault at its place, with its fix', async (name, expected) => {
  const { plan, findings, spotOf } = await broken(name);
  expect(plan).toBeNull();
  const places = findings.map((finding) => ({ finding, spot: spotOf(finding) }));
  places.sort((a, b) => a.spot.line - b.spot.line || a.spot.column - b.spot.column);
  expect(places.map(({ finding, spot }) => [finding.code, spot.line, spot.column])).toEqual(
    expected.map(([code, line, column]) => [code, line, column]),
  );
  for (const [i, [, , , message, fix]] of expected.entries()) {
    expect(places[i]?.finding.message).toMatch(message);
    expect(places[i]?.finding.fix).toMatch(fix);
    expect(places[i]?.spot.file).toBe(`${name}.yaml`);
  }
});

test('an alias bomb is refused in a blink, and unfolds no further', async () => {
  expect(await cpuTime(() => broken('alias-bomb'))).toBeLessThan(2000);
  const { plan, findings } = await broken('alias-bomb');
  expect(plan).toBeNull();
  expect(findings.filter(({ code }) => code === 'PLAN_SYNTAX').map(({ message }) => message)).toEqual([
    expect.stringMatching(/aliases expand to more than 10000 values/),
  ]);
});

test('every broken plan is tested', () => {
  const files = readdirSync(new URL('../../fixtures/broken/', import.meta.url)).map((file) =>
    file.replace('.yaml', ''),
  );
  expect(files.sort()).toEqual([...Object.keys(FAULTS), 'alias-bomb'].sort());
});

test('no control character of a plan reaches the page', async () => {
  const { show, findings } = await broken('control-characters');
  const page = show(findings);
  expect([...page].filter((char) => /[\p{Cc}\u202e]/u.test(char) && char !== '\n')).toEqual([]);
});

test('refusing __proto__ leaves objects as they were', async () => {
  await broken('proto');
  expect(({} as Record<string, unknown>).at).toBeUndefined();
});
