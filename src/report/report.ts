/** A report as a view: its sections in order, for a terminal and for a page that folds details away. */
import type { Lengths } from '../plan/units.ts';
import type { Answer, RenderOptions, Scope, SectionName } from './answer.ts';
import { ANSWERS, SECTIONS } from './answer.ts';
import { bleed, byOctave, delays, inputs, lead, mainPairs, matrix, spacing } from './mics.ts';
import { now } from './moves.ts';
import { editTogether, later } from './parts.ts';
import { ears, headphones, people } from './people.ts';
import { cautions, decays, pitfalls, pitfallsLeft, rooms, spread, unsure } from './rooms.ts';
import type { Block, Section, View } from './view.ts';

type Writer = (answer: Answer, scope: Scope) => Block[];

/** Title and content of each section; no content, no section. */
const CONTENTS: Readonly<Record<SectionName, readonly [title: string, write: Writer]>> = {
  now: ['What to do now', now],
  later: ['Cannot be fixed later', later],
  cut: ['Cut these together', editTogether],
  bleed: ['Signal to bleed, worst first', bleed],
  people: ['Hears and sees', people],
  headphones: ['Headphones', headphones],
  ears: ['Ears', ears],
  delays: ['Delays', delays],
  main: ['Main pairs', mainPairs],
  matrix: ['Every source at every microphone', matrix],
  'three-to-one': ['3:1 rule', spacing],
  inputs: ['Inputs', inputs],
  rooms: ['Rooms', rooms],
  plan: ['Plan view', () => [{ kind: 'drawing' }]],
  cautions: ['Cautions', cautions],
  unsure: ['Not sure about', unsure],
  pitfalls: ['Pitfalls', pitfalls],
};

/** Those that say all there is on a brief page, too. */
const NEVER_CUT: readonly SectionName[] = ['cautions', 'unsure', 'plan'];

/** What one should know first, the lists after it; in brief the sections follow each other without a space. */
export function reportView(answer: Answer, options: Omit<RenderOptions, 'width' | 'colour'>): View {
  const { brief, all, bands, lengths, listAssumptions } = options;
  const scope: Scope = { detail: brief ? 'brief' : all ? 'all' : 'full', lengths, listAssumptions };
  const sectionOf = (id: SectionName): Section => {
    const [title, write] = CONTENTS[id];
    const left = id === 'pitfalls' ? pitfallsLeft(answer) : 0;
    const more = `${left > 0 ? `${left} more` : 'more'}: --show ${id}`;
    return { id, title, blocks: write(answer, scope), ...(brief && !NEVER_CUT.includes(id) && { more }) };
  };
  const sections = options.sections.map(sectionOf).filter(({ blocks }) => blocks.length > 0);
  const byBand: Section[] = [
    { id: 'octaves', title: 'By octave', blocks: byOctave(answer) },
    { id: 'decays', title: 'Reverberation by band', blocks: decays(answer) },
  ];
  return {
    title: answer.title,
    lead: lead(answer),
    sections: [
      ...sections.map((one, i): Section => (brief && i > 0 ? { ...one, joined: true } : one)),
      ...(bands ? byBand : []),
    ],
    ...(brief && { whereRoom: sectionOf('plan'), more: MORE }),
  };
}

/** The way to what a brief page says nothing of. */
const MORE = `More: --mic NAME; --all; --tolerance; --show ${SECTIONS.filter(
  (section) => !ANSWERS.includes(section) || section === 'unsure',
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
    ...headed('now'),
    ...(['later', 'cut', 'ears'] as const).flatMap((name) => headed(name, inBrief)),
    ...headed('pitfalls'),
  ];
  const players = (['people', 'headphones', 'ears'] as const).flatMap((name) => headed(name));
  const sections: readonly (readonly [id: string, title: string, blocks: Block[]])[] = [
    ['answers', 'What to know first', answers],
    ['drawing', 'The plan', told('plan')],
    ['microphones', CONTENTS.bleed[0], told('bleed')],
    ['matrix', CONTENTS.matrix[0], told('matrix')],
    ['parts', 'Parts afterwards', told('later', 'cut')],
    ['timing', CONTENTS.delays[0], told('delays')],
    ['main', CONTENTS.main[0], told('main')],
    ['players', 'Players', players],
    ['inputs', CONTENTS.inputs[0], told('inputs')],
    ['rooms', CONTENTS.rooms[0], [...told('rooms'), ...decays(answer)]],
    ['tolerance', 'How far off on the day', spread(answer, scope)],
    ['unsure', CONTENTS.unsure[0], told('unsure')],
    ['cautions', CONTENTS.cautions[0], told('cautions')],
  ];
  return {
    title: answer.title,
    lead: lead(answer),
    sections: sections.flatMap(([id, title, blocks]) => (blocks.length > 0 ? [{ id, title, blocks }] : [])),
  };
}
