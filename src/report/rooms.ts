/** Rooms, uncertainty, tolerance, pitfalls and safety. */
import { type Bands, MID_BANDS, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Pitfall, PitfallKind } from '../judge/pitfalls.ts';
import type { Report } from '../judge/report.ts';
import { type Clap, isNarrow, type RoomRow } from '../judge/rooms.ts';
import type { Assumption } from '../scene/context.ts';
import { LATE_ALONE_LOWER } from '../scene/scene.ts';
import { figure } from '../text.ts';
import type { Answer, Scope, ToleranceSummary } from './answer.ts';
import { balanceName, criterionWords } from './criteria.ts';
import { type Block, names, numbers, prose, table } from './view.ts';
import { cautionWords, counted, figureOr, hertzName, percent, round, warningsOf } from './words.ts';

/** Volume, decays, critical distance and Schroeder frequency, and what was made of measured times. */
export function rooms({ rooms: rows }: Report, { lengths }: Scope): Block[] {
  // cubic feet are so many and so long a word that beside each value they would leave no room for names
  const unitInHead = lengths.units === 'ft' ? lengths.volume(0)[1] : null;
  if (rows.length === 0) return prose('notes', ['No rooms: open air, direct paths and baffles only.']);
  return [
    ...table('Room acoustics', rows, [
      names('room', ({ name }) => name),
      numbers(unitInHead ?? 'volume', ({ volume }) => {
        const [number, unit] = lengths.volume(volume);
        return unitInHead === null ? `${number} ${unit}` : number;
      }),
      numbers('early decay', earlyDecay),
      numbers('RT60', lateDecay),
      numbers('critical distance', ({ criticalDistance }) => lengths.way(criticalDistance, 2)),
      numbers('Schroeder', ({ schroeder }) => `${figure(schroeder, 0)} Hz`),
    ]),
    ...prose('notes', ['Means of 500 Hz and 1 kHz; each octave: --octaves.']),
    ...prose(
      'statements',
      rows.flatMap((row) => [measuredWords(row), uncertainWords(row)]),
    ),
  ];
}

/** Mean of 500 Hz and 1 kHz, which stands for the room. ISO 3382-1. */
const MIDDLE = [500, 1000] as const;
const bandsOf = (all: readonly (typeof NOMINAL_BANDS)[number][]) =>
  all.map((hertz) => NOMINAL_BANDS.indexOf(hertz));

function middle(times: Bands): string {
  const [low = 0, high = 0] = bandsOf(MIDDLE).map((band) => times[band]);
  return figure((low + high) / 2, 2);
}

const isKnown = (clap: Clap): boolean => bandsOf(MIDDLE).every((band) => isNarrow(clap, band));

function earlyDecay({ measured, earlyBands, clap }: RoomRow): string {
  if (measured && partOf(earlyBands) === 'early') return `${middle(measured)} s`;
  if (!clap) return '';
  return isKnown(clap) ? `${middle(clap.early)} s` : 'uncertain';
}

/** T20 as measured, else the range in which a clap's would lie; empty where nothing is known. */
export function lateDecay({ measured, earlyBands, clap }: RoomRow): string {
  if (measured && partOf(earlyBands) === 'late') return `${middle(measured)} s`;
  if (!clap) return '';
  return isKnown(clap) ? `${middle(clap.from)}-${middle(clap.to)} s` : 'uncertain';
}

/** What was measured, what the finishes alone would give, and what levels are computed with. */
function measuredWords({ name, measured, earlyBands, finishes, eyring, lateAlone }: RoomRow): string | null {
  if (!measured) return null;
  const alone = finishes ? `finishes and contents give ${middle(finishes)} s` : 'no finishes given';
  const lower = lateAlone
    ? ` Without every finish named, levels may be up to ${LATE_ALONE_LOWER} dB lower.`
    : '';
  return `${name}: ${middle(measured)} s measured (${PART_WORDS[partOf(earlyBands)]}); ${alone}; levels are computed with ${middle(eyring)} s (Eyring).${lower}`;
}

/** What was measured at 500 Hz and 1 kHz. */
function partOf(earlyBands: RoomRow['earlyBands']): 'early' | 'late' | 'both' {
  const [low, high] = bandsOf(MIDDLE).map((band) => earlyBands?.[band]);
  return low === high ? (low ? 'early' : 'late') : 'both';
}

