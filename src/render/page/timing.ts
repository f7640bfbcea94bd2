/** Combs between microphones, and the delays that bring spots to pairs. */
import type { SpotDelay } from '../../judge/timing/spot-delays.ts';
import type { TimingRow } from '../../judge/timing/timing.ts';
import type { Answer } from '../answer.ts';
import { figure, hertzName } from '../words.ts';
import { type Html, html } from './html.ts';
import { type PagePart, part } from './part.ts';
import { number, tableMarkup, words } from './tables.ts';

/** Shallower combs are hardly heard: as in the pitfalls, dB. */
const DEEP = 6;
const MOST = 40;

export function timing({ timing: { rows, overheads, sampleRate }, mainPairs }: Answer): PagePart | null {
  const deep = rows.filter(({ ripple }) => ripple >= DEEP);
  const pairs = [
    ...mainPairs.filter(({ purpose }) => purpose === 'all').map(({ name, spots }) => ({ name, spots })),
    ...overheads.map(({ pair, spots }) => ({ name: pair, spots })),
  ].filter(({ spots }) => spots.length > 0);
  if (rows.length + pairs.length === 0) return null;
  const left = rows.length - Math.min(deep.length, MOST);
  return part(
    'timing',
    'Delays',
    deep.length > 0
      ? combTable(deep.slice(0, MOST))
      : html`<p>No two microphones comb by ${DEEP} dB or more.</p>\n`,
    left > 0 && deep.length > 0 ? html`<p>And ${left} shallower.</p>\n` : null,
    ...pairs.map(({ name, spots }) => spotTable({ name, spots, sampleRate })),
  );
}

const combTable = (rows: readonly TimingRow[]): Html =>
  tableMarkup(
    'Combs, deepest first',
    [
      ...['part', 'own', 'other'].map(words),
      number('later'),
      number('ripple'),
      number('first dip'),
      words('brought together by'),
    ],
    rows.map(({ part: name, own, other, late, over, ripple, notches, align }) => [
      name,
      own,
      other,
      `${figure(1000 * late, 2)} ms`,
      over ? `over ${figure(ripple, 0)} dB` : `${figure(ripple, 1)} dB`,
      notches ? hertzName(Math.round(notches[0] > 0 ? notches[0] : notches[1])) : 'none',
      align === null ? 'they are together' : `${align.mic} delayed by ${figure(1000 * align.by, 2)} ms`,
    ]),
  );

type Spots = { readonly name: string; readonly spots: readonly SpotDelay[]; readonly sampleRate: number };

const spotTable = ({ name, spots, sampleRate }: Spots): Html =>
  tableMarkup(
    `Spots brought to ${name}`,
    [words('spot'), words('by its'), number('delay'), number(`samples at ${hertzName(sampleRate)}`)],
    spots.map(({ spot, source, late, samples }) => [
      spot,
      source,
      `${figure(1000 * late, 2)} ms`,
      figure(Math.round(samples), 0),
    ]),
  );
