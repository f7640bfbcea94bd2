/** A report as a view: its sections in order, for a terminal and for a page that folds details away; the sections on parts. */
import type { EditGroups } from '../judge/edit-groups.ts';
import type { MutingRow } from '../judge/muting.ts';
import type { PartRow, Report } from '../judge/report.ts';
import type { Lengths } from '../plan/units.ts';
import { allOf, figure } from '../text.ts';
import type { Answer, RenderOptions, Scope, SectionName } from './answer.ts';
import { worstFirst } from './answer.ts';
import { lead } from './lead.ts';
import { bleed, byOctave, delays, inputs, mainPairs, matrix, spacing } from './mics.ts';
import { fixes } from './moves.ts';
import { exposure, headphones, hearing } from './people.ts';
import { pitfalls, pitfallsLeft, reverberation, rooms, safety, spread, uncertainty } from './rooms.ts';
import {
  type Block,
  ENDLESS,
  names,
  numbers,
  prose,
  type Section,
  type Table,
  table,
  type View,
  type Words,
  words,
} from './view.ts';
import { basisWords, counted, figureOr, inPassage, round, verdictCell, verdictWords } from './words.ts';

type Writer = (answer: Answer, scope: Scope) => Block[];

/** Title and content of each section; no content, no section. */
const CONTENTS: Readonly<Record<SectionName, readonly [title: string, write: Writer]>> = {
  fixes: ['Fix first', fixes],
  parts: ["Can't be fixed in the mix", parts],
  edits: ['Edit together', editTogether],
  muting: ['Mute while resting', mutingByPassage],
  bleed: ['Signal to bleed', bleed],
  hearing: ['Hearing and sight lines', hearing],
  cue: ['Headphones and cue', headphones],
  exposure: ['Noise exposure', exposure],
  delays: ['Delays and comb filtering', delays],
  'main-pair': ['Main pairs', mainPairs],
  matrix: ['Bleed matrix', matrix],
  'three-to-one': ['3:1 rule', spacing],
  inputs: ['Inputs', inputs],
  rooms: ['Rooms', rooms],
  map: ['Map', () => [{ kind: 'drawing' }]],
  safety: ['Safety', safety],
  uncertainty: ['Uncertainty', uncertainty],
  pitfalls: ['Pitfalls', pitfalls],
};

/** Those that say all there is on a brief page, too. */
const NEVER_CUT: readonly SectionName[] = ['safety', 'uncertainty', 'map'];

/** What one should know first, the lists after it; in brief the sections follow each other without a space. */
export function reportView(answer: Answer, options: Omit<RenderOptions, 'width' | 'colour'>): View {
  const { brief, all, bands, lengths, listAssumptions } = options;
  const scope: Scope = { detail: brief ? 'brief' : all ? 'all' : 'full', lengths, listAssumptions };
  const sectionOf = (id: SectionName): Section => {
    const [title, write] = CONTENTS[id];
    const left = id === 'pitfalls' ? pitfallsLeft(answer) : 0;
    const more = `${left > 0 ? `${left} more: ` : ''}--show ${id}`;
    return { id, title, blocks: write(answer, scope), ...(brief && !NEVER_CUT.includes(id) && { more }) };
  };
  const sections = options.sections.map(sectionOf).filter(({ blocks }) => blocks.length > 0);
  const byBand: Section[] = [
    { id: 'octaves', title: 'By octave', blocks: byOctave(answer) },
    { id: 'rt60', title: 'RT60 by octave', blocks: reverberation(answer) },
  ];
  return {
    title: answer.title,
    lead: lead(answer, lengths, brief || all),
    sections: [
      ...sections.map((one, i): Section => (brief && i > 0 ? { ...one, joined: true } : one)),
      ...(bands ? byBand : []),
    ],
    ...(brief && { whereRoom: sectionOf('map'), more: next(answer) }),
  };
}

/** What one would ask next: the worst mic in full, fixes, a drawing, everything. */
function next(answer: Answer): string {
  const [worst] = worstFirst(answer);
  const mic = worst ? `--mic ${worst.row.name}, ` : '';
  return `Next: ${mic}--all; suggest PLAN; draw PLAN -o plan.svg`;
}

