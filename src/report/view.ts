/** `View = Section[]`; Section = title, sentences, tables (columns with head, cell, kind), notes. Selecting by mic, brief/full. */
import type { Pitfall } from '../judge/pitfalls.ts';
import type { Report, ToldReadings, ToleranceRow } from '../judge/report.ts';
import type { MicRow, PairRow, Shares } from '../judge/rows.ts';
import { type Html, html } from '../layout/html.ts';
import { type ReportLayout, SECTIONS, type Section, wrap } from '../layout/text.ts';
import type { Lengths } from '../plan/units.ts';
import type { Assumption } from '../scene/context.ts';
import type { Scene } from '../scene/scene.ts';
import type { PlainAdvice } from '../suggest/search.ts';

// The load-in sheet as lists of words: what each format lays out in its own way.
export type Sheet = { readonly title: string; readonly lists: readonly List[] };

export type List = {
  /** One word by which machines tell the lists apart. */
  readonly key: string;
  readonly title: string;
  readonly columns: readonly Column[];
  /** A cell for each column; empty where there is nothing to say. */
  readonly rows: readonly (readonly string[])[];
  readonly notes: readonly string[];
};

export type Column = {
  readonly head: string;
  /** What its row is called; where no column says so, it is the first. */
  readonly names?: true;
  /** Stays where it is empty, to be written in by hand. */
  readonly toFill?: true;
  /** On a narrow page it stands under the row, its head before it. */
  readonly under?: true;
};

// One part of the page: what leads to it, and what stands in it.

export type PagePart = {
  /** Ours, never a plan's: goes into addresses. */
  readonly id: string;
  readonly title: string;
  readonly body: readonly Html[];
};

/** Null where it has nothing to say. */
export const part = (id: string, title: string, ...body: readonly (Html | null)[]): PagePart | null => {
  const said = body.filter((one) => one !== null);
  return said.length > 0 ? { id, title, body: said } : null;
};

export const partMarkup = ({ id, title, body }: PagePart): Html =>
  html`<section aria-labelledby="${id}">\n<h2 id="${id}">${title}</h2>\n${body}</section>\n`;

/** The answer about some microphones only: capsules, pairs or lines by name. All of it where none is named. */
export function onlyMics(answer: Answer, names: readonly string[]): Answer {
  if (names.length === 0) return answer;
  const asked = (name: string | null): boolean => name !== null && names.includes(name);
  const mics = answer.mics.filter((mic) => asked(mic.name) || asked(mic.pair));
  const kept = (name: string): boolean =>
    asked(name) || mics.some((mic) => mic.name === name || mic.pair === name);
  const { timing, tolerances } = answer;
  const parts = answer.parts.filter((part) => part.mics.some(kept));
  const isAbout = (name: string): boolean => kept(name) || parts.some((part) => part.name === name);
  return {
    ...answer,
    parts,
    mics,
    pairs: answer.pairs.filter((pair) => asked(pair.name)),
    lines: answer.lines.filter((line) => asked(line.name)),
    threeToOne: answer.threeToOne.filter(({ mics: [a, b] }) => kept(a) || kept(b)),
    timing: {
      ...timing,
      rows: timing.rows.filter(({ own, other }) => kept(own) || kept(other)),
      overheads: withSpots(timing.overheads, ({ pair }) => pair, kept),
    },
    mainPairs: withSpots(answer.mainPairs, ({ name }) => name, kept),
    phones: answer.phones.filter(({ mic }) => kept(mic)),
    inputs: answer.inputs.filter(({ mic }) => kept(mic)),
    pitfalls: answer.pitfalls.filter(({ about }) => about.some(isAbout)),
    tolerances: tolerances && {
      ...tolerances,
      rows: tolerances.rows.filter(({ about }) => about.some(isAbout)),
    },
  };
}

type Spotted = { readonly spots: readonly { readonly spot: string }[] };

/** Pairs that were asked for whole, the others with the spots that were. */
function withSpots<Row extends Spotted>(
  rows: readonly Row[],
  nameOf: (row: Row) => string,
  kept: (name: string) => boolean,
): Row[] {
  return rows.flatMap((row) => {
    if (kept(nameOf(row))) return [row];
    const spots = row.spots.filter(({ spot }) => kept(spot));
    return spots.length > 0 ? [{ ...row, spots }] : [];
  });
}

export const micNames = ({ mics, pairs, lines }: Pick<Answer, 'mics' | 'pairs' | 'lines'>): string[] => [
  ...new Set([...mics, ...pairs, ...lines].map((row) => row.name)),
];

/** The way to what a brief page says nothing of. */
export function more({ width, paint }: ReportLayout): string[] {
  const unsaid = SECTIONS.filter((section) => !ANSWERS.includes(section) || section === 'unsure');
  return wrap(`More: --mic NAME; --all; --tolerance; --show ${unsaid.join(', ')}`, width, '', '  ').map(
    paint.faint,
  );
}

/** What each share of a bleed is called and what there is to do about it. Cures: common practice, no source. */
type Kind = {
  readonly key: keyof Shares;
  readonly name: string;
  readonly against: string;
  readonly cure: string;
};

