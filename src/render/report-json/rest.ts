import type { InputRow } from '../../judge/input-levels.ts';
import type { Pitfall } from '../../judge/pitfalls/pitfall-kinds.ts';
import type { Answer, ToldTolerance, ToldTolerances } from '../answer.ts';
import { suggestionShape } from '../suggest-json.ts';
import { rounded } from './rounded.ts';

export const inputShape = (row: InputRow) => ({
  mic: row.mic,
  peak: row.peak && {
    level_db: rounded(row.peak.level),
    source: row.peak.source,
    wanted: row.peak.wanted,
    passage: row.peak.passage,
    guessed: row.peak.guessed,
  },
  pad: row.pad,
  signal_dba: rounded(row.signal),
  quietest_passage: row.quietest,
  noise_dba: rounded(row.noise),
  over_noise_db: rounded(row.overNoise),
  self_noise_dba: rounded(row.selfNoise),
  over_self_noise_db: rounded(row.overSelfNoise),
});

/** Null where moves were not looked for. */
export const nowShape = (now: Answer['now']) =>
  now === null || now === 'too large' ? null : now.suggestions.map(suggestionShape);

export const toleranceShape = ({ draws, seed, rows }: ToldTolerances) => ({
  draws,
  seed,
  rows: rows.map(toleranceRowShape),
});

const toleranceRowShape = (row: ToldTolerance) => ({
  kind: row.kind,
  about: row.about,
  p10_db: rounded(row.p10),
  p50_db: rounded(row.p50),
  p90_db: rounded(row.p90),
  limit_db: rounded(row.limit),
  limit_is: row.limitIs,
  holds: rounded(row.holds),
  causes: row.causes.map(({ cause, spread }) => ({ cause, spread_db: rounded(spread) })),
});

export const pitfallShape = ({ kind, about, sentence, mend, path }: Pitfall) => ({
  ...{ kind, about, sentence, mend, path },
});
