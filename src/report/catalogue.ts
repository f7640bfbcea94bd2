/** Catalogue entries in full or as tables, and the sources they cite. */
import type { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Citation, Origin } from '../catalogue/catalogue.ts';
import type { CatalogueEntry, Found, Kind, Property } from '../catalogue/entries.ts';
import { type Concept, conceptFix } from '../plan/concepts.ts';
import { figure } from '../text.ts';
import { type Block, prose, type Section, type Table, type View } from './view.ts';
import { counted, figureOr, hertzName, weakest } from './words.ts';

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
  'spillcheck catalogue finishes: one kind, with values. spillcheck catalogue cello: an entry in full, with the source of every value. Any other words: search.';

const untitledView = (sections: readonly Section[]): View => ({ title: '', lead: [], sections });
const remark = (text: string): Section => ({ id: 'remark', title: '', blocks: prose('remarks', [text]) });

/** Entries in full, the sources they cite, then other matches as tables. */
/** `concept` is what the words mean in a plan. */
export function catalogueAnswer(
  { whole, listed }: Found,
  cited: Cited,
  concept: Concept | null = null,
): View {
  const isBoth = whole.length > 0 && listed.length > 0;
  return untitledView([
    ...whole.flatMap(wholeEntry),
    ...(whole.length > 0 ? [citations(whole, cited)] : []),
    ...(isBoth ? [remark(`${counted(listed.length, 'other')} by name or description:`)] : []),
    ...byKind(listed).map(([kind, members]) => kindTable(kind, members)),
    ...(concept ? [remark(`In a plan, ${conceptFix(concept)}`)] : []),
  ]);
}

export function byKind(entries: readonly CatalogueEntry[]): (readonly [Kind, readonly CatalogueEntry[]])[] {
  const kinds = [...new Set(entries.map(({ kind }) => kind))];
  return kinds.map((kind) => [kind, entries.filter((entry) => entry.kind === kind)]);
}

/** A table of entries of a kind: name, main values, description and grade. */
function kindTable(kind: Kind, entries: readonly CatalogueEntry[]): Section {
  const { note, columns } = WORDS[kind];
  const shown = columns.map(({ cell }) => aligned(entries.map(({ properties }) => cell(properties))));
  const title = `${kind}, ${counted(entries.length, 'entry', 'entries')}${note && `; ${note}`}`;
  const heads = [
    { head: 'name', kind: 'word' },
    ...columns.map(({ head }) => ({ head, kind: 'number' }) as const),
    { head: '', kind: 'word', wraps: true },
  ] as const;
  const rows = entries.map((entry, i) => ({
    cells: [entry.name, ...shown.map((column) => column[i] ?? ''), described(entry)],
    ...(entry.group !== null && entry.group !== entries[i - 1]?.group && { group: entry.group }),
  }));
  return { id: kind, title, blocks: [{ kind: 'table', caption: title, columns: heads, rows }] };
}

/** What an entry is, and the weakest grade of the value in its row. */
function described({ about, properties: [first] }: CatalogueEntry): string {
  const grade = weakest((first?.origins ?? []).map(({ origin }) => origin));
  return grade === '' ? about : `${about} (${grade})`;
}

type Cell = string | { readonly value: number; readonly digits: number };
type Shown = { readonly head: string; readonly cell: (properties: readonly Property[]) => Cell };