/** Answers first, then the drawing, then everything behind them. */
export function reportPageView(answer: Answer, lengths: Lengths): View {
  const scope: Scope = { detail: 'page', lengths, listAssumptions: false };
  const inBrief: Scope = { ...scope, detail: 'brief' };
  const told = (...names: readonly SectionName[]): Block[] =>
    names.flatMap((name) => CONTENTS[name][1](answer, scope));
  const headed = (name: SectionName, how = scope): Block[] => {
    const [text, write] = CONTENTS[name];
    const blocks = write(answer, how);
    return blocks.length > 0 ? [{ kind: 'heading', text }, ...blocks] : [];
  };
  const answers = [
    ...headed('fixes'),
    ...(['parts', 'edits', 'exposure'] as const).flatMap((name) => headed(name, inBrief)),
    ...headed('pitfalls'),
  ];
  const players = (['hearing', 'cue', 'exposure'] as const).flatMap((name) => headed(name));
  const sections: readonly (readonly [id: string, title: string, blocks: Block[]])[] = [
    ['summary', 'Summary', answers],
    ['map', CONTENTS.map[0], told('map')],
    ['bleed', CONTENTS.bleed[0], told('bleed')],
    ['matrix', CONTENTS.matrix[0], told('matrix')],
    ['parts', 'Parts in the mix', [...told('parts', 'edits'), ...headed('muting')]],
    ['delays', CONTENTS.delays[0], told('delays')],
    ['main-pair', CONTENTS['main-pair'][0], told('main-pair')],
    ['players', 'Players', players],
    ['inputs', CONTENTS.inputs[0], told('inputs')],
    ['rooms', CONTENTS.rooms[0], [...told('rooms'), ...reverberation(answer)]],
    ['tolerance', 'Tolerance', spread(answer, scope)],
    ['uncertainty', CONTENTS.uncertainty[0], told('uncertainty')],
    ['safety', CONTENTS.safety[0], told('safety')],
  ];
  return {
    title: answer.title,
    lead: lead(answer, lengths, true),
    sections: sections.flatMap(([id, title, blocks]) => (blocks.length > 0 ? [{ id, title, blocks }] : [])),
  };
}

/** Parts marked replace or tune that cannot be; in full, every part. A page has said the former already. */
function parts({ parts: rows }: Pick<Report, 'parts'>, { detail }: Scope): Block[] {
  if (rows.length === 0) return [];
  const misses = rows.flatMap((part) => [...ghostMiss(part), ...editMiss(part)]);
  const remarks = rows.flatMap(({ name, remark }) => (remark === null ? [] : [`${name}: ${remark}`]));
  return [
    ...(detail === 'page'
      ? []
      : prose(
          detail === 'brief' && misses.length === 0 ? 'continuation' : 'statements',
          misses.length > 0 ? misses : [allWell(rows)],
        )),
    ...(detail === 'brief' ? [] : [...everyPart(rows), ...prose('statements', [...remarks, LEGEND])]),
  ];
}

/** Passages told on a brief page. */
const PASSAGES_SHOWN = 2;

/** Which mics can be muted in which passage, and what that gains. */
function mutingByPassage({ muting }: Pick<Report, 'muting'>, { detail }: Scope): Block[] {
  if (detail === 'brief') {
    const gain = ({ bleedReMix }: MutingRow) => bleedReMix ?? Number.NEGATIVE_INFINITY;
    const loudest = [...muting].sort((a, b) => gain(b) - gain(a));
    const left = muting.length - PASSAGES_SHOWN;
    return prose('statements', [
      ...loudest.slice(0, PASSAGES_SHOWN).map(mutingWords),
      left > 0 && counted(left, 'more passage'),
    ]);
  }
  const ghosts = muting.flatMap((row) => row.ghosts.map((ghost) => ({ ...row, ...ghost })));
  return [
    ...table('Mics that can be muted', muting, [
      names('passage', ({ passage }) => passage ?? ''),
      names('mute', ({ mics }) => mics.join(', ')),
      numbers('re main dB', ({ bleedReMain }) => figureOr(bleedReMain, 1, ''), {
        label: 'their bleed re main mics, dB',
        ifAny: true,
      }),
      numbers('re mix dB', ({ bleedReMix }) => figureOr(bleedReMix, 1, 'none'), {
        label: 'their bleed re all other mics, dB',
      }),
    ]),
    ...table(
      'Ghosts with these mics open and muted',
      ghosts.filter(({ isJudged }) => isJudged || detail !== 'full'),
      [
        names('passage', ({ passage }) => passage ?? ''),
        names('ghost of', ({ part }) => part),
        numbers('open dB', ({ before }) => figure(before, 1)),
        numbers('muted dB', ({ after }) => figureOr(after, 1, 'none')),
      ],
    ),
    ...prose('notes', [muting.length > 0 && MUTING_LEGEND]),
  ];
}

const MUTING_LEGEND =
  'What mics pick up while their own source rests: bleed alone, re the main mics and re all other mics of the mix.';

/** A smaller gain is not said, dB. */
const SEEN = 0.05;

