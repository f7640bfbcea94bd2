/** Formats of `check`: JUnit, SARIF and annotations are made from one list of cases. */
import type { FindingCode } from '../finding.ts';
import {
  type Check,
  type CheckedPlan,
  checkView,
  type Former,
  type Place,
  statusOf,
} from '../report/check.ts';
import { LIMIT_RULES, limitSentence, regressionWords } from '../report/criteria.ts';
import { escapeCommands, escapeControl, jsonText, xmlAttribute, xmlText } from '../text.ts';
import { checkJson } from './json.ts';
import { renderText } from './text.ts';

/** An error of a plan, or one of its limits. */
type Case = {
  /** Kind of the limit, or code of the finding. */
  readonly rule: string;
  readonly status: 'invalid' | ReturnType<typeof statusOf>;
  /** Unique within the plan. */
  readonly name: string;
  readonly title: string;
  readonly message: string;
  /** How to fix it, where that is known. */
  readonly fix?: string | undefined;
  readonly place: Place;
  /** The message with its place, ready to print. */
  readonly shown: string;
};

function casesOf(plan: CheckedPlan, strict: boolean): Case[] {
  const { faults, warnings, limits, former } = plan;
  const odd = warnings.map(({ code, message, fix, place, shown }): Case => {
    const name = `${code}${spotOf(place)} ${message}`;
    return { rule: code, status: 'marginal', name, title: 'warning', message, fix, place, shown };
  });
  const invalid = faults.map(({ code, message, fix, place, shown }): Case => {
    const title = `invalid plan: ${code}`;
    return { rule: code, status: 'invalid', name: code + spotOf(place), title, message, fix, place, shown };
  });
  const judged = limits.map((row): Case => {
    const { kind, about, place } = row;
    const status = statusOf(row, strict);
    const message = limitSentence(row);
    const shown = `${place.file}${spotOf(place)} ${message}`;
    const name = [kind, ...about].join(' ');
    return { rule: kind, status, name, title: `${kind} ${status}`, message, place, shown };
  });
  if (!former?.regressions) return [...invalid, ...odd, ...judged];
  // a limit that was missed before does not fail what is no worse
  const kept = judged.map((one) =>
    one.status === 'missed' ? ({ ...one, status: 'marginal' } as const) : one,
  );
  return [...invalid, ...odd, ...sinceThen(plan.name, former), ...kept];
}

const NO_WORSE = 'no-worse-than';

/** A case for each regression, or one that says that there is none. */
function sinceThen(file: string, { name, regressions }: Former): Case[] {
  const one = { rule: NO_WORSE, name: `${NO_WORSE} ${name}`, title: `worse than in ${name}` };
  if (!regressions || regressions.length === 0) {
    const message = `no worse than in ${name}`;
    const place = { file, line: null, column: null };
    return [{ ...one, status: 'clear', title: message, message, place, shown: message }];
  }
  return regressions.map((regression): Case => {
    const { kind, about, place } = regression;
    const message = `worse than in ${name}: ${regressionWords(regression)}`;
    const shown = `${place.file}${spotOf(place)} ${message}`;
    return { ...one, status: 'missed', name: [one.name, kind, ...about].join(' '), message, place, shown };
  });
}

const spotOf = ({ line, column }: Place): string => (line === null ? '' : `:${line}:${column ?? 1}`);

/** What to point at in a plan: everything but limits that are clearly met. */
const problemsOf = ({ plans, strict }: Check) =>
  plans
    .flatMap((plan) => casesOf(plan, strict))
    .flatMap(({ status, message, fix, ...one }) =>
      status === 'clear'
        ? []
        : [{ ...one, level: LEVELS[status], message: fix ? `${message}\nfix: ${fix}` : message }],
    );

type Problem = ReturnType<typeof problemsOf>[number];
const LEVELS = { invalid: 'error', missed: 'error', marginal: 'warning', 'not judged': 'note' } as const;

