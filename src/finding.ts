/** What can be wrong with what the user gave us, as data. */

export type Severity = 'error' | 'warning';
/** Keys and list positions from the top of a plan: ['mics', 'voice-mic', 'at', 0]. */
export type Path = readonly (string | number)[];

export type FindingCode =
  | 'FILE_UNREADABLE' // a file that is absent, a folder, too large or not permitted
  | 'FILE_EXISTS' // an output file that already exists
  | 'PLAN_SYNTAX' // not YAML, a tab, a duplicate key, a tag, an alias bomb
  | 'PLAN_VERSION' // `spillcheck:` missing or of a version we do not read
  | 'UNKNOWN_KEY' // a key the plan format does not have
  | 'WRONG_TYPE' // a list where a name was expected and the like
  | 'BAD_VALUE' // a number or unit that cannot be read
  | 'BAD_OPTION' // an option or argument of the command line that cannot be read
  | 'OUT_OF_RANGE' // a number outside what makes sense
  | 'BAD_NAME' // a name that the format does not allow, or one used twice
  | 'UNKNOWN_NAME' // a target, instrument, pattern, finish … that is absent
  | 'MISSING_KEY' // a needed value that is not given
  | 'BAD_POSITION' // outside every room, two things at one point, an outline that crosses itself …
  | 'WARNING'; // computed, but to be checked

/** One error or warning. `path` leads to the setting in the plan; its place in the text is looked up when it is shown. */
export type Finding = {
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly path: Path;
  readonly message: string;
  /** What would fix it, where that can be said. */
  readonly fix?: string;
  /** Offset in the text, from 0, where only that is known (syntax). */
  readonly offset?: number;
  /** File with the error; the plan itself when left out. */
  readonly file?: string;
};

/** A value of the command line, or of a call, that cannot be read: no place in a plan belongs to it. */
export function usageError(message: string, fix: string): Finding {
  return { code: 'BAD_OPTION', severity: 'error', path: [], message, fix };
}

/** Whether a call has given an error in place of its answer. */
export const isFinding = (answer: unknown): answer is Finding =>
  isObject(answer) && 'code' in answer && 'severity' in answer && 'message' in answer;

const isObject = (value: unknown): value is object => typeof value === 'object' && value !== null;

/**
 * Throws a TypeError unless a call is given what it takes: a text, a list, or an object with some keys. For scripts without
 * types, in which a plan that was not opened, or an answer that was not waited for, would fail far from its cause.
 */
export function takes(
  call: string,
  what: string,
  given: unknown,
  wanted: 'string' | 'list' | readonly string[],
): void {
  const isIt =
    wanted === 'string'
      ? typeof given === 'string'
      : wanted === 'list'
        ? Array.isArray(given)
        : isObject(given) && wanted.every((key) => key in given);
  if (!isIt) throw new TypeError(`${call} takes ${what}, not ${inWords(given)}`);
}

function inWords(given: unknown): string {
  if (isFinding(given)) return `an error (${given.message})`;
  if (given instanceof Promise) return 'a promise: wait for it with await';
  if (Array.isArray(given)) return 'a list';
  return given === null || given === undefined ? String(given) : `a ${typeof given}`;
}

export const hasErrors = (findings: readonly Finding[]): boolean =>
  findings.some((f) => f.severity === 'error');

/** Whether one is the other, or lies within it. */
export function pathsOverlap(one: Path, other: Path): boolean {
  const [short, long] = one.length < other.length ? [one, other] : [other, one];
  return short.every((step, i) => String(step) === String(long[i]));
}
