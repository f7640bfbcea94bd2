/** Later, cut together . */
import type { CutTogether, Tie } from '../judge/cut-together.ts';
import type { PartRow, Report } from '../judge/report.ts';
import { type Cell, html, listMarkup, number, tableMarkup, verdictMark, words } from '../layout/html.ts';
import { type Column, heading, plain, type ReportLayout, table, wrap } from '../layout/text.ts';
import { type Answer, type PagePart, part } from './view.ts';
import { basisWords, figure, figureOr, round, verdictWords } from './words.ts';

export function parts({ parts: rows, cut }: Answer): PagePart | null {
  if (rows.length === 0) return null;
  const hasBasis = rows.some(({ basis }) => basis !== null);
  const heads = [
    ...['part', 'later'].map(words),
    number('ghost dB'),
    ...['verdict', 'most of it in'].map(words),
    number('alone dB'),
    ...['verdict', 'at', ...(hasBasis ? ['basis'] : [])].map(words),
  ];
  const ties = cut.groups.flatMap(({ ties: own }) => own);
  const remarks = rows.flatMap(({ name, remark }) => (remark === null ? [] : [`${name}: ${remark}`]));
  return part(
    'parts',
    'Parts afterwards',
    html`<p>Ghost: what stays of a part when its own microphones are muted. Alone: signal to bleed at the worst microphone for it.</p>\n`,
    tableMarkup('Every part', heads, rows.map(pagePartsCells)),
    listMarkup(remarks),
    ties.length === 0
      ? null
      : tableMarkup(
          'What binds parts together, from -20 dB on',
          [...['microphone', 'of', 'carries'].map(words), number('dB re its own')],
          ties.map(({ mic, between: [own, carried], level, shared }) => [
            mic,
            own,
            carried,
            shared ? 'for both' : figureOr(level, 1, 'alone there'),
          ]),
        ),
  );
}

const pagePartsCells = ({
  name,
  later,
  ghost,
  limit,
  margin,
  verdict,
  committed,
  mostIn,
  editable,
  basis,
}: PartRow): Cell[] => [
  name,
  later,
  committed ? 'committed' : figureOr(ghost, 1, 'none'),
  judged(verdict, margin, limit),
  committed?.because ?? mostIn ?? '',
  figureOr(editable.signalToBleed, 1, 'none'),
  judged(editable.verdict, editable.margin, editable.limit),
  editable.mic ?? '',
  ...(basis === null ? [] : [basisWords(basis)]),
];

const judged = (verdict: PartRow['verdict'], margin: number | null, limit: number | null): Cell =>
  verdict === null
    ? 'not judged'
    : verdictMark(
        verdict,
        `${verdictWords(verdict, margin)}${limit === null ? '' : ` (limit ${round(limit)})`}`,
      );

/** What the plan wants replaced or tuned and cannot be; in full, what can be done with every part. */
export function later({ parts }: Pick<Report, 'parts'>, layout: ReportLayout): string[] {
  if (parts.length === 0) return [];
  const misses = parts.flatMap((part) => [...ghostMiss(part), ...editMiss(part)]);
  const said = misses.length > 0 ? misses : [allWell(parts)];
  const lines = said.flatMap((one) => wrap(one, layout.width, '  ', '    '));
  const body = misses.length > 0 ? lines.map(layout.paint.short) : lines;
  return [
    heading('Cannot be fixed later', layout, 'later'),
    ...body,
    ...(layout.brief ? [] : everyPart(parts, layout)),
  ];
}

function ghostMiss({
  name,
  committed,
  ghost,
  limit,
  margin,
  verdict,
  mostIn,
  remark,
  basis,
}: PartRow): string[] {
  if (verdict !== 'short') return [];
  if (committed) return [`${name}, replace: committed, ${committed.because} is for others too`];
  if (ghost === null || limit === null) return [`${name}, replace: ${remark ?? 'short'}`];
  const where = mostIn === null ? '' : `; most of it in ${mostIn}`;
  const told = `${name}, replace: ghost ${figure(ghost, 1)} dB, ${verdictWords(verdict, margin)}${where}`;
  return [told + from(basis)];
}

