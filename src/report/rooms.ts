/** Rooms, tolerances, assumptions, pitfalls, cautions. */
import { MID_BANDS, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Pitfall, PitfallKind } from '../judge/pitfalls.ts';
import type { Report, RoomRow } from '../judge/report.ts';
import { type Html, html, listMarkup, number, paragraphs, tableMarkup, words } from '../layout/html.ts';
import {
  type Column,
  heading,
  type InUnits,
  paint,
  plain,
  type ReportLayout,
  table,
  wrap,
} from '../layout/text.ts';
import type { Lengths } from '../plan/units.ts';
import type { Assumption } from '../scene/context.ts';
import type { Answer, ToldTolerance, ToldTolerances } from './answer.ts';
import { criterionWords } from './criteria.ts';
import { type PagePart, part } from './view.ts';
import { counted, figure, figureOr, hertzName, percent, round } from './words.ts';

const columns = (layout: InUnits): Column[] => [
  { head: 'room', align: 'left', flexible: true },
  { head: unitInHead(layout) ?? 'volume', align: 'right' },
  { head: 'T60 500 Hz', align: 'right' },
  { head: '1 kHz', align: 'right' },
  { head: '', align: 'left' },
  { head: 'critical distance', align: 'right' },
  { head: 'Schroeder', align: 'right' },
];

/** Size, reverberation and what follows from it: how far the direct sound leads, and how low the figures hold. */
export function rooms(report: Report, layout: ReportLayout & InUnits): string[] {
  const title = heading('Rooms', layout, 'rooms');
  if (report.rooms.length === 0) {
    return [title, '  None in the plan: open air, only direct ways and panels.'];
  }
  const [head = '', ...rows] = table(
    columns(layout),
    report.rooms.map((room) => roomCells(room, layout).map(plain)),
    layout.width,
  );
  return [title, layout.paint.faint(head), ...rows];
}

