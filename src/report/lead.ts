/** What heads a report: what was understood, how many limits are missed, the conclusion, and doubts about the plan. */
import type { Conclusion, MainCause } from '../judge/conclusion.ts';
import { type Criterion, limitRows } from '../judge/criteria.ts';
import type { Report } from '../judge/report.ts';
import type { RoomRow } from '../judge/rooms.ts';
import type { Shares } from '../judge/signal-to-bleed.ts';
import { micsAsNamed } from '../judge/signal-to-bleed.ts';
import type { Lengths } from '../plan/units.ts';
import { figure } from '../text.ts';
import { type Answer, urgency, worstFirst } from './answer.ts';
import { reachWords } from './moves.ts';
import { lateDecay } from './rooms.ts';
import { given, type Words } from './view.ts';
import {
  basisWords,
  capital,
  cautionWords,
  counted,
  kindsIn,
  micVerdict,
  middleTime,
  percent,
  readingsLines,
} from './words.ts';

/** Before all sections; what was understood only where the whole is shown. */
export function lead(answer: Answer, lengths: Lengths, isWhole: boolean): Words[] {
  const { passage, conclusion } = answer;
  const [judgedBy, ...measured] = measuredLines(answer);
  const only = passage !== null && `Passage ${passage} only`;
  const missed = limitRows(answer).filter(
    ({ verdict, about }) => verdict === 'short' && about.length > 0,
  ).length;
  const reach = reachWords(answer.now, missed);
  const said = conclusionWords(conclusion, lengths);
  const closest = said.length === 0 ? closestMic(answer) : null;
  return [
    ...(isWhole ? echo(answer, lengths) : []),
    ...given([judgedBy, only]),
    { text: given([micCount(answer), ...said, reach && capital(reach)]).join('. '), is: 'strong' },
    ...given([closest]),
    ...doubts(answer),
    ...given(measured),
  ];
}

/** So many names are listed before "and 3 more". */
const NAMED = 10;

/** What was understood of the plan: rooms with size, volume and RT60, who plays, and the mics by their names. */
function echo(answer: Answer, lengths: Lengths): Words[] {
  const { rooms, inputs, lines, exposure } = answer;
  const mics = [...micsAsNamed(answer).map(({ name }) => name), ...lines.map(({ name }) => name)];
  const order = [...new Set(inputs.map(({ mic }) => mic))];
  const placeOf = (name: string) => order.findIndex((one) => one === name || one.startsWith(`${name}.`));
  const players = exposure.map(({ player }) => player);
  const said = [
    rooms.length === 0 ? 'No rooms: open air' : roomsWords(rooms, lengths),
    players.length > 0 && listed('player', players),
    mics.length > 0 &&
      listed(
        'mic',
        [...mics].sort((a, b) => placeOf(a) - placeOf(b)),
      ),
  ];
  return given(said).map((text) => ({ text, is: 'aside' }));
}

function listed(what: string, names: readonly string[]): string {
  const rest = names.length - NAMED;
  const shown = rest > 1 ? names.slice(0, NAMED) : names;
  return `${counted(names.length, what)}: ${shown.join(', ')}${rest > 1 ? ` and ${rest} more` : ''}`;
}

/** So many rooms are told with their size. */
const ROOMS_TOLD = 3;

function roomsWords(rooms: readonly RoomRow[], lengths: Lengths): string {
  const rest = rooms.length - ROOMS_TOLD;
  const told = rooms.slice(0, ROOMS_TOLD).map((room) => roomWords(room, lengths));
  return `${told.join('; ')}${rest > 0 ? `; ${counted(rest, 'more room')}: --show rooms` : ''}`;
}

function roomWords(room: RoomRow, lengths: Lengths): string {
  const { name, size, volume } = room;
  const sides = size.map((side, i) => lengths.way(side, 1).replace(i < 2 ? / .*/ : '', '')).join(' × ');
  return `${name} ${sides}, ${lengths.volume(volume).join(' ')}, RT60 ${lateDecay(room) || `${figure(middleTime(room), 1)} s`}`;
}

/** So many of the warnings about the plan stand at the top; the rest are with the safety section. */
const DOUBTS_SHOWN = 5;

function doubts({ planWarnings }: Pick<Report, 'planWarnings'>): Words[] {
  const rest = planWarnings.length - DOUBTS_SHOWN;
  const shown = planWarnings.slice(0, DOUBTS_SHOWN).map((one) => `Warning: ${cautionWords(one)}`);
  const lines = rest > 0 ? [...shown, `${counted(rest, 'more warning')}: --show safety`] : shown;
  return lines.map((text) => ({ text, is: 'marginal' }));
}

/** The measured levels it was judged by, and what other values are based on; none without readings. */
function measuredLines({ readings, mics, pairs, parts, levelBasis }: Answer): string[] {
  if (levelBasis === null) return [];
  const bases = [...mics, ...pairs, ...parts].map(({ basis }) => basis);
  return [
    ...readingsLines(readings, [...bases, levelBasis]),
    `Hearing, noise exposure and inputs: ${basisWords(levelBasis)}. Positions, timing and fixes: predicted.`,
  ];
}

