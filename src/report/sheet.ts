/** The load-in sheet: inputs, positions, baffles, covers, doors and windows, headphones and safety, as lists of words. */
import type { Filter } from '../acoustics/bands.ts';
import { span } from '../geometry.ts';
import type { CueRow } from '../judge/hearing.ts';
import type { InputRow } from '../judge/inputs.ts';
import type { Report } from '../judge/report.ts';
import type { MicEntry } from '../plan/mics.ts';
import type { CoverEntry } from '../plan/players.ts';
import { lengthsIn } from '../plan/units.ts';
import type { Construction } from '../plan/values.ts';
import type { Capsule, Mic, Source } from '../scene/scene.ts';
import { escapeAll, figure } from '../text.ts';
import { heightIn, type About as Placed, placesOf, tapesOf, wallsOf } from './positions.ts';
import { type Column, type ColumnHead, given, headsOf, prose, textOf, type View, words } from './view.ts';
import { cautionWords, hearingCaution, hertzName, warningsOf } from './words.ts';

export type Sheet = { readonly title: string; readonly lists: readonly List[] };

export type List = {
  /** Name of the list for machines. */
  readonly key: string;
  readonly title: string;
  readonly columns: readonly ColumnHead[];
  /** A cell for each column, empty if there is nothing to show. */
  readonly rows: readonly (readonly string[])[];
  readonly notes: readonly string[];
};

type About = Placed & { readonly report: Report };
export type SheetInput = Pick<About, 'scene' | 'report' | 'plan'>;

/** Without empty lists. Control characters in names are escaped: they are other people's text. */
export function makeSheet({ scene, report, plan }: SheetInput): Sheet {
  const about = { scene, report, plan, lengthOf: lengthsIn(plan.units).tape };
  const lists = [inputs, positions, baffles, covers, doors, headphones, safety].map((make) => make(about));
  return escapeAll({ title: scene.title, lists: lists.filter(({ rows }) => rows.length > 0) });
}

export const sheetView = ({ title, lists }: Sheet): View => ({
  title: title === '' ? 'Load-in sheet' : `Load-in sheet: ${title}`,
  lead: [],
  sections: lists.map(({ key, title: caption, columns, rows, notes }) => ({
    id: key,
    title: caption,
    blocks: [
      ...prose('notes', notes),
      { kind: 'table', caption, columns, rows: rows.map((cells) => ({ cells })), whole: true },
    ],
  })),
});

const list = <Row>(
  titled: Pick<List, 'key' | 'title'>,
  rows: readonly Row[],
  columns: readonly Column<Row>[],
  notes: readonly string[] = [],
): List => ({
  ...titled,
  columns: headsOf(columns),
  rows: rows.map((row) => columns.map(({ cell }) => textOf(cell(row)))),
  notes,
});

/** Goes under its row on a narrow page. */
const UNDER = { under: true } as const;

function safety({ report }: About): List {
  const all = given([...warningsOf(report).map(cautionWords), hearingCaution(report)]);
  return list({ key: 'safety', title: 'Safety' }, all, [words('warning', (text) => text)]);
}

function positions(about: About): List {
  const { scene } = about;
  const places = placesOf(about).map((place) => ({ ...place, tapes: tapesOf(about, place) }));
  const rooms = scene.rooms.filter((_, i) => places.some(({ room }) => room === i));
  return list(
    { key: 'positions', title: 'Positions' },
    places,
    [
      words('name', ({ name }) => name),
      words('what', ({ what }) => what),
      words('from', ({ tapes: [first] }) => first[0]),
      words('tape', ({ tapes: [first] }) => first[1]),
      words('and from', ({ tapes: [, second] }) => second[0]),
      words('tape', ({ tapes: [, second] }) => second[1]),
      words('room', ({ room }) => (scene.rooms.length > 1 ? (scene.rooms[room]?.name ?? '') : ''), UNDER),
      words('set-up', ({ setUp }) => setUp, { under: 'bare' }),
    ],
    [
      rooms.length > 0 ? SQUARE : OPEN_AIR,
      'Mics and instruments: to the floor below the capsule or acoustic centre. Heights are above the floor of the room.',
      ...rooms.map((room) => wallsOf(about, room)),
    ],
  );
}

const SQUARE = 'Measure along the floor, square to the wall, or from the corner named.';
const OPEN_AIR = 'No rooms in the plan: measure from its point [0, 0], to the right and up the page.';

