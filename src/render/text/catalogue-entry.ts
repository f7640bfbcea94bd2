import type { CatalogueEntry, ShownFigure } from '../../scene/catalogue-entry.ts';
import type { Origin } from '../../scene/origin.ts';
import { type Column, plain, table } from '../table.ts';
import { figureOr, hertzName } from '../words.ts';
import { wrap } from '../wrap.ts';
import { decimalsOf } from './catalogue-number.ts';
import { gradeWords } from './grade.ts';
import type { Layout } from './layout.ts';

const INDENT = '    ';

/** An entry with every figure it has, each with its grade, the keys of its sources and the note that explains it. */
export function wholeEntry(entry: CatalogueEntry, layout: Layout): string[] {
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
