/** Edits of a plan tried: read and computed anew as far as they reach, held against its limits and the rules of the floor. */
import { decibels } from '../acoustics/bands.ts';
import { type Finding, type Path, takes } from '../finding.ts';
import * as geo from '../geometry.ts';
import * as criteria from '../judge/criteria.ts';
import { layOver, openPlan, type Session, sessionOf } from '../judge/session.ts';
import { micEnergies, pickedUp } from '../judge/signal-to-bleed.ts';
import { confidenceOf, type Draws, drawsOf } from '../judge/tolerance.ts';
import { findingOf, type MapNode, scalarsOf } from '../plan/document.ts';
import { type Edit, nodeAt, withEdits } from '../plan/edit.ts';
import { type MicEntry, mic } from '../plan/mics.ts';
import { type PlanData, validate } from '../plan/plan.ts';
import { readWith } from '../plan/schema.ts';
import { readQuantity } from '../plan/units.ts';
import { Notes, type Context as ResolveContext, type ResolvedSource } from '../scene/context.ts';
import { type Mics, resolveMics } from '../scene/mics.ts';
import { peopleOf } from '../scene/people.ts';
import { roomPlaces } from '../scene/room-places.ts';
import type { Capsule, Scene } from '../scene/scene.ts';
import { resolvedSources } from '../scene/sources.ts';
import { incrementalTransfer } from '../transfer/incremental.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { type Fix, type FixDraft, lengthFormatOf } from './fixes.ts';
import type { Focus } from './objective.ts';
import { refusal, wedgeListener } from './places.ts';

/** A plan from which fixes are tried, and how far it meets its limits. */
export type Baseline = {
  readonly evaluator: Evaluator;
  readonly context: criteria.Context;
  readonly margins: criteria.LimitMargins;
  /** The margins that count: without what fixes made so far gained of proximity effect alone. */
  readonly judged: criteria.LimitMargins;
  /** By how much less each margin counts than its plain value, where the plan asks a confidence. */
  readonly allowances: criteria.Settle | null;
};

/**
 * With a confidence each change would take hundreds of transfers. While fixes are tried, a margin is therefore the plain one
 * less what the runs took from it in the plan that was asked about; the fixes shown then get runs of their own.
 */
export function baselineOf(
  evaluator: Evaluator,
  allowances: criteria.Settle | null,
  context = contextIn(evaluator),
  judged?: criteria.LimitMargins,
): Baseline {
  const margins = criteria.marginsOf(context, allowances);
  return { evaluator, context, margins, judged: judged ?? margins, allowances };
}

/** That of the plan that is asked about itself; its runs are null where it asks no confidence. */
export type FirstBaseline = Baseline & { readonly draws: Draws | null };

export function firstBaseline(evaluator: Evaluator): FirstBaseline {
  const context = contextIn(evaluator);
  const draws = evaluator.base.scene.limits.confidence === null ? null : drawsOf(context);
  const sure = draws && confidenceOf(context, draws);
  return { ...baselineOf(evaluator, sure && allowancesOf(context, sure), context), draws };
}

export const contextIn = ({ base: { scene, result } }: Evaluator) => criteria.contextOf(scene, result);

function allowancesOf(context: criteria.Context, sure: criteria.Settle): criteria.Settle {
  const allowances = new Map(
    criteria.marginsOf(context, null).rows.map((row) => {
      const { kind, about, margin } = row;
      return [criteria.keyOf(row), margin - (sure(kind, about, margin)?.margin ?? margin)];
    }),
  );
  return (kind, about, margin) => {
    const allowance = allowances.get(criteria.keyOf({ kind, about }));
    return allowance ? { margin: margin - allowance, remark: null } : null;
  };
}

export type Tried = {
  readonly margins: criteria.LimitMargins;
  /** The margins that count: without what only the proximity effect of a mic brought nearer gains. */
  readonly judged: criteria.LimitMargins;
  /** The changed plan, computed once more: of the thousand that are tried a dozen are shown, and each takes a third of a megabyte. */
  readonly again: () => Pick<Changed, 'scene' | 'result'>;
};

/** Most that turning a mic may cost of its own source, dB. */
const MOST_LOST = 2;

