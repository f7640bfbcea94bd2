/** Causes in words. */
import type { Cause, CauseKind, How } from '../linecheck/cause.ts';
import { figure } from './words.ts';

type Named = readonly string[];

const SENTENCES: Readonly<Record<CauseKind, (about: Named, how: string) => string>> = {
  pattern: ([mic], how) => `${mic} is ${how}`,
  aim: ([mic], how) => `${mic} looks elsewhere, ${how}`,
  mics: ([a, b]) => `${a} and ${b} stand on each other's stand`,
  channels: ([a, b]) => `the channels of ${a} and ${b} are swapped`,
  facing: ([who], how) => `${who} faces elsewhere, ${how}`,
  door: ([door], how) => `${door}: ${how}`,
  'baffle-missing': ([baffle]) => `${baffle} is not there`,
  'baffle-extra': ([a, b]) => `there is a baffle between ${a} and ${b}`,
  reading: ([who, mic], how) => `the reading of ${who} at ${mic} ${how}: read it again`,
};

export const causeWords = ({ kind, about, how }: Cause): string => SENTENCES[kind](about, howWords(how));

export function howWords(how: How): string {
  if (how === null) return '';
  if ('pattern' in how) return `set to ${how.pattern}`;
  if ('state' in how) return how.state;
  if ('off' in how) return `is ${figure(Math.abs(how.off), 1)} dB too ${how.off > 0 ? 'high' : 'low'}`;
  return how.degrees === 180
    ? 'turned about'
    : `about ${how.degrees}° to the ${how.toward}`.replace(/to the (up|down)/, '$1');
}
