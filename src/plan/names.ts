/** Names a plan gives: rules, collisions, listing for completion. */
import type { Path } from '../finding.ts';
import { escapeControl } from '../text.ts';
import type { Fault, MapNode, Node } from './document.ts';
import { numberAndUnit, readsAsQuantity } from './units.ts';

const TAKEN = new Set(['all', 'room', 'outside']);

export const LONGEST_NAME = 100;

/** Units outside the common table that a target could be taken for. */
const ANGLES = /^(?:rad|radians?|grads?|turns?|arcmin|arcsec)$/i;

/** Why a name cannot stand, in words that go on from it, and what would mend it; null for a good name. */
export function nameFault(name: string): { message: string; mend: string } | null {
  const bad = (message: string, mend: string) => ({ message, mend });
  if (name.trim() === '') return bad('is an empty name', 'give it a name');
  if (name !== name.trim()) return bad('begins or ends with a blank', `write ${name.trim()}`);
  if ([...name].length > LONGEST_NAME)
    return bad(`is longer than ${LONGEST_NAME} characters`, 'choose a shorter name');
  if (escapeControl(name) !== name)
    return bad('holds a control character', 'write it with letters, figures, blanks, - and _');
  if (readsAsQuantity(name) || ANGLES.test(numberAndUnit(name)?.unit ?? '')) {
    return bad(
      'reads as a number or a quantity',
      `put a letter before it, as in x${name.replaceAll('.', '-')}`,
    );
  }
  if (/^(?:true|false|null|~)$/i.test(name)) return bad('reads as yes, no or nothing', 'choose another name');
  const [mark] = /[.[\]{}()]/.exec(name) ?? [];
  if (mark)
    return bad(`holds \`${mark}\`, which no name may`, `write ${name.replaceAll(/[.[\]{}()]/g, '-')}`);
  return TAKEN.has(name) ? bad('is taken: it has a meaning of its own', 'choose another name') : null;
}

/** Faults of all names of a plan, at their places. */
export function namesOf(plan: MapNode): Fault[] {
  const faults: Fault[] = [];
  const owners = new Map<string, { readonly what: string; readonly player: string }>();
  for (const { path, name, what, shared } of given(plan)) {
    const bad = nameFault(name);
    if (bad) faults.push({ code: 'BAD_NAME', ...bad, path });
    if (!shared) continue;
    const owner = owners.get(name);
    // a player and his only instrument may go by one name
    if (owner && !(shared.onlyOf === name && owner.player === name)) {
      const mend =
        'give one of them another name: players, instruments, sources and listeners share one space';
      faults.push({ code: 'BAD_NAME', message: `is already the name of ${owner.what}`, mend, path });
    }
    if (!owner) owners.set(name, { what, player: what === 'a player' ? name : '' });
  }
  return faults;
}

type Given = {
  readonly path: Path;
  readonly name: string;
  readonly what: string;
  /** In the space of what can be a target; `onlyOf` the player who plays nothing else. */
  readonly shared: { readonly onlyOf: string | null } | null;
};

function* given(plan: MapNode): Generator<Given> {
  for (const [section, what] of [
    ['players', 'a player'],
    ['sources', 'a source'],
    ['listeners', 'a listener'],
  ] as const) {
    for (const [path, name] of below(plan, [section])) yield { path, name, what, shared: { onlyOf: null } };
  }
  for (const [path, player] of below(plan, ['players'])) {
    const played = [...below(plan, [...path, 'plays'])];
    const onlyOf = played.length === 1 ? player : null;
    for (const [at, name] of played) {
      yield { path: at, name, what: `an instrument of ${player}`, shared: { onlyOf } };
      for (const part of below(plan, [...at, 'parts']))
        yield { path: part[0], name: part[1], what: 'a part', shared: null };
    }
    for (const [at, name] of below(plan, [...path, 'parts']))
      yield { path: at, name, what: 'a part', shared: null };
  }
  for (const section of ['rooms', 'partitions', 'baffles', 'mics', 'passages']) {
    for (const [path, name] of below(plan, [section])) yield { path, name, what: section, shared: null };
  }
  for (const [room] of below(plan, ['rooms'])) {
    for (const [path, name] of below(plan, [...room, 'patches']))
      yield { path, name, what: 'a patch', shared: null };
  }
  for (const section of ['no-stands', 'walkways']) {
    for (const [path, name] of below(plan, ['floor', section]))
      yield { path, name, what: section, shared: null };
  }
}

/** Names in the map at a path, with the path of each. */
function* below(plan: Node, path: Path): Generator<readonly [Path, string]> {
  let node: Node | undefined = plan;
  for (const step of path) node = node?.kind === 'map' ? node.entries.get(String(step))?.node : undefined;
  if (node?.kind === 'map') for (const name of node.entries.keys()) yield [[...path, name], name];
}

// Names that a plan gives, as far as it can be read: what a command line may ask for.

export type NameKind = 'mics' | 'capsules' | 'sources' | 'parts' | 'passages' | 'players';

/** `piecesOf` gives the pieces of a kit of the catalogue, of all else none. */
export function namesIn(plan: MapNode, kind: NameKind, piecesOf: (instrument: string) => readonly string[]) {
  const names = [...NAMES[kind](plan, piecesOf)];
  return [...new Set(names)].filter(isPlain);
}

/** Nothing that steers a terminal. */
export const isPlain = (name: string): boolean => !/\p{Cc}/u.test(name);

type PiecesOf = (instrument: string) => readonly string[];

const keysOf = (node: Node | undefined): string[] => entriesOf(node).map(([name]) => name);

const entriesOf = (node: Node | undefined): [string, Node][] =>
  node?.kind === 'map' ? [...node.entries].map(([name, entry]) => [name, entry.node]) : [];

const at = (node: Node | undefined, key: string): Node | undefined =>
  node?.kind === 'map' ? node.entries.get(key)?.node : undefined;

const textOf = (node: Node | undefined): string => (node?.kind === 'scalar' ? node.text : '');

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