const PART_WORDS = { early: 'early decay', late: 'T20 or T30', both: 'early decay, T20 or T30' } as const;

/** The octaves whose late decay is not known within a factor of 2. */
function uncertainWords({ name, measured, earlyBands, clap }: RoomRow): string | null {
  if (!clap || (measured && partOf(earlyBands) === 'late')) return null;
  const wide = [...NOMINAL_BANDS.keys()].filter((band) => !isNarrow(clap, band));
  if (wide.length === 0) return null;
  const ends = [
    Math.min(...wide.map((band) => clap.from[band] ?? 0)),
    Math.max(...wide.map((band) => clap.to[band] ?? 0)),
  ].map((time) => figure(time, 1));
  return `${name}: RT60 at ${bandNames(wide.map((band) => NOMINAL_BANDS[band] ?? 0))} is uncertain, ${ends.join(' to ')} s: sound lives on between the bare surfaces, the longer the less they scatter; measure it.`;
}

/** Decays by octave and method, seconds. */
export function reverberation({ rooms: rows }: Report): Block[] {
  const methods = rows.flatMap(({ name, sabine, eyring, measured, finishes, clap }) => [
    { about: `${name}, Sabine`, times: sabine },
    { about: `${name}, Eyring`, times: eyring },
    ...(measured ? [{ about: `${name}, measured`, times: measured }] : []),
    ...(finishes ? [{ about: `${name}, finishes`, times: finishes }] : []),
    ...(clap
      ? [
          { about: `${name}, early`, times: clap.early },
          { about: `${name}, late min`, times: clap.from },
          { about: `${name}, late max`, times: clap.to },
        ]
      : []),
  ]);
  return table('RT60 by octave', methods, [
    names('RT60, seconds', ({ about }) => about),
    ...NOMINAL_BANDS.map((hertz, band) =>
      numbers(hertzName(hertz), ({ times }: (typeof methods)[number]) => figure(times[band] ?? 0, 2)),
    ),
  ]);
}

/** Assumed values, uncertainty at low frequencies, tolerance, and what is not modelled. */
export function uncertainty(answer: Answer, scope: Scope): Block[] {
  const { assumptions, rooms: rows } = answer;
  const listed = scope.listAssumptions ? prose('list', assumptions.map(assumptionWords)) : [];
  const count = assumptionCount(assumptions, scope);
  if (scope.detail === 'brief') {
    const bands = rows.filter((room) => lowBands(room).length > 0).map(inShort);
    const told = scope.listAssumptions ? [...bands, count] : [count, ...bands];
    return [...prose('continuation', told), ...listed, ...spread(answer, scope)];
  }
  const said = [count, ...rows.map(uncertain)];
  if (scope.detail === 'page')
    return [
      ...prose('statements', [...said, NOT_MODELLED]),
      ...folded(counted(assumptions.length, 'assumed value'), assumptions.map(assumptionWords)),
    ];
  return [
    ...prose('statements', said),
    ...listed,
    ...spread(answer, scope),
    ...prose('statements', [NOT_MODELLED]),
  ];
}

function assumptionCount(assumptions: readonly Assumption[], { detail, listAssumptions }: Scope): string {
  if (assumptions.length === 0) return 'no values assumed';
  const count = `${counted(assumptions.length, 'value')} assumed`;
  return count + (listAssumptions ? ':' : detail === 'page' ? '' : ' (--assumptions)');
}

const NOT_MODELLED =
  'Not modelled: room modes, instrument lobes, body shadowing, structure-borne sound, thickness of baffles.';

const assumptionWords = ({ path, kind, text }: Assumption): string =>
  `${[path.join('.'), text].filter((part) => part !== '').join(': ')} (${kind})`;

/** Folded away where it can be. */
const folded = (summary: string, items: readonly string[]): Block[] =>
  items.length === 0 ? [] : [{ kind: 'details', summary, blocks: prose('list', items) }];

/** Octaves whose centre is below the Schroeder frequency. */
const lowBands = ({ schroeder }: RoomRow): number[] =>
  NOMINAL_BANDS.filter((_, band) => (MID_BANDS[band] ?? 0) < schroeder);

