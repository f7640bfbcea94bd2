import type { ExposureRow } from '../../judge/people/exposure.ts';
import type { Report } from '../../judge/report.ts';
import { duration, tooLoud, USUAL_CAUTION } from '../hearing.ts';
import { type Column, plain, table } from '../table.ts';
import { counted, figure, figureOr, verdictWords } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, isWide, type ReportLayout } from './layout.ts';

const IN_SHORT = 'By NIOSH, without a break; local rules, and a meter at the ear, go before it.';
/** Players named without asking for more. */
const SHOWN = 4;

/** How long everyone's ears may bear it, shortest first; the minutes before the levels. */
export function ears(report: Pick<Report, 'exposure'>, layout: ReportLayout): string[] {
  if (report.exposure.length === 0) return [];
  const title = heading('Ears', layout, 'ears');
  const body = layout.brief ? inBrief(report, layout) : everyone(report.exposure, layout);
  const caution = layout.brief ? IN_SHORT : `By NIOSH, without a break: ${USUAL_CAUTION}`;
  return [title, ...body, ...wrap(caution, layout.width, '  ')];
}

function inBrief(report: Pick<Report, 'exposure'>, { width, paint }: ReportLayout): string[] {
  const loud = tooLoud(report);
  const over = report.exposure.filter(({ verdict }) => verdict === 'short');
  const who = loud
    .slice(0, SHOWN)
    .map(({ player, minutes, level }) => `${player} ${duration(minutes)} (${figure(level, 0)} dBA)`);
  const rest = loud.length > SHOWN ? `, ${counted(loud.length - SHOWN, 'other')} under 8 h` : '';
  const line =
    who.length === 0 ? 'Nobody sits too loud for eight hours of playing.' : `${who.join(', ')}${rest}`;
  const short = over.map(({ player, margin }) => `${player} ${verdictWords('short', margin)}`);
  const session = short.length > 0 ? [`For the session that the plan asks for: ${short.join(', ')}.`] : [];
  return [line, ...session]
    .flatMap((one) => wrap(one, width, '  ', '    '))
    .map(over.length > 0 ? paint.short : same);
}

const same = (line: string): string => line;

function columns(layout: ReportLayout): Column[] {
  return [
    { head: 'player', align: 'left', flexible: true },
    { head: 'NIOSH', align: 'right' },
    { head: 'OSHA', align: 'right' },
    { head: 'dBA', align: 'right' },
    { head: 'session', align: 'left' },
    ...(isWide(layout) ? [{ head: 'loudest', align: 'left', flexible: true } as const] : []),
  ];
}

function everyone(exposure: readonly ExposureRow[], layout: ReportLayout): string[] {
  const order = [...exposure].sort((a, b) => (a.minutes ?? 1e9) - (b.minutes ?? 1e9));
  const [head = '', ...rows] = table(
    columns(layout),
    order.map((row) => cells(row, layout).map(plain)),
    layout.width,
  );
  const remarks = order.flatMap(({ player, remark }) => (remark === null ? [] : [`${player}: ${remark}`]));
  return [
    layout.paint.faint(head),
    ...rows,
    ...remarks.flatMap((line) => wrap(line, layout.width, '  ', '    ')),
    ...wrap(`${OSHA} One ear may get some dB more: heads are left out.`, layout.width, '  '),
  ];
}

const OSHA = 'By OSHA, 90 dBA for 8 hours and half the time for every 5 dB more.';

function cells(row: ExposureRow, layout: ReportLayout): string[] {
  const { player, minutes, minutesOsha, level, verdict, margin, loudest } = row;
  return [
    player,
    minutes === null ? 'silent' : duration(minutes),
    minutesOsha === null ? '' : duration(minutesOsha),
    figureOr(level, 1, ''),
    verdict === null ? '' : verdictWords(verdict, margin),
    ...(isWide(layout) ? [loudestIn(loudest)] : []),
  ];
}

const loudestIn = (loudest: ExposureRow['loudest']): string =>
  loudest === null || loudest.passage === null ? '' : `${loudest.passage}, ${figure(loudest.level, 1)} dBA`;
