/** JUnit, SARIF, annotations from one list of problems. */
import type { FindingCode } from '../finding.ts';
import {
  type Check,
  type CheckedPlan,
  isMissed,
  type Outcome,
  outcomeOf,
  type Place,
  type PlacedFinding,
  type PlacedLimit,
} from '../judge/check-result.ts';
import { LIMIT_RULES, limitSentence } from '../report/criteria.ts';
import { counted, readingsLines } from '../report/words.ts';
import { escapeControl, jsonText, xmlAttribute, xmlText } from '../text.ts';
import { type Paint, padEnd, paint, wrap } from './table.ts';

// Which limits are met, for people: what is missed first, plan by plan, and the count of all at the end.
export function checkText(check: Check, options: CheckOptions): string {
  const blocks = check.plans.map((plan) => block(plan, check.strict, options).join('\n'));
  return `${[...blocks, summary(check)].join('\n\n')}\n`;
}

/** All plans in one line: "3 plans: 1 met, 1 missed, 1 broken". */
export function summary({ plans, strict }: Check): string {
  const order: readonly Outcome[] = ['met', 'missed', 'broken'];
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  const counts = order.map((outcome) => ({ outcome, n: outcomes.filter((one) => one === outcome).length }));
  const told = counts.filter(({ n }) => n > 0).map(({ outcome, n }) => `${n} ${outcome}`);
  return `${counted(plans.length, 'plan')}: ${told.join(', ')}`;
}

function block(plan: CheckedPlan, strict: boolean, options: CheckOptions): string[] {
  const colours = paint(options.colour);
  const title = plan.title === '' ? '' : ` (${plan.title})`;
  const head = `${plan.name}${title}: ${textStanding(plan, strict)}`;
  return [
    ...wrap(escapeControl(head), options.width).map(colours.strong),
    ...readingsLines(
      plan.readings,
      plan.limits.map(({ basis }) => basis),
    ).flatMap((line) => wrap(escapeControl(line), options.width, '  ')),
    ...plan.faults.map(({ shown }) => shown.trimEnd()),
    ...limitLines(plan.limits, strict, { ...options, colours }),
  ];
}

function textStanding(plan: CheckedPlan, strict: boolean): string {
  const outcome = outcomeOf(plan, strict);
  if (outcome === 'broken') return `broken, ${counted(plan.faults.length, 'fault')}`;
  const judged = plan.limits.filter(({ verdict }) => verdict !== null);
  const missed = judged.filter((row) => isMissed(row, strict));
  if (outcome === 'missed') return `${missed.length} of ${counted(judged.length, 'limit')} missed`;
  return judged.length === 0 ? 'no limits judged' : `${counted(judged.length, 'limit')} met`;
}

type Layout = CheckOptions & { readonly colours: Paint };

function limitLines(limits: readonly PlacedLimit[], strict: boolean, layout: Layout): string[] {
  const shown = layout.all ? limits : limits.filter(({ verdict }) => verdict !== 'clear');
  const rest = limits.length - shown.length;
  return [
    ...shown.flatMap((row) => limitLine(row, strict, layout)),
    ...(rest > 0 ? [`  ${padEnd('clear', MARK)}${counted(rest, 'limit')}, listed with --all`] : []),
  ];
}

/** Columns of the word before each limit. */
const MARK = 12;

function limitLine(row: PlacedLimit, strict: boolean, { width, colours }: Layout): string[] {
  const indent = ' '.repeat(2 + MARK);
  const [first = '', ...others] = wrap(escapeControl(limitSentence(row)), width, indent);
  const missed = isMissed(row, strict);
  const word = missed ? 'missed' : (row.verdict ?? 'not judged');
  const colour = missed ? colours.short : row.verdict === null ? colours.faint : colours[row.verdict];
  return [`  ${colour(word)}${' '.repeat(MARK - word.length)}${first.slice(indent.length)}`, ...others];
}

