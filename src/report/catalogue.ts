/** Catalogue entries. */
import type { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Citation, Origin } from '../catalogue/catalogue.ts';
import type { CatalogueEntry, Found, Kind, ShownFigure } from '../catalogue/entries.ts';
import { type Column, displayWidth, type Layout, padEnd, plain, table, wrap } from '../layout/text.ts';
import { counted, figure, figureOr, gradeWords, hertzName, weakest } from './words.ts';

/** What the catalogue holds: every kind with its names. */
export function catalogueOverview(entries: readonly CatalogueEntry[], layout: Layout): string[] {
  const kinds = byKind(entries).flatMap(([kind, members]) => [
    '',
    `${layout.paint.strong(kind)} (${members.length}): ${PURPOSES[kind]}`,
    ...wrap(members.map(({ name }) => name).join(', '), layout.width, '  '),
  ]);
  const [, first = ''] = kinds;
  return [first, ...kinds.slice(2), '', ...wrap(HINT, layout.width)];
}

const HINT =
  'spillcheck catalogue finishes lists a kind with figures; spillcheck catalogue cello shows an entry whole, with the source of every figure; any other words are searched for.';

/** Entries whole, the sources they cite, then the rest of what was found as tables. */
export function catalogueAnswer({ whole, listed }: Found, cited: Cited, layout: Layout): string[] {
  const pages = whole.flatMap((entry) => [...wholeEntry(entry, layout), '']);
  const sources = whole.length > 0 ? [...citations(whole, cited, layout), ''] : [];
  const more =
    whole.length > 0 && listed.length > 0
      ? [`${counted(listed.length, 'other')} by name or description:`, '']
      : [];
  const tables = byKind(listed).flatMap(([kind, members]) => [...kindTable(kind, members, layout), '']);
  return [...pages, ...sources, ...more, ...tables].slice(0, -1);
}

function byKind(entries: readonly CatalogueEntry[]): (readonly [Kind, readonly CatalogueEntry[]])[] {
  const kinds = [...new Set(entries.map(({ kind }) => kind))];
  return kinds.map((kind) => [kind, entries.filter((entry) => entry.kind === kind)]);
}

/** Where in a plan the names go. */
const PURPOSES: Readonly<Record<Kind, string>> = {
  instruments: 'what players and sources play',
  kits: 'several pieces that a player plays as one',
  covers: 'what lies over a source',
  headphones: 'what players wear',
  finishes: 'surfaces of rooms',
  contents: 'what stands and sits in rooms',
  constructions: 'walls between rooms',
  doors: 'leaves of doors',
  glazings: 'panes of windows',
  panels: 'what baffles are made of',
  patterns: 'responses of microphones',
};

/** Entries of a kind, one under the other: name, the figures that tell them apart, what they are, and their grade. */
function kindTable(kind: Kind, entries: readonly CatalogueEntry[], layout: Layout): string[] {
  const { says, columns } = TABLES[kind];
  const heads = columns.map(({ head }): Column => ({ head, align: 'right' }));
  const shown = columns.map(({ cell }) => aligned(entries.map(({ figures }) => cell(figures))));
  const rows = entries.map(({ name }, i) => [name, ...shown.map((column) => column[i] ?? '')].map(plain));
  const [head = '', ...lines] = table([{ head: 'name', align: 'left' }, ...heads], rows, layout.width);
  const indent = Math.max(...[head, ...lines].map(displayWidth)) + 2;
  const described = entries.flatMap((entry, i) => [
    ...heading(entry, entries[i - 1], layout),
    ...wrap(told(entry), layout.width, padEnd(lines[i] ?? '', indent), ' '.repeat(indent)),
  ]);
  const title = `${layout.paint.strong(kind)}, ${counted(entries.length, 'entry', 'entries')}${says && `; ${says}`}`;
  return [...wrap(title, layout.width), layout.paint.faint(head), ...described];
}

function heading({ group }: CatalogueEntry, before: CatalogueEntry | undefined, { paint }: Layout): string[] {
  return group === null || group === before?.group ? [] : [paint.faint(group)];
}

/** What an entry is, and how far the figure that tells it from others can be trusted, at its weakest. */
function told({ about, figures: [first] }: CatalogueEntry): string {
  const grade = weakest((first?.origins ?? []).map(({ origin }) => origin));
  return grade === '' ? about : `${about} (${grade})`;
}

type Cell = string | { readonly value: number; readonly digits: number };

