/** SARIF 2.1.0 (OASIS): what is missed, met by a hair, broken or could not be judged, each at its place in the plan. */
import type { Check, Place } from '../../judge/limits/checked.ts';
import { jsonText } from '../json-text.ts';
import type { CheckOptions } from './options.ts';
import { type Problem, problemsOf } from './problems.ts';
import { RULES } from './rules.ts';

export function sarif(check: Check, { version }: CheckOptions): string {
  const problems = problemsOf(check);
  const used = new Set(problems.map(({ rule }) => rule));
  const rules = Object.entries(RULES)
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
