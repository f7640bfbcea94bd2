/** Decay times from recorded claps: by octave, clap by clap, as a chart, and what they do not say. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import {
  type AverageDecay,
  averageDecays,
  type Clap,
  DOUBTS,
  type Doubt,
  rangeFor,
  TIME_NAMES,
  type TimeName,
} from '../recording/decay.ts';
import { groupBy } from '../statistics.ts';
import { figure } from '../text.ts';
import { type Column, names, numbers, prose, type Section, table, type View, words } from './view.ts';
import { capital, counted, figureOr, hertzName, octaves, signed } from './words.ts';

/** What was read of one file. */
export type ClapFile = { readonly file: string; readonly claps: readonly Clap[] };

export type Decay = {
  readonly files: readonly string[];
  /** One for each clap and channel. */
  readonly claps: readonly (Clap & { readonly file: string })[];
  readonly octaves: readonly AverageDecay[];
};

export function decayOf(read: readonly ClapFile[]): Decay {
  const claps = read.flatMap(({ file, claps }) => claps.map((clap) => ({ ...clap, file })));
  return { files: read.map(({ file }) => file), claps, octaves: averageDecays(claps) };
}

export const TIME_WORDS: Readonly<Record<TimeName, string>> = { edt: 'EDT', t20: 'T20', t30: 'T30' };

export function decayView(decay: Decay, options: { readonly all?: boolean; readonly chart?: boolean }): View {
  const { files, claps } = decay;
  const count = new Set(claps.map(({ file, number }) => `${number} ${file}`)).size;
  const channels = claps.length > count ? `, ${counted(claps.length, 'decay')} over all channels` : '';
  const only = count === 1 ? ` at ${figure(claps[0]?.at ?? 0, 2)} s` : '';
  const sections = [
    byOctave(decay),
    ...(options.chart ? [chart(decay)] : []),
    byClap(decay, options.all === true),
  ];
  return {
    title: files.join(', '),
    lead: [`${counted(count, 'clap')}${only}${channels}. ${inShort(decay)}`],
    sections: [...sections, { id: 'notes', title: '', blocks: prose('notes', notes(decay)) }],
    more: `In a plan, for a room: reverberation: {recording: ${files[0]}}`,
  };
}

/** The mean of 500 Hz and 1 kHz stands for the room. ISO 3382-1. */
const MIDDLE = [500, 1000] as const;

function inShort({ octaves: rows }: Decay): string {
  const said = TIME_NAMES.flatMap((name) => {
    const times = MIDDLE.flatMap((hertz) => rows[NOMINAL_BANDS.indexOf(hertz)]?.times[name] ?? []);
    const mean = times.reduce((sum, one) => sum + one, 0) / times.length;
    return times.length === MIDDLE.length ? `${TIME_WORDS[name]} ${seconds(mean)} s` : [];
  });
  if (said.length > 0) return `500 Hz and 1 kHz: ${said.join(', ')}.`;
  return rows.some(({ lack }) => lack === null)
    ? 'No time at both 500 Hz and 1 kHz.'
    : `No octave rises ${rangeFor('edt')} dB above the noise, as it must: no time.`;
}

const seconds = (time: number | null): string => figureOr(time, 2, '');

function byOctave({ octaves: rows, claps }: Decay): Section {
  const title = 'Decay times by octave, seconds for 60 dB';
  const time = (name: TimeName) =>
    numbers(TIME_WORDS[name], ({ times }: AverageDecay) => seconds(times[name]));
  const columns = [
    names('octave', ({ band }) => hertzName(NOMINAL_BANDS[band] ?? 0)),
    ...TIME_NAMES.map(time),
    numbers('curvature', ({ curvature }) => (curvature === null ? '' : `${signed(curvature, 0)}%`)),
    numbers('range, dB', ({ range }) => figureOr(range, 0, '')),
    words('decays', ({ counts }) => `${counts.t20 || counts.edt} of ${claps.length}`),
  ] satisfies Column<AverageDecay>[];
  return { id: 'octaves', title, blocks: table(title, rows, columns) };
}

const MOST_CLAPS = 8;

/** Clap by clap, where there are several. */
function byClap({ claps }: Decay, all: boolean): Section {
  const title = 'Clap by clap, at 1 kHz';
  const shown = claps.length < 2 ? [] : claps.slice(0, all ? claps.length : MOST_CLAPS);
  const left = shown.length > 0 ? claps.length - shown.length : 0;
  const at = ({ octaves }: Clap) => octaves[NOMINAL_BANDS.indexOf(1000)];
  const columns = [
    names('recording', ({ file }) => file),
    numbers('channel', ({ channel }) => String(channel + 1)),
    numbers('at, s', ({ at }) => figure(at, 2)),
    ...TIME_NAMES.map((name) =>
      numbers(TIME_WORDS[name], (clap: Clap) => seconds(at(clap)?.times[name] ?? null)),
    ),
    numbers('range, dB', (clap) => figureOr(at(clap)?.range ?? null, 0, '')),
  ] satisfies Column<Decay['claps'][number]>[];
  const rest = left > 0 ? { text: `${left} more`, ask: '--all' } : null;
  return { id: 'claps', title, blocks: table(title, shown, columns, { rest }) };
}

