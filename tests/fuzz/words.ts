/** Which names fit where in a plan, so that random plans are not all refused at their first name. */
import { shippedCatalogue } from '../../src/shipped.ts';
import type { Dice } from './dice.ts';

const catalogue = shippedCatalogue();
const { materials } = catalogue;
const keysOf = (map: ReadonlyMap<string, unknown>): string[] => [...map.keys()];
const FINISHES = keysOf(materials.finishes);
const PATTERNS = keysOf(materials.patterns);
const INSTRUMENTS = [...keysOf(catalogue.instruments), ...keysOf(catalogue.kits)];
const LEVELS = [
  '88 dB',
  '88 dBA at 1 m',
  '95 dBC at 2 ft',
  70,
  '0 dB',
  '160 dB',
  '120 dBA at 1 cm',
  '40 dB @ 100 m',
];

/** Names that the plan under construction gives. */
export type Given = {
  readonly rooms: string[];
  readonly players: string[];
  readonly sources: string[];
  readonly parts: string[];
  readonly mics: string[];
  readonly baffles: string[];
};

export const nobody = (): Given => ({
  rooms: [],
  players: [],
  sources: [],
  parts: [],
  mics: [],
  baffles: [],
});

type Choose = (dice: Dice, given: Given) => unknown;
const from =
  (...list: readonly unknown[]): Choose =>
  (dice) =>
    dice.pick(list);
const of =
  (...spaces: readonly (keyof Given)[]): Choose =>
  (dice, given) => {
    const names = spaces.flatMap((space) => given[space]);
    return names.length === 0 ? 'nobody' : dice.pick(names);
  };

/** By the key that a name or text stands behind. */
const BY_KEY: Readonly<Record<string, Choose>> = {
  spillcheck: from(1),
  title: from('A made-up day', 'Blechbläser 🎺', ''),
  units: from('m', 'm', 'ft'),
  studio: from('hall.yaml', 'none.yaml', '../hall.yaml', '/etc/hostname'),
  instrument: from(...INSTRUMENTS, 'line-only'),
  plays: from(...INSTRUMENTS),
  cover: from(...keysOf(catalogue.covers)),
  wall: from(...keysOf(materials.constructions)),
  leaf: from(...keysOf(materials.doors)),
  glass: from(...keysOf(materials.glazings)),
  'made-of': from(...keysOf(materials.panels)),
  pattern: from(...PATTERNS),
  switchable: from(...PATTERNS),
  patterns: from(...PATTERNS),
  contents: from(1, 12, '6 m2', '2 m²'),
  on: from('floor', 'ceiling', 'top', 'right', 'bottom', 'left', 0, 1, 7),
  table: from('made-up-singer.csv', 'none.csv', 'plan.yaml', '../x.csv'),
  playing: from('sticks', 'brushes', 'rods', 'bowed', 'plucked'),
  channel: from(1, 2, 'A3', 'x'),
  noise: from(25, '40 dBA', '0', '120'),
  level: from(...LEVELS),
  spl: from('88 dB', '70', '94 dBA'),
  facing: of('players', 'sources', 'mics', 'baffles'),
  aim: of('players', 'sources', 'mics', 'baffles', 'parts'),
  'null-at': of('players', 'sources', 'baffles'),
  for: of('sources', 'players', 'parts'),
  repeats: of('sources', 'players'),
  player: of('players'),
  part: of('parts', 'sources'),
  between: (dice, given) => (dice.chance(0.2) ? 'outside' : of('rooms')(dice, given)),
  passages: of('players', 'sources', 'parts'),
  'see-each-other': of('players'),
  hear: of('players', 'sources'),
};

/** What names a map of names may have, by the key that it stands behind. */
const MAPS: Readonly<Record<string, Choose>> = {
  contents: from(...keysOf(materials.contents)),
  'signal-to-bleed': of('mics'),
  ghost: of('parts', 'sources'),
  isolation: of('parts', 'sources'),
  hear: of('players'),
  parts: from('snare', 'kick', 'tom-1', 'crash', 'hi-hat', 'ride', 'another'),
};

const FINISHED = new Set([
  'floor',
  'ceiling',
  'walls',
  'top',
  'right',
  'bottom',
  'left',
  'finish',
  'outside',
]);

/** A word for the key, or `fallback`. */
export function wordFor(key: string, dice: Dice, given: Given): unknown {
  if (FINISHED.has(key)) return dice.pick(FINISHES);
  return BY_KEY[key]?.(dice, given) ?? dice.pick(['one', 'another', 'third']);
}

export const nameIn = (key: string, dice: Dice, given: Given): string =>
  String(MAPS[key]?.(dice, given) ?? `${key.slice(0, 1)}${dice.whole(1, 9)}`);
