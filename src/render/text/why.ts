/** Why a source reaches a microphone, as a page for people: the answer, the ways, each way by octave, the equations. */
import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import { GAIN_KINDS } from '../../judge/why/why-gains.ts';
import type { Why, WhyPair, WhyPath } from '../../judge/why/why-shape.ts';
import { EQUATIONS } from '../equations.ts';
import { escapeAll } from '../escape.ts';
import { paint } from '../paint.ts';
import { type Column, plain, table } from '../table.ts';
import { answer } from '../why-answer.ts';
import { inMilliseconds, rangeText, wayName } from '../why-words.ts';
import { counted, figure, figureOr, hertzName, octaves, percent } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { InUnits, Layout } from './layout.ts';
import { pathLines } from './why-path.ts';
import { pieces } from './why-pieces.ts';

export type WhyOptions = InUnits & {
  readonly width: number;
  readonly colour: boolean;
  readonly all: boolean;
};

type Page = Layout & InUnits;

/** Ways with less than this are spelled out by octave only with `all`. */
const SPELLED = 0.01;

export function whyText(why: Why, { width, colour, all, lengths }: WhyOptions): string {
  const safe = escapeAll(why);
  const layout = { width, paint: paint(colour), all, lengths };
  const told = safe.pairs.filter((pair, i) => all || safe.pairs[i - 1]?.mic !== pair.mic);
  const sections = [
    safe.title === '' ? [] : wrap(safe.title, width).map(layout.paint.strong),
    ...(safe.line
      ? [wrap(`${safe.mic} is a direct line: nothing reaches it by air, so it carries no bleed.`, width)]
      : []),
    ...told.flatMap((pair) => pairSections(pair, safe, layout)),
    equations(
      told.flatMap((pair) => shown(pair, layout)),
      layout,
    ),
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

function pairSections(pair: WhyPair, why: Why, layout: Page): string[][] {
  const mates = why.pairs.filter(({ mic }) => mic === pair.mic);
  const first = mates[0] === pair && mates.length > 1 ? [pieces(why.source, mates, layout)] : [];
  const title = wrap(`${pair.source} at ${pair.mic}`, layout.width).map(layout.paint.strong);
  const lines = answer(pair).flatMap((sentence) => wrap(sentence, layout.width));
  return [...first, [...title, ...lines], ways(pair, layout), ...spelled(pair, layout)];
}

function ways(pair: WhyPair, layout: Page): string[] {
  if (pair.paths.length === 0) return [];
  const [head = '', ...rows] = table(
    COLUMNS,
    pair.paths.map((path) => wayCells(path, layout).map(plain)),
    layout.width,
  );
  return [
    layout.paint.strong('Ways'),
    ...wrap(basis(pair), layout.width, '  '),
    layout.paint.faint(head),
    ...rows.flatMap((row, i) => [row, ...uncut(pair.paths[i], row, layout)]),
    ...wrap(total(pair), layout.width, '  '),
  ];
}

/** A name that its column had no room for, in full. */
function uncut(path: WhyPath | undefined, row: string, layout: Layout): string[] {
  if (!path || row.includes(wayName(path))) return [];
  return wrap(wayName(path), layout.width, '    ');
}

const COLUMNS: readonly Column[] = [
  { head: 'way', align: 'left', flexible: true },
  { head: 'share', align: 'right' },
  { head: 'dB SPL', align: 'right' },
  { head: 'length', align: 'right' },
  { head: 'delay', align: 'right' },
  { head: 'off axis', align: 'right' },
  { head: 'off aim', align: 'right' },
];

const wayCells = (path: WhyPath, { lengths }: InUnits): string[] => [
  wayName(path),
  percent(path.fraction),
  figureOr(path.level, 1, 'none'),
  path.length ? lengths.way(path.length, 2) : '',
  rangeText(inMilliseconds(path.delay), 1, ' ms'),
  rangeText(path.offAxis, 0, '°'),
  rangeText(path.offAim, 0, '°'),
];

function basis({ mic, pattern, judgedBands, filtered, points }: WhyPair): string {
  const all = judgedBands.length === NOMINAL_BANDS.length;
  const octave = all
    ? 'over all octaves'
    : `in ${octaves(judgedBands, NOMINAL_BANDS)}, where ${mic} is judged`;
  const counts = filtered ? `${octave}, after its filters` : octave;
  const levels = all && !filtered ? '' : `; levels over all octaves${filtered ? ', before filters' : ''}`;
  const section = points > 1 ? `; a section of ${points} points, added as energies` : '';
  return `Shares ${counts}${levels}. Off axis is the source's angle, off aim that of ${mic} (${pattern})${section}.`;
}

function total(pair: WhyPair): string {
  const level = `Together ${figureOr(pair.level, 1, 'none')} dB SPL`;
  const below = NOMINAL_BANDS.filter((hertz) => pair.schroeder !== null && hertz < pair.schroeder);
  const last = below.at(-1);
  const doubt =
    last === undefined
      ? ''
      : `, uncertain by ±5 dB up to ${hertzName(last)}, below the room's Schroeder frequency of ${figure(pair.schroeder ?? 0, 0)} Hz`;
  return `${level}${doubt}.`;
}

const shown = ({ paths }: WhyPair, { all }: Layout): readonly WhyPath[] =>
  paths.filter(({ fraction }) => all || fraction >= SPELLED);

function spelled(pair: WhyPair, layout: Page): string[][] {
  const [first, ...rest] = shown(pair, layout).map((path) => pathLines(path, layout));
  const left = pair.paths.length - (first ? rest.length + 1 : 0);
  const more = left > 0 ? [[`  ${counted(left, 'more way')} below 1%: --all`]] : [];
  if (!first) return more;
  return [[layout.paint.strong('Way by way, dB by octave'), ...first], ...rest, ...more];
}

/** Only what occurs in the ways told. */
function equations(paths: readonly WhyPath[], layout: Layout): string[] {
  const met = new Set(paths.flatMap(({ gains }) => gains.map(({ kind }) => kind)));
  if (met.size === 0) return [];
  const lines = GAIN_KINDS.filter((kind) => met.has(kind)).flatMap((kind) => {
    const { name, equation, source } = EQUATIONS[kind];
    return wrap(`${name}: ${equation} [${source}]`, layout.width, '  ', '    ');
  });
  return [layout.paint.strong('Equations'), ...lines];
}