/** "In verse mute horn-mic (bleed -8.1 dB re main mics): ghost of singer -5.5 → -9.0 dB". */
function mutingWords({ passage, mics, bleedReMain, bleedReMix, ghosts }: MutingRow): string {
  const [level, whom] = bleedReMain === null ? [bleedReMix, 'the rest'] : [bleedReMain, 'main mics'];
  const bleed = level === null ? '' : ` (bleed ${figure(level, 1)} dB re ${whom})`;
  const gains = ghosts
    .filter(({ isJudged, before, after }) => isJudged && !(after !== null && before - after < SEEN))
    .map(({ part, before, after }) => `${part} ${figure(before, 1)} → ${figureOr(after, 1, 'none')} dB`);
  const ghost = gains.length === 0 ? '' : `: ghost of ${gains.join(', ')}`;
  return `In ${passage} mute ${allOf(mics)}${bleed}${ghost}`;
}

const LEGEND =
  "Ghost: a part still heard in other mics with its own muted. Isolation: S/B at the part's worst mic.";

const short = (text: string): Words => ({ text, is: 'short' });

function ghostMiss({ name, verdict, margin, ...row }: PartRow): Words[] {
  const { committed, ghost, limit, loudestIn, passage, remark, basis } = row;
  if (verdict !== 'short') return [];
  if (committed)
    return [short(`${name} (replace): committed, ${committed.because} is shared with other parts`)];
  if (ghost === null || limit === null) return [short(`${name} (replace): ${remark ?? 'short'}`)];
  const where = (loudestIn === null ? '' : `, mostly in ${loudestIn}`) + worstIn(passage);
  const over = margin === null ? 'short' : verdictWords(verdict, margin).replace('short', 'too loud');
  const told = `${name} (replace): ghost ${figure(ghost, 1)} dB, ${over}${where}`;
  return [short(told + from(basis))];
}

const from = (basis: PartRow['basis']): string => (basis === null ? '' : `; ${basisWords(basis)}`);

function editMiss({ name, isolation, basis }: PartRow): Words[] {
  const { verdict, signalToBleed, margin, mic, passage, remark } = isolation;
  if (verdict !== 'short') return [];
  const at = mic === null ? '' : ` at ${mic}`;
  if (signalToBleed === null) return [short(`${name} (tune): isolation ${remark ?? 'short'}${at}`)];
  const told = `${name} (tune): isolation ${figure(signalToBleed, 1)} dB${at}, ${verdictWords(verdict, margin)}${worstIn(passage)}`;
  return [short(told + from(basis))];
}

const worstIn = (passage: string | null): string => (passage === null ? '' : `, worst${inPassage(passage)}`);

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
    names('loudest in', ({ committed, loudestIn }) => committed?.because ?? loudestIn ?? '', { least: 10 }),
    names('in', ({ passage }) => passage ?? '', { ifAny: true, label: 'passage of ghost' }),
    numbers('isolation', ({ isolation }) => figureOr(isolation.signalToBleed, 1, 'none'), {
      label: 'isolation dB',
    }),
    numbers('limit', ({ isolation }) => limitOf(isolation.limit), { label: 'isolation limit' }),
    words('verdict', ({ isolation }) => verdictCell(isolation, 'not judged'), { from: ENDLESS }),
    names('at', ({ isolation }) => isolation.mic ?? ''),
    names('in', ({ isolation }) => isolation.passage ?? '', { ifAny: true, label: 'passage of isolation' }),
    words('basis', ({ basis }) => basisWords(basis), { ifAny: true }),
  ]);

const limitOf = (limit: number | null): string => (limit === null ? '' : round(limit));

/** Parts to edit together; in full, by which mics. */
function editTogether({ cut }: Pick<Report, 'cut'>, { detail }: Scope): Block[] {
  if (cut.sentence === '') return [];
  if (detail === 'brief') return prose('continuation', [editsInShort(cut)]);
  const tables = couplings(cut);
  return [
    ...prose('statements', [detail !== 'page' && cut.sentence]),
    ...tables,
    ...prose('notes', [tables.length > 0 && COUPLING_LEGEND]),
  ];
}

/** Groups told on a brief page. */
const GROUPS_SHOWN = 3;

function editsInShort({ groups, besides }: EditGroups): string {
  const told = groups.map(({ sentence }) => sentence.replace(/^edit (.*?) together/, '$1'));
  const left = told.length - GROUPS_SHOWN;
  const more = left > 0 ? [`${counted(left, 'more group')} (--show edits)`] : [];
  return [...told.slice(0, GROUPS_SHOWN), ...more, ...besides].join('; ');
}

const COUPLING_LEGEND = "In the bleeding part's octaves. At -20 dB or louder, edit together.";

const couplings = ({ groups }: EditGroups): Table[] =>
  table(
    'Parts coupled by a mic',
    groups.flatMap(({ couplings: found }) => found),
    [
      names('mic', ({ mic }) => mic),
      names('in', ({ passage }) => passage ?? '', { ifAny: true, label: 'passage' }),
      names('signal', ({ between: [own] }) => own),
      names('picks up', ({ between: [, carried] }) => carried),
      numbers('dB re signal', ({ level, shared }) =>
        shared ? 'shared' : figureOr(level, 1, 'no signal there'),
      ),
    ],
  );
