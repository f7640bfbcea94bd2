import type { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { CatalogueEntry, Kind, ShownFigure } from '../../scene/catalogue-entry.ts';
import { type Column, plain, table } from '../table.ts';
import { displayWidth, padEnd } from '../width.ts';
import { counted, figure, hertzName } from '../words.ts';
import { wrap } from '../wrap.ts';
import { decimalsOf, shownNumber } from './catalogue-number.ts';
import { weakest } from './grade.ts';
import type { Layout } from './layout.ts';

/** Entries of a kind, one under the other: name, the figures that tell them apart, what they are, and their grade. */
export function kindTable(kind: Kind, entries: readonly CatalogueEntry[], layout: Layout): string[] {
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