type Shown = { readonly head: string; readonly cell: (figures: readonly ShownFigure[]) => Cell };

type Plan = { readonly says: string; readonly columns: readonly Shown[] };

/** A figure's value in one band. */
const inBand = (named: string, hertz: number): Shown => ({
  head: hertzName(hertz),
  cell: (figures) =>
    valueAt(
      figures.find(({ name }) => name.startsWith(named)),
      String(hertz),
    ),
});

const THREE = [125, 500, 2000] as const satisfies readonly (typeof NOMINAL_BANDS)[number][];

const threeOf = (named: string): Shown[] => THREE.map((hertz) => inBand(named, hertz));

/** As many decimals as the value has, up to `most`. */
export const shownNumber = (value: number, most: number): string => {
  const text = figure(value, most);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
};

/** How loud at mf, a power or a level. */
const LOUDNESS: Shown = {
  head: 'at mf',
  cell: ([loud]) => {
    const level = valueAt(loud, 'mf');
    const shown = typeof level === 'string' ? level : shownNumber(level.value, level.digits);
    return `${shown} ${loud?.name === 'sound power' ? 'dB Lw' : loud?.unit}`;
  },
};

const PIECES: Shown = { head: 'pieces', cell: ([pieces]) => String(pieces?.rows.length ?? 0) };

const BY_AIR: Shown = { head: 'by air', cell: ([byAir]) => byAir?.rows[0]?.label ?? '' };

const PER: Shown = { head: 'per', cell: ([first]) => (first?.unit === 'm²' ? 'piece' : 'm²') };

const NULL: Shown = {
  head: 'null',
  cell: ([first]) => /^null at (\d+°)/.exec(first?.remarks[0] ?? '')?.[1] ?? 'none',
};

const reduction: Plan = { says: 'sound reduction index in dB', columns: threeOf('sound reduction') };

const TABLES: Readonly<Record<Kind, Plan>> = {
  instruments: { says: 'Lw: sound power in dB re 1 pW', columns: [LOUDNESS] },
  kits: { says: '', columns: [PIECES] },
  covers: { says: 'loss in dB', columns: threeOf('loss') },
  headphones: {
    says: 'dB lost of the sound in the room, and whether others are heard by air',
    columns: [...threeOf('loss'), BY_AIR],
  },
  finishes: { says: 'absorption coefficient', columns: threeOf('absorption') },
  contents: {
    says: 'absorption in m², of a piece or of each m² covered',
    columns: [PER, ...threeOf('absorption')],
  },
  constructions: reduction,
  doors: reduction,
  glazings: reduction,
  panels: {
    says: 'sound reduction index in dB, and absorption coefficient at 500 Hz',
    columns: [...threeOf('sound reduction'), { ...inBand('absorption', 500), head: 'α' }],
  },
  patterns: { says: 'where the null lies at 1 kHz', columns: [NULL] },
};

function valueAt(shown: ShownFigure | undefined, column: string): Cell {
  const value = shown?.rows[0]?.values[shown.columns.indexOf(column)];
  return value === undefined || value === null ? '' : { value, digits: Math.min(2, shown?.digits ?? 0) };
}

/** Numbers of a column with as many decimals each as one of them needs. */
function aligned(cells: readonly Cell[]): string[] {
  const numbers = cells.flatMap((cell) => (typeof cell === 'string' ? [] : [cell]));
  const digits = decimalsOf(
    numbers.map(({ value }) => value),
    Math.max(0, ...numbers.map((cell) => cell.digits)),
  );
  return cells.map((cell) => (typeof cell === 'string' ? cell : figure(cell.value, digits)));
}

const INDENT = '    ';

/** An entry with every figure it has, each with its grade, the keys of its sources and the note that explains it. */
function wholeEntry(entry: CatalogueEntry, layout: Layout): string[] {
  const { name, kind, group, about, also, figures } = entry;
  const ways = [...new Set(figures.flatMap(({ way }) => way ?? []))];
  const title = `${layout.paint.strong(name)} (${[kind, ...(group ? [group] : [])].join(', ')})`;
  const usual = ways.length > 0 ? [`${ways[0]} (usual)`, ...ways.slice(1)].join(', ') : '';
  return [
    title,
    ...wrap(about, layout.width),
    ...(also.length === 0 ? [] : wrap(`Also called ${also.join(', ')}`, layout.width)),
    ...(usual === '' ? [] : wrap(`Ways of playing: ${usual}`, layout.width)),
    ...figures.flatMap((figure, i) => [
      ...wayHeading(figure, figures[i - 1], ways, layout),
      ...shownFigure(figure, layout),
    ]),
  ];
}