/** The value of a property in one band. */
function inBand(named: string, hertz: number): Shown {
  const isNamed = ({ name }: Property) => name.startsWith(named);
  return { head: hertzName(hertz), cell: (properties) => valueAt(properties.find(isNamed), String(hertz)) };
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
const HEARS_OTHERS: Shown = { head: 'hears others', cell: ([hears]) => hears?.rows[0]?.label ?? '' };
const PER: Shown = { head: 'per', cell: ([first]) => (first?.unit === 'm²' ? 'piece' : 'm²') };
const nullIn = (remark: string) => /^null at (\d+°)/.exec(remark)?.[1] ?? 'none';
const NULL: Shown = { head: 'null', cell: ([first]) => nullIn(first?.remarks[0] ?? '') };

/** Where in a plan the names go, and the main values of the entries. */
type KindWords = { readonly purpose: string; readonly note: string; readonly columns: readonly Shown[] };
const reduction = { note: 'sound reduction index in dB', columns: threeOf('sound reduction') };

const WORDS: Readonly<Record<Kind, KindWords>> = {
  instruments: {
    purpose: 'for players and sources',
    note: 'Lw: sound power in dB re 1 pW',
    columns: [LOUDNESS],
  },
  kits: { purpose: 'several pieces played as one instrument', note: '', columns: [PIECES] },
  covers: { purpose: 'covers over sources', note: 'loss in dB', columns: threeOf('loss') },
  headphones: {
    purpose: 'worn by players',
    note: 'attenuation of room sound in dB, and whether others are heard directly',
    columns: [...threeOf('attenuation'), HEARS_OTHERS],
  },
  finishes: { purpose: 'room surfaces', note: 'absorption coefficient', columns: threeOf('absorption') },
  contents: {
    purpose: 'people, furniture and gear in rooms',
    note: 'absorption in m², per piece or per m² covered',
    columns: [PER, ...threeOf('absorption')],
  },
  constructions: { purpose: 'walls between rooms', ...reduction },
  doors: { purpose: 'door leaves', ...reduction },
  glazings: { purpose: 'window panes', ...reduction },
  panels: {
    purpose: 'materials of baffles (gobos)',
    note: 'sound reduction index in dB; α: absorption coefficient at 500 Hz',
    columns: [...threeOf('sound reduction'), { ...inBand('absorption', 500), head: 'α' }],
  },
  patterns: { purpose: 'mic patterns', note: 'null at 1 kHz', columns: [NULL] },
};

function valueAt(shown: Property | undefined, column: string): Cell {
  const value = shown?.rows[0]?.values[shown.columns.indexOf(column)];
  return value === undefined || value === null ? '' : { value, digits: Math.min(2, shown?.digits ?? 0) };
}

/** The numbers of a column, all with the decimals that one of them needs. */
function aligned(cells: readonly Cell[]): string[] {
  const numbers = cells.flatMap((cell) => (typeof cell === 'string' ? [] : [cell]));
  const most = Math.max(0, ...numbers.map((cell) => cell.digits));
  const values = numbers.map(({ value }) => value);
  const digits = decimalsOf(values, most);
  return cells.map((cell) => (typeof cell === 'string' ? cell : figure(cell.value, digits)));
}

/** An entry with all its values, each with its grade, the keys of its sources and its note. */
function wholeEntry({ name, kind, group, about, also, properties }: CatalogueEntry): Section[] {
  const techniques = [...new Set(properties.flatMap(({ technique }) => technique ?? []))];
  const usual =
    techniques.length > 0 ? [`${techniques[0]} (default)`, ...techniques.slice(1)].join(', ') : '';
  const called = also.length > 0 && `Also called ${also.join(', ')}`;
  const intro = [about, called, usual !== '' && `Techniques: ${usual}`];
  const title = `${name} (${[kind, ...(group ? [group] : [])].join(', ')})`;
  const sections: { id: string; title: string; blocks: Block[] }[] = [
    { id: name, title, blocks: prose('remarks', intro) },
  ];
  for (const [i, property] of properties.entries()) {
    const { technique } = property;
    if (technique !== null && technique !== properties[i - 1]?.technique && technique !== techniques[0])
      sections.push({
        id: `${name} ${technique}`,
        title: `${technique}: differences from ${techniques[0]}`,
        blocks: [],
      });
    sections.at(-1)?.blocks.push(propertyBlock(property));
  }
  return sections;
}

function propertyBlock(property: Property): Block {
  const { name, unit, columns, rows, remarks, origins } = property;
  const [first] = rows;
  const isSingle = columns.length === 0;
  const value = first?.label || figureOr(first?.values[0] ?? null, decimals(property), 'none');
  const from = origins.map(({ of, origin }) => ({
    text: `${of === '' ? '' : `${of}: `}${originWords(origin)}`,
    is: 'aside' as const,
  }));
  return {
    kind: 'item',
    text: isSingle ? `${name}: ${value}${unit && ` ${unit}`}` : `${name}${unit && `, ${unit}`}`,
    blocks: [
      ...(isSingle ? [] : [propertyTable(property)]),
      ...prose('notes', remarks),
      ...prose('statements', from),
    ],
  };
}

function propertyTable(property: Property): Table {
  const isLabelled = property.rows.some(({ label }) => label !== '');
  const digits = property.columns.map((_, column) => decimals(property, column));
  const heads = property.columns.map((name) => ({ head: columnName(name), kind: 'number' }) as const);
  const rows = property.rows.map(({ label, values }) => {
    const shown = values.map((value, column) => figureOr(value, digits[column] ?? 0, 'none'));
    return { cells: isLabelled ? [label, ...shown] : shown };
  });
  const columns = isLabelled ? [{ head: '', kind: 'word' } as const, ...heads] : heads;
  return { kind: 'table', caption: property.name, columns, rows };
}

/** Decimals of a column; a single row has the same throughout. */
function decimals({ rows, digits }: Property, column = 0): number {
  const ofColumn = rows.map(({ values }) => values[column] ?? null);
  return decimalsOf(rows.length === 1 ? (rows[0]?.values ?? []) : ofColumn, digits);
}

/** A band by its name, every other column as it is called. */
const columnName = (name: string): string => (/^\d+$/.test(name) ? hertzName(Number(name)) : name);

const originWords = ({ grade, sources, note }: Origin): string =>
  `${grade} [${sources.join(', ')}]${note === null ? '' : `: ${note}`}`;

/** Decimals that the value with most of them needs, so that the points line up. */
export function decimalsOf(values: readonly (number | null)[], most: number): number {
  const needed = (value: number) => shownNumber(value, most).split('.')[1]?.length ?? 0;
  return Math.max(0, ...values.map((value) => (value === null ? 0 : needed(value))));
}

export type Cited = ReadonlyMap<string, Citation>;

/** The sources behind the keys, in order of first use. */
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
  const origins = entries.flatMap(({ properties }) => properties.flatMap((one) => one.origins));
  const keys = origins.flatMap(({ origin }) => [...origin.sources, ...mentioned(origin)]);
  return [...new Set(keys)].filter((key) => cited.has(key));
}

/** Notes cite only keys in capitals. */
const mentioned = ({ note }: Origin): readonly string[] => note?.match(/\b[A-Z][A-Z0-9_]+\b/g) ?? [];