/** All made at once; null where the plan would be invalid, nobody would make them, or one of them would cost what it must not. */
export function tryFixes(
  baseline: Baseline,
  fixes: readonly Pick<Fix, 'kind' | 'about' | 'edits' | 'keeps'>[],
): Tried | null {
  const { evaluator, context, allowances } = baseline;
  const edits = fixes.flatMap((fix) => fix.edits);
  const made = evaluator.attempt(edits);
  if ('faults' in made) return null;
  const { scene } = made;
  const { base } = evaluator;
  // before its energies are asked for, which cost far more
  if (refusal(base, scene) !== null) return null;
  const { result } = made;
  const isKept = (mic: string) =>
    ownLevel(scene, result, mic) >= ownLevel(base.scene, base.result, mic) - MOST_LOST;
  if (!fixes.every(({ keeps = [] }) => keeps.every(isKept))) return null;
  const margins = criteria.marginsOf(contextAfter(context, made), allowances);
  const nearer = fixes.flatMap(({ kind, about }) => (kind === 'closer' ? about : []));
  return {
    margins,
    judged: judgedAfter(baseline, made, margins, nearer),
    again: () => planAgain(evaluator, edits),
  };
}

/** The proximity effect of mics brought nearer is tone, not separation: what it alone gains does not count. */
function judgedAfter(
  { evaluator: { base }, context, allowances, margins, judged }: Baseline,
  made: Changed,
  after: criteria.LimitMargins,
  nearer: readonly string[],
): criteria.LimitMargins {
  const changed = base.scene.mics.flatMap(({ name }, i) => (nearer.includes(name) ? [i] : []));
  const isBoosted = ({ mic, proximity, pattern: { table, a } }: Capsule) =>
    changed.includes(mic) && proximity && table === null && a.some((one) => one < 1);
  const hasBoost = base.scene.capsules.some(isBoosted);
  if (!hasBoost && judged === margins) return after;
  const plain = (scene: Scene): criteria.LimitMargins => {
    const capsules = scene.capsules.map((one) => (isBoosted(one) ? { ...one, proximity: false } : one));
    const without = { ...scene, capsules };
    const result = incrementalTransfer(base, without);
    const mics = made.mics && changed;
    return criteria.marginsOf(contextAfter(context, { scene: without, result, mics }), allowances);
  };
  const [from, to, plainly, counted] = (
    hasBoost ? [plain(base.scene), plain(made.scene), margins, judged] : [margins, after, margins, judged]
  ).map(({ rows }) => new Map(rows.map((row) => [criteria.keyOf(row), row.margin])));
  const rows = after.rows.map((row) => {
    const at = (all: ReadonlyMap<string, number> | undefined) => all?.get(criteria.keyOf(row)) ?? Number.NaN;
    const margin = at(counted) + Math.min(at(to) - at(from), row.margin - at(plainly));
    return Number.isFinite(margin) ? { ...row, margin } : row;
  });
  return criteria.summed(rows);
}

/** What criteria read of a changed plan, with all that the change does not touch from the plan before it. */
export const contextAfter = (context: criteria.Context, { scene, result, mics }: Changed): criteria.Context =>
  criteria.contextOf(scene, result, mics ? { context, changed: mics } : undefined);

function planAgain(evaluator: Evaluator, edits: readonly Edit[]): Changed {
  const made = evaluator.attempt(edits);
  if ('faults' in made) throw new Error('a fix that was valid is no longer');
  return made;
}

/** Level of what a mic is for, before its filters, dB. */
function ownLevel({ mics }: Scene, result: Transfer, name: string): number {
  const mic = mics.find((one) => one.name === name);
  if (!mic) return Number.NEGATIVE_INFINITY;
  const energies = pickedUp(micEnergies(result, mic, mic.capsules), mic.wanted, { filtered: false });
  const sum = energies.reduce((a, b) => a + b, 0);
  return sum > 0 ? decibels(sum) : Number.NEGATIVE_INFINITY;
}

// Moving a player with everything of theirs: what they play that has a place of its own, wedges, and the mics for them.

/** A player, or a source of its own. */
export type Thing = {
  readonly name: string;
  readonly section: 'players' | 'sources';
  readonly at: readonly [number, number];
  readonly room: number;
  /** Degrees. */
  readonly facing: number;
};