/** Reverberation time by band and method, seconds. */
export function decays({ rooms }: Report, layout: ReportLayout): string[] {
  if (rooms.length === 0) return [];
  const columns: Column[] = [
    { head: 'T60, seconds', align: 'left', flexible: true },
    ...NOMINAL_BANDS.map((hertz) => ({ head: hertzName(hertz), align: 'right' }) as const),
  ];
  const rows = rooms.flatMap((room) => [
    decayRow(`${room.name}, Sabine`, room.sabine),
    decayRow(`${room.name}, Eyring`, room.eyring),
    ...(room.measured ? [decayRow(`${room.name}, measured`, room.measured)] : []),
  ]);
  const [head = '', ...lines] = table(
    columns,
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  return [layout.paint.strong('Reverberation by band'), layout.paint.faint(head), ...lines];
}

const decayRow = (label: string, times: Float64Array): string[] => [
  label,
  ...Array.from(times, (seconds) => figure(seconds, 2)),
];

/** Cubic feet are so many and so long a word that beside each figure they would leave no room for names. */
const unitInHead = ({ lengths }: InUnits): string | null =>
  lengths.units === 'ft' ? lengths.volume(0)[1] : null;

function roomCells(room: RoomRow, layout: InUnits): string[] {
  const { lengths } = layout;
  const [volume, unit] = lengths.volume(room.volume);
  const time = room.measured ?? room.eyring;
  return [
    room.name,
    unitInHead(layout) === null ? `${volume} ${unit}` : volume,
    `${figure(time[BAND_500] ?? 0, 2)} s`,
    `${figure(time[BAND_1K] ?? 0, 2)} s`,
    room.measured ? 'measured' : 'Eyring',
    lengths.way(room.criticalDistance, 2),
    `${figure(room.schroeder, 0)} Hz`,
  ];
}

const BAND_500 = NOMINAL_BANDS.indexOf(500);

const BAND_1K = NOMINAL_BANDS.indexOf(1000);

// Inputs, rooms, and how sure all of it is.

export function inputs({ inputs: rows }: Answer): PagePart | null {
  if (rows.length === 0) return null;
  const heads = [
    words('input'),
    number('peak dB'),
    words('of'),
    words('pad'),
    number('softest dBA'),
    number('over the room'),
    number('over its own noise'),
  ];
  return part(
    'inputs',
    'Inputs',
    tableMarkup(
      'What each microphone brings; ~ a crest that is a guess',
      heads,
      rows.map(({ mic, peak, pad, signal, overNoise, overSelfNoise }) => [
        mic,
        peak ? `${peak.guessed ? '~' : ''}${figure(peak.level, 0)}` : 'silent',
        peak?.source ?? '',
        pad ?? '',
        figureOr(signal, 1, 'none'),
        figureOr(overNoise, 1, ''),
        figureOr(overSelfNoise, 1, ''),
      ]),
    ),
  );
}

export function pageRooms({ rooms: rows }: Answer, lengths: Lengths): PagePart | null {
  if (rows.length === 0) return null;
  const sizes = rows.map(({ name, volume, criticalDistance, schroeder, measured }) => [
    name,
    lengths.volume(volume).join(' '),
    measured ? 'measured' : 'Eyring',
    lengths.way(criticalDistance, 2),
    `${figure(schroeder, 0)} Hz`,
  ]);
  const times = rows.flatMap(({ name, sabine, eyring, measured }) =>
    Object.entries({ Sabine: sabine, Eyring: eyring, ...(measured ? { measured } : {}) }).map(
      ([by, bands]) => [`${name}, ${by}`, ...Array.from(bands, (seconds) => figure(seconds, 2))],
    ),
  );
  return part(
    'rooms',
    'Rooms',
    tableMarkup(
      'Size and sound',
      [words('room'), number('volume'), words('decay'), number('critical distance'), number('Schroeder')],
      sizes,
    ),
    tableMarkup(
      'Reverberation time, seconds',
      [words('room'), ...NOMINAL_BANDS.map((hertz) => number(hertzName(hertz)))],
      times,
    ),
  );
}

export function tolerances({ tolerances: told }: Answer): PagePart | null {
  const rows = told?.rows.filter(({ p50 }) => p50 !== null) ?? [];
  if (!told || rows.length === 0) return null;
  const heads = [
    words('figure'),
    ...['10%', '50%', '90%', 'limit', 'holds'].map(number),
    words('mostly from'),
  ];
  return part(
    'tolerance',
    'How far off on the day',
    html`<p>Percentiles of ${told.draws} draws in which aims, places, levels, nulls and absorption are off by chance, dB.</p>\n`,
    tableMarkup(
      'Tolerance of each figure',
      heads,
      rows.map(({ kind, about, p10, p50, p90, limit, holds, causes: [first] }) => [
        `${criterionWords(kind).short} ${about.join(', ')}`,
        ...[p10, p50, p90].map((value) => figureOr(value, 1, 'none')),
        limit === null ? '' : round(limit),
        holds === null ? '' : percent(holds),
        first ? `${first.cause}, ${figure(first.spread, 1)} dB` : '',
      ]),
    ),
  );
}

export function pageUnsure(answer: Answer): PagePart | null {
  const told = sentencesOf(
    (about: Answer, layout) => unsureText({ ...about, tolerances: null }, false, layout),
    answer,
    'full',
  );
  return part(
    'unsure',
    'Not sure about',
    paragraphs(told.map((line) => line.replace(' (--assumptions)', ''))),
    assumed(answer),
  );
}

function assumed({ assumptions }: Answer): Html | null {
  if (assumptions.length === 0) return null;
  const list = assumptions.map(
    ({ path, text, kind }) => `${path.length > 0 ? `${path.join('.')}: ` : ''}${text} (${kind})`,
  );
  return html`<details><summary>${counted(assumptions.length, 'assumption')}</summary>\n${listMarkup(list)}</details>\n`;
}

export function pageCautions({ cautions: rows }: Answer): PagePart | null {
  const texts = rows.map(({ message, mend }) => (mend ? `${message}; ${mend}` : message));
  return texts.length > 0 ? part('cautions', 'Cautions', listMarkup(texts)) : null;
}

// What the report for terminals says in sentences, taken over as it stands: one wording, two pages.

const layout = (brief: boolean): ReportLayout => ({
  width: Number.POSITIVE_INFINITY,
  paint: paint(false),
  all: false,
  brief,
});

type Section<T> = (about: T, layout: ReportLayout) => string[];

/** A section without its title, each sentence whole; in full only where it says nothing in tables. */
export const sentencesOf = <T>(section: Section<T>, about: T, how: 'brief' | 'full'): string[] =>
  section(about, layout(how === 'brief'))
    .slice(1)
    .map((line) => line.trim().replace(/^- /, ''));

const TITLE = 'Not sure about';

/** What the figures rest on without the plan saying so, how far they may be off, and what no figure here holds. */
export function unsureText(answer: Answer, listed: boolean, layout: ReportLayout): string[] {
  const { assumptions, rooms, tolerances } = answer;
  const list = listed ? assumptions.flatMap((one) => wrap(sentence(one), layout.width, '  - ', '    ')) : [];
  const open = tolerances ? tolerance(tolerances, layout) : [];
  const bands = layout.brief
    ? rooms.filter((room) => lowBands(room).length > 0).map(inShort)
    : rooms.map(uncertain);
  const count = counts(assumptions, listed);
  if (layout.brief) {
    const told = listed ? [...bands, count] : [count, ...bands];
    return [...wrap(`${TITLE}: ${told.join('; ')}`, layout.width, '', '  '), ...list, ...open];
  }
  const said = [count, ...bands];
  const lines = [...said, LEFT_OUT].map((line) => wrap(line, layout.width, '  ', '    '));
  return [
    layout.paint.strong(TITLE),
    ...lines.slice(0, -1).flat(),
    ...list,
    ...open,
    ...(lines.at(-1) ?? []),
  ];
}

function counts(assumptions: readonly Assumption[], listed: boolean): string {
  if (assumptions.length === 0) return 'The plan says everything: no assumptions';
  const count = `${counted(assumptions.length, 'assumption')} made where the plan is silent`;
  return count + (listed ? ':' : ' (--assumptions)');
}

const LEFT_OUT =
  'Not in any figure: single room modes, the lobes of instruments, the shadow of bodies, sound by way of the structure; panels are thin and flat.';

const sentence = ({ path, kind, text }: Assumption): string =>
  `${[path.join('.'), text].filter((part) => part !== '').join(': ')} (${kind})`;

/** Bands whose middle lies below the Schroeder frequency, by name. */
const lowBands = ({ schroeder }: RoomRow): number[] =>
  NOMINAL_BANDS.filter((_, band) => (MID_BANDS[band] ?? 0) < schroeder);

const inShort = (room: RoomRow): string => `${namesOf(lowBands(room))} in ${room.name} by ±5 dB`;

/** The ±5 dB is from memory. */
function uncertain(room: RoomRow): string {
  const below = lowBands(room);
  if (below.length === 0) return `${room.name}: no octave has its middle below the Schroeder frequency.`;
  return `${room.name}: uncertain by ±5 dB at ${namesOf(below)}, below the Schroeder frequency, where single room modes rule.`;
}

const namesOf = (below: readonly number[]): string =>
  below.length === 1 ? hertzName(below[0] ?? 0) : `${below.map(String).join(', ')} Hz`;

const COLUMNS: readonly Column[] = [
  { head: 'figure', align: 'left', flexible: true },
  { head: '10%', align: 'right' },
  { head: '50%', align: 'right' },
  { head: '90%', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'holds', align: 'right' },
  { head: 'mostly from', align: 'left', flexible: true },
];

/** How far each figure may be off on the day, how likely its limit holds, and what makes the most of that. */
function tolerance({ draws, rows }: ToldTolerances, layout: ReportLayout): string[] {
  const known = rows
    .filter(({ p50, limit }) => p50 !== null && (limit !== null || layout.all))
    .sort((a, b) => (a.holds ?? 2) - (b.holds ?? 2));
  if (known.length === 0) return [];
  const [head = '', ...lines] = table(
    COLUMNS,
    known.map((row) => cells(row).map(plain)),
    layout.width,
  );
  const legend = `Percentiles of ${draws} draws in which aims, places, levels, nulls and absorption are off by chance, dB.`;
  return [...wrap(legend, layout.width, '  '), layout.paint.faint(head), ...lines];
}

function cells({ kind, about, p10, p50, p90, limit, holds, causes }: ToldTolerance): string[] {
  const [first] = causes;
  return [
    `${criterionWords(kind).short} ${about.join(', ')}`,
    ...[p10, p50, p90].map((value) => figureOr(value, 1, 'none')),
    limit === null ? '' : round(limit),
    holds === null ? '' : percent(holds),
    first ? `${first.cause}, ${figure(first.spread, 1)} dB` : '',
  ];
}

/** So many without asking for more; moves take the room of one. */
const SHOWN = 3;

/** What a brief page has said by then. */
const SAID: readonly PitfallKind[] = ['ears', 'committed', 'ghost'];

/** What this plan will fall into, most serious first; in brief the worst of each kind that was not said already. */
export function pitfallList(
  { pitfalls, mics, now }: Pick<Answer, 'pitfalls' | 'mics' | 'now'>,
  layout: ReportLayout,
): string[] {
  if (mics.length === 0) return [];
  const shown = layout.brief ? worstOfKinds(pitfalls, now === null ? SHOWN : SHOWN - 1) : pitfalls;
  const left = pitfalls.length - shown.length;
  const lines = shown.flatMap(({ sentence, mend }) =>
    wrap(layout.brief ? sentence : `${sentence}; mend: ${mend}`, layout.width, '  - ', '    '),
  );
  const calm =
    shown.length > 0 ? [] : [pitfalls.length > 0 ? '  None but what stands above.' : '  None found.'];
  return [titleOf(left, layout), ...lines, ...calm];
}

function titleOf(left: number, layout: ReportLayout): string {
  const title = heading('Pitfalls', layout, 'pitfalls');
  return layout.brief && left > 0 ? title.replace('(more:', `(${left} more:`) : title;
}

function worstOfKinds(pitfalls: readonly Pitfall[], most: number): Pitfall[] {
  const unsaid = pitfalls.filter(({ kind }) => !SAID.includes(kind));
  const first = unsaid.filter(({ kind }, i) => unsaid.findIndex((one) => one.kind === kind) === i);
  return first.slice(0, most);
}

/** What was computed but deserves a word. */
export function cautions(report: Pick<Report, 'cautions'>, layout: ReportLayout): string[] {
  const texts = report.cautions.map(({ message, mend }) => (mend ? `${message}; ${mend}` : message));
  if (texts.length === 0) return [];
  return [
    layout.paint.strong('Cautions'),
    ...texts.flatMap((line) => wrap(line, layout.width, '  ', '    ')),
  ];
}
