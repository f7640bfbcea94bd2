import type { LevelRow, MicRow, Report } from '../../judge/report.ts';
import { plain, table } from '../table.ts';
import { displayWidth, head } from '../width.ts';
import { figure } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { Layout } from './layout.ts';

const COLUMN = 9;
const LONGEST_NAME = 24;

/** Every source at every microphone, dB over that microphone's own sound, in strips as wide as the page. */
export function matrix(report: Report, layout: Layout): string[] {
  const mics = report.mics.filter((mic) => mic.signal !== null);
  const deaf = report.mics.filter((mic) => mic.signal === null);
  if (mics.length === 0) return [];
  const names = Math.max(...mics.flatMap((mic) => mic.levels.map((level) => displayWidth(level.source))), 17);
  const room = layout.width - 2 - (layout.all ? names : Math.min(names, LONGEST_NAME));
  const perStrip = Math.max(1, Math.floor(room / (COLUMN + 2)));
  const strips = Array.from({ length: Math.ceil(mics.length / perStrip) }, (_, i) =>
    strip(mics.slice(i * perStrip, (i + 1) * perStrip), layout),
  );
  return [
    layout.paint.strong('Every source at every microphone'),
    ...wrap(LEGEND, layout.width, '  '),
    ...strips.flat(),
    ...(deaf.length > 0
      ? wrap(`Nothing of its own sound: ${deaf.map((m) => m.name).join(', ')}`, layout.width, '  ')
      : []),
  ];
}

const LEGEND =
  "dB over the microphone's own sound, all octaves, unweighted. * is its own sound, ~ a mate of the same kit " +
  'or part, which counts neither as signal nor as bleed. The first row is the own sound itself, dB SPL.';

function strip(mics: readonly MicRow[], layout: Layout): string[] {
  const heads = mics.map((mic) => headLines(mic.name));
  const height = Math.max(...heads.map((lines) => lines.length));
  const headRows = Array.from({ length: height }, (_, line) => [
    '',
    ...heads.map((lines) => lines[line - height + lines.length] ?? ''),
  ]);
  const sources = [...new Set(mics.flatMap((mic) => mic.levels.map((level) => level.source)))];
  const rows = [
    ['own sound, dB SPL', ...mics.map((mic) => `${figure(mic.signal ?? 0, 0)} `)],
    ...sources.map((source) => [source, ...mics.map((mic) => cell(mic, source))]),
  ];
  const columns = [
    { head: '', align: 'left', flexible: true } as const,
    ...mics.map(() => ({ head: '', align: 'right' }) as const),
  ];
  const lines = table(
    columns,
    [...headRows, ...rows].map((row) => row.map(plain)),
    layout.width,
  ).slice(1);
  return ['', ...lines.slice(0, height).map(layout.paint.faint), ...lines.slice(height)];
}

function cell(mic: MicRow, source: string): string {
  const row = mic.levels.find((level) => level.source === source);
  if (!row || row.level === null || mic.signal === null) return 'none ';
  return figure(row.level - mic.signal, 0) + mark(row);
}

function mark(row: LevelRow): string {
  if (row.wanted) return '*';
  return row.ignored ? '~' : ' ';
}

/** A name over several lines, broken after its own separators, within a column. */
function headLines(name: string): string[] {
  const lines: string[] = [];
  for (const piece of name.split(/(?<=[-_. ])/u).flatMap(fitting)) {
    const last = lines.at(-1);
    if (last !== undefined && displayWidth(last + piece) <= COLUMN) lines[lines.length - 1] = last + piece;
    else lines.push(piece);
  }
  return lines;
}

function fitting(piece: string): string[] {
  if (displayWidth(piece) <= COLUMN) return [piece];
  const start = head(piece, COLUMN);
  return start === '' ? [piece] : [start, ...fitting(piece.slice(start.length))];
}
