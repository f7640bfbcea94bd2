/** What can be done with each part afterwards, and whose takes have to be edited together. */
import type { EditGroups } from '../judge/edit-groups.ts';
import type { PartRow, Report } from '../judge/report.ts';
import { figure } from '../text.ts';
import type { Scope } from './answer.ts';
import { type Block, ENDLESS, names, numbers, prose, type Table, table, type Words, words } from './view.ts';
import { basisWords, figureOr, round, verdictCell, verdictWords } from './words.ts';

/** Parts marked replace or tune that cannot be; in full, what can be done with every part. A page has said the former by then. */
export function later({ parts }: Pick<Report, 'parts'>, { detail }: Scope): Block[] {
  if (parts.length === 0) return [];
  const misses = parts.flatMap((part) => [...ghostMiss(part), ...editMiss(part)]);
  const remarks = parts.flatMap(({ name, remark }) => (remark === null ? [] : [`${name}: ${remark}`]));
  return [
    ...(detail === 'page' ? [] : prose('statements', misses.length > 0 ? misses : [allWell(parts)])),
    ...(detail === 'brief' ? [] : [...everyPart(parts), ...prose('statements', [...remarks, LEGEND])]),
  ];
}

const LEGEND =
  'Ghost: what stays of a part when its own microphones are muted. Alone: signal to bleed at the worst microphone for it.';

const short = (text: string): Words => ({ text, is: 'short' });

function ghostMiss({ name, verdict, margin, ...row }: PartRow): Words[] {
  const { committed, ghost, limit, mostIn, remark, basis } = row;
  if (verdict !== 'short') return [];
  if (committed) return [short(`${name}, replace: committed, ${committed.because} is for others too`)];
  if (ghost === null || limit === null) return [short(`${name}, replace: ${remark ?? 'short'}`)];
  const where = mostIn === null ? '' : `; most of it in ${mostIn}`;
  const told = `${name}, replace: ghost ${figure(ghost, 1)} dB, ${verdictWords(verdict, margin)}${where}`;
  return [short(told + from(basis))];
}

const from = (basis: PartRow['basis']): string => (basis === null ? '' : `; ${basisWords(basis)}`);

function editMiss({ name, isolation, basis }: PartRow): Words[] {
  const { verdict, signalToBleed, margin, mic, remark } = isolation;
  if (verdict !== 'short') return [];
  const at = mic === null ? '' : ` at ${mic}`;
  if (signalToBleed === null) return [short(`${name}, tune alone: ${remark ?? 'short'}${at}`)];
  const told = `${name}, tune alone: ${figure(signalToBleed, 1)} dB${at}, ${verdictWords(verdict, margin)}`;
  return [short(told + from(basis))];
}

function allWell(parts: readonly PartRow[]): string {
  const isAsked = parts.some(({ limit, isolation }) => limit !== null || isolation.limit !== null);
  return isAsked
    ? 'Nothing: all that the plan wants replaced or tuned can be.'
    : 'Nothing asked for: the plan wants no part replaced or tuned.';
}

const everyPart = (parts: readonly PartRow[]): Table[] =>
  table('Every part', parts, [
    names('part', ({ name }) => name),
    words('later', ({ later: wish }) => wish),
    numbers('ghost dB', ({ committed, ghost }) => (committed ? 'committed' : figureOr(ghost, 1, 'none'))),
    numbers('limit', ({ limit }) => limitOf(limit), { label: 'limit of the ghost' }),
    words('verdict', (row) => verdictCell(row, 'not judged'), { from: ENDLESS }),
    names('most in', ({ committed, mostIn }) => committed?.because ?? mostIn ?? ''),
    numbers('alone dB', ({ isolation }) => figureOr(isolation.signalToBleed, 1, 'none')),
    numbers('limit', ({ isolation }) => limitOf(isolation.limit), { label: 'limit of alone' }),
    words('verdict', ({ isolation }) => verdictCell(isolation, 'not judged'), { from: ENDLESS }),
    names('at', ({ isolation }) => isolation.mic ?? ''),
    words('basis', ({ basis }) => basisWords(basis), { ifAny: true }),
  ]);

const limitOf = (limit: number | null): string => (limit === null ? '' : round(limit));

/** Whose takes hang together; in full, by which microphones. */
export function editTogether({ cut }: Pick<Report, 'cut'>, { detail }: Scope): Block[] {
  if (cut.sentence === '') return [];
  const ties = detail === 'brief' ? [] : binding(cut);
  return [
    ...prose('statements', [detail !== 'page' && cut.sentence]),
    ...ties,
    ...prose('notes', [ties.length > 0 && BINDS]),
  ];
}

const BINDS = 'In the octaves of the part that is carried; from -20 dB on it binds.';

const binding = ({ groups }: EditGroups): Table[] =>
  table(
    'What binds parts together',
    groups.flatMap(({ ties }) => ties),
    [
      names('microphone', ({ mic }) => mic),
      names('of', ({ between: [own] }) => own),
      names('carries', ({ between: [, carried] }) => carried),
      numbers('dB re its own', ({ level, shared }) =>
        shared ? 'for both' : figureOr(level, 1, 'alone there'),
      ),
    ],
  );
