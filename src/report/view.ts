/** What an answer says, as data that every format lays out in its own way: no widths, colours or markup. */
import type { Verdict } from '../judge/verdict.ts';

export type View = {
  /** Empty where the plan has none. */
  readonly title: string;
  /** What comes before all sections. */
  readonly lead: readonly Words[];
  readonly sections: readonly Section[];
  /** Only where a screen has room for it, before the last line. */
  readonly whereRoom?: Section | null;
  /** How to ask for what is left out, on a terminal. */
  readonly more?: string;
};

export type Section = {
  /** Goes into addresses; never a plan's own words. */
  readonly id: string;
  /** Empty where the section goes on with the one before. */
  readonly title: string;
  /** What to ask for to have the section in full; it is cut down then. */
  readonly more?: string;
  /** Belongs with the section before. */
  readonly joined?: true;
  /** What its title says, beside its words. */
  readonly is?: Verdict;
  readonly blocks: readonly Block[];
};

export type Block = Prose | Keyed | Item | Verbatim | Table | Matrix | Steps | Details | Heading | Drawing;

/** `is` says what a text is, beside its words: never by itself the sign of anything. */
export type Words =
  | string
  | { readonly text: string; readonly is: Verdict | 'strong' | 'unjudged' | 'aside' };

/**
 * `statements` is what the answer says, `notes` how to read it, `list` and `ranking` are items of one kind, `remarks` belong to the
 * title, `continuation` goes on after it.
 */
export type Prose = {
  readonly kind: 'statements' | 'notes' | 'list' | 'ranking' | 'remarks' | 'continuation';
  readonly items: readonly Words[];
};

/** The meaning of short keys (`key`), or a remark on each of them. */
export type Keyed = {
  readonly kind: 'key' | 'each';
  readonly entries: readonly { readonly key: Words; readonly text: string }[];
  /** Characters that a key takes at least. */
  readonly least?: number;
};

/** Lines as they are, with what is pointed at in them: none is broken. */
type Verbatim = { readonly kind: 'verbatim'; readonly lines: readonly string[] };
/** A text, and what belongs to it. */
type Item = { readonly kind: 'item'; readonly text: string; readonly blocks: readonly Block[] };

export type Table = {
  readonly kind: 'table';
  /** What it shows, for readers who do not see the heading above. */
  readonly caption: string;
  /** The caption says more than the section's title and is shown above the table in every format. */
  readonly captioned?: true;
  readonly columns: readonly ColumnHead[];
  readonly rows: readonly TableRow[];
  /** What is left out: "and 3 shallower combs", and how to ask for it. */
  readonly rest?: { readonly text: string; readonly ask?: string } | null;
  /** Heading of the details of its rows, where these are not under each row. */
  readonly behind?: string;
  /** Stands apart from the block before. */
  readonly apart?: true;
  /** To be read on paper: nothing is cut, cells go over several lines. */
  readonly whole?: true;
  /** Columns after the first are alike, one for each thing compared: none is cut, and too many make several tables. */
  readonly sideBySide?: true;
};

export type TableRow = {
  /** One for each column. */
  readonly cells: readonly Words[];
  /** Heads the rows from here on. */
  readonly group?: string;
  /** Said across all columns before it. */
  readonly above?: string;
  /** Its name in full, for where its columns have no room for that. */
  readonly inFull?: string;
  /** What is behind the row. */
  readonly details?: readonly Block[];
};

/** Only a name may be shortened where there is no room. */
export type ColumnHead = {
  readonly head: string;
  readonly kind: 'name' | 'word' | 'number';
  /** Minimum width in characters, so that tables below each other line up. */
  readonly least?: number;
  /** What the column is called where no head may be empty. */
  readonly label?: string;
  /** Characters that a page has room for, at least, to show it: of many columns those that can be done without. */
  readonly from?: number;
  /** Left out where names would have to be shortened for it. */
  readonly optional?: true;
  /** What its row is called; where no column says so, it is the first. */
  readonly naming?: true;
  /** Stays where it is empty, to be written in by hand. */
  readonly toFill?: true;
  /** Stands under the row where there is no room to spare, its head before it. */
  readonly under?: true | 'bare';
  /** Goes on below where there is no room, and has no head; the last column. */
  readonly wraps?: true;
  /** What the column before has changed by against the first: may go below it. */
  readonly change?: true;
  /** A number drawn as a bar from nought between these ends, where a format can. */
  readonly bars?: readonly [from: number, to: number];
  /** Left out where no row says anything in it. */
  readonly ifAny?: true;
};

