/** What of an answer was measured on the day, in words. */
import type { Basis } from '../judge/basis.ts';
import type { ToldReadings } from '../judge/told-readings.ts';
import { counted, figure } from './words.ts';

/** Beside a figure; empty without readings. */
export const basisWords = (basis: Basis | null): string => (basis === null ? '' : WORDS[basis]);

const WORDS: Readonly<Record<Basis, string>> = {
  measured: 'measured',
  levels: 'measured levels',
  partly: 'partly measured',
  predicted: 'predicted',
};

/** The same where there is no room for words. */
export const basisMark = (basis: Basis | null): string => (basis === null ? '' : MARKS[basis]);

const MARKS: Readonly<Record<Basis, string>> = {
  measured: '(m)',
  levels: '(l)',
  partly: '(~)',
  predicted: '(p)',
};

const MEANINGS: Readonly<Record<Basis, string>> = {
  measured: 'read at this microphone, so that gains cancel',
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
  const { files, count, rms, aside } = readings;
  const used = (Object.keys(WORDS) as Basis[]).filter((one) => bases.includes(one));
  const name = (one: Basis) => (mark ? `${mark(one)} ${WORDS[one]}` : WORDS[one]);
  const legend = used.map((one) => `${name(one)}: ${MEANINGS[one]}`);
  return [
    `Judged by readings of the day: ${files.join(', ')}, ${counted(count, 'reading')} ${scope(readings)}, ${figure(rms, 1)} dB rms from the plan once levels and gains are taken out.`,
    ...levelLines(readings),
    ...(legend.length > 0 ? [`${legend.join('; ')}.`] : []),
    ...(aside > 0
      ? [
          `${counted(aside, 'reading')} ${aside === 1 ? 'stands' : 'stand'} out: spillcheck line-check says which, and why.`,
        ]
      : []),
  ];
}

function scope({ layers, weighting }: ToldReadings): string {
  if (layers[0] !== null) return 'by octave';
  return `over all octaves${weighting === 'Z' ? '' : `, dB${weighting}`} (the spectra are the plan's)`;
}

function levelLines({ measured, predicted }: ToldReadings): string[] {
  const groups = [...new Set(measured.map(({ group }) => group))].map((group) =>
    measured
      .filter((one) => one.group === group)
      .map(({ name }) => name)
      .join(', '),
  );
  const told =
    groups.length === 0
      ? 'No level is measured: no two players were read at one microphone.'
      : `Levels measured, in relation to one another: ${groups.join('; and apart from these: ')}. How loud all are together is the plan's.`;
  return [told, ...(predicted.length > 0 ? [`Levels predicted: ${predicted.join(', ')}.`] : [])];
}
