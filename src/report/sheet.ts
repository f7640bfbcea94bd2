/** Load-in sheet: inputs, aims, states, headphones. */
import type { Filter } from '../acoustics/bands.ts';
import {
  add,
  bearingOf,
  corner,
  middleOf,
  scale,
  span,
  subtract,
  tiltOf,
  turnBetween,
  unit,
  type Vec3,
} from '../geometry.ts';
import type { CueRow } from '../judge/hearing.ts';
import type { InputRow } from '../judge/inputs.ts';
import type { Report } from '../judge/report.ts';
import type { MicEntry } from '../plan/mics.ts';
import type { PlanData } from '../plan/plan.ts';
import type { CoverEntry } from '../plan/players.ts';
import type { Construction } from '../plan/schema.ts';
import { type Lengths, lengthsIn } from '../plan/units.ts';
import type { Capsule, Mic, Partition, Room, Scene } from '../scene/scene.ts';
import type { List, ListColumn } from './view.ts';
import { figure, hearingCaution, hertzName } from './words.ts';

// From a judged plan to its load-in sheet.
export function cautions({ report }: About): List {
  const hearing = hearingCaution(report);
  const all = report.cautions.map(({ message, mend }) => (mend ? `${message}; ${mend}` : message));
  return {
    key: 'cautions',
    title: 'Cautions',
    columns: [{ head: 'caution' }],
    rows: [...all, ...(hearing === null ? [] : [hearing])].map((text) => [text]),
    notes: [],
  };
}

// Where each microphone looks, so that whoever sets its stand can see it.

/** A source further round than this is no mark to turn a microphone by, degrees. */
const IN_SIGHT = 60;

type Aimed = {
  readonly mic: Mic;
  readonly entry: MicEntry | undefined;
  readonly at: Vec3;
  readonly aim: Vec3;
};

/** "looks at tuba, tip it 48° down". `at` and `aim` are those of a capsule, or of a pair's middle. */
export function aimWords(scene: Scene, { mic, entry, at, aim }: Aimed): string {
  const tip = tipWords(aim);
  if (isSteep(aim)) return `looks ${tip}`;
  const whom = lookedAt(scene, mic, entry);
  const room = scene.rooms[scene.capsules[mic.capsules[0] ?? -1]?.room ?? -1];
  const bearing = bearingOf(aim);
  if (entry?.nullAt !== undefined) {
    return `null to ${entry.nullAt}: ${besideSource(scene, mic, at, bearing) ?? `looks to ${bearingWords(bearing, room)}`}, ${tip}`;
  }
  if (whom !== null) return `looks at ${whom}, ${tip}`;
  return `looks to ${bearingWords(bearing, room)}, ${tip}`;
}

/** A name where the microphone looks at one. */
function lookedAt(scene: Scene, mic: Mic, entry: MicEntry | undefined): string | null {
  if (entry?.aim) return 'target' in entry.aim ? entry.aim.target : null;
  if (mic.purpose !== 'parts') return 'the middle of all that plays';
  return scene.sources[mic.wanted[0] ?? -1]?.name ?? null;
}

/** "turned 20° left of tuba": by its own source, where that stands about ahead of it. */
function besideSource(scene: Scene, mic: Mic, at: Vec3, bearing: number): string | null {
  const source = scene.sources[mic.wanted[0] ?? -1];
  if (mic.purpose !== 'parts' || !source) return null;
  const turn = Math.round(turnBetween(bearingOf(subtract(middleOf(source.points), at)), bearing));
  if (Math.abs(turn) > IN_SIGHT) return null;
  return turn === 0
    ? `looks at ${source.name}`
    : `turned ${Math.abs(turn)}° ${turn < 0 ? 'left' : 'right'} of ${source.name}`;
}

