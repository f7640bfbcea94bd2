/** Changes to single microphones, for which nothing else in a plan need be read again: some thousand a second. */
import type { Finding, Path } from '../finding.ts';
import type { PlanData } from '../plan/plan.ts';
import type { MicEntry } from '../plan/plan-mics.ts';
import { readWith } from '../plan/schema-frame.ts';
import { mic as micSchema } from '../plan/schema-mics.ts';
import { type MapNode, type Node, scalarsOf } from '../plan/tree.ts';
import { findingOf } from '../plan/validate.ts';
import type { Catalogue } from '../scene/catalogue.ts';
import { emptyNotes } from '../scene/notes.ts';
import { peopleOf } from '../scene/people.ts';
import { type Mics, resolveMics } from '../scene/resolve-mics.ts';
import { voicesOf } from '../scene/resolve-sources.ts';
import { roomAt, roomPlaces } from '../scene/room-places.ts';
import type { Scene } from '../scene/scene.ts';
import type { Setting } from '../scene/setting.ts';
import type { Voice } from '../scene/voice.ts';
import type { Computed, Outcome } from './bench-plan.ts';
import { retransfer } from './retransfer.ts';
import { type Edit, withEdits } from './set-value.ts';

export type MicBench = {
  /** Null where more than microphones would have to be read again. */
  readonly attempt: (edits: readonly Edit[]) => Outcome | null;
};

export function micBench(base: Computed, catalogue: Catalogue): MicBench {
  const { plan, tree } = base;
  const setting = settingOf(base, catalogue);
  const voices = voicesOf(peopleOf(plan, roomPlaces(plan, emptyNotes()), emptyNotes()), setting);
  const lone = loneMics(tree, plan);
  const attempt = (edits: readonly Edit[]): Outcome | null => {
    const names = [...new Set(edits.map(({ path }) => String(path[1])))];
    if (edits.length === 0 || !edits.every(({ path }) => isWithin(path, lone))) return null;
    const read = readMics(withEdits(tree, edits), names);
    if ('faults' in read) return read;
    if (read.entries.some(([, { use }]) => !use)) return null;
    return attemptWith(base, voices, setting, read.entries);
  };
  return { attempt };
}

/** Deeper than the mic itself, on a mic by which nothing else goes; whom it is for would change what counts for its parts. */
const isWithin = (path: Path, lone: ReadonlySet<string>): boolean =>
  path[0] === 'mics' && path.length > 2 && path[2] !== 'for' && lone.has(String(path[1]));

function settingOf({ plan, scene }: Computed, catalogue: Catalogue): Setting {
  const places = roomPlaces(plan, emptyNotes());
  return {
    plan,
    catalogue,
    notes: emptyNotes(),
    air: scene.air,
    roomAt: (x, y) => roomAt(places, x, y),
    floorOf: (room) => places.rooms[room]?.floor ?? 0,
    ceilingOf: (room) => places.rooms[room]?.ceiling ?? Number.POSITIVE_INFINITY,
  };
}

/** Mics in use whose name stands nowhere else in the plan, as a target of facings or aims would. */
function loneMics(tree: MapNode, { mics }: PlanData): Set<string> {
  const targets = new Set<string>();
  for (const [key, { node }] of tree.entries) {
    if (key !== 'limits') for (const { text } of scalarsOf(node)) targets.add(text);
  }
  return new Set([...mics].filter(([name, { use }]) => use && !targets.has(name)).map(([name]) => name));
}

type Read =
  | { readonly entries: readonly (readonly [string, MicEntry])[] }
  | { readonly faults: readonly Finding[] };

function readMics(tree: MapNode, names: readonly string[]): Read {
  const written = tree.entries.get('mics')?.node as MapNode;
  const read = names.map((name) => readMic(name, written.entries.get(name)?.node));
  const faults = read.flatMap((one) => one.faults);
  return faults.length > 0
    ? { faults }
    : { entries: read.flatMap(({ name, value }) => (value ? [[name, value]] : [])) };
}

function readMic(name: string, node: Node | undefined) {
  if (!node) return { name, value: undefined, faults: [] };
  const { value, faults } = readWith(micSchema, node);
  return {
    name,
    value,
    faults: faults.map((fault) => findingOf({ ...fault, path: ['mics', name, ...(fault.path ?? [])] })),
  };
}

function attemptWith(
  base: Computed,
  voices: readonly Voice[],
  setting: Setting,
  entries: readonly (readonly [string, MicEntry])[],
): Outcome | null {
  const notes = emptyNotes();
  const plan = { ...base.plan, mics: new Map([...aimedAt(base.plan, entries), ...entries]) };
  const made = resolveMics(voices, { ...setting, plan, notes });
  const faults = notes.findings.filter(({ severity }) => severity === 'error');
  if (faults.length > 0) return { faults };
  const names = new Set(entries.map(([name]) => name));
  const changed = withMics(base.scene, made, names);
  const scene = changed && base.lay ? base.lay(changed) : changed;
  const mics = base.scene.mics.flatMap(({ name }, i) => (names.has(name) ? [i] : []));
  return scene && { scene, result: retransfer(base, scene), mics };
}

/** Other mics that these look at must be there to be looked at. */
function aimedAt({ mics }: PlanData, entries: readonly (readonly [string, MicEntry])[]) {
  const targets = new Set(
    entries.flatMap(([, { aim, nullAt }]) => [
      ...(aim && 'target' in aim ? [aim.target] : []),
      ...(nullAt === undefined ? [] : [nullAt]),
    ]),
  );
  return [...mics].filter(([name]) => targets.has(name));
}

/** Null where a mic has more or fewer capsules than before. */
function withMics(scene: Scene, made: Mics, names: ReadonlySet<string>): Scene | null {
  const mics = [...scene.mics];
  const capsules = [...scene.capsules];
  for (const mic of made.mics.filter(({ name }) => names.has(name))) {
    const index = mics.findIndex(({ name }) => name === mic.name);
    const old = mics[index];
    if (!old || old.capsules.length !== mic.capsules.length) return null;
    mics[index] = { ...mic, capsules: old.capsules };
    old.capsules.forEach((at, i) => {
      const capsule = made.capsules[mic.capsules[i] as number];
      if (capsule) capsules[at] = { ...capsule, mic: index };
    });
  }
  return { ...scene, mics, capsules };
}