function baffles(about: About): List {
  const { scene, plan, lengthOf } = about;
  const own = scene.panels.filter(({ booth }) => booth === null);
  return list({ key: 'baffles', title: 'Baffles' }, own, [
    words('baffle', ({ name }) => name),
    words('length', ({ a, b }) => lengthOf(span(a, b))),
    words('top at', ({ high, room }) => heightIn(about, high, room)),
    words('gap below', ({ low, room }) => {
      const gap = low - (scene.rooms[room]?.floor ?? 0);
      return gap > 0.005 ? lengthOf(gap) : 'none';
    }),
    words('made of', ({ name }) => nameGiven(plan.baffles.get(name)?.madeOf)),
    words('window above', ({ windowFrom, room }) =>
      Number.isFinite(windowFrom) ? heightIn(about, windowFrom, room) : '',
    ),
  ]);
}

const nameGiven = (one: Construction | CoverEntry | undefined): string =>
  one && 'name' in one ? one.name : 'as in the plan';

/** Every cover, with the mics under it. */
function covers({ plan, scene }: About): List {
  const played = [...plan.players].flatMap(([player, { plays }]) =>
    plays.flatMap(({ name, cover, parts }) => [
      { over: name ?? player, cover },
      ...[...parts].map(([part, keys]) => ({ over: `${name ?? player}.${part}`, cover: keys?.cover })),
    ]),
  );
  const free = [...plan.sources].map(([over, { cover }]) => ({ over, cover }));
  const covered = [...played, ...free].flatMap(({ over, cover }) => (cover ? [{ over, cover }] : []));
  const within = (over: string): string => {
    const isOver = (source?: Source) => source?.name === over || source?.kit === over;
    const mics = scene.mics.filter(({ inside }) => isOver(scene.sources[inside ?? -1]));
    return mics.map(({ name }) => name).join(', ');
  };
  return list({ key: 'covers', title: 'Covers' }, covered, [
    words('over', ({ over }) => over),
    words('cover', ({ cover }) => nameGiven(cover)),
    words('mics inside', ({ over }) => within(over)),
  ]);
}

/** Doors, windows and openings: an ajar door is one, not a leaf and a gap. */
function doors({ scene, lengthOf }: About): List {
  const all = scene.partitions.flatMap(({ rooms, elements }) => {
    const between = rooms.map((room) => scene.rooms[room]?.name ?? 'outside').join(' and ');
    return elements
      .filter(({ name, free }, i) => !free || !elements.slice(0, i).some((one) => one.name === name))
      .map((element) => ({ ...element, between }));
  });
  return list(
    { key: 'doors', title: 'Doors and windows' },
    all,
    [
      words('between', ({ between }) => between),
      words('what', ({ name }) => name),
      words('state', ({ kind, state }) => (kind === 'opening' ? 'always open' : state)),
      words('width', ({ a, b }) => lengthOf(span(a, b))),
    ],
    ['Valid for these door states only.'],
  );
}

/** By channel, then inputs without one in the order of the plan. */
function inputs(about: About): List {
  const { mics } = about.scene;
  const without = mics.filter(({ channels }) => channels.length === 0);
  const numbered = mics.filter((mic) => !without.includes(mic)).sort(byFirstChannel);
  const note =
    numbered.length > 0
      ? 'Inputs at the end have no channel in the plan: write it in.'
      : 'No channels in the plan: write them in.';
  return list(
    { key: 'inputs', title: 'Input list' },
    [...numbered, ...without].flatMap((mic) => inputsOf(about, mic)),
    [
      words('channel', ({ channel }) => channel, { toFill: true }),
      words('input', ({ name }) => name, { naming: true }),
      words('kind', ({ capsule }) => (capsule ? 'mic' : 'DI')),
      words('for', ({ mic, entry }) => forWhom(mic, entry, about)),
      words('pattern', patternOf),
      words('height', ({ capsule }) => (capsule ? heightIn(about, capsule.at[2], capsule.room) : '')),
      words('pair with', ({ mates }) => mates.join(', '), UNDER),
      words('pad', ({ capsule }) => (capsule ? padOf(capsule, about.report.inputs) : ''), UNDER),
      words('filter', ({ mic }) => filterOf(mic), UNDER),
      words('remarks', ({ mic, entry }) => remarksOf(mic, entry), UNDER),
    ],
    without.length > 0 ? [note] : [],
  );
}

const ORDER = new Intl.Collator('en', { numeric: true });