/** Half way between two capsules, and the mean of their aims. */
export function pairMiddle(one: Capsule, other: Capsule): { readonly at: Vec3; readonly aim: Vec3 } {
  return { at: scale(add(one.at, other.at), 0.5), aim: unit(add(one.aim, other.aim)) };
}

// Directions in plain words, against something that one can see from where one stands.

/** From so many degrees on a direction has no bearing worth a word. */
const STEEP = 85;

/** "tip it 48° down", "level", "straight down". */
export function tipWords(aim: Vec3): string {
  const tilt = Math.round(tiltOf(aim));
  const way = tilt < 0 ? 'down' : 'up';
  if (tilt === 0) return 'level';
  return isSteep(aim) ? `straight ${way}` : `tip it ${Math.abs(tilt)}° ${way}`;
}

export const isSteep = (aim: Vec3): boolean => Math.abs(tiltOf(aim)) >= STEEP;

/** "the left wall, turned 12° right of square"; in the open air by the page. */
export function bearingWords(bearing: number, room: Room | undefined): string {
  const facing = room && squareWall(bearing, room);
  if (!facing) return upThePage(Math.round(bearing) % 360);
  return `${named(facing.name)}${turnWords(facing.turn)}`;
}

const upThePage = (degrees: number): string =>
  degrees === 0 ? 'up the page' : `${degrees}° clockwise from up the page`;

/** "the left wall", "wall 3". */
const named = (wall: string): string => (wall.startsWith('wall ') ? wall : `the ${wall}`);

function turnWords(turn: number): string {
  const degrees = Math.round(Math.abs(turn));
  return degrees === 0 ? '' : `, turned ${degrees}° ${turn < 0 ? 'left' : 'right'} of square`;
}

/** The wall that one looks at most squarely by its direction, wherever in the room one stands. */
function squareWall(bearing: number, { outline, surfaces }: Room) {
  const walls = outline.map((a, i) => {
    const b = corner(outline, i + 1);
    const outward = bearingOf([b[1] - a[1], a[0] - b[0], 0]);
    return { name: surfaces[i + 2]?.name ?? '', turn: turnBetween(outward, bearing) };
  });
  return [...walls].sort((a, b) => Math.abs(a.turn) - Math.abs(b.turn))[0];
}

// What stands, hangs, lies over and opens: baffles, covers, doors and windows in the state that was computed.

export function baffles(about: About): List {
  const own = about.scene.panels.filter(({ booth }) => booth === null);
  return {
    key: 'baffles',
    title: 'Baffles',
    columns: ['baffle', 'length', 'top at', 'gap below', 'made of', 'see through from'].map((head) => ({
      head,
    })),
    rows: own.map(({ name, room, a, b, low, high, windowFrom }) => {
      const gap = low - (about.roomOf(room)?.floor ?? 0);
      return [
        name,
        about.tell(span(a, b)),
        heightIn(about, high, room),
        gap > 0.005 ? about.tell(gap) : 'none',
        madeOf(about.plan.baffles.get(name)?.madeOf),
        Number.isFinite(windowFrom) ? heightIn(about, windowFrom, room) : '',
      ];
    }),
    notes: [],
  };
}

const madeOf = (made: Construction | undefined): string =>
  made && 'name' in made ? made.name : 'as given in the plan';

/** Every cover, with the microphones that are under it. */
export function covers({ plan, scene }: About): List {
  const played = [...plan.players].flatMap(([player, { plays }]) =>
    plays.flatMap(({ name, cover, parts }) => [
      { over: name ?? player, cover },
      ...[...parts].map(([part, keys]) => ({ over: `${name ?? player}.${part}`, cover: keys?.cover })),
    ]),
  );
  const free = [...plan.sources].map(([over, { cover }]) => ({ over, cover }));
  const within = (over: string) =>
    scene.mics.filter(({ inside }) => {
      const source = scene.sources[inside ?? -1];
      return source !== undefined && (source.name === over || source.kit === over);
    });
  return {
    key: 'covers',
    title: 'Covers',
    columns: ['over', 'cover', 'mics inside'].map((head) => ({ head })),
    rows: [...played, ...free].flatMap(({ over, cover }) =>
      cover
        ? [
            [
              over,
              coverName(cover),
              within(over)
                .map(({ name }) => name)
                .join(', '),
            ],
          ]
        : [],
    ),
    notes: [],
  };
}

