/** Values of a plan varied: axes and their combinations, a row of values for each, and the best rows. */
import { type Finding, isFinding, type Path, pathsOverlap, takes, usageError } from '../finding.ts';
import { type Context, channelsOf, contextOf, type LimitMargins } from '../judge/criteria.ts';
import { judgedMargins } from '../judge/tolerance.ts';
import { type LengthUnit, type MapNode, type Node, readDocument, unitsOfTree } from '../plan/document.ts';
import { type Edit, plainInline } from '../plan/edit.ts';
import { planSchema } from '../plan/plan.ts';
import type { Shape } from '../plan/schema.ts';
import { readUncommon } from '../plan/units.ts';
import { mainMics, type Scene } from '../scene/scene.ts';
import { integers } from '../statistics.ts';
import { type StepOptions, stretches } from '../steps.ts';
import { closestFew, didYouMean, unknownName } from '../text.ts';
import { A_SESSION, type Computed, contextAfter, type Evaluator, evaluatorOf } from './evaluate.ts';

/** The best rows of any number of them, however many go by. */
export type BestRows = {
  readonly add: (row: TrialRow) => void;
  /** Best first; of equals the one that came first. Rows without the value are never among them. */
  readonly rows: () => readonly TrialRow[];
};

export function bestRows(most: number, column: number, moreIsBetter: boolean): BestRows {
  const kept: { readonly rank: number; readonly row: TrialRow }[] = [];
  const add = (row: TrialRow): void => {
    const figure = row.results[column] ?? null;
    if (figure === null) return;
    const rank = moreIsBetter ? -figure : figure;
    if (kept.length === most && rank >= (kept.at(-1)?.rank ?? 0)) return;
    const place = kept.findIndex((other) => other.rank > rank);
    kept.splice(place < 0 ? kept.length : place, 0, { rank, row });
    if (kept.length > most) kept.pop();
  };
  return { add, rows: () => kept.map(({ row }) => row) };
}

export type TrialRow = {
  readonly row: number;
  /** As they are set, by axis. */
  readonly values: readonly Node[];
  /** By column; all null where the plan does not stand. */
  readonly results: readonly (number | null)[];
  /** Why the plan does not stand, or null. */
  readonly fault: string | null;
};

/** Rows computed, of how many. */
export type TrialProgress = { readonly done: number; readonly total: number };

/** A row at a time, as they are asked for, until the signal comes. */
export function* tryAll(
  base: Computed,
  trials: Trials,
  columns: readonly Column[],
  { onProgress, signal }: StepOptions<TrialProgress> = {},
): Generator<TrialRow> {
  takes('tryAll', A_SESSION, base, ['tree', 'scene', 'result']);
  takes('tryAll', 'trials, of trialsOf', trials, ['axes', 'from', 'to']);
  takes('tryAll', 'a list of columns', columns, 'list');
  for (const column of columns) takes('tryAll', 'columns of columnNamed or columnsOf', column, ['read']);
  const outcomeOf = outcomes(base, trials.axes);
  const { from, to } = trials;
  for (const { row, values } of trialRows(trials)) {
    if (signal?.aborted) return;
    onProgress?.({ done: row - 1 - from, total: to - from });
    const made = outcomeOf(values);
    if ('faults' in made)
      yield { row, values, results: columns.map(() => null), fault: faultText(made.faults) };
    else yield { row, values, results: columns.map(({ read }) => read(made)), fault: null };
  }
}

/** The same with pauses, in which others work and the signal may come. */
export async function* runTrials(...given: Parameters<typeof tryAll>): AsyncGenerator<TrialRow> {
  const { isDue, pause } = stretches();
  for (const row of tryAll(...given)) {
    yield row;
    if (isDue()) await pause();
  }
}

/** A computed trial: what columns read. */
type View = {
  readonly context: Context;
  /** At the confidence that the plan asks, computed when first asked for: one transfer a run. */
  readonly margins: () => LimitMargins;
};

type Made = View | { readonly faults: readonly Finding[] };

/**
 * What axes other than mics set stays for many rows: it is computed once, and the mics are tried on top of it. Where it does
 * not stand by itself, each row is computed whole.
 */
