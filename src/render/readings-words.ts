/** What of an answer was measured on the day, in words. */
import type { Basis } from '../judge/basis.ts';
import type { ToldReadings } from '../judge/told-readings.ts';
import { counted, figure } from './words.ts';

/** Beside a figure; empty without readings. */
export const basisWords = (basis: Basis | null): string => (basis === null ? '' : WORDS[basis]);

const WORDS: Readonly<Record<Basis, string>> = {
  measured: 'measured',
  overall: 'measured overall',
  levels: 'measured levels',
  partly: 'partly measured',
  predicted: 'predicted',
};

/** The same where there is no room for words. */
export const basisMark = (basis: Basis | null): string => (basis === null ? '' : MARKS[basis]);

const MARKS: Readonly<Record<Basis, string>> = {
  measured: '(m)',
  overall: '(o)',
  levels: '(l)',
  partly: '(~)',
  predicted: '(p)',
};

const MEANINGS: Readonly<Record<Basis, string>> = {
  measured: 'read at this microphone, so that gains cancel',
  overall: "read at this microphone over all octaves; how it is spread over them is the plan's",
  levels: 'computed from levels that were all measured',
  partly: "some of the levels are the plan's, or cannot be told apart",
  predicted: 'from the plan alone',
};

/** What was read, whose levels that gives, and what the words beside figures mean. None without readings. */
export function readingsLines(
  readings: ToldReadings | null,
  bases: readonly (Basis | null)[] = [],
  mark?: (basis: Basis) => string,
): string[] {
  if (!readings) return [];
  const { files, count } = readings;
  const used = (Object.keys(WORDS) as Basis[]).filter((one) => bases.includes(one));
  const name = (one: Basis) => (mark ? `${mark(one)} ${WORDS[one]}` : WORDS[one]);
  const legend = used.map((one) => `${name(one)}: ${MEANINGS[one]}`);
  return [
    `Judged by readings of the day: ${files.join(', ')}, ${counted(count, 'reading')} ${scope(readings)}${leftOut(readings)}${held(readings)}.`,
    ...levelLines(readings),
    ...(legend.length > 0 ? [`${legend.join('; ')}.`] : []),
    ...farOff(readings),
  ];
}

const leftOut = ({ drowned }: ToldReadings): string =>
  drowned === 0 ? '' : ` (${drowned} more are too near to the noise)`;

function held({ count, spare, rms }: ToldReadings): string {
  if (count === 0) return '';
  return spare <= 0
    ? ', as many as levels and gains take: nothing holds them against the plan'
    : `, ${figure(rms, 1)} dB rms from the plan once levels and gains are taken out`;
}

/** From here on residuals are more than readings and a plan of the usual care leave, dB. Common practice, no source. */
const FAR = 2;

function farOff({ aside, rms }: ToldReadings): string[] {
  if (aside > 0)
    return [
      `${counted(aside, 'reading')} ${aside === 1 ? 'stands' : 'stand'} out: spillcheck line-check says which, and why.`,
    ];
  return rms < FAR ? [] : ['They are far from the plan: spillcheck line-check says what may be otherwise.'];
}

function scope({ layers, weighting }: ToldReadings): string {
  if (layers[0] !== null) return 'by octave';
  return `over all octaves${weighting === 'Z' ? '' : `, dB${weighting}`}`;
}

function levelLines({ measured, predicted, count }: ToldReadings): string[] {
  const groups = [...new Set(measured.map(({ group }) => group))].map((group) =>
    measured
      .filter((one) => one.group === group)
      .map(({ name, asOne }) => (asOne ? `${name} (as one)` : name))
      .join(', '),
  );
  const none = count === 0 ? 'no reading counts' : 'no two players were read at one microphone';
  const told =
    groups.length === 0
      ? `No level is measured: ${none}.`
      : `Levels measured, in relation to one another: ${groups.join('; and apart from these: ')}. How loud all are together is the plan's.`;
  return [told, ...(predicted.length > 0 ? [`Levels predicted: ${predicted.join(', ')}.`] : [])];
}
