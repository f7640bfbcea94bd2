/** Rooms, what the values rest on and how far they may be off, pitfalls and cautions. */
import { MID_BANDS, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Pitfall, PitfallKind } from '../judge/pitfalls.ts';
import type { Report, RoomRow } from '../judge/report.ts';
import type { Assumption } from '../scene/context.ts';
import { figure } from '../text.ts';
import type { Answer, Scope, ToleranceSummary } from './answer.ts';
import { criterionWords } from './criteria.ts';
import { type Block, names, numbers, prose, table, words } from './view.ts';
import { cautionWords, counted, figureOr, hertzName, percent, round } from './words.ts';

/** Size, RT60 and what follows from it: how far the direct sound leads, and how low the values hold. */
export function rooms({ rooms: rows }: Report, { lengths }: Scope): Block[] {
  // cubic feet are so many and so long a word that beside each value they would leave no room for names
  const unitInHead = lengths.units === 'ft' ? lengths.volume(0)[1] : null;
  const timeAt = (hertz: (typeof NOMINAL_BANDS)[number]) => {
    const band = NOMINAL_BANDS.indexOf(hertz);
    return ({ measured, eyring }: RoomRow) => `${figure((measured ?? eyring)[band] ?? 0, 2)} s`;
  };
  if (rows.length === 0) return prose('notes', ['None in the plan: open air, only direct ways and panels.']);
  return table('Size and sound', rows, [
    names('room', ({ name }) => name),
    numbers(unitInHead ?? 'volume', ({ volume }) => {
      const [number, unit] = lengths.volume(volume);
      return unitInHead === null ? `${number} ${unit}` : number;
    }),
    numbers('T60 500 Hz', timeAt(500)),
    numbers('1 kHz', timeAt(1000), { label: 'T60 1 kHz' }),
    words('', ({ measured }) => (measured ? 'measured' : 'Eyring'), { label: 'decay' }),
    numbers('critical distance', ({ criticalDistance }) => lengths.way(criticalDistance, 2)),
    numbers('Schroeder', ({ schroeder }) => `${figure(schroeder, 0)} Hz`),
  ]);
}

/** Reverberation time by band and method, seconds. */
export function decays({ rooms: rows }: Report): Block[] {
  const methods = rows.flatMap(({ name, sabine, eyring, measured }) => [
    { about: `${name}, Sabine`, times: sabine },
    { about: `${name}, Eyring`, times: eyring },
    ...(measured ? [{ about: `${name}, measured`, times: measured }] : []),
  ]);
  return table('Reverberation by band', methods, [
    names('T60, seconds', ({ about }) => about),
    ...NOMINAL_BANDS.map((hertz, band) =>
      numbers(hertzName(hertz), ({ times }: (typeof methods)[number]) => figure(times[band] ?? 0, 2)),
    ),
  ]);
}

/** What the values rest on without the plan saying so, how far they may be off, and what no value here holds. */
export function unsure(answer: Answer, scope: Scope): Block[] {
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
      ...prose('statements', [...said, LEFT_OUT]),
      ...folded(counted(assumptions.length, 'assumption'), assumptions.map(assumptionWords)),
    ];
  return [
    ...prose('statements', said),
    ...listed,
    ...spread(answer, scope),
    ...prose('statements', [LEFT_OUT]),
  ];
}

function assumptionCount(assumptions: readonly Assumption[], { detail, listAssumptions }: Scope): string {
  if (assumptions.length === 0) return 'The plan says everything: no assumptions';
  const count = `${counted(assumptions.length, 'assumption')} made where the plan is silent`;
  return count + (listAssumptions ? ':' : detail === 'page' ? '' : ' (--assumptions)');
}

const LEFT_OUT =
  'Not in any figure: single room modes, the lobes of instruments, the shadow of bodies, sound by way of the structure; panels are thin and flat.';

const assumptionWords = ({ path, kind, text }: Assumption): string =>
  `${[path.join('.'), text].filter((part) => part !== '').join(': ')} (${kind})`;

/** Folded away where it can be. */
const folded = (summary: string, items: readonly string[]): Block[] =>
  items.length === 0 ? [] : [{ kind: 'details', summary, blocks: prose('list', items) }];

/** Bands whose middle lies below the Schroeder frequency, by name. */
const lowBands = ({ schroeder }: RoomRow): number[] =>
  NOMINAL_BANDS.filter((_, band) => (MID_BANDS[band] ?? 0) < schroeder);

const inShort = (room: RoomRow): string => `${bandNames(lowBands(room))} in ${room.name} by ±5 dB`;

/** The ±5 dB is unverified. */
function uncertain(room: RoomRow): string {
  const below = lowBands(room);
  if (below.length === 0) return `${room.name}: no octave has its middle below the Schroeder frequency.`;
  return `${room.name}: uncertain by ±5 dB at ${bandNames(below)}, below the Schroeder frequency, where single room modes rule.`;
}

const bandNames = (below: readonly number[]): string =>
  below.length === 1 ? hertzName(below[0] ?? 0) : `${below.map(String).join(', ')} Hz`;

/** How far each value may be off at the session, how likely its limit holds, and what makes the most of that. */
export function spread({ tolerances: told }: Answer, { detail }: Scope): Block[] {
  const isLimited = detail === 'brief' || detail === 'full';
  const known = (told?.rows ?? [])
    .filter(({ p50, limit }) => p50 !== null && (limit !== null || !isLimited))
    .sort((a, b) => (a.holds ?? 2) - (b.holds ?? 2));
  if (!told || known.length === 0) return [];
  return [
    ...prose('notes', [
      `Percentiles of ${told.draws} draws in which aims, places, levels, nulls and absorption are off by chance, dB.`,
    ]),
    ...table<ToleranceSummary['rows'][number]>('Tolerance of each figure', known, [
      names('figure', ({ kind, about }) => `${criterionWords(kind).short} ${about.join(', ')}`),
      numbers('10%', ({ p10 }) => figureOr(p10, 1, 'none')),
      numbers('50%', ({ p50 }) => figureOr(p50, 1, 'none')),
      numbers('90%', ({ p90 }) => figureOr(p90, 1, 'none')),
      numbers('limit', ({ limit }) => (limit === null ? '' : round(limit))),
      numbers('holds', ({ holds }) => (holds === null ? '' : percent(holds))),
      names('mostly from', ({ causes: [first] }) =>
        first ? `${first.cause}, ${figure(first.spread, 1)} dB` : '',
      ),
    ]),
  ];
}

/** So many on a brief page; moves take the room of one. */
const PITFALLS_SHOWN = 3;
/** What a page shows before it folds the rest away. */
const IN_SIGHT = 6;
/** What a brief page has said by then. */
const SAID: readonly PitfallKind[] = ['ears', 'committed', 'ghost'];

/** What this plan will fall into, most serious first; in brief the worst of each kind that was not said already. */
export function pitfalls(answer: Answer, { detail }: Scope): Block[] {
  const { pitfalls: rows, mics } = answer;
  if (mics.length === 0) return [];
  const isBrief = detail === 'brief';
  const shown = isBrief ? worstOfKinds(answer) : rows;
  const told = shown.map(({ sentence, fix }) => (isBrief ? sentence : `${sentence}; fix: ${fix}`));
  const more = detail === 'page' ? told.splice(IN_SIGHT) : [];
  const calm = rows.length > 0 ? 'None but what stands above.' : 'None found.';
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

/** What was computed but deserves a word. */
export const cautions = ({ cautions: rows }: Pick<Report, 'cautions'>): Block[] =>
  prose('statements', rows.map(cautionWords));
