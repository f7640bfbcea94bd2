/** Readings against the plan, as a page for people: what is otherwise, what was measured, what stands out. */
import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { FittedRow, LineCheck } from '../../linecheck/line-check.ts';
import type { Layer } from '../../linecheck/readings.ts';
import { escapeAll } from '../escape.ts';
import { paint } from '../paint.ts';
import { type Column, plain, table } from '../table.ts';
import { counted, figure, hertzName } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { Layout } from './layout.ts';
import { measuredBleed } from './line-check-bleed.ts';
import { verdict } from './line-check-verdict.ts';

export type LineCheckPage = { readonly width: number; readonly colour: boolean; readonly all: boolean };

export function lineCheckText(check: LineCheck, { width, colour, all }: LineCheckPage): string {
  const safe = escapeAll(check);
  const layout = { width, paint: paint(colour), all };
  const sections = [
    [
      ...(safe.title === '' ? [] : wrap(safe.title, width).map(layout.paint.strong)),
      ...verdict(safe, layout),
    ],
    fitted('Levels', 'source', 'against the plan', safe.sources, layout),
    fitted('Channels', 'channel', 'gain', safe.channels, layout),
    measuredBleed(safe, layout),
    standingOut(safe, layout),
    unsure(safe, layout),
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

function headed(
  title: string,
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  layout: Layout,
): string[] {
  const [head = '', ...lines] = table(
    columns,
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  return [layout.paint.strong(title), layout.paint.faint(head), ...lines];
}

function fitted(
  title: string,
  who: string,
  what: string,
  rows: readonly FittedRow[],
  layout: Layout,
): string[] {
  const columns: Column[] = [
    { head: who, align: 'left', flexible: true },
    { head: `${what}, dB`, align: 'right' },
    { head: '±', align: 'right' },
    { head: who === 'source' ? 'heard by' : 'heard', align: 'right' },
  ];
  const cells = rows.map(({ name, overall, count }) => [
    name,
    overall ? signed(overall.value) : 'not known',
    overall ? figure(overall.error, 1) : '',
    String(count),
  ]);
  return headed(title, columns, cells, layout);
}

const signed = (value: number): string => `${value > 0.05 ? '+' : ''}${figure(value, 1)}`;

/** Residuals that the fit set aside, greatest first. */
const ASIDE = 0.5;
const MOST = 8;

function standingOut({ residuals }: LineCheck, layout: Layout): string[] {
  const aside = residuals
    .filter(({ trust }) => trust < ASIDE)
    .sort((a, b) => Math.abs(b.residual) - Math.abs(a.residual));
  if (aside.length === 0) return [];
  const shown = layout.all ? aside : aside.slice(0, MOST);
  const rows = shown.map(({ source, channel, layer, residual }) => [
    source,
    channel,
    layerName(layer),
    signed(residual),
  ]);
  const columns: Column[] = [
    { head: 'source', align: 'left', flexible: true },
    { head: 'channel', align: 'left', flexible: true },
    { head: 'octave', align: 'right' },
    { head: 'off by, dB', align: 'right' },
  ];
  const more = aside.length - shown.length;
  return [
    ...headed('Readings that stand out (they count little in the fit)', columns, rows, layout),
    ...(more > 0 ? [`  ${more} more: --all`] : []),
  ];
}

const layerName = (layer: Layer): string => (layer === null ? 'all' : hertzName(NOMINAL_BANDS[layer] ?? 0));

function unsure(check: LineCheck, layout: Layout): string[] {
  const { groups, drowned, unforeseen, passedOver, sources, asOne } = check;
  const apart = groups.map(({ sources: who, channels }) => `${who.join(', ')} at ${channels.join(', ')}`);
  const once = sources.filter(({ count }) => count === 1).map(({ name }) => name);
  const lines = [
    'Levels are in relation to one another: one amount common to all could as well be in the gains. It is taken such that the median source is as the plan has it.',
    ...(groups.length > 1
      ? [`Nothing links ${apart.join('; nor ')}: between these no levels can be compared.`]
      : []),
    ...(asOne.length > 0
      ? [`Read as one, so that what sounds in it cannot be told apart: ${asOne.join(', ')}.`]
      : []),
    ...(once.length > 0
      ? [`Heard by one microphone only, so that nothing checks the reading: ${once.join(', ')}.`]
      : []),
    ...(drowned.length > 0
      ? [
          `${counted(drowned.length, 'reading')} too near to the noise to be used: ${namesOf(drowned, layout)}.`,
        ]
      : []),
    ...(unforeseen.length > 0
      ? [
          `${counted(unforeseen.length, 'reading')} where the plan has no sound arrive: ${namesOf(unforeseen, layout)}.`,
        ]
      : []),
    ...(passedOver.length > 0
      ? [`Direct lines hear nothing by air and are passed over: ${passedOver.join(', ')}.`]
      : []),
  ];
  return [layout.paint.strong('Not sure about'), ...lines.flatMap((line) => wrap(line, layout.width, '  '))];
}

function namesOf(readings: LineCheck['drowned'], { all }: Layout): string {
  const names = [...new Set(readings.map(({ source, channel }) => `${source} at ${channel}`))];
  const shown = all ? names : names.slice(0, MOST);
  return shown.join(', ') + (names.length > shown.length ? ` and ${names.length - shown.length} more` : '');
}
