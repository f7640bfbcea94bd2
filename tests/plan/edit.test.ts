import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseDocument } from 'yaml';
import type { Path } from '../../src/finding.ts';
import { setIn } from '../../src/plan/edit.ts';
import { sized } from '../sized.ts';

const TEXT = `# A remark at the top
spillcheck: 1
players:
  tuba: {at: [2, 4], level: 84 dBA at 1 m}   # remark
  horn:      # another
    at: [1, 2]
    plays: "tenor-horn"   # quoted

  flute: {at: [1, 1]}
  oboe: &same {at: [1, 1]}
  cor: *same
  harp: {}
  bell:
    level: &l 90
  gong:
# a remark at the end
sources:
  organ: {at: [1,1], level: {spl: 80, at: 2}}`;

const edited = (path: Path, value: string, text = TEXT): string => {
  const result = setIn(text, { path, value });
  if ('problem' in result) throw new Error(result.problem);
  return result.text;
};

/** Lines that are no longer as they were, and those that were not there before. */
function changes(before: string, after: string): { gone: string[]; come: string[] } {
  const [old, now] = [before.split('\n'), after.split('\n')];
  let same = 0;
  while (same < old.length && old[same] === now[same]) same++;
  let tail = 0;
  while (tail < old.length - same && tail < now.length - same && old.at(-1 - tail) === now.at(-1 - tail))
    tail++;
  return { gone: old.slice(same, old.length - tail), come: now.slice(same, now.length - tail) };
}

describe('one value is set and nothing else', () => {
  test.each([
    {
      path: ['players', 'tuba', 'level'],
      value: '90 dB',
      gone: ['  tuba: {at: [2, 4], level: 84 dBA at 1 m}   # remark'],
      come: ['  tuba: {at: [2, 4], level: 90 dB}   # remark'],
    },
    {
      path: ['players', 'tuba', 'at', 1],
      value: '5.5',
      gone: ['  tuba: {at: [2, 4], level: 84 dBA at 1 m}   # remark'],
      come: ['  tuba: {at: [2, 5.5], level: 84 dBA at 1 m}   # remark'],
    },
    {
      path: ['players', 'bell', 'level'],
      value: '91',
      gone: ['    level: &l 90'],
      come: ['    level: &l 91'],
    },
    { path: ['players', 'horn', 'at'], value: '[3, 4]', gone: ['    at: [1, 2]'], come: ['    at: [3, 4]'] },
    {
      path: ['players', 'horn', 'plays'],
      value: 'tuba',
      gone: ['    plays: "tenor-horn"   # quoted'],
      come: ['    plays: tuba   # quoted'],
    },
    { path: ['players', 'horn', 'level'], value: '88 dB', gone: [], come: ['    level: 88 dB'] },
    {
      path: ['players', 'flute', 'parts', 'snare', 'level'],
      value: '9',
      gone: ['  flute: {at: [1, 1]}'],
      come: ['  flute: {at: [1, 1], parts: {snare: {level: 9}}}'],
    },
    {
      path: ['players', 'harp', 'at'],
      value: '[1, 2]',
      gone: ['  harp: {}'],
      come: ['  harp: {at: [1, 2]}'],
    },
    { path: ['players', 'gong', 'at'], value: '[1, 2]', gone: ['  gong:'], come: ['  gong: {at: [1, 2]}'] },
    {
      path: ['sources', 'organ', 'level', 'spl'],
      value: '81',
      gone: ['  organ: {at: [1,1], level: {spl: 80, at: 2}}'],
      come: ['  organ: {at: [1,1], level: {spl: 81, at: 2}}'],
    },
    { path: ['mics', 'a b', 'for'], value: 'tuba', gone: [], come: ['mics: {a b: {for: tuba}}'] },
  ])('$path', ({ path, value, gone, come }) => {
    expect(changes(TEXT, edited(path, value))).toEqual({ gone, come });
  });

  test('in a file with line breaks of another system', () => {
    const crlf = TEXT.replaceAll('\n', '\r\n');
    expect(edited(['players', 'horn', 'level'], '88 dB', crlf)).toBe(
      edited(['players', 'horn', 'level'], '88 dB').replaceAll('\n', '\r\n'),
    );
  });
});

test.each([
  { path: ['players', 'cor', 'at'], problem: 'alias' },
  { path: ['players', 'oboe', 'at'], problem: 'alias' },
  { path: ['players', 'horn', 'plays', 'voice'], problem: 'scalar' },
  { path: ['players', 'tuba', 'at', 7], problem: 'list' },
])('what stands for several, or is no map, is not touched: $path', ({ path, problem }) => {
  expect(setIn(TEXT, { path, value: '1' })).toEqual({ problem });
});

const FIXTURES = new URL('../../fixtures/', import.meta.url);
const PLANS = readdirSync(FIXTURES)
  .filter((name) => name.endsWith('.yaml'))
  .map((name) => readFileSync(new URL(name, FIXTURES), 'utf8'));

/** Every path of keys in a plan, to one more key that is not there. */
function pathsOf(text: string): Path[] {
  const walk = (value: unknown, path: Path): Path[] =>
    typeof value !== 'object' || value === null || Array.isArray(value)
      ? [path]
      : [[...path, 'level'], ...Object.entries(value).flatMap(([key, one]) => walk(one, [...path, key]))];
  return walk(parseDocument(text).toJS(), []);
}

test('in every plan we ship any value can be set: it then reads as set, and every other line stays byte for byte', () => {
  const asked = PLANS.flatMap((text) => pathsOf(text).map((path) => ({ text, path })));
  fc.assert(
    fc.property(
      fc.constantFrom(...asked),
      fc.constantFrom('7', '[1, 2]', '84.5 dBA at 1 m'),
      ({ text, path }, value) => {
        const after = edited(path, value, text);
        const document = parseDocument(after);
        expect(document.errors).toEqual([]);
        const wanted = parseDocument(text).toJS();
        const into = path.slice(0, -1).reduce((map, key) => map[key], wanted);
        into[path.at(-1) ?? ''] = parseDocument(value).toJS();
        expect(document.toJS()).toEqual(wanted);
        const { gone, come } = changes(text, after);
        expect(come).toHaveLength(after === text ? 0 : 1);
        expect(gone.length).toBeLessThanOrEqual(1);
      },
    ),
    { numRuns: sized(250, 400) },
  );
});