function outcomes(base: Computed, axes: readonly Axis[]): (values: readonly Node[]) => Made {
  const edits = (values: readonly Node[], ofMics: boolean): Edit[] =>
    axes.flatMap(({ path }, i) =>
      (path[0] === 'mics') === ofMics ? [{ path, value: setting(values[i]) }] : [],
    );
  const plain = startOf(evaluatorOf(base));
  let now: { readonly key: string; readonly start: Start | null } = { key: '', start: plain };
  return (values) => {
    const others = edits(values, false);
    const key = others.map(({ value }) => `\n${value ? plainInline(value) : '~'}`).join('');
    if (key !== now.key) {
      const set = plain.evaluator.commit(others);
      now = { key, start: 'faults' in set ? null : startOf(evaluatorOf(set)) };
    }
    if (now.start) return attempt(now.start, edits(values, true));
    return attempt(plain, [...others, ...edits(values, true)]);
  };
}

/** ~ removes a setting. */
const setting = (value: Node | undefined): Node | null =>
  value === undefined || (value.kind === 'scalar' && value.value === null) ? null : value;

type Start = { readonly evaluator: Evaluator; readonly context: Context };

const startOf = (evaluator: Evaluator): Start => ({
  evaluator,
  context: contextOf(evaluator.base.scene, evaluator.base.result),
});

function attempt({ evaluator, context }: Start, edits: readonly Edit[]): Made {
  if (edits.length === 0) return viewOf(context);
  const made = evaluator.attempt(edits);
  return 'faults' in made ? made : viewOf(contextAfter(context, made));
}

function viewOf(context: Context): View {
  let known: LimitMargins | null = null;
  const margins = () => {
    known ??= judgedMargins(context);
    return known;
  };
  return { context, margins };
}

const faultText = (faults: readonly Finding[]): string => faults.map(({ message }) => message).join('; ');

/** A setting and the values it takes. */
export type Axis = { readonly name: string; readonly path: Path; readonly values: Values };

export type Trials = {
  readonly axes: readonly Axis[];
  /** Of the whole, whatever slice is asked for. */
  readonly count: number;
  /** Rows from the first to before the last. */
  readonly from: number;
  readonly to: number;
  readonly seed: number | null;
};

type Trial = {
  /** From 1, of the whole. */
  readonly row: number;
  /** By axis. */
  readonly values: readonly Node[];
};

export type TrialOptions = {
  /** So many at random; null for every combination. */
  readonly random: number | null;
  readonly seed: number;
  /** Which part of how many, from 1. */
  readonly slice: readonly [number, number];
};

/** Rows a run may have: far above what anyone waits for, far below where counting fails. */
const MOST_ROWS = 1e9;

/** An axis from `mics.voice-mic.aim.bearing=0..350/10`. */
export async function axisOf(text: string, tree: MapNode): Promise<Axis | Finding> {
  takes('axisOf', 'a text such as mics.voice-mic.pattern=cardioid,omni', text, 'string');
  takes('axisOf', 'the tree of a plan', tree, ['entries']);
  // names may hold the mark too: the longest that leads to a setting
  const ends = [...text.matchAll(/=/g)].map(({ index }) => index);
  const parted = ends.map((end) => {
    const name = text.slice(0, end).trim();
    return { name, path: planPath(name, tree), values: text.slice(end + 1) };
  });
  const asked = parted.findLast(({ path }) => !('code' in path)) ?? parted[0];
  if (!asked) {
    const fix = 'write PATH=VALUES, such as mics.voice-mic.pattern=cardioid,omni';
    return usageError(`--each ${text} has no values`, fix);
  }
  const { name, path } = asked;
  if ('code' in path) return path;
  const values = await trialValues(asked.values, tree);
  return 'code' in values ? { ...values, message: `${name}: ${values.message}` } : { name, path, values };
}