/** SARIF 2.1.0 (OASIS). */
export function sarif(check: Check, { version }: CheckOptions): string {
  const problems = problemsOf(check);
  const used = new Set(problems.map(({ rule }) => rule));
  const rules = Object.entries({
    ...LIMIT_RULES,
    ...FINDING_RULES,
    [NO_WORSE]: 'No value is worse than before.',
  })
    .filter(([id]) => used.has(id))
    .map(([id, text]) => ({ id, shortDescription: { text } }));
  const ids = rules.map(({ id }) => id);
  const run = {
    tool: { driver: { name: 'spillcheck', version, rules } },
    // columns count characters, not halves of surrogate pairs
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

/** A relative reference: a colon in its first segment would read as a scheme; a lone surrogate has no encoding. */
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

/** Each error code as the rule that a plan keeps. */
const FINDING_RULES: Readonly<Record<FindingCode, string>> = {
  FILE_UNREADABLE: 'Every file can be read.',
  FILE_EXISTS: 'No output file exists yet.',
  PLAN_SYNTAX: 'The plan is valid YAML.',
  PLAN_VERSION: 'The plan gives a known format version.',
  UNKNOWN_KEY: 'Every key is part of the plan format.',
  WRONG_TYPE: 'Every value is of the type its key takes.',
  BAD_VALUE: 'Every quantity can be read.',
  BAD_OPTION: 'Every option and argument can be read.',
  OUT_OF_RANGE: 'Every number is within its range.',
  BAD_NAME: 'Every name is allowed and unique.',
  UNKNOWN_NAME: 'Every name used is defined.',
  MISSING_KEY: 'Every required key is given.',
  BAD_POSITION: 'Everything is in a possible position.',
  WARNING: 'There is no warning.',
};

/** A suite for each plan, a case for each limit or error. Fits the schema of the Ant task and that of Jenkins. */
export function junit({ plans, strict }: Check, { started }: CheckOptions): string {
  const suites = plans.map((plan, id) => suite(plan, casesOf(plan, strict), { id, started }));
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n${suites.join('')}</testsuites>\n`;
}

/** One computation judges all limits of a plan, so the time is the suite's. */
function suite(
  { name, title, seconds, readings }: CheckedPlan,
  cases: readonly Case[],
  run: { id: number; started: Date },
): string {
  const count = (status: Case['status']) => cases.filter((one) => one.status === status).length;
  const attributes = attributesOf({
    name,
    package: 'spillcheck',
    id: run.id,
    timestamp: run.started.toISOString().slice(0, 19),
    hostname: 'localhost',
    tests: cases.length,
    failures: count('missed'),
    errors: count('invalid'),
    skipped: count('not judged'),
    time: seconds.toFixed(3),
  });
  const properties = Object.entries({ title, ...(readings && { readings: readings.files.join(', ') }) });
  const classname = name.replace(/\.ya?ml$/i, '');
  return [
    `  <testsuite${attributes}>`,
    `    <properties>${properties.map(([key, value]) => element('property', { name: key, value })).join('')}</properties>`,
    ...cases.map((one) => `    ${element('testcase', { name: one.name, classname, time: 0 }, outcome(one))}`),
    '    <system-out></system-out>',
    '    <system-err></system-err>',
    '  </testsuite>\n',
  ].join('\n');
}

function outcome({ rule, status, message, shown }: Case): string {
  if (status === 'not judged') return element('skipped', {}, xmlText(message));
  if (status !== 'invalid' && status !== 'missed') return '';
  return element(status === 'invalid' ? 'error' : 'failure', { message, type: rule }, xmlText(shown));
}

type Attributes = Readonly<Record<string, string | number>>;

const element = (name: string, attributes: Attributes, content = ''): string =>
  content === ''
    ? `<${name}${attributesOf(attributes)}/>`
    : `<${name}${attributesOf(attributes)}>${content}</${name}>`;

const attributesOf = (values: Attributes): string =>
  Object.entries(values)
    .map(([name, value]) => ` ${name}="${xmlAttribute(String(value))}"`)
    .join('');

/** Workflow commands, which a CI service shows at their lines of the plan. */
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

/** A line break would end the command; other control characters become visible. */
const data = (text: string): string =>
  escapeCommands(text)
    .replace(/[^\r\n]+/g, escapeControl)
    .replaceAll('%', '%25')
    .replaceAll('\r', '%0D')
    .replaceAll('\n', '%0A');

const property = (text: string): string => data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');

/** How the answer of `check` is shown; a format ignores what it has no use for. */
export type CheckOptions = {
  /** Columns of the page. */
  readonly width: number;
  readonly colour: boolean;
  /** Whether to list limits that are clearly met. */
  readonly all: boolean;
  /** Whether to show only plans that fail. */
  readonly quiet: boolean;
  /** Versions of this program and of its catalogue. */
  readonly version: string;
  readonly catalogue: string;
  readonly started: Date;
};

const checkText = (check: Check, options: CheckOptions): string =>
  renderText(checkView(check, options), options);

/** Formats of `check`. A new format is a function and a line here. */
export const checkFormats = { text: checkText, json: checkJson, junit, sarif, annotations } satisfies Record<
  string,
  (check: Check, options: CheckOptions) => string
>;

export type CheckFormat = keyof typeof checkFormats;

export const isCheckFormat = (name: string): name is CheckFormat => Object.hasOwn(checkFormats, name);
