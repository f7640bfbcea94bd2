import { stripVTControlCharacters } from 'node:util';
import { expect, test } from 'vitest';
import { checkFormats } from '../../src/format/check.ts';
import { displayWidth } from '../../src/format/table.ts';
import { limitSentence } from '../../src/report/criteria.ts';
import { hostile, limit, options, plan, week } from './check-plans.ts';

const { text } = checkFormats;

test('what is missed stands first, plan by plan, and the count of all last', () => {
  expect(text(week, options)).toMatchInlineSnapshot(`
    "plans/monday.yaml (Monday): 1 of 3 limits missed: 1 of 3 mics is short, 1
    marginal, 1 clear
      missed      voice-mic: S/B 6.0 dB, limit 10 (for later: rebalance), 4.0 dB
                  short
      marginal    horn-mic: S/B 11.0 dB, limit 10 (for later: rebalance), marginal,
                  1.0 dB to spare
      not judged  spare-mic: its source sounds in no passage: not judged
      clear       1 limit met (--all lists them)

    plans/tuesday.yaml: invalid, 1 error
    plans/tuesday.yaml:4:9 MISSING_KEY rooms.hall.height is missing
      hall: {size: [9, 7]}
            ^

    plans/wednesday.yaml (Wednesday): 1 limit met
      clear       1 limit met (--all lists them)

    none/*.yaml: invalid, 1 error
    FILE_UNREADABLE none/*.yaml matches no files

    4 plans: 1 met, 1 missed, 2 invalid
    "
  `);
});

test('all lists what is clearly met, too', () => {
  expect(text(week, { ...options, all: true })).toMatch(/\n {2}clear {7}tuba-mic: S\/B 18\.0 dB/);
});

test('a plan without anything to judge says so', () => {
  const limits = [
    limit({ about: [], verdict: null, reached: null, margin: null, remark: 'there is no microphone' }),
  ];
  expect(text({ plans: [plan({ limits })], strict: false }, options)).toContain(
    'plans/monday.yaml (Monday): no limits judged\n  not judged  there is no microphone, not judged\n',
  );
});

test('strict calls a limit met by a hair missed', () => {
  expect(text({ ...week, strict: true }, options)).toContain('2 of 3 limits missed');
});

test.each([80, 120])('limits are no wider than %i columns, and colour only adds escapes', (width) => {
  const page = text(week, { ...options, width, all: true });
  expect(page.split('\n').filter((line) => displayWidth(line) > width)).toEqual([]);
  const coloured = text(week, { ...options, width, all: true, colour: true });
  expect(coloured).toContain('\u001b[');
  expect(stripVTControlCharacters(coloured)).toBe(page);
});

test('no name steers the terminal', () => {
  const plans = hostile.plans.slice(0, 1);
  const page = text({ ...hostile, plans }, { ...options, all: true });
  expect(page.replaceAll('\n', '')).not.toMatch(/\p{Cc}|\u202e/u);
  expect(page).toContain('🎤');
});

test.each([
  [
    limit({ kind: 'three-to-one', about: ['a', 'b'], reached: 2, limit: 3, margin: -3.52, remark: null }),
    'a and b: 2.0:1, limit 3:1, 3.5 dB short',
  ],
  [
    limit({
      kind: 'ghost',
      about: ['tuba'],
      reached: -20,
      limit: -25,
      margin: -5,
      remark: 'most of it in main',
    }),
    'ghost of tuba: -20.0 dB, limit -25 (most of it in main), 5.0 dB short',
  ],
  [
    limit({ kind: 'isolation', about: ['tuba'], reached: 12, limit: 20, margin: -8, remark: 'at tuba-mic' }),
    'isolation of tuba: S/B 12.0 dB, limit 20 (at tuba-mic), 8.0 dB short',
  ],
  [
    limit({ kind: 'hear', about: ['anna', 'ben'], reached: -9, limit: -8, margin: -1, remark: null }),
    'anna to hear ben: -9.0 dB re everything else at that ear, limit -8, 1.0 dB short',
  ],
  [
    limit({
      kind: 'see-each-other',
      about: ['anna', 'ben'],
      reached: null,
      limit: null,
      margin: null,
      remark: 'blocked by screen',
    }),
    'anna and ben: blocked by screen, short',
  ],
  [
    limit({ kind: 'session-length', about: ['anna'], reached: 75, limit: 180, margin: -3.8, remark: null }),
    'anna: NIOSH limit 75 min, session 3 h, 3.8 dB short',
  ],
  [
    limit({ reached: null, margin: null, remark: 'gets nothing of its own source' }),
    'voice-mic: gets nothing of its own source, short',
  ],
])('a limit reads as a sentence', (row, said) => {
  expect(limitSentence(row)).toBe(said);
});