const coverName = (cover: CoverEntry): string => ('name' in cover ? cover.name : 'as given in the plan');

/** Doors, windows and openings: a leaf ajar is one, not a leaf and a slit. */
export function doors(about: About): List {
  const rows = about.scene.partitions.flatMap((partition) => elementsOf(about, partition));
  return {
    key: 'doors',
    title: 'Doors and windows',
    columns: ['between', 'what', 'state', 'width'].map((head) => ({ head })),
    rows,
    notes: rows.length > 0 ? ['As computed: another state gives other figures.'] : [],
  };
}

function elementsOf(about: About, { rooms, elements }: Partition): string[][] {
  const between = rooms.map((room) => about.roomOf(room)?.name ?? 'outside').join(' and ');
  const whole = elements.filter(
    ({ name, free }, i) => !free || !elements.slice(0, i).some((one) => one.name === name),
  );
  return whole.map(({ name, state, kind, a, b }) => [
    between,
    name,
    kind === 'opening' ? 'always open' : state,
    about.tell(span(a, b)),
  ]);
}

// The input list: what is plugged into which channel, and what its stand and its strip need.

const COLUMNS: readonly ListColumn[] = [
  { head: 'channel', toFill: true },
  { head: 'input', names: true },
  { head: 'kind' },
  { head: 'for' },
  { head: 'pattern' },
  { head: 'height' },
  { head: 'pair with', under: true },
  { head: 'pad', under: true },
  { head: 'filter', under: true },
  { head: 'remarks', under: true },
];

/** By channel where the plan gives them, the others after them in the order of the plan. */
export function inputs(about: About): List {
  const lines = about.scene.mics.flatMap((mic) => inputsOf(about, mic));
  const numbered = lines.filter(([channel]) => channel !== '');
  const without = lines.filter(([channel]) => channel === '');
  const rows = [...numbered.sort(([a = ''], [b = '']) => ORDER.compare(a, b)), ...without];
  const note =
    numbered.length > 0 ? 'no channel in the plan for those at the end' : 'the plan gives no channels';
  const notes = without.length > 0 ? [`Write in the channels: ${note}.`] : [];
  return { key: 'inputs', title: 'Input list', columns: COLUMNS, rows, notes };
}

const ORDER = new Intl.Collator('en', { numeric: true });

function inputsOf(about: About, mic: Mic): string[][] {
  const entry = about.plan.mics.get(mic.name);
  const capsules = mic.capsules.flatMap((index) => about.scene.capsules[index] ?? []);
  const [first] = capsules;
  if (!first) return [lineRow(about, mic, entry)];
  const names =
    mic.stereo === 'mid-side' ? [`${mic.name}, mid`, `${mic.name}, side`] : capsules.map(({ name }) => name);
  return names.map((name, i) => [
    mic.channels[i] ?? '',
    name,
    'mic',
    forWhom(mic, entry, about),
    patternOf(mic, capsules[i] ?? first, entry, i),
    heightIn(about, (capsules[i] ?? first).at[2], first.room),
    names.filter((other) => other !== name).join(', '),
    padOf(capsules, about.report.inputs, i),
    filterOf(mic),
    remarksOf(mic, entry),
  ]);
}

const lineRow = (about: About, mic: Mic, entry: MicEntry | undefined): string[] => [
  mic.channels[0] ?? '',
  mic.name,
  'line',
  forWhom(mic, entry, about),
  '',
  '',
  '',
  '',
  filterOf(mic),
  remarksOf(mic, entry),
];

