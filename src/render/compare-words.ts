/** What plans reach, and what got worse, in words. */
import type { ComparedKind, ComparedRow, Reached } from '../advise/compared-row.ts';
import type { Worse } from '../advise/worse.ts';
import { figure } from './words.ts';

/** A, B, C … for the plans in their order. */
export const letter = (index: number): string =>
  index < 26 ? String.fromCharCode(65 + index) : `${letter(Math.floor(index / 26) - 1)}${letter(index % 26)}`;

/** "12.3 clear"; words where there is no figure. */
export function reachedWords(kind: ComparedKind, reached: Reached | null): string {
  if (reached === null) return '–';
  const { figure: value, verdict, words } = reached;
  if (kind === 'sees') return words ?? '';
  const number = value === null ? '' : figure(value, kind === 'session' ? 0 : 1);
  const plain = value === null ? (words ?? '').split(':')[0] : '';
  const word = kind === 'hears' ? (HEARD.get(words ?? '') ?? '') : (verdict ?? plain);
  return [number, word].filter((part) => part !== '').join(' ');
}

const HEARD = new Map([
  ['hears', 'hears'],
  ['strains to hear', 'strains'],
  ['does not hear', 'not'],
]);

const SUBJECTS: Readonly<Record<ComparedKind, (about: readonly string[]) => string>> = {
  'signal-to-bleed': (about) => `S/B of ${about.join()}`,
  'three-to-one': (about) => `3:1 rule of ${about.join(' and ')}`,
  ghost: (about) => `ghost of ${about.join()}`,
  editable: (about) => `editing ${about.join()} alone`,
  hears: (about) => `${about.join(' hearing ')}`,
  sees: (about) => `${about.join(' and ')}`,
  session: (about) => `ears of ${about.join()}`,
};

export const subject = ({ kind, about }: Pick<ComparedRow, 'kind' | 'about'>): string =>
  SUBJECTS[kind](about);

/** "S/B of voice-mic: 12.3 clear, now 8.1 marginal". */
export function worseWords({ kind, about, before, after }: Worse): string {
  const now = after === null ? 'gone' : reachedWords(kind, after);
  return `${subject({ kind, about })}: ${reachedWords(kind, before)}, now ${now}`;
}

/** A path as one says it: mics.main.at. */
export const pathWords = (path: readonly (string | number)[]): string =>
  path
    .map((step) => (typeof step === 'number' ? `[${step}]` : `.${step}`))
    .join('')
    .replace(/^\./, '');
