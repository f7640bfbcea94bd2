/** Workflow commands: a CI service shows each at its line of the plan. */
import type { Check } from '../../judge/limits/checked.ts';
import { visible } from '../../plan/visible.ts';
import { type Problem, problemsOf } from './problems.ts';

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
    .replace(/[^\r\n]+/g, visible)
    .replaceAll('%', '%25')
    .replaceAll('\r', '%0D')
    .replaceAll('\n', '%0A');

const property = (text: string): string => data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
