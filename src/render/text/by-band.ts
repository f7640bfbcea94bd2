import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { LevelRow, MicRow, Report } from '../../judge/report.ts';
import { worstFirst } from '../order.ts';
import { type Column, plain, table } from '../table.ts';
import { figureOr, hertzName } from '../words.ts';
import type { Layout } from './layout.ts';

/** Per microphone, worst first: its own sound, the bleed, their difference and every source, dB SPL by octave. */
export function byBand(report: Report, layout: Layout): string[] {
  const mics = worstFirst(report).flatMap(({ row, capsules }) => (capsules.length > 0 ? capsules : [row]));
  if (mics.length === 0) return [];
  const legend = '  dB SPL; * an octave the microphone is judged in; all of it unweighted';
  return [
    layout.paint.strong('By octave'),
    legend,
    ...mics.flatMap((mic) => ['', ...bandTable(mic, layout)]),
  ];
}

function bandTable(mic: MicRow, layout: Layout): string[] {
  const columns: Column[] = [
    { head: mic.name, align: 'left', flexible: true },
    ...NOMINAL_BANDS.map((hertz) => ({ head: bandHead(mic, hertz), align: 'right' }) as const),
  ];
  const own = bandSums(mic.levels.filter((level) => level.wanted));
  const bleed = bandSums(mic.levels.filter((level) => !level.wanted && !level.ignored));
  const rows = [
    row('own sound', own),
    row('bleed', bleed),
    row(
      'S/B',
      own.map((level, band) => difference(level, bleed[band] ?? null)),
    ),
    ...mic.levels.map((level) => row(label(level), level.byBand)),
  ];
  const [head = '', ...lines] = table(
    columns,
    rows.map((cells) => cells.map(plain)),
    layout.width,
  );
  return [layout.paint.faint(head), ...lines];
}

const bandHead = (mic: MicRow, hertz: number): string =>
  hertzName(hertz).replace(' ', '').replace('Hz', '') + (mic.judgedBands.includes(hertz) ? '*' : '');

const row = (name: string, levels: readonly (number | null)[]): string[] => [
  name,
  ...levels.map((level) => figureOr(level, 1, 'none')),
];

function label(level: LevelRow): string {
  if (level.wanted) return `${level.source} (own)`;
  return level.ignored ? `${level.source} (mate)` : level.source;
}

/** Energy sum by octave; null where nothing sounds. */
function bandSums(levels: readonly LevelRow[]): (number | null)[] {
  return NOMINAL_BANDS.map((_, band) => {
    const energies = levels
      .map((level) => level.byBand[band] ?? null)
      .map((db) => (db === null ? 0 : 10 ** (db / 10)));
    const sum = energies.reduce((a, b) => a + b, 0);
    return sum > 0 ? 10 * Math.log10(sum) : null;
  });
}

const difference = (a: number | null, b: number | null): number | null =>
  a === null || b === null ? null : a - b;
