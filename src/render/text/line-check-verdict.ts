import type { Suspect } from '../../linecheck/diagnose.ts';
import type { LineCheck } from '../../linecheck/line-check.ts';
import { causeWords, howWords } from '../line-check-words.ts';
import { counted, figure } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { Layout } from './layout.ts';

/** What readings say of the plan: that it stands, or what would explain them better. */
export function verdict(check: LineCheck, layout: Layout): string[] {
  const { diagnosis, sources, channels, residuals, layers } = check;
  const octaves = layers[0] === null ? '' : ' by octave';
  const count = `${counted(sources.length, 'source')} at ${counted(channels.length, 'channel')}, ${counted(residuals.length, 'reading')}${octaves}.`;
  const [first] = diagnosis.suspects;
  const lines = first ? explained(check, first) : unexplained(check);
  return [...wrap(count, layout.width), ...lines.flatMap((line) => wrap(line, layout.width))].concat(
    diagnosis.suspects.flatMap((suspect) => suspectLines(suspect, layout)),
    first ? wrap(evidence(check), layout.width) : [],
  );
}

function unexplained({ diagnosis: { before, beyond, tried }, layers, spare }: LineCheck): string[] {
  if (spare === 0)
    return [
      'Levels and gains take all of them: nothing is left that could be held against the plan. Read more microphones.',
    ];
  const left = `with ${figure(before, 1)} dB rms left that neither levels nor gains explain`;
  if (!beyond)
    return [
      `They fit the plan within its tolerance, ${left}. No single cause of ${tried} tried is called for.`,
    ];
  const more = layers[0] === null ? ' Readings by octave would tell more.' : '';
  return [
    `They do not fit the plan, ${left}: more than its tolerance makes likely. No single cause of ${tried} tried explains it well enough to be named.${more}`,
  ];
}

function explained({ diagnosis: { suspects, before } }: LineCheck, { after }: Suspect): string[] {
  const set =
    suspects.length === 1
      ? 'This explains the readings better than the plan does'
      : `Each of these explains the readings better than the plan does, and they cannot be told apart by them`;
  return [`${set} (${figure(before, 1)} dB rms left before, ${figure(after, 1)} dB with the likeliest):`];
}

function suspectLines({ cause, others, after }: Suspect, layout: Layout): string[] {
  const also = [...new Set(others.map(({ how }) => howWords(how)))].filter(
    (one) => one !== '' && one !== howWords(cause.how),
  );
  const rest = also.length === 0 ? '' : ` (or ${also.join(', ')})`;
  return wrap(
    `${causeWords(cause)}${rest}: ${figure(after, 1)} dB rms left`,
    layout.width,
    '  - ',
    '    ',
  ).map((line, i) => (i === 0 ? layout.paint.marginal(line) : line));
}

function evidence({ diagnosis: { suspects, tried, days, threshold, more } }: LineCheck): string {
  const score = figure(suspects[0]?.score ?? 0, 1);
  const scored = `Score ${score}, where the best of ${tried} causes reaches ${figure(threshold, 1)} on 2 of 100 days within the tolerance (${days} drawn).`;
  return more
    ? `${scored} What is left is still more than the tolerance makes likely: look for something else as well.`
    : scored;
}
