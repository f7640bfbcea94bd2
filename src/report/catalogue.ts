/** Catalogue entries: each whole, or side by side, and what sources they cite. */
import type { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Citation, Origin } from '../catalogue/catalogue.ts';
import type { CatalogueEntry, Found, Kind, ShownFigure } from '../catalogue/entries.ts';
import { figure } from '../text.ts';
import { type Block, prose, type Section, type Table, type View } from './view.ts';
import { counted, figureOr, gradeWords, hertzName, weakest } from './words.ts';

/** What the catalogue holds: every kind with its names. */
export const catalogueOverview = (entries: readonly CatalogueEntry[]): View =>
  untitledView([
    ...byKind(entries).map(([kind, members]) => ({
      id: kind,
      title: `${kind} (${members.length}): ${WORDS[kind].purpose}`,
      blocks: prose('notes', [members.map(({ name }) => name).join(', ')]),
    })),
    remark(HINT),
  ]);

const HINT =
  'spillcheck catalogue finishes lists a kind with figures; spillcheck catalogue cello shows an entry whole, with the source of every figure; any other words are searched for.';

const untitledView = (sections: readonly Section[]): View => ({ title: '', lead: [], sections });
const remark = (text: string): Section => ({ id: 'remark', title: '', blocks: prose('remarks', [text]) });

/** Entries whole, the sources they cite, then the rest of what was found as tables. */
export function catalogueAnswer({ whole, listed }: Found, cited: Cited): View {
  const isBoth = whole.length > 0 && listed.length > 0;
  return untitledView([
    ...whole.flatMap(wholeEntry),
    ...(whole.length > 0 ? [citations(whole, cited)] : []),
    ...(isBoth ? [remark(`${counted(listed.length, 'other')} by name or description:`)] : []),
    ...byKind(listed).map(([kind, members]) => kindTable(kind, members)),
  ]);
}

export function byKind(entries: readonly CatalogueEntry[]): (readonly [Kind, readonly CatalogueEntry[]])[] {
  const kinds = [...new Set(entries.map(({ kind }) => kind))];
  return kinds.map((kind) => [kind, entries.filter((entry) => entry.kind === kind)]);
}

/** Entries of a kind, one under the other: name, the values that tell them apart, what they are, and their grade. */
function kindTable(kind: Kind, entries: readonly CatalogueEntry[]): Section {
  const { says, columns } = WORDS[kind];
  const shown = columns.map(({ cell }) => aligned(entries.map(({ figures }) => cell(figures))));
  const title = `${kind}, ${counted(entries.length, 'entry', 'entries')}${says && `; ${says}`}`;
  const heads = [
    { head: 'name', kind: 'word' },
    ...columns.map(({ head }) => ({ head, kind: 'number' }) as const),
    { head: '', kind: 'word', wraps: true },
  ] as const;
  const rows = entries.map((entry, i) => ({
    cells: [entry.name, ...shown.map((column) => column[i] ?? ''), told(entry)],
    ...(entry.group !== null && entry.group !== entries[i - 1]?.group && { group: entry.group }),
  }));
  return { id: kind, title, blocks: [{ kind: 'table', caption: title, columns: heads, rows }] };
}

/** What an entry is, and how far the value that tells it from others can be trusted, at its weakest. */
function told({ about, figures: [first] }: CatalogueEntry): string {
  const grade = weakest((first?.origins ?? []).map(({ origin }) => origin));
  return grade === '' ? about : `${about} (${grade})`;
}

type Cell = string | { readonly value: number; readonly digits: number };
type Shown = { readonly head: string; readonly cell: (figures: readonly ShownFigure[]) => Cell };

/** A value in one band. */
function inBand(named: string, hertz: number): Shown {
  const isNamed = ({ name }: ShownFigure) => name.startsWith(named);
  return { head: hertzName(hertz), cell: (figures) => valueAt(figures.find(isNamed), String(hertz)) };
}

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

const nullIn = (remark: string) => /^null at (\d+°)/.exec(remark)?.[1] ?? 'none';
const NULL: Shown = { head: 'null', cell: ([first]) => nullIn(first?.remarks[0] ?? '') };

/** Where in a plan the names go, and what the values are that tell its entries apart. */
type KindWords = { readonly purpose: string; readonly says: string; readonly columns: readonly Shown[] };
const reduction = { says: 'sound reduction index in dB', columns: threeOf('sound reduction') };

const WORDS: Readonly<Record<Kind, KindWords>> = {
  instruments: {
    purpose: 'what players and sources play',
    says: 'Lw: sound power in dB re 1 pW',
    columns: [LOUDNESS],
  },
  kits: { purpose: 'several pieces that a player plays as one', says: '', columns: [PIECES] },
  covers: { purpose: 'what lies over a source', says: 'loss in dB', columns: threeOf('loss') },
  headphones: {
    purpose: 'what players wear',
    says: 'dB lost of the sound in the room, and whether others are heard by air',
    columns: [...threeOf('loss'), BY_AIR],
  },
  finishes: { purpose: 'surfaces of rooms', says: 'absorption coefficient', columns: threeOf('absorption') },
  contents: {
    purpose: 'what stands and sits in rooms',
    says: 'absorption in m², of a piece or of each m² covered',
    columns: [PER, ...threeOf('absorption')],
  },
  constructions: { purpose: 'walls between rooms', ...reduction },
  doors: { purpose: 'leaves of doors', ...reduction },
  glazings: { purpose: 'panes of windows', ...reduction },
  panels: {
    purpose: 'what baffles are made of',
    says: 'sound reduction index in dB, and absorption coefficient at 500 Hz',
    columns: [...threeOf('sound reduction'), { ...inBand('absorption', 500), head: 'α' }],
  },
  patterns: { purpose: 'responses of microphones', says: 'where the null lies at 1 kHz', columns: [NULL] },
};

