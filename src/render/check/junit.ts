/** JUnit XML: a suite for each plan, a case for each limit or fault. Fits the schema of the Ant task and that of Jenkins. */
import {
  type Check,
  type CheckedPlan,
  isMissed,
  type Place,
  type PlacedFinding,
  type PlacedLimit,
} from '../../judge/limits/checked.ts';
import type { CheckOptions } from './options.ts';
import { sentence } from './sentence.ts';
import { xmlAttribute, xmlText } from './xml.ts';

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
  const message = sentence(row);
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
