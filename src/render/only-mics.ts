import type { Answer } from './answer.ts';

/** The answer about some microphones only: capsules, pairs or lines by name. All of it where none is named. */
export function onlyMics(answer: Answer, names: readonly string[]): Answer {
  if (names.length === 0) return answer;
  const asked = (name: string | null): boolean => name !== null && names.includes(name);
  const mics = answer.mics.filter((mic) => asked(mic.name) || asked(mic.pair));
  const kept = (name: string): boolean =>
    asked(name) || mics.some((mic) => mic.name === name || mic.pair === name);
  const { timing, tolerances } = answer;
  const parts = answer.parts.filter((part) => part.mics.some(kept));
  const isAbout = (name: string): boolean => kept(name) || parts.some((part) => part.name === name);
  return {
    ...answer,
    parts,
    mics,
    pairs: answer.pairs.filter((pair) => asked(pair.name)),
    lines: answer.lines.filter((line) => asked(line.name)),
    threeToOne: answer.threeToOne.filter(({ mics: [a, b] }) => kept(a) || kept(b)),
    timing: {
      ...timing,
      rows: timing.rows.filter(({ own, other }) => kept(own) || kept(other)),
      overheads: withSpots(timing.overheads, ({ pair }) => pair, kept),
    },
    mainPairs: withSpots(answer.mainPairs, ({ name }) => name, kept),
    phones: answer.phones.filter(({ mic }) => kept(mic)),
    inputs: answer.inputs.filter(({ mic }) => kept(mic)),
    pitfalls: answer.pitfalls.filter(({ about }) => about.some(isAbout)),
    tolerances: tolerances && {
      ...tolerances,
      rows: tolerances.rows.filter(({ about }) => about.some(isAbout)),
    },
  };
}

type Spotted = { readonly spots: readonly { readonly spot: string }[] };

/** Pairs that were asked for whole, the others with the spots that were. */
function withSpots<Row extends Spotted>(
  rows: readonly Row[],
  nameOf: (row: Row) => string,
  kept: (name: string) => boolean,
): Row[] {
  return rows.flatMap((row) => {
    if (kept(nameOf(row))) return [row];
    const spots = row.spots.filter(({ spot }) => kept(spot));
    return spots.length > 0 ? [{ ...row, spots }] : [];
  });
}

export const micNames = ({ mics, pairs, lines }: Pick<Answer, 'mics' | 'pairs' | 'lines'>): string[] => [
  ...new Set([...mics, ...pairs, ...lines].map((row) => row.name)),
];