// SARIF 2.1.0 (OASIS): what is missed, met by a hair, broken or could not be judged, each at its place in the plan.

export function sarif(check: Check, { version }: CheckOptions): string {
  const problems = problemsOf(check);
  const used = new Set(problems.map(({ rule }) => rule));
  const rules = Object.entries({ ...LIMIT_RULES, ...FINDING_RULES })
    .filter(([id]) => used.has(id))
    .map(([id, text]) => ({ id, shortDescription: { text } }));
  const ids = rules.map(({ id }) => id);
  const run = {
    tool: { driver: { name: 'spillcheck', version, rules } },
    // a place counts characters, never halves of one
    columnKind: 'unicodeCodePoints',
    results: problems.map((problem) => result(problem, ids)),
  };
  return `${jsonText({ $schema: SCHEMA, version: '2.1.0', runs: [run] }, 2)}\n`;
}

const SCHEMA = 'https://json.schemastore.org/sarif-2.1.0.json';

function result({ rule, level, message, place }: Problem, ids: readonly string[]): object {
  return {
    ruleId: rule,
    ruleIndex: ids.indexOf(rule),
    level,
    message: { text: message },
    locations: [{ physicalLocation: { artifactLocation: { uri: uriOf(place) }, ...regionOf(place) } }],
  };
}

/** A relative reference: a colon in its first step would else read as a scheme; half a character has no encoding. */
const uriOf = ({ file }: Place): string =>
  file
    .replace(/\p{Cs}/gu, '\ufffd')
    .split('/')
    .map(encodeURIComponent)
    .join('/');

function regionOf({ line, column }: Place): object {
  if (line === null) return {};
  return { region: { startLine: line, ...(column === null ? {} : { startColumn: column }) } };
}

// What each limit and each code of a finding stands for, as a rule that a machine can list.

const FINDING_RULES: Readonly<Record<FindingCode, string>> = {
  FILE_UNREADABLE: 'The file can be read.',
  PLAN_SYNTAX: 'The plan is YAML.',
  PLAN_VERSION: 'The plan says a version that is known.',
  UNKNOWN_KEY: 'Every key is part of the plan format.',
  WRONG_SHAPE: 'Every value has the shape that its key takes.',
  BAD_QUANTITY: 'Every quantity can be read.',
  BAD_RANGE: 'Every number lies where it makes sense.',
  BAD_NAME: 'Every name is allowed, and stands for one thing.',
  UNKNOWN_NAME: 'Every name that is used is there.',
  MISSING: 'Every value that is needed is given.',
  BAD_PLACE: 'Every thing stands where it can.',
  CAUTION: 'Nothing was computed that is worth a word.',
};

// JUnit XML: a suite for each plan, a case for each limit or fault. Fits the schema of the Ant task and that of Jenkins.