/** What the times need, and octave by octave why there are none, or what is odd about them. */
function notes({ octaves: rows, claps }: Decay): string[] {
  const needs = TIME_NAMES.map((name) => `${TIME_WORDS[name]} ${rangeFor(name)}`).join(', ');
  const where = (of: readonly AverageDecay[]) => capital(octaves(of.map(nominal), NOMINAL_BANDS));
  const remarks = [...groupBy(rows, remarkOn)].filter(([remark]) => remark !== '');
  return [
    `Range above the noise that each time needs, dB: ${needs} (ISO 3382-2).`,
    ...remarks.map(([remark, of]) => `${where(of)}: ${remark}`),
    ...disagreement(
      rows.filter(({ disagree }) => disagree),
      where,
    ),
    ...clipping(claps.filter(({ clipped }) => clipped)),
  ];
}

function disagreement(
  rows: readonly AverageDecay[],
  where: (of: readonly AverageDecay[]) => string,
): string[] {
  const furthest = (row: AverageDecay) => (row.disagree?.[1] ?? 1) / (row.disagree?.[0] ?? 1);
  const [worst] = rows.toSorted((a, b) => furthest(b) - furthest(a));
  if (!worst?.disagree) return [];
  const [least, most] = worst.disagree.map(seconds);
  const example = `${least} to ${most} s at ${hertzName(nominal(worst))}`;
  return [`${where(rows)}: ${doubt('disagree', ` (${example})`)}`];
}

function clipping([first, ...more]: Decay['claps']): string[] {
  if (!first) return [];
  const others = more.length > 0 ? ` and ${counted(more.length, 'other')}` : '';
  return [capital(doubt('clipped', ` (${first.file} at ${figure(first.at, 2)} s${others})`))];
}

const nominal = ({ band }: AverageDecay): number => NOMINAL_BANDS[band] ?? 0;

/** Up to this octave a clap and a phone have little, Hz. Common practice, no source. */
const BASS = 250;

function remarkOn(row: AverageDecay): string {
  const { lack, times, bend } = row;
  if (lack === 'sample-rate') return 'above what the sample rate holds.';
  if (lack === 'filter') return 'the decay is too short for a filter one octave wide.';
  if (lack === 'bass' || (lack === 'range' && nominal(row) <= BASS))
    return 'too little bass. A hand clap has little there and a phone records little: burst a balloon or slam a big book, and use a mic with bass.';
  if (lack === 'range') return `too close to the noise; ${DOUBTS.early.fix}.`;
  if (times.t20 === null) return doubt('early', nominal(row) <= BASS ? ', for want of bass' : '');
  if (bend === 'slower')
    return 'the decay bends, slow at the end: a door open to a livelier room, or absorption on few surfaces. Levels follow the EDT.';
  return bend === 'steeper' ? doubt('steeper') : '';
}

const doubt = (name: Doubt, more = ''): string => `${DOUBTS[name].what}${more}; ${DOUBTS[name].fix}.`;

// The chart: a panel for each octave, its decay as an area, in characters.

/** Panels beside each other, columns of each, lines of 10 dB. */
const [ACROSS, COLUMNS, LINES] = [4, 15, 6];
const EIGHTHS = ' ▁▂▃▄▅▆▇█';

/** All have one scale of time: up to where the longest ends. */
function chart({ octaves: rows }: Decay): Section {
  const longest = Math.max(...rows.map(({ falls }) => falls[Math.min(falls.length - 1, 10 * LINES)] ?? 0));
  const title = `Decays down to the noise; a line is 10 dB, a panel ${seconds(longest)} s`;
  const lines = [0, ACROSS].flatMap((first) => panelLines(rows.slice(first, first + ACROSS), longest));
  return { id: 'chart', title, blocks: longest > 0 ? [{ kind: 'verbatim', lines }] : [] };
}

function panelLines(rows: readonly AverageDecay[], longest: number): string[] {
  const beside = (texts: readonly string[], mark: string) =>
    `${mark.padStart(5)}  ${texts.map((text) => text.padEnd(COLUMNS)).join('  ')}`.trimEnd();
  const heads = rows.map((row) => hertzName(nominal(row)));
  const areas = rows.map(({ falls }) => areaOf(falls, longest));
  return [
    beside(heads, ''),
    ...Array.from({ length: LINES }, (_, line) =>
      beside(
        areas.map((area) => area[line] ?? ''),
        String(-10 * line),
      ),
    ),
  ];
}

/** Lines of a panel from the top; a column is as high as what is left of the sound at its middle. */
function areaOf(falls: readonly number[], longest: number): string[] {
  const heights = Array.from({ length: COLUMNS }, (_, column) => {
    const time = (longest * (column + 0.5)) / COLUMNS;
    const fallen = falls.findIndex((one) => one > time);
    return fallen < 0 ? 0 : 10 * LINES - fallen;
  });
  return Array.from({ length: LINES }, (_, line) => {
    const base = 10 * (LINES - 1 - line);
    return heights
      .map((height) => EIGHTHS[Math.min(8, Math.max(0, Math.round(((height - base) * 8) / 10)))] ?? '')
      .join('');
  });
}
