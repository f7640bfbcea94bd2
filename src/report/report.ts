/** A report as a view: its sections in order, for a terminal and for a page that folds details away. */
import type { Lengths } from '../plan/units.ts';
import { ANSWERS, type Answer, type RenderOptions, type Scope } from './answer.ts';
import { bleed, byOctave, inputs, lead, matrix, spacing } from './mics.ts';
import { now } from './moves.ts';
import { cutTogether, later } from './parts.ts';
import { ears, headphones, people } from './people.ts';
import { cautions, decays, pitfalls, rooms, spread, unsure } from './rooms.ts';
import { SECTIONS, type SectionName } from './sections.ts';
import { delays, mainPairs } from './timing.ts';
import type { Block, Section, View } from './view.ts';

type Writer = (answer: Answer, scope: Scope) => Section | null;

const plan = (): Section => ({ id: 'plan', title: 'Plan view', blocks: [{ kind: 'drawing' }] });

const WRITERS: Readonly<Record<SectionName, Writer>> = {
  now,
  later,
  cut: cutTogether,
  bleed,
  people,
  headphones,
  ears,
  delays,
  main: mainPairs,
  matrix,
  'three-to-one': spacing,
  inputs,
  rooms,
  plan,
  cautions,
  unsure,
  pitfalls,
};

/** What one should know first, the lists after it; in brief the sections follow each other without a space. */
export function reportView(answer: Answer, options: Omit<RenderOptions, 'width' | 'colour'>): View {
  const { sections, brief, all, bands, lengths, listAssumptions } = options;
  const scope: Scope = { detail: brief ? 'brief' : all ? 'all' : 'full', lengths, listAssumptions };
  const told = sections.flatMap((name) => WRITERS[name](answer, scope) ?? []);
  const byBand = bands ? [byOctave(answer), decays(answer)].flatMap((one) => one ?? []) : [];
  return {
    title: answer.title,
    lead: lead(answer),
    sections: [
      ...told.map((one, i): Section => (brief && i > 0 ? { ...one, joined: true } : one)),
      ...byBand,
    ],
    ...(brief && { whereRoom: plan(), more: MORE }),
  };
}

/** The way to what a brief page says nothing of. */
const MORE = `More: --mic NAME; --all; --tolerance; --show ${SECTIONS.filter(
  (section) => !ANSWERS.includes(section) || section === 'unsure',
).join(', ')}`;

/** Answers first, then the drawing, then everything behind them. */
export function reportPageView(answer: Answer, lengths: Lengths): View {
  const page: Scope = { detail: 'page', lengths, listAssumptions: false };
  const brief: Scope = { ...page, detail: 'brief' };
  const sections: Section[] = [
    {
      id: 'answers',
      title: 'What to know first',
      blocks: headed(
        now(answer, page),
        ...[later, cutTogether, ears].map((write) => write(answer, brief)),
        pitfalls(answer, page),
      ),
    },
    { ...plan(), id: 'drawing', title: 'The plan' },
    { id: 'microphones', title: 'Signal to bleed, worst first', blocks: blocksOf(bleed(answer, page)) },
    { id: 'matrix', title: 'Every source at every microphone', blocks: blocksOf(matrix(answer, page)) },
    {
      id: 'parts',
      title: 'Parts afterwards',
      blocks: blocksOf(later(answer, page), cutTogether(answer, page)),
    },
    { id: 'timing', title: 'Delays', blocks: blocksOf(delays(answer, page)) },
    { id: 'main', title: 'Main pairs', blocks: blocksOf(mainPairs(answer, page)) },
    {
      id: 'players',
      title: 'Players',
      blocks: headed(people(answer, page), headphones(answer, page), ears(answer, page)),
    },
    { id: 'inputs', title: 'Inputs', blocks: blocksOf(inputs(answer, page)) },
    { id: 'rooms', title: 'Rooms', blocks: blocksOf(rooms(answer, page), decays(answer)) },
    { id: 'tolerance', title: 'How far off on the day', blocks: spread(answer, page) },
    { id: 'unsure', title: 'Not sure about', blocks: blocksOf(unsure(answer, page)) },
    { id: 'cautions', title: 'Cautions', blocks: blocksOf(cautions(answer)) },
  ];
  return {
    title: answer.title,
    lead: lead(answer),
    sections: sections.filter(({ blocks }) => blocks.length > 0),
  };
}

const blocksOf = (...sections: readonly (Section | null)[]): Block[] =>
  sections.flatMap((one) => one?.blocks ?? []);

const headed = (...sections: readonly (Section | null)[]): Block[] =>
  sections.flatMap((one): Block[] => (one ? [{ kind: 'heading', text: one.title }, ...one.blocks] : []));
