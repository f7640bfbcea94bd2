/** Verdicts that rest on a guess: a level that nobody measured, 6 dB higher or lower, would turn them. */
import type { Scene, Source } from '../scene/scene.ts';
import { groupBy } from '../statistics.ts';
import { PAIR_SIZE, type Transfer } from '../transfer/transfer.ts';
import { CRITERIA, type Criterion, contextOf, keyOf } from './criteria.ts';
import type { Report } from './report.ts';
import { verdictOf } from './verdict.ts';

/** How far a level from the catalogue may be off, dB. Common practice, no source. */
const GUESS = 6;
/** Margins change by little more than a level does. */
const REACH = GUESS + 0.5;

export type Guess = Pick<Criterion, 'kind' | 'about'> & {
  /** The source, or the kit as a whole, whose level would turn it: of several the one whose reading settles most. */
  readonly source: string;
  /** By how much its level would have to be off, dB: up or down. */
  readonly change: number;
  /** The margin that it would then have, dB. */
  readonly margin: number;
};

/** Every limit judged by levels whose verdict of met or missed would turn, in the order of the criteria. */
export function guesses(scene: Scene, result: Transfer, { criteria }: Pick<Report, 'criteria'>): Guess[] {
  const near = criteria.filter(
    ({ role, margin }) => role === 'limit' && margin !== null && Math.abs(margin) < REACH,
  );
  const readable = readableOf(near);
  if (readable.length === 0) return [];
  const before = marginsBy(readable, scene, result);
  const found: Guess[] = [];
  for (const [source, members] of guessedLevels(scene))
    for (const change of [GUESS, -GUESS]) {
      const after = marginsBy(readable, scene, scaled(result, members, change));
      for (const row of near) {
        const margin = turnedMargin(row, before, after);
        if (margin !== null) found.push({ kind: row.kind, about: row.about, source, change, margin });
      }
    }
  const settles = (name: string) => found.filter(({ source }) => source === name).length;
  return near.flatMap((row) => {
    const own = found.filter((one) => keyOf(one) === keyOf(row));
    return own.sort((a, b) => settles(b.source) - settles(a.source))[0] ?? [];
  });
}

/** Sources whose level is the catalogue's: a kit's pieces are guessed together. */
function guessedLevels({ sources, passages }: Scene): ReadonlyMap<string, readonly number[]> {
  const guessed = sources.flatMap((source, index) =>
    isGuessed(source) && passages.some(({ sounds }) => sounds[index]) ? [index] : [],
  );
  return groupBy(guessed, (index) => sources[index]?.kit ?? sources[index]?.name ?? '');
}

const isGuessed = ({ measured, points, read }: Source): boolean => !measured && !read && points.length > 0;

/** The same with some sources louder or softer. */
function scaled(result: Transfer, sources: readonly number[], change: number): Transfer {
  const energy = result.energy.slice();
  const size = result.capsules * PAIR_SIZE;
  for (const source of sources)
    for (let i = source * size; i < (source + 1) * size; i++)
      energy[i] = (energy[i] as number) * 10 ** (change / 10);
  return { ...result, energy };
}

/** Criteria of some limits that rest on energies at mics, in dB. */
export function readableOf(limits: readonly Pick<Criterion, 'kind'>[]) {
  const kinds = new Set(limits.map(({ kind }) => kind));
  return CRITERIA.filter(
    ({ kind, unit, restsOn }) =>
      kinds.has(kind) && unit === 'dB' && (restsOn === 'mic' || restsOn === 'part'),
  );
}

type Margins = ReadonlyMap<string, number>;

/** The margin of a limit after a change that turns its verdict of met or missed; null where it does not. */
export function turnedMargin(row: Criterion, before: Margins, after: Margins): number | null {
  const [was, is] = [before.get(keyOf(row)), after.get(keyOf(row))];
  if (was === undefined || is === undefined || row.margin === null) return null;
  const margin = row.margin + is - was;
  return (verdictOf(margin) === 'short') === (row.verdict === 'short') ? null : margin;
}

/** Margins in dB by `keyOf` their limit, of those that have one. */
export function marginsBy(
  criteria: readonly (typeof CRITERIA)[number][],
  scene: Scene,
  result: Transfer,
): Margins {
  const context = contextOf(scene, result);
  return new Map(
    criteria.flatMap((criterion) =>
      context.subjects(criterion).flatMap((subject) => {
        const { margin } = subject.role === 'limit' ? criterion.read(context, subject) : { margin: null };
        const known = margin !== null && Number.isFinite(margin);
        return known ? [[keyOf({ kind: criterion.kind, about: subject.about }), margin] as const] : [];
      }),
    ),
  );
}
