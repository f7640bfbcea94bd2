import type { CueRow } from '../../judge/people/cue.ts';
import type { PhonesLeakRow } from '../../judge/people/headphones.ts';
import type { Report } from '../../judge/report.ts';
import { figure, figureOr } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';

/** The cue list, and what leaks out of headphones; in brief, only of those who wear some. */
export function headphones(
  { cues, phones }: Pick<Report, 'cues' | 'phones'>,
  layout: ReportLayout,
): string[] {
  const told = layout.brief ? cues.filter(({ wearing }) => wearing !== 'none') : cues;
  const leaks = phones.filter(({ audible, leak }) => leak !== null && (audible || layout.all));
  const said = [
    ...(layout.brief ? cuesInShort(told) : told.map(cue)),
    ...leaks.map(leakLine),
    ...(layout.brief ? [] : calm(phones)),
  ];
  if (said.length === 0) return [];
  return [
    heading('Headphones', layout, 'headphones'),
    ...said.flatMap((line) => wrap(line, layout.width, '  ', '    ')),
  ];
}

/** Those who wear alike and need all the others are told of together. */
function cuesInShort(cues: readonly CueRow[]): string[] {
  const everyone = new Set(cues.flatMap(({ player, carries }) => [player, ...carries]));
  const needsAll = ({ carries, helps, himself }: CueRow) =>
    carries.length > 1 && carries.length === everyone.size - 1 && helps.length === 0 && himself;
  return cues.flatMap((one) => {
    const alike = needsAll(one)
      ? cues.filter((other) => needsAll(other) && other.wearing === one.wearing)
      : [];
    if (alike.length < 2) return [cue(one)];
    if (alike[0] !== one) return [];
    return [`${alike.map(({ player }) => player).join(', ')}, ${one.wearing}: all the others, the own sound`];
  });
}

function cue({ player, wearing, carries, helps, himself }: CueRow): string {
  const needed = [...carries, ...(himself ? ['the own sound'] : [])];
  const needs = needed.length > 0 ? needed.join(', ') : 'nothing needed';
  const more = helps.length > 0 ? `; some ${helps.join(', ')} helps` : '';
  return `${player}, ${wearing === 'none' ? 'wearing none, would need' : wearing}: ${needs}${more}`;
}

function leakLine({ player, mic, leak, passage, cueLevel, guessed }: PhonesLeakRow): string {
  const where = passage === null ? '' : ` in ${passage}`;
  const cueAt = `${figure(cueLevel, 0)} dBA${guessed ? ', a guess' : ''}`;
  return `${player} leaks into ${mic}: ${figureOr(leak, 1, 'none')} dB re its own sound${where}, cue at ${cueAt}`;
}

function calm(phones: readonly PhonesLeakRow[]): string[] {
  const isCalm = phones.length > 0 && !phones.some(({ audible }) => audible);
  return isCalm ? ['No leak comes within 40 dB of what a microphone is for.'] : [];
}
