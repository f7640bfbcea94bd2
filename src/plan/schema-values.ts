/** Single values and lists of them: quantities, choices, names. */

import { offered, oneOf } from './did-you-mean.ts';
import { LONGEST_NAME } from './names.ts';
import { readQuantity } from './quantity.ts';
import {
  type About,
  below,
  type Complain,
  forms,
  into,
  type Reader,
  reader,
  type Shelf,
  wrongShape,
} from './schema-frame.ts';
import { shown } from './tree.ts';
import { type Dimension, EXAMPLES } from './units.ts';

type Span = readonly [min: number, max: number];

/** A quantity within bounds in SI. `bareFactor`, where given, is what one of a bare number is in SI. */
export function quantity(dimension: Dimension, [min, max]: Span, bareFactor?: number): Reader<number> {
  const bare = bareFactor === undefined ? {} : { bareFactor };
  return reader({ takes: 'quantity', dimension, min, max, ...bare }, (node, complain) => {
    if (node.kind !== 'scalar' || node.value === null || typeof node.value === 'boolean') {
      return void complain(wrongShape(node, `one value such as ${EXAMPLES[dimension]}`));
    }
    const reading = readQuantity(node, dimension, { min, max }, bareFactor);
    return reading.ok ? reading.value : void complain(reading);
  });
}

export const coordinate = quantity('length', [-1000, 1000]);
export const height = quantity('length', [0.1, 100]);
export const size = quantity('length', [0.01, 1000]);
export const decibels = (span: Span): Reader<number> => quantity('decibel', span);
export const share = (span: Span): Reader<number> => quantity('ratio', span);

/** A whole number. */
export function whole(span: Span): Reader<number> {
  const number = quantity('count', span);
  const check = (value: number, complain: Complain) => {
    if (Number.isInteger(value)) return value;
    return void complain({
      code: 'BAD_RANGE',
      message: `must be a whole number, got ${value}`,
      mend: `write ${Math.round(value)}`,
    });
  };
  return into(number, check, { ...number.about, step: 1 } as About);
}

/** Degrees, brought to 0 … below 360. */
export const bearing: Reader<number> = into(
  quantity('angle', [-720, 720]),
  (value) => ((value % 360) + 360) % 360,
);

export const flag: Reader<boolean> = reader({ takes: 'flag' }, (node, complain) => {
  if (node.kind === 'scalar' && typeof node.value === 'boolean') return node.value;
  return void complain(wrongShape(node, 'true or false'));
});

/** One of a few words. */
export function choice<const T extends string>(...choices: readonly T[]): Reader<T> {
  return reader({ takes: 'choice', choices }, (node, complain) => {
    const written = node.kind === 'scalar' ? choices.find((word) => word === node.text) : undefined;
    if (written !== undefined) return written;
    const near = node.kind === 'scalar' ? offered(node.text, choices) : [];
    const wanted = choices.length > 1 ? `one of ${choices.join(', ')}` : `${choices[0]}`;
    return void complain(
      wrongShape(node, wanted, near.length > 0 ? `write ${oneOf(near)}` : `write ${wanted}`),
    );
  });
}

/** The name of something; what it stands for is looked up later. */
export const name: Reader<string> = nameAs({});

/** The name of an entry of the catalogue; whether it is there is seen later. `words` mean something of their own. */
export const nameOf = (of: Shelf, ...words: readonly string[]): Reader<string> => nameAs({ of, words });

/** A name, or one of a few words that mean something of their own. */
export const nameOrWord = (...words: readonly string[]): Reader<string> => nameAs({ words });

function nameAs(said: { readonly of?: Shelf; readonly words?: readonly string[] }): Reader<string> {
  return reader({ takes: 'name', ...said }, (node, complain) => {
    if (node.kind !== 'scalar' || typeof node.value !== 'string' || node.text.trim() === '')
      return void complain(wrongShape(node, 'a name'));
    return noLonger(node.text, LONGEST_NAME, complain);
  });
}

/** Free text; numbers are taken as they are written. */
export const text: Reader<string> = reader({ takes: 'text' }, (node, complain) => {
  if (node.kind === 'scalar' && node.value !== null) return noLonger(node.text, LONGEST_TEXT, complain);
  return void complain(wrongShape(node, 'a text'));
});

/** Characters of a title, a path, an input: far above any, and still to be laid out in no time. */
export const LONGEST_TEXT = 1000;

function noLonger(written: string, most: number, complain: Complain): string | undefined {
  if (written.length <= 2 * most && [...written].length <= most) return written;
  const message = `must be at most ${most} characters long, got ${shown(written)}`;
  return void complain({ code: 'BAD_RANGE', message, mend: 'make it shorter' });
}

/** A list of at least `least` and at most `most` of a kind. */
export function listOf<T>(item: Reader<T>, least = 0, most = 100_000): Reader<readonly T[]> {
  return reader({ takes: 'list', items: [item], least, most }, (node, complain) => {
    if (node.kind !== 'list') return void complain(wrongShape(node, 'a list in brackets'));
    if (node.items.length < least || node.items.length > most) {
      const wanted =
        most === least ? `${least}` : node.items.length < least ? `at least ${least}` : `at most ${most}`;
      return void complain(wrongShape(node, `a list of ${wanted}`));
    }
    const read = node.items.map((each, i) => below(item, each, i, complain));
    return read.filter((value) => value !== undefined);
  });
}

/** One alone, or a list of them; always a list once read. */
export function oneOrMore<T>(item: Reader<T>): Reader<readonly T[]> {
  return forms({ scalar: into(item, (value): readonly T[] => [value]), list: listOf(item, 1) });
}
