/** Names that a plan gives, as far as it can be read: what a command line may ask for. */
import type { MapNode, Node } from './tree.ts';

export type NameKind = 'mics' | 'capsules' | 'sources' | 'parts' | 'passages' | 'players';

/** `piecesOf` gives the pieces of a kit of the catalogue, of all else none. */
export function namesIn(plan: MapNode, kind: NameKind, piecesOf: (instrument: string) => readonly string[]) {
  const names = [...NAMES[kind](plan, piecesOf)];
  return [...new Set(names)].filter(isPlain);
}

/** Nothing that steers a terminal. */
export const isPlain = (name: string): boolean => !/\p{Cc}/u.test(name);

type PiecesOf = (instrument: string) => readonly string[];

const NAMES: Readonly<Record<NameKind, (plan: MapNode, piecesOf: PiecesOf) => Iterable<string>>> = {
  mics: (plan) => keysOf(at(plan, 'mics')),
  capsules,
  sources,
  parts,
  passages: (plan) => keysOf(at(plan, 'passages')),
  players: (plan) => [...keysOf(at(plan, 'players')), ...keysOf(at(plan, 'listeners'))],
};

/** Mics, and of pairs each side. */
function* capsules(plan: MapNode): Generator<string> {
  for (const [name, mic] of entriesOf(at(plan, 'mics'))) {
    yield name;
    if (at(mic, 'stereo')) yield* [`${name}.left`, `${name}.right`];
  }
}

type Played = { readonly name: string; readonly node: Node; readonly instrument: string };

/** What sounds, with the keys it has: instruments of players, by the player's name where he has but one; and sources. */
function* played(plan: MapNode): Generator<Played> {
  for (const [name, player] of entriesOf(at(plan, 'players'))) {
    const plays = at(player, 'plays');
    const several = entriesOf(plays);
    if (several.length === 0)
      yield { name, node: player, instrument: textOf(plays) || textOf(at(player, 'instrument')) };
    for (const [own, node] of several)
      yield { name: own, node, instrument: textOf(node) || textOf(at(node, 'instrument')) };
  }
  for (const [name, node] of entriesOf(at(plan, 'sources')))
    yield { name, node, instrument: textOf(at(node, 'instrument')) };
}

/** Players, what they play, kits and the pieces of each, and parts. */
function* sources(plan: MapNode, piecesOf: PiecesOf): Generator<string> {
  yield* keysOf(at(plan, 'players'));
  for (const { name, node, instrument } of played(plan)) {
    yield name;
    const own = entriesOf(at(node, 'parts'));
    const gone = new Set(own.filter(([, part]) => part.kind === 'scalar').map(([piece]) => piece));
    for (const piece of [...piecesOf(instrument), ...own.map(([each]) => each)])
      if (!gone.has(piece)) yield `${name}.${piece}`;
  }
  yield* parts(plan);
}

/** Each part by its own name or that of what it belongs to. */
function* parts(plan: MapNode): Generator<string> {
  for (const { name, node } of played(plan)) yield textOf(at(node, 'part')) || name;
}

const at = (node: Node | undefined, key: string): Node | undefined =>
  node?.kind === 'map' ? node.entries.get(key)?.node : undefined;
const entriesOf = (node: Node | undefined): [string, Node][] =>
  node?.kind === 'map' ? [...node.entries].map(([name, entry]) => [name, entry.node]) : [];
const keysOf = (node: Node | undefined): string[] => entriesOf(node).map(([name]) => name);
const textOf = (node: Node | undefined): string => (node?.kind === 'scalar' ? node.text : '');