/** "6 of 8 mics are short, 2 clear; 3 other limits missed": what report, drawing and check say of the same limits. */
export function headline(limits: readonly Pick<Criterion, 'kind' | 'verdict'>[]): string {
  const isMic = ({ kind }: Pick<Criterion, 'kind'>) => kind === 'signal-to-bleed';
  const mics = limits.filter((row) => isMic(row) && row.verdict !== null);
  const count = (verdict: Criterion['verdict']) => mics.filter((row) => row.verdict === verdict).length;
  const others = limits.filter((row) => !isMic(row) && row.verdict === 'short').length;
  const all = counted(mics.length, 'mic');
  const isClear = count('clear') === mics.length;
  const some = `${count('short')} of ${all} ${count('short') === 1 ? 'is' : 'are'} short`;
  const short = mics.length === 1 ? '1 mic, short' : some;
  const said = given([
    mics.length > 0 && (count('short') > 0 ? short : `${all}, ${isClear ? 'all clear' : 'none short'}`),
    ...(['marginal', 'clear'] as const).map((one) => !isClear && count(one) > 0 && `${count(one)} ${one}`),
  ]);
  const missed = others > 0 ? `${counted(others, mics.length > 0 ? 'other limit' : 'limit')} missed` : '';
  return [said.join(', '), missed].filter((part) => part !== '').join('; ') || 'no limit is judged';
}

/** The headline, and what is not judged. */
function micCount(report: Report): string {
  const { lines } = report;
  const mics = micsAsNamed(report);
  const unjudged = mics.filter(({ verdict }) => verdict === null).length;
  const limits = limitRows(report).filter(({ about }) => about.length > 0);
  const more = given([
    unjudged > 0 && `${unjudged} not judged`,
    lines.length > 0 && counted(lines.length, 'DI'),
    mics.length === 0 && 'no mics',
  ]);
  const [first = '', ...rest] = headline(limits).split('; ');
  const known = limits.length > 0 || more.length === 0 ? [first] : [];
  return capital([[...known, ...more].join(', '), ...rest].join('; '));
}

/** Where nothing is short: a mic without a margin, as it has no bleed, is no closer to its limit than any other. */
function closestMic(report: Report): Words | null {
  const [first] = worstFirst(report)
    .map(({ row }) => row)
    .filter(({ verdict, margin }) => verdict === 'short' || margin !== null)
    .sort((a, b) => urgency(a) - urgency(b));
  if (!first) return null;
  const basis = first.basis === null ? '' : `; ${basisWords(first.basis)}`;
  const label = first.verdict === 'short' ? 'Worst' : 'Closest to its limit';
  const text = `${label}: ${first.name} (${first.for.join(', ')}), ${micVerdict(first)}${basis}`;
  return { text, is: first.verdict ?? 'unjudged' };
}

/** Who bleeds most, what the bleed is made of and so what can help, and the main cause. */
export function conclusionWords(
  { short, worstBleed, shares, baffleGainMax, cause }: Conclusion,
  lengths: Lengths,
): string[] {
  const where = (at: number) =>
    short.length === 1 ? 'there' : at === short.length ? `at all ${at}` : `at ${at} of those ${short.length}`;
  const isTelling = worstBleed && (worstBleed.at > 1 || short.length === 1);
  const whose = isTelling && `Worst bleed ${where(worstBleed.at)}: ${worstBleed.source}`;
  return given([whose, shares && madeOf(shares, baffleGainMax), cause && causeSentence(cause, lengths)]);
}

const MADE_OF: Readonly<Record<keyof Shares, string>> = {
  direct: 'direct sound',
  reflections: 'first reflections',
  room: 'room sound',
  walls: 'sound through walls and doors',
};

/** Baffles that gain less are not worth carrying in, dB. Common practice, no source. */
const WORTH_A_BAFFLE = 3;

function madeOf(shares: Shares, baffleGainMax: Conclusion['baffleGainMax']): string {
  const [largest] = kindsIn(shares);
  if (!largest) return '';
  const share = `${percent(shares[largest.key])} of the bleed there is ${MADE_OF[largest.key]}`;
  if (baffleGainMax === null) return `${share}, which baffles can stop`;
  const [least, most] = baffleGainMax.map((gain) => figure(gain, 1));
  const gain = least === most ? `${most} dB` : `${least} to ${most} dB`;
  return `${share}: baffles gain ${gain} at most${baffleGainMax[1] < WORTH_A_BAFFLE ? ', so leave them' : ''}`;
}

const CAUSES: Readonly<Record<MainCause['kind'], (cause: MainCause, lengths: Lengths) => string>> = {
  aim: ({ about: [mic, source], measure, costs }) =>
    `${mic} is aimed ${figure(measure ?? 0, 0)}° off ${source} and loses ${figure(costs, 1)} dB of it: re-aim it`,
  distance: ({ about: [mic, source], measure }, lengths) =>
    `${mic} is too far from ${source}, ${lengths.away(measure ?? 0)}: move it in`,
  level: ({ about: [source], costs }) =>
    `${source} is loud, ${figure(costs, 0)} dB above mf: softer playing helps everywhere`,
  place: ({ about: [source, mic], measure }, lengths) =>
    `${source} is only ${lengths.away(measure ?? 0)} from ${mic}: move them apart`,
  baffle: ({ about: [source, mic] }) => `no baffle stands between ${source} and ${mic}: put one there`,
  room: ({ about: [room], measure }) =>
    `the room itself is live (${room}, RT60 ${figure(measure ?? 0, 1)} s): absorption, closer mics, softer playing or another room`,
  door: ({ about: [door] }) => `the ${door}: shut it`,
  headphones: ({ about: [player, other], measure }) =>
    measure === null
      ? `${player} cannot hear ${other} by air: headphones`
      : `headphones of ${player} leak into ${other}, ${figure(measure, 0)} dB re signal: closed ones, or a lower cue`,
};

function causeSentence(cause: MainCause, lengths: Lengths): string {
  const more = cause.at.length > 1 ? ` (${cause.at.length} mics)` : '';
  return `Main cause: ${CAUSES[cause.kind](cause, lengths)}${more}`;
}
