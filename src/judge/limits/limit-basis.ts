/** Whether what a limit is held against was measured on the day. */
import type { Basis } from '../basis.ts';
import type { Report } from '../report.ts';
import type { LimitKind, Unfounded } from './limit-row.ts';

/** Null without readings. What goes by places alone is as planned whatever was read. */
export function limitBasis(report: Report, { kind, about }: Pick<Unfounded, 'kind' | 'about'>): Basis | null {
  const { levelBasis: levels } = report;
  return levels && (BASIS[kind](report, about[0] ?? '') ?? 'predicted');
}

type Finder = (report: Report, about: string) => Basis | null | undefined;

const ofPart: Finder = ({ parts }, about) => parts.find(({ name }) => name === about)?.basis;
const ofLevels: Finder = ({ levelBasis }) => levelBasis;
const ofPlaces: Finder = () => 'predicted';

const BASIS: Readonly<Record<LimitKind, Finder>> = {
  'signal-to-bleed': ({ mics }, about) => mics.find(({ name }) => name === about)?.basis,
  ghost: ofPart,
  editable: ofPart,
  hear: ofLevels,
  'session-length': ofLevels,
  'three-to-one': ofPlaces,
  'see-each-other': ofPlaces,
};