/** An error among the axes is that of the whole. */
export function trialsOf(given: readonly (Axis | Finding)[], options: TrialOptions): Trials | Finding {
  takes('trialsOf', 'a list of axes, each of axisOf', given, 'list');
  const axes: Axis[] = [];
  for (const axis of given) {
    if (isFinding(axis)) return axis;
    takes('trialsOf', 'axes of axisOf', axis, ['path', 'values']);
    axes.push(axis);
  }
  takes('trialsOf', 'random, seed and slice', options, ['random', 'seed', 'slice']);
  takes('trialsOf', 'a slice such as [1, 1]', options.slice, 'list');
  const wrong = drawFault(options);
  if (wrong) return wrong;
  const { random, seed, slice } = options;
  const clash = axes.find((axis, i) => axes.slice(0, i).some((other) => pathsOverlap(axis.path, other.path)));
  if (clash) return usageError(`${clash.name} is set twice`, 'give each setting once');
  const endless = axes.find(({ values }) => countOf(values) === null);
  if (endless && random === null)
    return usageError(
      `the range of ${endless.name} has no step`,
      'add one, such as 0..350/10, or use --random',
    );
  const count = random ?? axes.reduce((product, { values }) => product * (countOf(values) ?? 1), 1);
  if (count > MOST_ROWS)
    return usageError(`${count} combinations, limit ${MOST_ROWS}`, 'use larger steps, or --random');
  const [part, parts] = slice;
  const edge = (index: number) => Math.floor((count * index) / parts);
  return { axes, count, from: edge(part - 1), to: edge(part), seed: random === null ? null : seed };
}

function drawFault({ random, seed, slice }: TrialOptions): Finding | null {
  const isCount = (value: unknown) => Number.isInteger(value) && Number(value) >= 1;
  if (random !== null && !isCount(random))
    return usageError(
      `${random} is not a number of rows to draw`,
      'write a whole number, or null for every row',
    );
  if (!Number.isInteger(seed)) return usageError(`the seed ${seed} is not a whole number`, 'write 1');
  const [part, parts] = slice;
  if (isCount(part) && isCount(parts) && part <= parts) return null;
  return usageError(
    `slice ${part}/${parts} is not a part of the rows`,
    'write a part and the number of parts, such as 2 of 8',
  );
}

/** The last axis turns fastest. */
export function* trialRows({ axes, from, to, seed }: Trials): Generator<Trial> {
  if (seed !== null) return yield* drawnRows(axes, from, to, seed);
  for (let index = from; index < to; index++) {
    let rest = index;
    const values = axes.toReversed().map(({ values }) => {
      const count = countOf(values) ?? 1;
      const value = valueAt(values, rest % count);
      rest = Math.floor(rest / count);
      return value;
    });
    yield { row: index + 1, values: values.reverse() };
  }
}

/** Every row draws for every axis from one stream, those of other slices too. */
function* drawnRows(axes: readonly Axis[], from: number, to: number, seed: number): Generator<Trial> {
  const next = integers(seed);
  for (let index = 0; index < to; index++) {
    const shares = axes.map(() => next() / 2 ** 32);
    if (index < from) continue;
    yield { row: index + 1, values: axes.map(({ values }, i) => valueDrawn(values, shares[i] ?? 0)) };
  }
}

type Values = Range | { readonly kind: 'list'; readonly nodes: readonly Node[] };

type Range = Readonly<Record<'from' | 'to', number>> & {
  readonly kind: 'range';
  /** Null for a range without: any value between is drawn. */
  readonly step: number | null;
  /** What follows each number: a unit, or words as in "dBA at 1 m"; may be empty. */
  readonly unit: string;
  readonly units: LengthUnit;
};

