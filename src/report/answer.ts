/** What a report shows, for all mics or some, worst first, and which sections are asked for. */
import type { GuessedFacing } from '../judge/facings.ts';
import type { Guess } from '../judge/guesses.ts';
import type { Pitfall } from '../judge/pitfalls.ts';
import type { ReadingsSummary, Report } from '../judge/report.ts';
import type { MicRow, PairRow } from '../judge/signal-to-bleed.ts';
import type { ToleranceRow } from '../judge/tolerance.ts';
import type { Lengths } from '../plan/units.ts';
import type { Assumption } from '../scene/context.ts';
import type { Scene } from '../scene/scene.ts';
import type { PlainAdvice } from '../suggest/advice.ts';

/** Sections of a report, by the names with which they are asked for, in the order of a full page. */
export const SECTIONS = [
  ...(['bleed', 'fixes', 'parts', 'edits', 'muting', 'hearing', 'cue', 'exposure', 'delays'] as const),
  ...(['main-pair', 'matrix', 'three-to-one', 'inputs', 'rooms', 'map', 'safety'] as const),
  ...(['uncertainty', 'pitfalls'] as const),
] as const;

export type SectionName = (typeof SECTIONS)[number];

export const isSection = (name: string): name is SectionName =>
  (SECTIONS as readonly string[]).includes(name);

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
    muting: answer.muting.filter((row) => row.mics.some(kept)),
    mainPairs: withSpots(answer.mainPairs, ({ name }) => name, kept),
    phones: answer.phones.filter(({ mic }) => kept(mic)),
    inputs: answer.inputs.filter(({ mic }) => kept(mic)),
    pitfalls: answer.pitfalls.filter(({ about }) => about.some(isAbout)),
    guesses: answer.guesses.filter(({ about }) => about.some(isAbout)),
    facings: answer.facings.filter(({ about }) => about.some(isAbout)),
    tolerances: tolerances && {
      ...tolerances,
      rows: tolerances.rows.filter(({ about }) => about.some(isAbout)),
    },
  };
}

/** Pairs that were asked for whole, the others with the spots that were. */
function withSpots<Row extends Pick<Report['mainPairs'][number], 'spots'>>(
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

/** A microphone of its own, or a pair (energy sum) with its capsules. */
export type Entry = { readonly row: MicRow | PairRow; readonly capsules: readonly MicRow[] };

/** A pair is sorted by its worse capsule. */
export function worstFirst(report: Report): Entry[] {
  const capsulesOf = (pair: string) => report.mics.filter((mic) => mic.pair === pair);
  const pairs = report.pairs.map((row) => ({ row, capsules: capsulesOf(row.name) }));
  const paired = new Set(pairs.map((pair) => pair.row.name));
  const single = report.mics.filter((m) => m.pair === null || !paired.has(m.pair));
  const entries = [...pairs, ...single.map((row) => ({ row, capsules: [] }))];
  return entries.sort((a, b) => entryUrgency(a) - entryUrgency(b));
}

/** The lower the worse: by margin; no signal first, no verdict last. */
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
  readonly sections: readonly SectionName[];
  /** Every section cut down to what one should know. */
  readonly brief: boolean;
  /** Everything by octave as well. */
  readonly bands: boolean;
  /** Every microphone and every bleeder, nothing shortened. */
  readonly all: boolean;
  /** Whether the assumptions are listed or only counted. */
  readonly listAssumptions: boolean;
  /** Version of the catalogue, for JSON. */
  readonly catalogue: string;
  /** What a small plan is drawn of; left out where none is wanted. */
  readonly scene?: Scene;
  /** What a brief page with that plan may fill. */
  readonly lines?: number;
};

/** Rows about one microphone or part, or about two microphones. */
export type ToleranceSummary = Readonly<Record<'draws' | 'seed', number>> & {
  readonly rows: readonly Omit<ToleranceRow, 'sorted'>[];
};

/** A report with everything shown beside it: the only thing that its formats read. */
export type Answer = Report & {
  /** The best moves; null where nobody asked for them. */
  readonly now: PlainAdvice | 'too large' | null;
  readonly pitfalls: readonly Pitfall[];
  /** Verdicts that a guessed level would turn. */
  readonly guesses: readonly Guess[];
  /** Verdicts that another facing would turn, of somebody of whom the plan says none. */
  readonly facings: readonly GuessedFacing[];
  /** Null where nobody asked for them. */
  readonly tolerances: ToleranceSummary | null;
  /** The only passage that was judged; null where all were. */
  readonly passage: string | null;
  /** What the plan does not say and the answer rests on. */
  readonly assumptions: readonly Assumption[];
  /** Measured levels that it was judged by, or null. */
  readonly readings: ReadingsSummary | null;
};

/** What one screen has room for. */
export const ANSWERS: readonly SectionName[] = [
  ...(['bleed', 'fixes', 'parts', 'edits', 'muting', 'main-pair', 'hearing', 'cue', 'exposure'] as const),
  ...(['safety', 'uncertainty', 'pitfalls'] as const),
];

/** Sections about a single mic. */
const OF_A_MIC = ['fixes', 'parts', 'bleed', 'delays', 'three-to-one', 'inputs', 'pitfalls'] as const;

/** How much is shown: on a brief page, in full, with nothing shortened, or on a page that folds away what is behind its values. */
export type Scope = Pick<RenderOptions, 'lengths' | 'listAssumptions'> & {
  readonly detail: 'brief' | 'full' | 'all' | 'page';
};

type Asked = {
  readonly all: boolean;
  readonly show: readonly SectionName[];
  /** Whether only some microphones are asked about. */
  readonly mics: boolean;
  /** Whether the uncertainty is asked for by an option of its own. */
  readonly uncertainty: boolean;
};

/** Where nobody asks for more, the answers in brief. */
export function sectionsFor({
  all,
  show,
  mics,
  uncertainty,
}: Asked): Pick<RenderOptions, 'sections' | 'brief'> {
  const only: readonly SectionName[] | null = show.length > 0 ? show : mics && !all ? OF_A_MIC : null;
  if (only === null) return all ? { sections: SECTIONS, brief: false } : { sections: ANSWERS, brief: true };
  const wanted = uncertainty ? [...only, 'uncertainty'] : only;
  return { sections: SECTIONS.filter((one) => wanted.includes(one)), brief: false };
}
