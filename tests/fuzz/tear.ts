/** Bytes of a file changed: flipped, cut, doubled, moved, mixed with another's, with scraps of YAML thrown in. */
import type { Dice } from './dice.ts';
import { SHARDS } from './hostile.ts';

export function tear(bytes: Uint8Array, other: Uint8Array, dice: Dice): Uint8Array {
  let torn: Buffer = Buffer.from(bytes);
  for (let i = dice.pick([1, 1, 2, 3, 8]); i > 0; i--) torn = dice.pick(WAYS)(torn, Buffer.from(other), dice);
  return torn;
}

type Way = (bytes: Buffer, other: Buffer, dice: Dice) => Buffer;

const cut = (bytes: Buffer, from: number, to: number, put: Uint8Array): Buffer =>
  Buffer.concat([bytes.subarray(0, from), put, bytes.subarray(to)]);
const span = ({ length }: Buffer, dice: Dice, most = 60): readonly [number, number] => {
  const from = dice.whole(0, length);
  return [from, Math.min(length, from + dice.whole(0, most))];
};
const NOTHING = Buffer.alloc(0);

/** Figures in the text, which make the deepest changes of all. */
const figures = (bytes: Buffer): RegExpExecArray[] => [
  ...bytes.toString('latin1').matchAll(/\d+(?:\.\d+)?/g),
];
const FIGURES = [
  '0',
  '-1',
  '1e9',
  '1e-9',
  '1e400',
  '.nan',
  '.inf',
  '0.5',
  '90',
  '180',
  '360',
  '1000',
  '7',
  '~',
  '"x"',
];

const WAYS: readonly Way[] = [
  (bytes, _, dice) => {
    const at = dice.whole(0, bytes.length - 1);
    if (bytes.length > 0) bytes[at] = (bytes[at] ?? 0) ^ (1 << dice.whole(0, 7));
    return bytes;
  },
  (bytes, _, dice) => cut(bytes, ...span(bytes, dice), NOTHING),
  (bytes, _, dice) => {
    const at = dice.whole(0, bytes.length);
    return cut(bytes, at, at, Buffer.from(dice.pick(SHARDS)));
  },
  (bytes, _, dice) => cut(bytes, ...span(bytes, dice, 8), Buffer.from(dice.pick(SHARDS))),
  (bytes, _, dice) => {
    const [from, to] = span(bytes, dice, 200);
    const at = dice.whole(0, bytes.length);
    return cut(bytes, at, at, bytes.subarray(from, to));
  },
  (bytes, other, dice) => {
    const [from, to] = span(other, dice, 300);
    const at = dice.whole(0, bytes.length);
    return cut(bytes, at, at, other.subarray(from, to));
  },
  (bytes, _, dice) => (dice.chance(0.2) ? bytes.subarray(0, dice.whole(0, bytes.length)) : bytes),
  ...[1, 2, 3, 4, 5, 6, 7, 8].map(
    (): Way => (bytes, _, dice) => {
      const all = figures(bytes);
      const figure = all.length > 0 ? dice.pick(all) : null;
      if (!figure) return bytes;
      return cut(bytes, figure.index, figure.index + figure[0].length, Buffer.from(dice.pick(FIGURES)));
    },
  ),
];
