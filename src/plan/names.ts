/** Names that a plan gives: what they may be, which may not be alike, and lists of them for a command line. */
import type { Path } from '../finding.ts';
import { escapeControl } from '../text.ts';
import { childOf, entriesOf, type Fault, type MapNode, type Node, nodesAt } from './document.ts';
import { numberAndUnit, readsAsQuantity } from './units.ts';

const TAKEN = new Set(['all', 'room', 'outside']);
export const LONGEST_NAME = 100;
/** Units outside the common table that a target could be taken for. */
const ANGLES = /^(?:rad|radians?|grads?|turns?|arcmin|arcsec)$/i;

/** What is wrong with a name, in words that follow it, and how to fix it; null for a good name. */
export function nameFault(name: string): { message: string; fix: string } | null {
  const bad = (message: string, fix: string) => ({ message, fix });
  if (name.trim() === '') return bad('is an empty name', 'give it a name');
  if (name !== name.trim()) return bad('starts or ends with a space', `write ${name.trim()}`);
  if ([...name].length > LONGEST_NAME)
    return bad(`is longer than ${LONGEST_NAME} characters`, 'choose a shorter name');
  if (escapeControl(name) !== name)
    return bad('contains a control character', 'use letters, digits, spaces, - and _');
  const lettered = `put a letter before it, as in x${name.replaceAll('.', '-')}`;
  if (readsAsQuantity(name) || ANGLES.test(numberAndUnit(name)?.unit ?? ''))
    return bad('reads as a number or quantity', lettered);
  if (/^(?:true|false|null|~)$/i.test(name))
    return bad('reads as true, false or nothing', 'choose another name');
  const [mark] = /[.[\]{}()]/.exec(name) ?? [];
  if (mark)
    return bad(
      `contains \`${mark}\`, which is not allowed in a name`,
      `write ${name.replaceAll(/[.[\]{}()]/g, '-')}`,
    );
  return TAKEN.has(name) ? bad('is a reserved word', 'choose another name') : null;
}

/** Where names are given that can be a target, so that no two may be alike; * is any name. */
const TARGETS: readonly Path[] = [
  ['players', '*'],
  ['sources', '*'],
  ['listeners', '*'],
  ['players', '*', 'plays', '*'],
];

/** Where other names are given. */
const OTHERS: readonly Path[] = [
  ['players', '*', 'plays', '*', 'parts', '*'],
  ['players', '*', 'parts', '*'],
  ...['rooms', 'partitions', 'baffles', 'mics', 'passages'].map((section) => [section, '*']),
  ['rooms', '*', 'patches', '*'],
  ['floor', 'no-stands', '*'],
  ['floor', 'walkways', '*'],
];

/** Errors of all names of a plan, at their places. */
export function nameFaults(plan: MapNode): Fault[] {
  const at = (places: readonly Path[]) => places.flatMap((place) => [...nodesAt(plan, place)]);
  const targets = at(TARGETS).map(({ path }) => path);
  const malformed = [...targets, ...at(OTHERS).map(({ path }) => path)].flatMap((path): Fault[] => {
    const bad = nameFault(path.at(-1) ?? '');
    return bad ? [{ code: 'BAD_NAME', ...bad, path }] : [];
  });
  const owners = new Map<string, readonly string[]>();
  const taken = targets.flatMap((path): Fault[] => {
    const name = path.at(-1) ?? '';
    const owner = owners.get(name);
    if (!owner) owners.set(name, path);
    if (!owner || isOnlyInstrumentOf(owner, path, targets)) return [];
    const message = `is already the name of ${inWords(owner)}`;
    const fix = 'rename one: players, instruments, sources and listeners share one set of names';
    return [{ code: 'BAD_NAME', message, fix, path }];
  });
  return [...malformed, ...taken];
}

/** A player and their only instrument may go by one name. */
const isOnlyInstrumentOf = (
  owner: readonly string[],
  path: readonly string[],
  all: readonly (readonly string[])[],
): boolean =>
  owner.length === 2 &&
  path.length === 4 &&
  owner.every((step, i) => step === path[i]) &&
  all.filter((one) => one.length === 4 && one[1] === path[1]).length === 1;

const inWords = ([section, player, plays]: readonly string[]): string =>
  plays ? `an instrument of ${player}` : `a ${section?.replace(/s$/, '')}`;

export type NameKind = 'mics' | 'capsules' | 'sources' | 'parts' | 'passages' | 'players';

/** `piecesOf` gives the pieces of a kit of the catalogue, of all else none. */
export function namesIn(plan: MapNode, kind: NameKind, piecesOf: PiecesOf) {
  const names = [...NAMES[kind](plan, piecesOf)];
  return [...new Set(names)].filter(isPlain);
}

/** Nothing that no name may hold. */
export const isPlain = (name: string): boolean => escapeControl(name) === name;
type PiecesOf = (instrument: string) => readonly string[];
const keysOf = (node: Node | undefined): string[] => entriesOf(node).map(([name]) => name);

const textOf = (node: Node | undefined): string => (node?.kind === 'scalar' ? node.text : '');

const NAMES: Readonly<Record<NameKind, (plan: MapNode, piecesOf: PiecesOf) => Iterable<string>>> = {
  mics: (plan) => keysOf(childOf(plan, 'mics')),
  capsules,
  sources,
  parts,
  passages: (plan) => keysOf(childOf(plan, 'passages')),
  players: (plan) => [...keysOf(childOf(plan, 'players')), ...keysOf(childOf(plan, 'listeners'))],
};

/** Mics, and of pairs each side. */
function* capsules(plan: MapNode): Generator<string> {
  for (const [name, mic] of entriesOf(childOf(plan, 'mics'))) {
    yield name;
    if (childOf(mic, 'stereo')) yield* [`${name}.left`, `${name}.right`];
  }
}

type Played = { readonly name: string; readonly node: Node; readonly instrument: string };

/** What sounds, with the keys it has: instruments of players, by the player's name where they have but one; and sources. */
function* played(plan: MapNode): Generator<Played> {
  for (const [name, player] of entriesOf(childOf(plan, 'players'))) {
    const plays = childOf(player, 'plays');
    const several = entriesOf(plays);
    if (several.length === 0)
      yield { name, node: player, instrument: textOf(plays) || textOf(childOf(player, 'instrument')) };
    for (const [own, node] of several)
      yield { name: own, node, instrument: textOf(node) || textOf(childOf(node, 'instrument')) };
  }
  for (const [name, node] of entriesOf(childOf(plan, 'sources')))
    yield { name, node, instrument: textOf(childOf(node, 'instrument')) };
}

/** Players, what they play, kits and the pieces of each, and parts. */
function* sources(plan: MapNode, piecesOf: PiecesOf): Generator<string> {
  yield* keysOf(childOf(plan, 'players'));
  for (const { name, node, instrument } of played(plan)) {
    yield name;
    const own = entriesOf(childOf(node, 'parts'));
    const gone = new Set(own.filter(([, part]) => part.kind === 'scalar').map(([piece]) => piece));
    for (const piece of [...piecesOf(instrument), ...own.map(([each]) => each)])
      if (!gone.has(piece)) yield `${name}.${piece}`;
  }
  yield* parts(plan);
}

/** Each part by its own name or that of what it belongs to. */
function* parts(plan: MapNode): Generator<string> {
  for (const { name, node } of played(plan)) yield textOf(childOf(node, 'part')) || name;
}
