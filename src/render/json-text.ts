import { visible } from '../plan/visible.ts';

/**
 * Plain data as JSON that a terminal can show: what would steer it stands as `\u009b`, which reads back as it was (RFC 8259,
 * section 7). `indent` as of `JSON.stringify`.
 */
export const jsonText = (value: unknown, indent?: number): string =>
  JSON.stringify(value, null, indent).replace(/[^\n -~]/gu, (one) =>
    visible(one) === one ? one : inUnits(one),
  );

const inUnits = (character: string): string =>
  Array.from(character.split(''), (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`).join(
    '',
  );