export function junit({ plans, strict }: Check, { started }: CheckOptions): string {
  const suites = plans.map((plan, id) => suite({ plan, id, strict, started }));
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n${suites.join('')}</testsuites>\n`;
}

type Suite = {
  readonly plan: CheckedPlan;
  readonly id: number;
  readonly strict: boolean;
  readonly started: Date;
};

function suite({ plan, id, strict, started }: Suite): string {
  const { name, title, faults, limits, seconds, readings } = plan;
  const attributes = attributesOf({
    name,
    package: 'spillcheck',
    id,
    timestamp: started.toISOString().slice(0, 19),
    hostname: 'localhost',
    tests: faults.length + limits.length,
    failures: limits.filter((row) => isMissed(row, strict)).length,
    errors: faults.length,
    skipped: limits.filter(({ verdict }) => verdict === null).length,
    time: seconds.toFixed(3),
  });
  return [
    `  <testsuite${attributes}>`,
    `    <properties>${properties({ title, ...(readings && { readings: readings.files.join(', ') }) })}</properties>`,
    ...faults.map((fault) => testcase(plan, fault.code + spot(fault.place), broken(fault))),
    ...limits.map((row) => testcase(plan, [row.kind, ...row.about].join(' '), judged(row, strict))),
    '    <system-out></system-out>',
    '    <system-err></system-err>',
    '  </testsuite>\n',
  ].join('\n');
}

const properties = (values: Readonly<Record<string, string>>): string =>
  Object.entries(values)
    .map(([name, value]) => `<property${attributesOf({ name, value })}/>`)
    .join('');

/** All limits of a plan come out of one computation: the time is the suite's. */
function testcase(plan: CheckedPlan, name: string, content: string): string {
  const attributes = attributesOf({ name, classname: plan.name.replace(/\.ya?ml$/i, ''), time: 0 });
  return content === '' ? `    <testcase${attributes}/>` : `    <testcase${attributes}>${content}</testcase>`;
}

const broken = ({ message, code, shown }: PlacedFinding): string =>
  `<error${attributesOf({ message, type: code })}>${xmlText(shown)}</error>`;

function judged(row: PlacedLimit, strict: boolean): string {
  const message = limitSentence(row);
  if (row.verdict === null) return `<skipped>${xmlText(message)}</skipped>`;
  if (!isMissed(row, strict)) return '';
  const where = `${row.place.file}${spot(row.place)}`;
  return `<failure${attributesOf({ message, type: row.kind })}>${xmlText(`${where} ${message}`)}</failure>`;
}

const spot = ({ line, column }: Place): string => (line === null ? '' : `:${line}:${column ?? 1}`);

const attributesOf = (values: Readonly<Record<string, string | number>>): string =>
  Object.entries(values)
    .map(([name, value]) => ` ${name}="${xmlAttribute(String(value))}"`)
    .join('');
/** How the answer of `check` is shown. What a format has no use for it leaves aside. */
export type CheckOptions = {
  /** Columns of the page. */
  readonly width: number;
  readonly colour: boolean;
  /** Limits that are clearly met are listed, too. */
  readonly all: boolean;
  /** Of this program. */
  readonly version: string;
  readonly started: Date;
};

// Workflow commands: a CI service shows each at its line of the plan.

export const annotations = (check: Check): string => problemsOf(check).map(command).join('');

const COMMANDS = { error: 'error', warning: 'warning', note: 'notice' } as const;

function command({ level, title, message, place }: Problem): string {
  const properties = [
    ['file', place.file],
    ...(place.line === null ? [] : [['line', String(place.line)]]),
    ...(place.column === null ? [] : [['col', String(place.column)]]),
    ['title', title],
  ].map(([name = '', value = '']) => `${name}=${property(value)}`);
  return `::${COMMANDS[level]} ${properties.join(',')}::${data(message)}\n`;
}

/** Breaks of lines would end the command; what else steers a terminal becomes visible. */
const data = (text: string): string =>
  text
    .replace(/[^\r\n]+/g, escapeControl)
    .replaceAll('%', '%25')
    .replaceAll('\r', '%0D')
    .replaceAll('\n', '%0A');

const property = (text: string): string => data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');

// What is worth pointing at in a plan: faults, limits missed or met by a hair, and what could not be judged.

type Problem = {
  /** Kind of the limit, or code of the finding. */
  readonly rule: string;
  readonly level: 'error' | 'warning' | 'note';
  readonly title: string;
  readonly message: string;
  readonly place: Place;
};

const problemsOf = ({ plans, strict }: Check): Problem[] =>
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
  return {
    rule: row.kind,
    level,
    title: `${row.kind} ${word}`,
    message: limitSentence(row),
    place: row.place,
  };
}

function standing(row: PlacedLimit, strict: boolean): [Problem['level'], string] {
  if (isMissed(row, strict)) return ['error', 'missed'];
  return row.verdict === null ? ['note', 'not judged'] : ['warning', 'marginal'];
}
