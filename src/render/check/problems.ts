/** What is worth pointing at in a plan: faults, limits missed or met by a hair, and what could not be judged. */
import {
  type Check,
  type CheckedPlan,
  isMissed,
  type Place,
  type PlacedFinding,
  type PlacedLimit,
} from '../../judge/limits/checked.ts';
import { sentence } from './sentence.ts';

export type Problem = {
  /** Kind of the limit, or code of the finding. */
  readonly rule: string;
  readonly level: 'error' | 'warning' | 'note';
  readonly title: string;
  readonly message: string;
  readonly place: Place;
};

export const problemsOf = ({ plans, strict }: Check): Problem[] =>
  plans.flatMap(({ faults, limits }: CheckedPlan) => [
    ...faults.map(ofFault),
    ...limits.flatMap((row) => ofLimit(row, strict) ?? []),
  ]);

function ofFault({ code, message, mend, place }: PlacedFinding): Problem {
  const whole = mend === undefined ? message : `${message}\nmend: ${mend}`;
  return { rule: code, level: 'error', title: `plan broken: ${code}`, message: whole, place };
}

function ofLimit(row: PlacedLimit, strict: boolean): Problem | null {
  if (row.verdict === 'clear') return null;
  const [level, word] = standing(row, strict);
  return { rule: row.kind, level, title: `${row.kind} ${word}`, message: sentence(row), place: row.place };
}

function standing(row: PlacedLimit, strict: boolean): [Problem['level'], string] {
  if (isMissed(row, strict)) return ['error', 'missed'];
  return row.verdict === null ? ['note', 'not judged'] : ['warning', 'marginal'];
}