const inShort = (room: RoomRow): string => `±5 dB at ${bandNames(lowBands(room))} in ${room.name}`;

/** The ±5 dB is unverified. */
function uncertain(room: RoomRow): string {
  const below = lowBands(room);
  const small =
    room.tooSmall.length > 0 ? ` Smaller than any room tried at ${bandNames(room.tooSmall)}.` : '';
  if (below.length === 0) return `${room.name}: all octaves are above the Schroeder frequency.${small}`;
  return `${room.name}: ±5 dB at ${bandNames(below)}: below the Schroeder frequency, room modes dominate.${small}`;
}

const bandNames = (below: readonly number[]): string =>
  below.length === 1 ? hertzName(below[0] ?? 0) : `${below.map(String).join(', ')} Hz`;

/** The spread of each value within tolerance, the odds of meeting its limit, and the main cause. */
export function spread({ tolerances: told }: Answer, { detail }: Scope): Block[] {
  const isLimited = detail === 'brief' || detail === 'full';
  const known = (told?.rows ?? [])
    .filter(({ p50, limit }) => p50 !== null && (limit !== null || !isLimited))
    .sort((a, b) => (a.holds ?? 2) - (b.holds ?? 2));
  if (!told || known.length === 0) return [];
  return [
    ...prose('notes', [`Percentiles of ${told.draws} random runs within tolerance, dB.`]),
    ...table<ToleranceSummary['rows'][number]>('Tolerance', known, [
      names(
        'value',
        ({ kind, about }) =>
          `${criterionWords(kind).short} ${kind === 'balance' ? balanceName(about) : about.join(', ')}`,
      ),
      numbers('10%', ({ p10 }) => figureOr(p10, 1, 'none')),
      numbers('50%', ({ p50 }) => figureOr(p50, 1, 'none')),
      numbers('90%', ({ p90 }) => figureOr(p90, 1, 'none')),
      numbers('limit', ({ limit }) => (limit === null ? '' : round(limit))),
      numbers('met in', ({ holds }) => (holds === null ? '' : percent(holds))),
      names('mainly from', ({ causes: [first] }) =>
        first ? `${first.cause}, ${figure(first.spread, 1)} dB` : '',
      ),
    ]),
  ];
}

/** So many on a brief page; one fewer beside fixes. */
const PITFALLS_SHOWN = 3;
/** So many before a page folds the rest away. */
const IN_SIGHT = 6;
/** What a brief page has said already. */
const SAID: readonly PitfallKind[] = ['exposure', 'committed', 'ghost'];

/** Pitfalls, most serious first; in brief the worst of each kind that was not said already. */
export function pitfalls(answer: Answer, { detail }: Scope): Block[] {
  const { pitfalls: rows, mics } = answer;
  if (mics.length === 0) return [];
  const isBrief = detail === 'brief';
  const shown = isBrief ? worstOfKinds(answer) : rows;
  const told = shown.map(({ text, fix }) => (isBrief ? text : `${text}; fix: ${fix}`));
  const more = detail === 'page' ? told.splice(IN_SIGHT) : [];
  const calm = rows.length > 0 ? 'None beside those above.' : 'None found.';
  return [
    ...prose('list', told),
    ...folded(`${more.length} more`, more),
    ...prose('notes', [shown.length === 0 && calm]),
  ];
}

export const pitfallsLeft = (answer: Answer): number => answer.pitfalls.length - worstOfKinds(answer).length;

function worstOfKinds({ pitfalls: rows, now }: Answer): Pitfall[] {
  const unsaid = rows.filter(({ kind }) => !SAID.includes(kind));
  const first = unsaid.filter(({ kind }, i) => unsaid.findIndex((one) => one.kind === kind) === i);
  return first.slice(0, now === null ? PITFALLS_SHOWN : PITFALLS_SHOWN - 1);
}

/** Warnings, of safety above all; in brief those about the plan head the page. */
export const safety = (
  report: Parameters<typeof warningsOf>[0],
  { detail }: Pick<Scope, 'detail'>,
): Block[] =>
  prose('statements', (detail === 'brief' ? report.cautions : warningsOf(report)).map(cautionWords));
