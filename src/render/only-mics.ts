import type { Report } from '../judge/report.ts';

/** The report about some microphones only: capsules, pairs or lines by name. All of it where none is named. */
export function onlyMics(report: Report, names: readonly string[]): Report {
  if (names.length === 0) return report;
  const asked = (name: string | null): boolean => name !== null && names.includes(name);
  const mics = report.mics.filter((mic) => asked(mic.name) || asked(mic.pair));
  const kept = (name: string): boolean =>
    asked(name) || mics.some((mic) => mic.name === name || mic.pair === name);
  return {
    ...report,
    mics,
    pairs: report.pairs.filter((pair) => asked(pair.name)),
    lines: report.lines.filter((line) => asked(line.name)),
    threeToOne: report.threeToOne.filter(({ mics: [a, b] }) => kept(a) || kept(b)),
  };
}

export const micNames = ({ mics, pairs, lines }: Report): string[] => [
  ...new Set([...mics, ...pairs, ...lines].map((row) => row.name)),
];
