/** Names a plan gives: what they may be made of, and who shares a space with whom. */
import type { Path } from '../finding.ts';
import { numberAndUnit, readsAsQuantity } from './quantity.ts';
import type { Fault } from './schema-frame.ts';
import type { MapNode, Node } from './tree.ts';
import { visible } from './visible.ts';

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
  if (visible(name) !== name)
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
