/** A report as a view: its sections in order, for a terminal and for a page that folds details away. */
import type { Lengths } from '../plan/units.ts';
import type { Answer, RenderOptions, Scope, SectionName } from './answer.ts';
import { ANSWERS, SECTIONS } from './answer.ts';
import { bleed, byOctave, delays, inputs, lead, mainPairs, matrix, spacing } from './mics.ts';
import { fixes } from './moves.ts';
import { editTogether, parts } from './parts.ts';
import { exposure, headphones, hearing } from './people.ts';
import { pitfalls, pitfallsLeft, reverberation, rooms, safety, spread, uncertainty } from './rooms.ts';
import type { Block, Section, View } from './view.ts';

type Writer = (answer: Answer, scope: Scope) => Block[];

/** Title and content of each section; no content, no section. */
const CONTENTS: Readonly<Record<SectionName, readonly [title: string, write: Writer]>> = {
  fixes: ['Fix first', fixes],
  parts: ["Can't be fixed in the mix", parts],
  edits: ['Edit together', editTogether],
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
    lead: lead(answer),
    sections: [
      ...sections.map((one, i): Section => (brief && i > 0 ? { ...one, joined: true } : one)),
      ...(bands ? byBand : []),
    ],
    ...(brief && { whereRoom: sectionOf('map'), more: MORE }),
  };
}

/** The way to what a brief page says nothing of. */
const MORE = `More: --mic NAME; --all; --tolerance; --show ${SECTIONS.filter(
  (section) => !ANSWERS.includes(section) || section === 'uncertainty',
).join(', ')}`;

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
    ['parts', 'Parts in the mix', told('parts', 'edits')],
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
    lead: lead(answer),
    sections: sections.flatMap(([id, title, blocks]) => (blocks.length > 0 ? [{ id, title, blocks }] : [])),
  };
}
