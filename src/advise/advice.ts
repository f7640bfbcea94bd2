/** Suggestions told in full: what to do, whom it helps, and what it costs elsewhere. */
import type { Basis } from '../judge/basis.ts';
import { judge } from '../judge/judge.ts';
import type { LimitKind } from '../judge/limits/limit-row.ts';
import type { Report } from '../judge/report.ts';
import type { Catalogue } from '../scene/catalogue.ts';
import type { Scene } from '../scene/scene.ts';
import { benchOf, type Computed } from './bench-plan.ts';
import { compare } from './compare.ts';
import type { Move } from './move.ts';
import type { Standing } from './standing.ts';
import type { Suggestion } from './suggestion.ts';
import { type Worse, worseThan } from './worse.ts';

export type Helped = {
  readonly mic: string;
  /** S/B as judged, dB; null where there is none. */
  readonly before: number | null;
  /** Whether it was measured; what comes after a move never was. Null without readings of the day. */
  readonly basis: Basis | null;
  readonly after: number | null;
  readonly unweightedBefore: number | null;
  readonly unweightedAfter: number | null;
};

/** A limit that was missed and is less so, or met: what it is about, and its margins, dB. */
export type Mended = {
  readonly kind: LimitKind;
  /** Part, player or microphone; two where it sets them side by side. */
  readonly about: readonly string[];
  readonly before: number;
  readonly after: number;
};

export type ToldSuggestion = {
  /** One sentence a move. */
  readonly words: readonly string[];
  readonly moves: readonly Move[];
  readonly minutes: number;
  /** dB less that is wanting: of the whole plan, or of what was asked for. */
  readonly gain: number;
  /** Sums of missed margins, dB. */
  readonly shortfall: readonly [before: number, after: number];
  /** The worst margins, dB; null where nothing is judged. */
  readonly worst: readonly [before: number | null, after: number | null];
  readonly helps: readonly Helped[];
  /** What is not S/B of a microphone, most mended first. */
  readonly mends: readonly Mended[];
  readonly price: readonly Worse[];
};

export type Advice = {
  readonly title: string;
  readonly standing: Standing;
  /** Whether any limit of what was asked for is judged. */
  readonly asked: boolean;
  /** What is wanting of what was asked for, dB. */
  readonly wanting: number;
  /** Best first. */
  readonly suggestions: readonly ToldSuggestion[];
  /** How many more suggestions there are than are told. */
  readonly more: number;
  /** Plans that were computed for it, and whether the search came to its end. */
  readonly tried: number;
  readonly whole: boolean;
  /** False where the plan asks for a confidence, which is left aside here. */
  readonly plain: boolean;
};

/** Losses smaller than this are no price, dB. */
const LEAST_PRICE = 0.1;

export function toldSuggestions(
  base: Computed,
  catalogue: Catalogue,
  standing: Standing,
  suggestions: readonly Suggestion[],
): ToldSuggestion[] {
  const report = judge(plainly(base.scene), base.result);
  return suggestions.map((one) => told(base, catalogue, { report, standing }, one));
}

/** Draws for a confidence would take a second for each. */
const plainly = (scene: Scene): Scene => ({ ...scene, limits: { ...scene.limits, confidence: null } });

type Before = { readonly report: Report; readonly standing: Standing };

function told(base: Computed, catalogue: Catalogue, before: Before, suggestion: Suggestion): ToldSuggestion {
  const { moves, minutes, gain, tried } = suggestion;
  const { scene, result } = tried.again();
  const report = judge(plainly(scene), result);
  const sides = [before.report, report].map((one) => ({ name: '', tree: base.tree, report: one }));
  const { standing } = tried;
  return {
    words: wordsOf(base, catalogue, moves),
    moves,
    minutes,
    gain,
    shortfall: [before.standing.shortfall, standing.shortfall],
    worst: [before.standing.worst, standing.worst],
    helps: helpedBy(before.report, report),
    mends: mendedBy(before.standing, standing),
    price: worseThan(compare(sides), 0, LEAST_PRICE),
  };
}

/** Each move is told on the plan in which those before it have been made. */
function wordsOf(base: Computed, catalogue: Catalogue, moves: readonly Move[]): string[] {
  let now = base;
  return moves.map((move) => {
    const next = benchOf(now, catalogue).commit(move.edits);
    const after = 'faults' in next ? now : next;
    const words = move.say(now.scene, after.scene);
    now = after;
    return words;
  });
}

function mendedBy(before: Standing, after: Standing): Mended[] {
  const rows = before.rows.flatMap(({ kind, name, margin }): Mended[] => {
    // who see each other have no row
    const unsaid = kind === 'see-each-other' ? 0 : margin;
    const now = after.rows.find((row) => row.kind === kind && row.name === name)?.margin ?? unsaid;
    if (kind === 'signal-to-bleed' || margin >= 0 || now - margin < LEAST_PRICE) return [];
    return [{ kind, about: name.split('\n'), before: margin, after: now }];
  });
  return rows.sort((a, b) => b.after - b.before - (a.after - a.before));
}

/** Most helped first. */
function helpedBy(before: Report, after: Report): Helped[] {
  const rows = before.mics.flatMap((one): Helped[] => {
    const other = after.mics.find(({ name }) => name === one.name);
    const changed = (other?.signalToBleed ?? 0) - (one.signalToBleed ?? 0);
    if (one.purpose !== 'parts' || !other || changed < LEAST_PRICE) return [];
    return [
      {
        mic: one.name,
        before: one.signalToBleed,
        basis: one.basis,
        after: other.signalToBleed,
        unweightedBefore: one.signalToBleedUnweighted,
        unweightedAfter: other.signalToBleedUnweighted,
      },
    ];
  });
  return rows.sort((a, b) => (b.after ?? 0) - (b.before ?? 0) - ((a.after ?? 0) - (a.before ?? 0)));
}