const ONE_UNIT = 'write the unit once, at the end: 10..50/5 cm';
const NUMBER = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)`;
const RANGE = new RegExp(String.raw`^(${NUMBER})\s*\.\.\s*(${NUMBER})(?:\s*\/\s*(${NUMBER}))?\s*(.*)$`, 's');

/** `0..350/10`, `10..50/5 cm`, `cardioid, figure-8`, `[1, 2], [2, 2]`; ~ removes the setting. Bare lengths are in the plan's units. */
async function trialValues(text: string, tree: MapNode): Promise<Values | Finding> {
  const units = unitsOfTree(tree);
  const [, from, to, step, unit = ''] = RANGE.exec(text.trim()) ?? [];
  if (from !== undefined && to !== undefined) return rangeOf(text, [from, to, step], unit, units);
  if (text.includes('..')) return valueRefusal(`"${text}" is not a range`, ONE_UNIT);
  const { tree: read, findings } = readDocument({
    name: '--each',
    text: `units: ${units}\nvalues: [${text}]\n`,
  });
  const list = read?.kind === 'map' ? read.entries.get('values')?.node : undefined;
  if (findings.length > 0 || list?.kind !== 'list') return valueRefusal(`"${text}" is not a list of values`);
  if (list.items.length === 0) return valueRefusal('no values given');
  await readUncommon(list);
  return { kind: 'list', nodes: list.items };
}

function rangeOf(
  text: string,
  [from, to, step]: readonly [string, string, string | undefined],
  unit: string,
  units: LengthUnit,
): Values | Finding {
  if (unit.includes('..') || unit.includes('/')) {
    return valueRefusal(`"${text}" is not a range`, ONE_UNIT);
  }
  const size = step === undefined ? null : Math.abs(Number(step));
  if (size === 0)
    return valueRefusal(`the range "${text}" has a step of 0`, 'write a step such as 0..350/10');
  return { kind: 'range', from: Number(from), to: Number(to), step: size, unit: unit.trim(), units };
}

/** How many values there are; null for a range without a step. */
function countOf(values: Values): number | null {
  if (values.kind === 'list') return values.nodes.length;
  const { from, to, step } = values;
  return step === null ? null : Math.floor(Math.abs(to - from) / step + 1e-9) + 1;
}

export function valueAt(values: Values, index: number): Node {
  if (values.kind === 'list') return values.nodes[index] as Node;
  const { from, to, step } = values;
  return numberNode(values, from + Math.sign(to - from) * index * (step ?? 0));
}

/** A share of the way through, 0 to below 1: of a list, or a range with a step, one of its values. */
function valueDrawn(values: Values, share: number): Node {
  const count = countOf(values);
  if (values.kind === 'range' && count === null)
    return numberNode(values, values.from + share * (values.to - values.from));
  return valueAt(values, Math.min((count ?? 1) - 1, Math.floor(share * (count ?? 1))));
}

/** To nine digits, so that 0.1 thrice is 0.3. */
function numberNode({ unit, units }: Range, exact: number): Node {
  const value = Number(exact.toPrecision(9));
  const text = unit === '' ? String(value) : `${value} ${unit}`;
  return { kind: 'scalar', value: unit === '' ? value : text, text, units, mark: NOWHERE, foreign: null };
}

const NOWHERE = { source: { name: '--each', text: '' }, offset: 0 };

const valueRefusal = (
  message: string,
  fix = 'write a range such as 0..350/10, or a list such as cardioid, omni',
): Finding => usageError(message, fix);

/** The path of a setting that the plan has or may have; or why there can be none, with the nearest that can. */
function planPath(text: string, tree: MapNode): Path | Finding {
  const words = text.split(/\.|\[(\d+)\]/).filter((word) => word !== undefined && word !== '');
  if (words.length === 0)
    return {
      ...usageError(`"${text}" is not a path in a plan`, 'write a path such as mics.voice-mic.at'),
      code: 'UNKNOWN_NAME',
    };
  let places: readonly Shape[] = [planSchema.shape];
  let node: Node | null = tree;
  const path: (string | number)[] = [];
  for (const word of words) {
    const step = node?.kind === 'list' || places.some(({ kind }) => kind === 'list') ? asIndex(word) : word;
    const next = places.flatMap((shape) => below(shape, step, node));
    if (next.length === 0) return unknown(path, word, places, node);
    path.push(step);
    node = childOf(node, step);
    places = next;
  }
  return path;
}

const asIndex = (word: string): string | number => (/^\d+$/.test(word) ? Number(word) : word);

function childOf(node: Node | null, step: string | number): Node | null {
  if (node?.kind === 'map') return node.entries.get(String(step))?.node ?? null;
  return node?.kind === 'list' ? (node.items[Number(step)] ?? null) : null;
}

/** What is below; names and items must be there already, keys need not. */
function below(shape: Shape, step: string | number, node: Node | null): Shape[] {
  if (shape.kind === 'union') return shape.forms.flatMap((form) => below(form.shape, step, node));
  if (shape.kind === 'object') {
    const key = Object.hasOwn(shape.keys, step) ? shape.keys[step] : undefined;
    return key ? [key.reader.shape] : [];
  }
  if (shape.kind === 'record') return childOf(node, step) ? [shape.item.shape] : [];
  if (shape.kind === 'bands') return /^\d+$/.test(String(step)) ? [shape.item.shape] : [];
  if (shape.kind !== 'list' || typeof step !== 'number' || !childOf(node, step)) return [];
  const item = shape.items[step] ?? shape.items[0];
  return item ? [item.shape] : [];
}

/** Steps that could be taken instead. */
function known(shape: Shape, node: Node | null): string[] {
  if (shape.kind === 'union') return shape.forms.flatMap((form) => known(form.shape, node));
  if (shape.kind === 'object') return Object.keys(shape.keys);
  if (shape.kind === 'record') return node?.kind === 'map' ? [...node.entries.keys()] : [];
  return shape.kind === 'list' && node?.kind === 'list' ? node.items.map((_, i) => String(i)) : [];
}

function unknown(path: Path, word: string, places: readonly Shape[], node: Node | null): Finding {
  const steps = places.flatMap((shape) => known(shape, node));
  const start = path.length === 0 ? '' : `${path.join('.')}.`;
  const near = closestFew(word, steps).map((step) => start + step);
  const asked = { what: 'setting', name: start + word, known: steps.map((step) => start + step) };
  if (near.length > 0) return { ...unknownName(null, asked), fix: didYouMean(near) };
  return unknownName(null, asked, steps.length > 0 ? undefined : `set ${path.join('.')} as a whole`);
}

export type Column = {
  readonly name: string;
  /** Whether more is better. */
  readonly moreIsBetter: boolean;
  /** dB; null where there is no such value. */
  readonly read: (view: View) => number | null;
};

/** Every column there is for a scene. */
export function columnsOf(scene: Scene): Column[] {
  return [
    { name: 'worst-margin', moreIsBetter: true, read: ({ margins }) => margins().worst },
    { name: 'shortfall', moreIsBetter: false, read: ({ margins }) => margins().shortfall },
    ...channelsOf(scene).map(({ about: [name] }, channel) =>
      column(`signal-to-bleed.${name}`, ({ context }) => context.signalToBleed(channel)?.ratio),
    ),
    ...scene.parts.map(({ name }, part) => ({
      ...column(`ghost.${name}`, ({ context }) => context.ghost(part).level),
      moreIsBetter: false,
    })),
    ...scene.parts.map(({ name }, part) =>
      column(`isolation.${name}`, ({ context }) => context.isolation(part).ratio),
    ),
    ...mainMics(scene.mics).map((mic) =>
      column(
        `direct-to-reverberant.${scene.mics[mic]?.name}`,
        ({ context }) => context.directToReverberant(mic)?.ratio,
      ),
    ),
    ...scene.limits.balance.map((_, target) =>
      column(`balance.${target}`, ({ context }) => context.balance(target)?.ratio),
    ),
    ...hearColumns(scene),
  ];
}

/** Of values of which more is better; null for what is infinite. */
const column = (name: string, figure: (view: View) => number | null | undefined): Column => ({
  name,
  moreIsBetter: true,
  read: (view) => {
    const value = figure(view) ?? null;
    return value !== null && Number.isFinite(value) ? value : null;
  },
});

function hearColumns({ players }: Scene): Column[] {
  const names = players.map(({ name }) => name);
  return names.flatMap((player) =>
    [...new Set(names)]
      .filter((whom) => whom !== player)
      .map((whom) =>
        column(`hears.${player}.${whom}`, ({ context }) => {
          const { rows } = context.hearing();
          return rows.find((row) => row.player === player && row.whom === whom)?.ratio;
        }),
      ),
  );
}

/** Without a choice: how the whole stands, and S/B of every mic. */
export const usualColumns = (scene: Scene): Column[] =>
  columnsOf(scene).filter(({ name }) => /^(?:worst-margin|shortfall|signal-to-bleed\..*)$/s.test(name));

export function columnNamed(scene: Scene, name: string): Column | Finding {
  takes('columnNamed', 'a scene', scene, ['sources', 'capsules']);
  const all = columnsOf(scene);
  const found = all.find((column) => column.name === name);
  if (found) return found;
  return unknownName(null, { what: 'column', name, known: all.map((column) => column.name) });
}
