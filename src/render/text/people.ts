import type { HearLimitRow, HearsRow } from '../../judge/people/hearing.ts';
import type { SightRow } from '../../judge/people/sight.ts';
import type { Report } from '../../judge/report.ts';
import { counted, figure, verdictWords } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';

/** So many lines of a kind without asking for more. */
const SHOWN = 2;

/** Who hears and sees whom: in brief, who does not. */
export function people(
  { hearing, sight }: Pick<Report, 'hearing' | 'sight'>,
  layout: ReportLayout,
): string[] {
  if (hearing.rows.length + sight.rows.length === 0) return [];
  const demands = [
    ...hearing.limits.filter((row) => !layout.brief || row.verdict !== 'clear').map(demand),
    ...sight.limits.filter(({ verdict }) => !layout.brief || verdict === 'short').map(sightDemand),
  ];
  const hears = layout.brief ? deafIn(hearing.rows) : byPlayer(hearing.rows);
  const said = inOne([...demands, ...hears, ...sightLines(sight.rows, layout)], layout);
  return [
    heading('Hears and sees', layout, 'people'),
    ...said.flatMap((line) => wrap(line, layout.width, '  ', '    ')),
  ];
}

/** That everyone sees everyone needs no line of its own on a brief page. */
function inOne(said: readonly string[], { brief }: ReportLayout): readonly string[] {
  const last = said.at(-2);
  if (!brief || last === undefined || said.at(-1) !== ALL_SEE) return said;
  return [...said.slice(0, -2), `${last.replace(/\.$/, '')}. ${ALL_SEE}`];
}

function demand({ player, whom, verdict, ratio, margin, remark }: HearLimitRow): string {
  const word = verdict === null ? '' : `, ${verdictWords(verdict, margin)}`;
  const how = ratio === null ? '' : ` ${signed(ratio)} dB re all else there${word}`;
  const note = remark === null ? '' : ` (${remark})`;
  return `${player} must hear ${whom}:${how === '' ? ` ${verdict ?? 'not judged'}` : how}${note}`;
}

const sightDemand = ({ players, sees, hiddenBy }: SightRow): string =>
  `${players.join(' and ')} must see each other: ${sees ? 'they do' : `short, hidden by ${hiddenBy.join(', ')}`}`;

/** By air; who wears headphones is told of with the cue list. */
function deafIn(rows: readonly HearsRow[]): string[] {
  const byAir = rows.filter(({ remark }) => !remark?.startsWith('wears '));
  const deaf = byAir.filter(({ hears }) => hears === 'does not hear');
  const worst = [...deaf].sort((a, b) => (a.ratio ?? -1e3) - (b.ratio ?? -1e3));
  const names = [...new Set(worst.map(({ player }) => player))];
  const told = names.slice(0, SHOWN).map((name) => {
    const whom = worst.filter(({ player }) => player === name).map(withRatio);
    return `${name} does not hear ${shortened(whom)}`;
  });
  const others = names.length - SHOWN;
  const rest =
    others > 0 ? [`nor ${others === 1 ? 'does' : 'do'} ${counted(others, 'other')} hear everyone`] : [];
  if (names.length > 0) return [[...told, ...rest].join('; ')];
  return byAir.length > 0 ? ['Everyone without closed headphones hears everyone, or strains to.'] : [];
}

const MOST = 2;
const shortened = (names: readonly string[]): string =>
  names.length <= MOST
    ? names.join(', ')
    : `${names.slice(0, MOST).join(', ')} and ${counted(names.length - MOST, 'other')}`;

/** One line a player, by how well; dB re all else at that ear. */
function byPlayer(rows: readonly HearsRow[]): string[] {
  const players = [...new Set(rows.map(({ player }) => player))];
  const lines = players.map((name) => {
    const own = rows.filter(({ player }) => player === name);
    const wears = own.find(({ remark }) => remark?.startsWith('wears '))?.remark;
    if (wears) return `${name} ${wears}: hears nobody by air`;
    const ways = (['hears', 'strains to hear', 'does not hear'] as const).flatMap((how) => {
      const whom = own.filter(({ hears }) => hears === how);
      return whom.length === 0 ? [] : [`${how} ${whom.map(withRatio).join(', ')}`];
    });
    return `${name} ${ways.join('; ')}`;
  });
  return [...lines, ...(lines.length > 0 ? [LEGEND] : [])];
}

const LEGEND =
  'dB against everything else at that ear, own instrument included: heard from -8, hardly from -15.';

const withRatio = ({ whom, ratio }: HearsRow): string =>
  ratio === null ? `${whom} (silent)` : `${whom} (${signed(ratio)})`;

function signed(ratio: number): string {
  const text = figure(ratio, 0);
  return ratio >= 0.5 ? `+${text}` : text;
}

const ALL_SEE = 'Everyone sees everyone.';

function sightLines(rows: readonly SightRow[], layout: ReportLayout): string[] {
  if (rows.length === 0) return [];
  const hidden = rows.filter(({ sees }) => !sees);
  if (hidden.length === 0) return [ALL_SEE];
  const shown = layout.brief ? hidden.slice(0, SHOWN) : hidden;
  const told = shown.map(({ players, hiddenBy }) => `${players.join(' and ')} (${hiddenBy.join(', ')})`);
  const rest = hidden.length > shown.length ? `; and ${hidden.length - shown.length} more` : '';
  return [`Do not see each other: ${told.join('; ')}${rest}`];
}