const KINDS: readonly Kind[] = [
  { key: 'direct', name: 'direct', against: 'direct sound', cure: 'aim, null or screen' },
  { key: 'reflections', name: 'first reflections', against: 'first reflections', cure: 'where one stands' },
  { key: 'room', name: 'room', against: 'the room', cure: 'closer, softer, absorption or another room' },
  { key: 'walls', name: 'through walls', against: 'sound through walls', cure: 'the door' },
];

/** The kinds that make up at least half a percent, largest first. */
export function kindsIn(shares: Shares): Kind[] {
  return KINDS.filter(({ key }) => shares[key] >= 0.005).sort((a, b) => shares[b.key] - shares[a.key]);
}

// Worst first: what a reader should see before the rest.

/** A microphone of its own, or a pair (energy sum) with its capsules. */
export type Entry = { readonly row: MicRow | PairRow; readonly capsules: readonly MicRow[] };

/** A pair stands where its worse capsule would. */
export function worstFirst(report: Report): Entry[] {
  const pairs = report.pairs.map((row) => ({
    row,
    capsules: report.mics.filter((m) => m.pair === row.name),
  }));
  const paired = new Set(pairs.map((pair) => pair.row.name));
  const single = report.mics.filter((m) => m.pair === null || !paired.has(m.pair));
  const entries = [...pairs, ...single.map((row) => ({ row, capsules: [] }))];
  return entries.sort((a, b) => entryUrgency(a) - entryUrgency(b));
}

/** The lower the worse: the margin; what gets nothing of its own first, what has no verdict last. */
export function urgency(mic: MicRow): number {
  if (mic.verdict === null) return Number.MAX_VALUE;
  if (mic.margin !== null) return mic.margin;
  return mic.verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE / 2;
}

const entryUrgency = (entry: Entry): number => Math.min(...[entry.row, ...entry.capsules].map(urgency));

/** How an answer is shown. What a format has no use for it leaves aside. */
export type RenderOptions = {
  /** Columns of the page. */
  readonly width: number;
  readonly colour: boolean;
  /** What lengths are said in: the plan's own units. */
  readonly lengths: Lengths;
  readonly sections: readonly Section[];
  /** Every section cut down to what one should know. */
  readonly brief: boolean;
  /** Everything by octave as well. */
  readonly bands: boolean;
  /** Every microphone and every bleeder, nothing shortened. */
  readonly all: boolean;
  /** Whether the assumptions are listed or only counted. */
  readonly listAssumptions: boolean;
  /** What a small plan is drawn of; left out where none is wanted. */
  readonly scene?: Scene;
  /** What a brief page with that plan may fill. */
  readonly lines?: number;
};

export type ToldTolerances = {
  readonly draws: number;
  readonly seed: number;
  readonly rows: readonly ToldTolerance[];
};

/** About one microphone or part, or about two microphones. */
export type ToldTolerance = Omit<ToleranceRow, 'name' | 'sorted'> & { readonly about: readonly string[] };

/** A report with all that stands beside it: the only thing that its formats read. */
export type Answer = Report & {
  /** The best moves; null where nobody asked for them. */
  readonly now: PlainAdvice | 'too large' | null;
  readonly pitfalls: readonly Pitfall[];
  /** Null where nobody asked for them. */
  readonly tolerances: ToldTolerances | null;
  /** The only passage that was judged; null where all were. */
  readonly passage: string | null;
  /** What the plan does not say and the answer rests on. */
  readonly assumptions: readonly Assumption[];
  /** Readings of the day that it was judged by, or null. */
  readonly readings: ToldReadings | null;
};

// Sections of the report by the names that one asks for them with, and which of them a page has.

export const isSection = (name: string): name is Section => (SECTIONS as readonly string[]).includes(name);

/** What one screen has room for. */
export const ANSWERS: readonly Section[] = [
  ...(['now', 'later', 'cut', 'bleed', 'people', 'headphones', 'ears'] as const),
  ...(['cautions', 'unsure', 'pitfalls'] as const),
];

/** What there is to tell of a microphone by itself. */
const OF_A_MIC: readonly Section[] = [
  'now',
  'later',
  'bleed',
  'delays',
  'three-to-one',
  'inputs',
  'pitfalls',
];

type Asked = {
  readonly all: boolean;
  readonly show: readonly Section[];
  /** Whether only some microphones are asked about. */
  readonly mics: boolean;
  /** Whether what is not sure is asked for in particular. */
  readonly unsure: boolean;
};

/** Where nobody asks for more, the answers in brief. */
export function sectionsFor({ all, show, mics, unsure }: Asked): {
  readonly sections: readonly Section[];
  readonly brief: boolean;
} {
  const only = show.length > 0 ? show : mics && !all ? OF_A_MIC : null;
  if (only === null) return all ? { sections: SECTIONS, brief: false } : { sections: ANSWERS, brief: true };
  const wanted = unsure ? [...only, 'unsure'] : only;
  return { sections: SECTIONS.filter((one) => wanted.includes(one)), brief: false };
}