/** Whoever and whatever is in focus and may be moved. */
export function movable({ plan, scene }: Computed, sounding: ReadonlySet<string>): Thing[] {
  const players = scene.players.flatMap(({ name, at, room, facing }, i): Thing[] => {
    const entry = plan.players.get(name);
    const plays = scene.sources.some(({ player, path }) => player === i && path[0] === 'players');
    return entry && !entry.fixed && plays
      ? [{ name, section: 'players', at: [at[0], at[1]], room, facing }]
      : [];
  });
  const alone = [...plan.sources].flatMap(([name, { at, fixed }]): Thing[] => {
    const source = scene.sources.find((one) => one.name === name);
    const [point] = source?.points ?? [];
    if (fixed || !point) return [];
    return [
      { name, section: 'sources', at: [at.x, at.y], room: point.room, facing: geo.bearingOf(point.axis) },
    ];
  });
  return [...players, ...alone].filter(({ name }) => sounding.has(name));
}

export function editsMoving(base: Computed, thing: Thing, by: readonly [number, number]): Edit[] {
  const mics = ownMicNames(base.scene, thing).filter((name) => !base.plan.mics.get(name)?.fixed);
  const plays = nodeAt(base.tree, [thing.section, thing.name, 'plays']);
  const played = plays?.kind === 'map' ? [...plays.entries.keys()] : [];
  const { scene, plan } = base;
  const wedges = scene.sources.filter((source) => {
    const listener = scene.players[wedgeListener(plan, scene, source)];
    const isTheirs = thing.section === 'players' && listener?.name === thing.name;
    return isTheirs && !plan.sources.get(source.name)?.fixed;
  });
  const paths = [
    [thing.section, thing.name, 'at'],
    ...wedges.map(({ name }) => ['sources', name, 'at']),
    ...played.map((name) => [thing.section, thing.name, 'plays', name, 'at']),
    ...mics.map((name) => ['mics', name, 'at']),
  ];
  return paths.flatMap((path) => shifted(base, path, by) ?? []);
}

/** Names of the mics for nobody else. */
export function ownMicNames(scene: Scene, { name, section }: Thing): string[] {
  const own = (source: number) => {
    const one = scene.sources[source];
    if (one?.path[0] !== section) return false;
    return section === 'sources' ? one.name === name : one.path[1] === name;
  };
  return scene.mics
    .filter(({ purpose, line, wanted }) => purpose === 'parts' && !line && wanted.every(own))
    .map((mic) => mic.name);
}

function shifted({ tree }: Computed, path: readonly string[], by: readonly [number, number]): Edit[] | null {
  const [x, y] = [0, 1].map((i) => placed(tree, [...path, i]));
  if (x === null || y === null || x === undefined || y === undefined) return null;
  const { coordinate } = lengthFormatOf(tree);
  return [x + by[0], y + by[1]].map((value, i) => ({
    path: [...path, i],
    value: coordinate(value),
  }));
}

/** A length as written, in metres; null where it is written in a way that only the plan's reader knows. */
function placed(tree: Computed['tree'], path: Path): number | null {
  const node = nodeAt(tree, path);
  const read = node?.kind === 'scalar' ? readQuantity(node, 'length', { min: -1e6, max: 1e6 }) : null;
  return read?.ok ? read.value : null;
}

/** All fixes of a kind worth a try for whoever is in focus; whether each is valid is seen when it is tried. */
export type FixMaker = (base: Computed, focus: Focus) => readonly FixDraft[];

// Changes to single microphones, for which nothing else in a plan need be read again: some thousand a second.

/** Null where more than microphones would have to be read again. */
type MicEvaluator = (edits: readonly Edit[]) => Outcome | null;

function micEvaluator(base: Computed): MicEvaluator {
  const { plan, catalogue, tree } = base;
  const notes = new Notes();
  const context = { plan, catalogue, air: base.scene.air, places: roomPlaces(plan, notes), notes };
  const sources = resolvedSources(peopleOf(context), context);
  const lone = loneMics(tree, plan);
  return (edits) => {
    const names = [...new Set(edits.map(({ path }) => String(path[1])))];
    if (edits.length === 0 || !edits.every(({ path }) => isWithin(path, lone))) return null;
    const read = readMics(withEdits(tree, edits), names);
    if ('faults' in read) return read;
    if (read.entries.some(([, { use }]) => !use)) return null;
    return attemptWith(base, sources, context, read.entries);
  };
}