/** A page from so many characters on has columns that can be done without; some only a page without end has room for. */
export const WIDE = 110;
export const ENDLESS = Number.POSITIVE_INFINITY;

/** Things of one kind down, of another across. */
export type Matrix = {
  readonly kind: 'matrix';
  readonly caption: string;
  /** Before and after the key to the marks. */
  readonly notes: readonly [string, string];
  readonly key: Readonly<Record<'signal' | 'same-kit', string>>;
  readonly columns: readonly string[];
  readonly first: MatrixRow;
  readonly rows: readonly MatrixRow[];
  /** No name is shortened. */
  readonly inFull?: true;
};

export type MatrixRow = { readonly name: string; readonly cells: readonly MatrixCell[] };

/** `over` is what `text` says, to be shaded by. */
export type MatrixCell = {
  readonly text: string;
  readonly is: 'signal' | 'same-kit' | 'bleed' | 'none';
  readonly over?: number;
};

/** What to do, and under each step what comes of it. */
export type Steps = {
  readonly kind: 'steps';
  readonly steps: readonly { readonly does: readonly string[]; readonly effects: readonly string[] }[];
  /** A blank line between steps. */
  readonly apart?: true;
};

/** May be folded away under its summary. */
export type Details = {
  readonly kind: 'details';
  readonly id?: string;
  readonly summary: string;
  readonly blocks: readonly Block[];
};

type Heading = { readonly kind: 'heading'; readonly text: string };
/** The plan, drawn in the format's own way. */
type Drawing = { readonly kind: 'drawing' };

/** A column and what a row says in it. */
export type Column<Row> = ColumnHead & { readonly cell: (row: Row) => Words };

type ColumnOptions = Omit<ColumnHead, 'head' | 'kind'>;

const columnOf =
  (kind: ColumnHead['kind']) =>
  <Row>(head: string, cell: (row: Row) => Words, options: ColumnOptions = {}): Column<Row> => ({
    ...options,
    head,
    kind,
    cell,
  });

export const names = columnOf('name');
export const words = columnOf('word');
export const numbers = columnOf('number');

type TableOptions<Row> = Pick<Table, 'captioned' | 'rest' | 'apart' | 'behind' | 'sideBySide'> & {
  readonly inFull?: (row: Row) => string;
  readonly details?: (row: Row) => readonly Block[];
};

/** None where there are no rows. */
export function table<Row>(
  caption: string,
  rows: readonly Row[],
  columns: readonly Column<Row>[],
  { inFull, details, ...options }: TableOptions<Row> = {},
): Table[] {
  if (rows.length === 0) return [];
  const told = rows.map((row) => ({
    cells: columns.map(({ cell }) => cell(row)),
    ...(inFull && { inFull: inFull(row) }),
    ...(details && { details: details(row) }),
  }));
  return [{ kind: 'table', caption, columns: headsOf(columns), rows: told, ...options }];
}

export const headsOf = <Row>(columns: readonly Column<Row>[]): ColumnHead[] =>
  columns.map(({ cell: _, ...head }) => head);

/** Without what a condition has left out: `[late && 'late']`. */
export const given = <One>(all: readonly (One | false | null | undefined)[]): One[] =>
  all.flatMap((one) => (one === false || one === null || one === undefined ? [] : [one]));

/** Without what a condition has left out; none where nothing is said. */
export function prose(kind: Prose['kind'], all: readonly (Words | false | null | undefined)[]): Prose[] {
  const items = given(all);
  return items.length > 0 ? [{ kind, items }] : [];
}

export const textOf = (words: Words): string => (typeof words === 'string' ? words : words.text);
