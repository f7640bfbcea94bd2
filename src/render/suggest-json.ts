/** Suggestions as JSON, shape version 1: shared/schemas/suggest.schema.json. Keys may be added within a version. */
import type { PlainAdvice, PlainSuggestion } from '../advise/plain-advice.ts';
import type { ToldReadings } from '../judge/told-readings.ts';
import { worseWords } from './compare-words.ts';
import { jsonText } from './json-text.ts';
import { basisShape, readingsShape } from './readings-json.ts';

export function suggestJson(
  { title, standing, suggestions, tried, whole, more }: PlainAdvice,
  readings: ToldReadings | null = null,
): string {
  const shape = {
    spillcheck: 1,
    command: 'suggest',
    title,
    worst_margin_db: rounded(standing.worst),
    shortfall_db: rounded(standing.shortfall),
    suggestions: suggestions.map(suggestionShape),
    more,
    tried,
    whole,
    readings: readingsShape(readings),
  };
  return `${jsonText(shape, 2)}\n`;
}

export const suggestionShape = (one: PlainSuggestion) => ({
  words: one.words,
  moves: one.moves,
  minutes: rounded(one.minutes),
  gain_db: rounded(one.gain),
  shortfall_db: rounded(one.shortfall[1]),
  worst_margin_db: rounded(one.worst[1]),
  helps: one.helps.map(({ mic, before, basis, after, unweightedBefore, unweightedAfter }) => ({
    mic,
    before_db: rounded(before),
    before_basis: basisShape(basis),
    after_db: rounded(after),
    unweighted_before_db: rounded(unweightedBefore),
    unweighted_after_db: rounded(unweightedAfter),
  })),
  mends: one.mends.map(({ kind, about, before, after }) => ({
    kind,
    about,
    before_db: rounded(before),
    after_db: rounded(after),
  })),
  price: one.price.map((worse) => ({ kind: worse.kind, about: worse.about, sentence: worseWords(worse) })),
});

/** To 0.001; null for what is not there. */
function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}