/** A pair by the lower of its two, so that both halves stand beside each other. */
function byFirstChannel(a: Mic, b: Mic): number {
  const [first, second] = [a, b].map(({ channels }) => [...channels].sort(ORDER.compare)[0] ?? '');
  return ORDER.compare(first ?? '', second ?? '');
}

/** What is plugged into one channel: a capsule, or a DI, which has none. */
type Input = {
  readonly mic: Mic;
  readonly entry: MicEntry | undefined;
  readonly capsule: Capsule | null;
  readonly name: string;
  readonly channel: string;
  /** Of a mid-side pair. */
  readonly part: 'mid' | 'side' | null;
  /** The other inputs of its pair. */
  readonly mates: readonly string[];
};

function inputsOf({ scene, plan }: About, mic: Mic): Input[] {
  const entry = plan.mics.get(mic.name);
  const capsules = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  const of = { mic, entry };
  if (capsules.length === 0) {
    const channel = mic.channels[0] ?? '';
    return [{ ...of, capsule: null, name: mic.name, channel, part: null, mates: [] }];
  }
  const isMidSide = mic.stereo === 'mid-side';
  const names = isMidSide ? MID_SIDE.map((part) => `${mic.name}, ${part}`) : capsules.map(({ name }) => name);
  return names.map((name, i) => ({
    ...of,
    capsule: capsules[i] ?? capsules[0] ?? null,
    name,
    channel: mic.channels[i] ?? '',
    part: isMidSide ? (MID_SIDE[i] ?? null) : null,
    mates: names.filter((other) => other !== name),
  }));
}

const MID_SIDE = ['mid', 'side'] as const;

/** As named in the plan: a kit by its own name, not by its pieces. */
function forWhom(mic: Mic, entry: MicEntry | undefined, { scene }: About): string {
  if (mic.purpose !== 'parts') return mic.purpose;
  if (entry?.for.kind === 'parts') return entry.for.names.join(', ');
  return mic.wanted.map((source) => scene.sources[source]?.name ?? '').join(', ');
}

/** For a mid-side pair the patterns to set, not those it is decoded to. */
function patternOf({ entry, capsule, part }: Input): string {
  if (part === null) return capsule?.pattern.name ?? '';
  if (part === 'side') return 'figure-8';
  if (!entry?.pattern) return 'cardioid';
  return 'name' in entry.pattern ? entry.pattern.name : 'custom';
}

function padOf({ name }: Capsule, rows: readonly InputRow[]): string {
  const row = rows.find(({ mic }) => mic === name);
  if (!row?.pad || !row.peak) return '';
  const { level, source, role } = row.peak;
  const from = role === 'signal' ? '' : ` from ${source}`;
  return `${row.pad === 'pad' ? 'needed' : 'have ready'}: peaks near ${figure(level, 0)} dB${from}`;
}

function filterOf({ highPass, lowPass }: Mic): string {
  const filterText = (name: string, filter: Filter | null) =>
    filter && `${name} ${hertzName(filter.at)}, ${filter.slope} dB/octave`;
  return given([filterText('high-pass', highPass), filterText('low-pass', lowPass)]).join(', ');
}

const remarksOf = ({ stereo, switchable, inside }: Mic, entry: MicEntry | undefined): string =>
  given([
    stereo !== null && `stereo: ${stereo}`,
    switchable.length > 0 && 'switchable: set the pattern',
    inside !== null && 'under the cover',
    entry?.fixed && 'fixed position',
  ]).join('; ');

function headphones({ report, scene }: About): List {
  const levelOf = (name: string): string => {
    const level = scene.players.find((player) => player.name === name)?.cue.level ?? null;
    return level === null ? '' : `${figure(level, 0)} dBA at the ear`;
  };
  return list({ key: 'headphones', title: 'Headphones' }, report.cues, [
    words('who', ({ player }) => player),
    words('headphones', ({ wearing }) => (wearing === 'none' ? 'none listed: needed' : wearing)),
    words('must have', cueWords),
    words('level', ({ player }) => levelOf(player), UNDER),
    words('nice to have', ({ niceToHave }) => whom(niceToHave).join(', '), UNDER),
  ]);
}

const whom = (needs: CueRow['mustHave']): string[] => needs.map((need) => need.whom);

function cueWords({ mustHave, own }: CueRow): string {
  const all = [...whom(mustHave), ...(own === null ? [] : ['own part'])];
  return all.length > 0 ? all.join(', ') : 'nothing';
}
