import { describe, expect, test } from 'vitest';
import { readme, run, shownIn } from './shown.ts';

const shown = shownIn(readme());

describe('the README shows what the command prints', () => {
  test('it shows some', () => expect(shown.length).toBeGreaterThan(3));

  test.each(shown)('$ $command', ({ command, output, cut }) => {
    const today = run(command);
    expect(cut ? today.slice(0, output.length) : today).toEqual(output);
  });
});