function wayHeading(
  figure: ShownFigure,
  before: ShownFigure | undefined,
  ways: readonly string[],
  { paint }: Layout,
) {
  if (figure.way === null || figure.way === before?.way || figure.way === ways[0]) return [];
  return ['', paint.strong(`${figure.way}: what differs`)];
}

function shownFigure(figure: ShownFigure, layout: Layout): string[] {
  const unit = figure.unit === '' ? '' : `, ${figure.unit}`;
  const [first] = figure.rows;
  const single = figure.columns.length === 0;
  const value = first?.label || figureOr(first?.values[0] ?? null, decimals(figure), 'none');
  const origins = figure.origins.flatMap(({ of, origin }) =>
    wrap(`${of === '' ? '' : `${of}: `}${originWords(origin)}`, layout.width, INDENT, `${INDENT}  `),
  );
  return [
    ...(single
      ? [`  ${figure.name}: ${value}${figure.unit && ` ${figure.unit}`}`]
      : [`  ${figure.name}${unit}`]),
    ...(single ? [] : figureTable(figure, layout)),
    ...figure.remarks.flatMap((remark) => wrap(remark, layout.width, INDENT)),
    ...origins.map(layout.paint.faint),
  ];
}

function figureTable(figure: ShownFigure, layout: Layout): string[] {
  const labelled = figure.rows.some(({ label }) => label !== '');
  const digits = figure.columns.map((_, column) => decimals(figure, column));
  const columns = figure.columns.map((name): Column => ({ head: columnName(name), align: 'right' }));
  const rows = figure.rows.map(({ label, values }) => {
    const shown = values.map((value, column) => figureOr(value, digits[column] ?? 0, 'none'));
    return (labelled ? [label, ...shown] : shown).map(plain);
  });
  const labels: Column[] = labelled ? [{ head: '', align: 'left' }] : [];
  const [head = '', ...lines] = table([...labels, ...columns], rows, layout.width, INDENT);
  return [layout.paint.faint(head), ...lines];
}

/** Those of its column; a single row has as many throughout. */
function decimals({ rows, digits }: ShownFigure, column = 0): number {
  const alike =
    rows.length === 1
      ? rows.flatMap(({ values }) => values)
      : rows.map(({ values }) => values[column] ?? null);
  return decimalsOf(alike, digits);
}

/** A band by its name, every other column as it is called. */
const columnName = (name: string): string => (/^\d+$/.test(name) ? hertzName(Number(name)) : name);

function originWords({ grade, sources, note }: Origin): string {
  return `${gradeWords(grade)} [${sources.join(', ')}]${note === null ? '' : `: ${note}`}`;
}

/** As many decimals for all as the one that has most of them needs, so that the points stand under each other. */
export function decimalsOf(values: readonly (number | null)[], most: number): number {
  const needed = values.map((value) =>
    value === null ? 0 : (shownNumber(value, most).split('.')[1]?.length ?? 0),
  );
  return Math.max(0, ...needed);
}

export type Cited = ReadonlyMap<string, Citation>;

/** What the keys of the sources stand for, in the order in which they first come up. */
function citations(entries: readonly CatalogueEntry[], cited: Cited, layout: Layout): string[] {
  const lines = citedKeys(entries, cited).flatMap((key) => {
    const { cite = '', read, where, note } = cited.get(key) ?? {};
    const known = [cite, read && `read: ${read}`, where && `read at ${where}`, note].filter(Boolean);
    return wrap(`[${key}] ${known.join('; ')}`, layout.width, '  ', '    ');
  });
  return [layout.paint.strong('Sources'), ...lines];
}

/** Keys that origins give or their notes mention. */
export function citedKeys(entries: readonly CatalogueEntry[], cited: Cited): string[] {
  const keys = entries.flatMap(({ figures }) =>
    figures.flatMap(({ origins }) =>
      origins.flatMap(({ origin }) => [...origin.sources, ...mentioned(origin)]),
    ),
  );
  return [...new Set(keys)].filter((key) => cited.has(key));
}

/** Only keys in capitals stand in notes; any other word that is a key means itself. */
const mentioned = ({ note }: Origin): readonly string[] => note?.match(/\b[A-Z][A-Z0-9_]+\b/g) ?? [];
