/** What can be done with each part in the mix, and which parts are edited together. */
import type { EditGroups } from '../judge/edit-groups.ts';
import type { PartRow, Report } from '../judge/report.ts';
import { figure } from '../text.ts';
import type { Scope } from './answer.ts';
import { type Block, ENDLESS, names, numbers, prose, type Table, table, type Words, words } from './view.ts';
import { basisWords, figureOr, round, verdictCell, verdictWords } from './words.ts';

/** Parts marked replace or tune that cannot be; in full, every part. A page has said the former already. */
export function parts({ parts: rows }: Pick<Report, 'parts'>, { detail }: Scope): Block[] {
  if (rows.length === 0) return [];
  const misses = rows.flatMap((part) => [...ghostMiss(part), ...editMiss(part)]);
  const remarks = rows.flatMap(({ name, remark }) => (remark === null ? [] : [`${name}: ${remark}`]));
  return [
    ...(detail === 'page' ? [] : prose('statements', misses.length > 0 ? misses : [allWell(rows)])),
    ...(detail === 'brief' ? [] : [...everyPart(rows), ...prose('statements', [...remarks, LEGEND])]),
  ];
}

const LEGEND =
  "Ghost: a part still heard in other mics with its own muted. Isolation: S/B at the part's worst mic.";

const short = (text: string): Words => ({ text, is: 'short' });

function ghostMiss({ name, verdict, margin, ...row }: PartRow): Words[] {
  const { committed, ghost, limit, mostIn, remark, basis } = row;
  if (verdict !== 'short') return [];
  if (committed)
    return [short(`${name} (replace): committed, ${committed.because} is shared with other parts`)];
  if (ghost === null || limit === null) return [short(`${name} (replace): ${remark ?? 'short'}`)];
  const where = mostIn === null ? '' : `, mostly in ${mostIn}`;
  const over = margin === null ? 'short' : verdictWords(verdict, margin).replace('short', 'too loud');
  const told = `${name} (replace): ghost ${figure(ghost, 1)} dB, ${over}${where}`;
  return [short(told + from(basis))];
}

const from = (basis: PartRow['basis']): string => (basis === null ? '' : `; ${basisWords(basis)}`);

function editMiss({ name, isolation, basis }: PartRow): Words[] {
  const { verdict, signalToBleed, margin, mic, remark } = isolation;
  if (verdict !== 'short') return [];
  const at = mic === null ? '' : ` at ${mic}`;
  if (signalToBleed === null) return [short(`${name} (tune): isolation ${remark ?? 'short'}${at}`)];
  const told = `${name} (tune): isolation ${figure(signalToBleed, 1)} dB${at}, ${verdictWords(verdict, margin)}`;
  return [short(told + from(basis))];
}

function allWell(parts: readonly PartRow[]): string {
  const isAsked = parts.some(({ limit, isolation }) => limit !== null || isolation.limit !== null);
  return isAsked ? 'Every part marked replace or tune is clear.' : 'No part is marked replace or tune.';
}

const everyPart = (parts: readonly PartRow[]): Table[] =>
  table('Every part', parts, [
    names('part', ({ name }) => name),
    words('later', ({ later: wish }) => wish),
    numbers('ghost dB', ({ committed, ghost }) => (committed ? 'committed' : figureOr(ghost, 1, 'none'))),
    numbers('limit', ({ limit }) => limitOf(limit), { label: 'ghost limit' }),
    words('verdict', (row) => verdictCell(row, 'not judged'), { from: ENDLESS }),
    names('loudest in', ({ committed, mostIn }) => committed?.because ?? mostIn ?? '', { least: 10 }),
    numbers('isolation', ({ isolation }) => figureOr(isolation.signalToBleed, 1, 'none'), {
      label: 'isolation dB',
    }),
    numbers('limit', ({ isolation }) => limitOf(isolation.limit), { label: 'isolation limit' }),
    words('verdict', ({ isolation }) => verdictCell(isolation, 'not judged'), { from: ENDLESS }),
    names('at', ({ isolation }) => isolation.mic ?? ''),
    words('basis', ({ basis }) => basisWords(basis), { ifAny: true }),
  ]);

const limitOf = (limit: number | null): string => (limit === null ? '' : round(limit));

/** Parts to edit together; in full, by which mics. */
export function editTogether({ cut }: Pick<Report, 'cut'>, { detail }: Scope): Block[] {
  if (cut.sentence === '') return [];
  const ties = detail === 'brief' ? [] : couplings(cut);
  return [
    ...prose('statements', [detail !== 'page' && cut.sentence]),
    ...ties,
    ...prose('notes', [ties.length > 0 && COUPLING_LEGEND]),
  ];
}

const COUPLING_LEGEND = "In the bleeding part's octaves. At -20 dB or louder, edit together.";

const couplings = ({ groups }: EditGroups): Table[] =>
  table(
    'Parts coupled by a mic',
    groups.flatMap(({ ties }) => ties),
    [
      names('mic', ({ mic }) => mic),
      names('signal', ({ between: [own] }) => own),
      names('picks up', ({ between: [, carried] }) => carried),
      numbers('dB re signal', ({ level, shared }) =>
        shared ? 'shared' : figureOr(level, 1, 'no signal there'),
      ),
    ],
  );