function valueAt(shown: ShownFigure | undefined, column: string): Cell {
  const value = shown?.rows[0]?.values[shown.columns.indexOf(column)];
  return value === undefined || value === null ? '' : { value, digits: Math.min(2, shown?.digits ?? 0) };
}

/** Numbers of a column with as many decimals each as one of them needs. */
function aligned(cells: readonly Cell[]): string[] {
  const numbers = cells.flatMap((cell) => (typeof cell === 'string' ? [] : [cell]));
  const most = Math.max(0, ...numbers.map((cell) => cell.digits));
  const values = numbers.map(({ value }) => value);
  const digits = decimalsOf(values, most);
  return cells.map((cell) => (typeof cell === 'string' ? cell : figure(cell.value, digits)));
}

/** An entry with every value it has, each with its grade, the keys of its sources and the note that explains it. */
function wholeEntry({ name, kind, group, about, also, figures }: CatalogueEntry): Section[] {
  const ways = [...new Set(figures.flatMap(({ way }) => way ?? []))];
  const usual = ways.length > 0 ? [`${ways[0]} (usual)`, ...ways.slice(1)].join(', ') : '';
  const called = also.length > 0 && `Also called ${also.join(', ')}`;
  const intro = [about, called, usual !== '' && `Ways of playing: ${usual}`];
  const title = `${name} (${[kind, ...(group ? [group] : [])].join(', ')})`;
  const sections: { id: string; title: string; blocks: Block[] }[] = [
    { id: name, title, blocks: prose('remarks', intro) },
  ];
  for (const [i, figure] of figures.entries()) {
    const { way } = figure;
    if (way !== null && way !== figures[i - 1]?.way && way !== ways[0])
      sections.push({ id: `${name} ${way}`, title: `${way}: what differs`, blocks: [] });
    sections.at(-1)?.blocks.push(shownFigure(figure));
  }
  return sections;
}

function shownFigure(figure: ShownFigure): Block {
  const { name, unit, columns, rows, remarks, origins } = figure;
  const [first] = rows;
  const isSingle = columns.length === 0;
  const value = first?.label || figureOr(first?.values[0] ?? null, decimals(figure), 'none');
  const from = origins.map(({ of, origin }) => ({
    text: `${of === '' ? '' : `${of}: `}${originWords(origin)}`,
    is: 'aside' as const,
  }));
  return {
    kind: 'item',
    text: isSingle ? `${name}: ${value}${unit && ` ${unit}`}` : `${name}${unit && `, ${unit}`}`,
    blocks: [
      ...(isSingle ? [] : [figureTable(figure)]),
      ...prose('notes', remarks),
      ...prose('statements', from),
    ],
  };
}

function figureTable(figure: ShownFigure): Table {
  const isLabelled = figure.rows.some(({ label }) => label !== '');
  const digits = figure.columns.map((_, column) => decimals(figure, column));
  const heads = figure.columns.map((name) => ({ head: columnName(name), kind: 'number' }) as const);
  const rows = figure.rows.map(({ label, values }) => {
    const shown = values.map((value, column) => figureOr(value, digits[column] ?? 0, 'none'));
    return { cells: isLabelled ? [label, ...shown] : shown };
  });
  const columns = isLabelled ? [{ head: '', kind: 'word' } as const, ...heads] : heads;
  return { kind: 'table', caption: figure.name, columns, rows };
}

/** Those of its column; a single row has as many throughout. */
function decimals({ rows, digits }: ShownFigure, column = 0): number {
  const ofColumn = rows.map(({ values }) => values[column] ?? null);
  return decimalsOf(rows.length === 1 ? (rows[0]?.values ?? []) : ofColumn, digits);
}

/** A band by its name, every other column as it is called. */
const columnName = (name: string): string => (/^\d+$/.test(name) ? hertzName(Number(name)) : name);

const originWords = ({ grade, sources, note }: Origin): string =>
  `${gradeWords(grade)} [${sources.join(', ')}]${note === null ? '' : `: ${note}`}`;

/** As many decimals for all as the one that has most of them needs, so that the points stand under each other. */
export function decimalsOf(values: readonly (number | null)[], most: number): number {
  const needed = (value: number) => shownNumber(value, most).split('.')[1]?.length ?? 0;
  return Math.max(0, ...values.map((value) => (value === null ? 0 : needed(value))));
}

export type Cited = ReadonlyMap<string, Citation>;

/** What the keys of the sources stand for, in the order in which they first come up. */
function citations(entries: readonly CatalogueEntry[], cited: Cited): Section {
  const lines = citedKeys(entries, cited).map((key) => {
    const { cite = '', read, where, note } = cited.get(key) ?? {};
    const known = [cite, read && `read: ${read}`, where && `read at ${where}`, note].filter(Boolean);
    return `[${key}] ${known.join('; ')}`;
  });
  return { id: 'sources', title: 'Sources', blocks: prose('statements', lines) };
}

/** Keys that origins give or their notes mention. */
export function citedKeys(entries: readonly CatalogueEntry[], cited: Cited): string[] {
  const origins = entries.flatMap(({ figures }) => figures.flatMap((one) => one.origins));
  const keys = origins.flatMap(({ origin }) => [...origin.sources, ...mentioned(origin)]);
  return [...new Set(keys)].filter((key) => cited.has(key));
}

/** Only keys in capitals stand in notes; any other word that is a key means itself. */
const mentioned = ({ note }: Origin): readonly string[] => note?.match(/\b[A-Z][A-Z0-9_]+\b/g) ?? [];
