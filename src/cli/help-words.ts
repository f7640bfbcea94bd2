/** What every help ends with: exit codes and the environment. */
const exitCodes = (lines: readonly string[]): string =>
  `Exit codes:\n${[...lines, '70  a bug of ours'].map((line) => `  ${line}\n`).join('')}`;

const REFUSED = '2   bad usage, plan or file; nothing was written';
export const EXIT_CODES = exitCodes(['0   done', REFUSED]);
export const ALL_EXIT_CODES = exitCodes([
  '0   done',
  '1   a limit is missed (check), or something is worse (compare)',
  REFUSED,
]);
export const CHECK_EXIT_CODES = exitCodes([
  '0   every limit of every plan is met',
  '1   a limit is missed',
  '2   bad usage, plan or file; the other plans are told of all the same',
]);

export const COMPARE_EXIT_CODES = `Exit codes:
  0   done
  1   something is worse than in the plan of --no-worse-than
  2   bad usage, plan or file; nothing was written
  70  a bug of ours
`;

export const FIRST_STEPS = `Example:
  spillcheck start -o plan.yaml && spillcheck report plan.yaml
`;

export const ENVIRONMENT = `Environment:
  NO_COLOR, FORCE_COLOR  never or always colour; else only on a terminal
  COLUMNS                width of the page, 80 to 140
  SPILLCHECK_DEBUG=1     shows where a bug of ours happened`;
