/** Advice as data alone: what formats show, and a script can write down. */
import type { Path } from '../finding.ts';
import type { Advice, ToldSuggestion } from './advice.ts';
import { flowText } from './flow-text.ts';
import type { MoveKind } from './move.ts';

export type PlainMove = {
  readonly kind: MoveKind;
  readonly about: readonly string[];
  /** Entries of the plan and what they are set to, as one would write it; null takes an entry out. */
  readonly edits: readonly { readonly path: Path; readonly value: string | null }[];
};

export type PlainSuggestion = Omit<ToldSuggestion, 'moves'> & { readonly moves: readonly PlainMove[] };

export type PlainAdvice = Omit<Advice, 'suggestions'> & { readonly suggestions: readonly PlainSuggestion[] };

export const plainAdvice = (advice: Advice): PlainAdvice => ({
  ...advice,
  suggestions: advice.suggestions.map((one) => ({
    ...one,
    moves: one.moves.map(({ kind, about, edits }) => ({
      kind,
      about,
      edits: edits.map(({ path, value }) => ({ path, value: value && flowText(value) })),
    })),
  })),
});