const from = (basis: PartRow['basis']): string => (basis === null ? '' : `; ${basisWords(basis)}`);

function editMiss({ name, editable, basis }: PartRow): string[] {
  const { verdict, signalToBleed, margin, mic, remark } = editable;
  if (verdict !== 'short') return [];
  const at = mic === null ? '' : ` at ${mic}`;
  if (signalToBleed === null) return [`${name}, tune alone: ${remark ?? 'short'}${at}`];
  const told = `${name}, tune alone: ${figure(signalToBleed, 1)} dB${at}, ${verdictWords(verdict, margin)}`;
  return [told + from(basis)];
}

function allWell(parts: readonly PartRow[]): string {
  const isAsked = parts.some(({ limit, editable }) => limit !== null || editable.limit !== null);
  return isAsked
    ? 'Nothing: all that the plan wants replaced or tuned can be.'
    : 'Nothing asked for: the plan wants no part replaced or tuned.';
}

const columns = (basis: boolean): Column[] => [
  { head: 'part', align: 'left', flexible: true },
  { head: 'later', align: 'left' },
  { head: 'ghost dB', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'most in', align: 'left', flexible: true },
  { head: 'alone dB', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'at', align: 'left', flexible: true },
  ...(basis ? [{ head: 'basis', align: 'left' } as const] : []),
];

const LEGEND =
  'Ghost: what stays of a part when its own microphones are muted. Alone: signal to bleed at the worst microphone for it.';

function everyPart(parts: readonly PartRow[], layout: ReportLayout): string[] {
  const rows = parts.map((part) => [
    part.name,
    part.later,
    part.committed ? 'committed' : figureOr(part.ghost, 1, 'none'),
    part.limit === null ? '' : round(part.limit),
    part.committed?.because ?? part.mostIn ?? '',
    figureOr(part.editable.signalToBleed, 1, 'none'),
    part.editable.limit === null ? '' : round(part.editable.limit),
    part.editable.mic ?? '',
    ...(part.basis === null ? [] : [basisWords(part.basis)]),
  ]);
  const [head = '', ...lines] = table(
    columns(parts.some(({ basis }) => basis !== null)),
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  const remarks = parts.flatMap(({ name, remark }) => (remark === null ? [] : [`${name}: ${remark}`]));
  return [
    layout.paint.faint(head),
    ...lines,
    ...[...remarks, LEGEND].flatMap((line) => wrap(line, layout.width, '  ', '    ')),
  ];
}

/** Whose takes hang together; in full, by which microphones. */
export function cutTogether({ cut }: Pick<Report, 'cut'>, layout: ReportLayout): string[] {
  if (cut.sentence === '') return [];
  return [
    heading('Cut these together', layout, 'cut'),
    ...wrap(cut.sentence, layout.width, '  ', '    '),
    ...(layout.brief ? [] : ties(cut, layout)),
  ];
}

const COLUMNS: readonly Column[] = [
  { head: 'microphone', align: 'left', flexible: true },
  { head: 'of', align: 'left', flexible: true },
  { head: 'carries', align: 'left', flexible: true },
  { head: 'dB re its own', align: 'right' },
];

function ties({ groups }: CutTogether, layout: ReportLayout): string[] {
  const all = groups.flatMap((group) => group.ties);
  if (all.length === 0) return [];
  const [head = '', ...rows] = table(
    COLUMNS,
    all.map((tie) => cells(tie).map(plain)),
    layout.width,
  );
  const legend = 'In the octaves of the part that is carried; from -20 dB on it binds.';
  return [layout.paint.faint(head), ...rows, ...wrap(legend, layout.width, '  ')];
}

const cells = ({ mic, between: [own, carried], level, shared }: Tie): string[] => [
  mic,
  own,
  carried,
  shared ? 'for both' : figureOr(level, 1, 'alone there'),
];
