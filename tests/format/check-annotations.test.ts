import { expect, test } from 'vitest';
import { annotations } from '../../src/format/check.ts';
import { HOSTILE, hostile, limit, marginal, plan, week } from './check-plans.ts';

test('each problem is one command at its place; what is met has none', () => {
  expect(annotations(week).split('\n')).toEqual([
    '::error file=plans/monday.yaml,line=12,col=3,title=signal-to-bleed missed::' +
      'voice-mic: S/B 6.0 dB, limit 10 (for later: rebalance), 4.0 dB short',
    '::warning file=plans/monday.yaml,line=12,col=3,title=signal-to-bleed marginal::' +
      'horn-mic: S/B 11.0 dB, limit 10 (for later: rebalance), marginal, 1.0 dB to spare',
    '::notice file=plans/monday.yaml,line=12,col=3,title=signal-to-bleed not judged::' +
      'spare-mic: its source sounds in no passage: not judged',
    '::error file=plans/tuesday.yaml,line=4,col=9,title=invalid plan%3A MISSING_KEY::' +
      'rooms.hall.height is missing%0Afix: add `height`',
    '::error file=none/*.yaml,title=invalid plan%3A FILE_UNREADABLE::none/*.yaml matches no files',
    '',
  ]);
});

test('strict makes an error of a limit met by a hair', () => {
  expect(annotations({ plans: [plan({ limits: [marginal] })], strict: true })).toMatch(/^::error .*missed::/);
});

/** As the runner reads them back, from memory: `%25 %0D %0A` in messages, `%3A %2C` in properties as well. */
function readBack(line: string) {
  const [, properties = '', message = ''] = /^::\w+ (.*?)::(.*)$/.exec(line) ?? [];
  const plain = (text: string) =>
    text
      .replaceAll('%3A', ':')
      .replaceAll('%2C', ',')
      .replaceAll('%0D', '\r')
      .replaceAll('%0A', '\n')
      .replaceAll('%25', '%');
  const pairs = properties.split(',').map((pair) => pair.split('='));
  return { properties: new Map(pairs.map(([key, ...value]) => [key, plain(value.join('='))])), message };
}

test('no name ends a command, begins another or adds a property', () => {
  const lines = annotations(hostile).trimEnd().split('\n');
  expect(lines).toHaveLength(3);
  for (const line of lines) {
    expect(line).toMatch(/^::(error|notice) /);
    expect(line).not.toMatch(/[\p{Cc}\u202e]/u);
    expect([...readBack(line).properties.keys()]).toEqual(['file', 'line', 'col', 'title']);
  }
});

test('percent signs, colons, commas and line breaks come back as they were', () => {
  const file = '100%, a:b\r\n%3A.yaml';
  const [line = ''] = annotations({
    plans: [plan({ limits: [limit({ about: ['50% %0A, x'], place: { file, line: 1, column: 1 } })] })],
    strict: false,
  }).split('\n');
  const { properties, message } = readBack(line);
  expect(properties.get('file')).toBe(file);
  expect(message).toMatch(/^50%25 %250A, x: /);
  expect(HOSTILE).toContain('::error::');
});