/** Deeper than the mic itself, on a mic by which nothing else goes; whom it is for would change what counts for its parts. */
const isWithin = (path: Path, lone: ReadonlySet<string>): boolean =>
  path[0] === 'mics' && path.length > 2 && path[2] !== 'for' && lone.has(String(path[1]));

/** Mics in use whose name stands nowhere else in the plan, as a target of facings or aims would. */
function loneMics(tree: MapNode, { mics }: PlanData): Set<string> {
  const targets = new Set<string>();
  for (const [key, { node }] of tree.entries) {
    if (key !== 'limits') for (const { text } of scalarsOf(node)) targets.add(text);
  }
  return new Set([...mics].filter(([name, { use }]) => use && !targets.has(name)).map(([name]) => name));
}

type MicEntries = readonly (readonly [string, MicEntry])[];

function readMics(tree: MapNode, names: readonly string[]): { entries: MicEntries } | Refused {
  const faults: Finding[] = [];
  const entries = names.flatMap((name) => {
    const node = nodeAt(tree, ['mics', name]);
    if (!node) return [];
    const read = readWith(mic, node);
    const inPlan = ({ path = [], ...fault }: (typeof read.faults)[number]) =>
      findingOf({ ...fault, path: ['mics', name, ...path] });
    faults.push(...read.faults.map(inPlan));
    return read.value ? [[name, read.value] as const] : [];
  });
  return faults.length > 0 ? { faults } : { entries };
}

function attemptWith(
  base: Computed,
  sources: readonly ResolvedSource[],
  context: ResolveContext,
  entries: MicEntries,
): Outcome | null {
  const notes = new Notes();
  const plan = { ...base.plan, mics: new Map([...aimedAt(base.plan, entries), ...entries]) };
  const made = resolveMics(sources, { ...context, plan, notes });
  const faults = notes.findings.filter(({ severity }) => severity === 'error');
  if (faults.length > 0) return { faults };
  const names = new Set(entries.map(([name]) => name));
  const changed = withMics(base.scene, made, names);
  const scene = changed && base.lay ? base.lay(changed) : changed;
  const mics = base.scene.mics.flatMap(({ name }, i) => (names.has(name) ? [i] : []));
  return scene && { scene, result: incrementalTransfer(base, scene), mics };
}

/** Other mics that these are aimed at must be present. */
function aimedAt({ mics }: PlanData, entries: MicEntries) {
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

export const A_SESSION = 'a session, of sessionOf';

/** A plan without errors, with its energies. */
export type Computed = Pick<Session, 'tree' | 'plan' | 'catalogue' | 'scene' | 'result' | 'lay'>;
/** A changed plan; or why it is invalid. */
export type Outcome = Changed | Refused;
type Refused = { readonly faults: readonly Finding[] };

export type Changed = Pick<Computed, 'scene' | 'result'> & {
  /** Indices of the only mics that changed; null where more did. */
  readonly mics: readonly number[] | null;
};

export type Evaluator = {
  readonly base: Computed;
  /** The plan with some values changed, all else as it is; the same as reading the changed plan afresh. */
  readonly attempt: (edits: readonly Edit[]) => Outcome;
  /** The same, with the plan itself: what further changes can start from. */
  readonly commit: (edits: readonly Edit[]) => Computed | Refused;
};

export function evaluatorOf(base: Computed): Evaluator {
  takes('evaluatorOf', A_SESSION, base, ['tree', 'scene', 'result']);
  let mics: MicEvaluator | null = null;
  const commit: Evaluator['commit'] = (edits) => {
    const tree = withEdits(base.tree, edits);
    const { findings, open } = openPlan({ tree, ...validate(tree) }, base.catalogue, 'errors');
    if (!open) return { faults: findings.filter(({ severity }) => severity === 'error') };
    // energies are computed when first asked for: many a changed plan is turned down for where things would stand
    const { lay } = base;
    const changed = lay ? layOver(open, lay) : open;
    return sessionOf(changed, (scene) => incrementalTransfer(base, scene));
  };
  const attempt: Evaluator['attempt'] = (edits) => {
    mics ??= micEvaluator(base);
    const changed = mics(edits);
    if (changed) return changed;
    const made = commit(edits);
    return 'faults' in made ? made : Object.assign(made, { mics: null });
  };
  return { base, attempt, commit };
}