/** As the plan names them: a kit by its own name, not by its pieces. */
function forWhom(mic: Mic, entry: MicEntry | undefined, { scene }: About): string {
  if (mic.purpose !== 'parts') return mic.purpose;
  if (entry?.for.kind === 'parts') return entry.for.names.join(', ');
  return mic.wanted.map((source) => scene.sources[source]?.name ?? '').join(', ');
}

/** Of a mid-side pair the patterns that are set, not those it is decoded to. */
function patternOf(mic: Mic, { pattern }: Capsule, entry: MicEntry | undefined, place: number): string {
  if (mic.stereo !== 'mid-side') return pattern.name;
  if (place === 1) return 'figure-8';
  if (!entry?.pattern) return 'cardioid';
  return 'name' in entry.pattern ? entry.pattern.name : 'custom';
}

function padOf(capsules: readonly Capsule[], rows: readonly InputRow[], place: number): string {
  const row = rows.find(({ mic }) => mic === capsules[place]?.name);
  if (!row?.pad || !row.peak) return '';
  const { level, source, wanted } = row.peak;
  const from = wanted ? '' : ` from ${source}`;
  return `${row.pad === 'pad' ? 'wanted' : 'at hand'}: peaks near ${figure(level, 0)} dB${from}`;
}

const filterOf = ({ highPass, lowPass }: Mic): string =>
  [told('high-pass', highPass), told('low-pass', lowPass)].filter((text) => text !== '').join(', ');

const told = (name: string, filter: Filter | null): string =>
  filter === null ? '' : `${name} ${hertzName(filter.at)}, ${filter.slope} dB an octave`;

function remarksOf(mic: Mic, entry: MicEntry | undefined): string {
  const remarks = [
    mic.stereo === null ? '' : `stereo: ${mic.stereo}`,
    mic.switchable.length > 0 ? 'switchable: set the pattern' : '',
    mic.inside === null ? '' : 'inside, under the cover',
    entry?.fixed ? 'stays where it is' : '',
  ];
  return remarks.filter((text) => text !== '').join('; ');
}

// The cue list: what goes into whose headphones.

export function headphones({ report, scene }: About): List {
  const levelOf = (name: string) => scene.players.find((player) => player.name === name)?.cue.level ?? null;
  return {
    key: 'headphones',
    title: 'Headphones',
    columns: [
      { head: 'who' },
      { head: 'headphones' },
      { head: 'must carry' },
      { head: 'level', under: true },
      { head: 'more of it helps', under: true },
    ],
    rows: report.cues.map((row) => {
      const level = levelOf(row.player);
      return [
        row.player,
        wearingWords(row),
        carriedWords(row),
        level === null ? '' : `${figure(level, 0)} dBA at the ear`,
        row.helps.join(', '),
      ];
    }),
    notes: [],
  };
}

/** Who has none and would need them is told so. */
const wearingWords = ({ wearing }: CueRow): string =>
  wearing === 'none' ? 'none in the plan: needs some' : wearing;

function carriedWords({ carries, himself }: CueRow): string {
  const all = [...carries, ...(himself ? ['own sound'] : [])];
  return all.length > 0 ? all.join(', ') : 'nothing';
}

// All that a sheet is made from.

export type SheetInput = {
  readonly scene: Scene;
  readonly report: Report;
  readonly plan: PlanData;
};

export type About = SheetInput & {
  readonly tell: Lengths['tape'];
  /** Undefined in the open air. */
  readonly roomOf: (index: number) => Room | undefined;
};

export const aboutOf = (input: SheetInput): About => ({
  ...input,
  tell: lengthsIn(input.plan.units).tape,
  roomOf: (index) => input.scene.rooms[index],
});

/** Height above the floor of its room, in words. */
export const heightIn = ({ roomOf, tell }: About, z: number, room: number): string =>
  tell(z - (roomOf(room)?.floor ?? 0));
