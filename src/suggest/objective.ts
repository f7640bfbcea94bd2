/** What a suggestion is to improve, and the microphones and players that fixes are looked for at. */
import { countedMargin, type LimitMargins, type MarginRow } from '../judge/criteria.ts';
import { judgedBleeders, micEnergies, pickedUp } from '../judge/signal-to-bleed.ts';
import { CLEAR } from '../judge/verdict.ts';
import type { Scene } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';

/** Rows about a mic. */
export const forMic =
  (name: string): Objective['counts'] =>
  ({ kind, about: [about = ''] }) =>
    kind === 'signal-to-bleed' && about === name;

/** Rows about a part, and about the mics for it. */
export function forPart(scene: Scene, name: string): Objective['counts'] {
  const part = scene.parts.findIndex((one) => one.name === name);
  const mics = scene.mics.filter(
    ({ purpose, wanted }) =>
      purpose === 'parts' && wanted.some((source) => scene.sources[source]?.part === part),
  );
  const tests = mics.map((mic) => forMic(mic.name));
  return (row) =>
    ((row.kind === 'ghost' || row.kind === 'isolation') && row.about[0] === name) ||
    tests.some((test) => test(row));
}

export type Focus = {
  /** Names of mics that want something; every mic where a part does, since its ghost may be in any. */
  readonly mics: ReadonlySet<string>;
  /** Names of players, and of sources that nobody plays, who are heard at these mics, wanted or loud. */
  readonly sounding: ReadonlySet<string>;
  /** Loud against whom, worst first: a player's index and a mic's. */
  readonly bleeders: readonly { readonly player: number; readonly mic: number }[];
};

/** Bleeders of each mic that are gone into. */
const LOUDEST = 3;

export function focusOf(scene: Scene, result: Transfer, { rows }: LimitMargins, objective: Objective): Focus {
  const wants = rows
    .filter((row) => wantingOf(row, objective) > 0)
    .sort((a, b) => countedMargin(a) - countedMargin(b));
  const general = wants.some(({ kind }) => kind !== 'signal-to-bleed');
  const asked = wants.flatMap(({ about }) => (about.length === 1 ? micOf(scene, about[0] ?? '') : []));
  const judged = scene.mics.flatMap(({ purpose, line }, i) => (purpose === 'parts' && !line ? [i] : []));
  const mics = general ? [...new Set([...asked, ...judged])] : [...new Set(asked)];
  const bleeders = mics.flatMap((mic) => loudestAt(scene, result, mic).map((source) => ({ source, mic })));
  const sources = [
    ...bleeders.map(({ source }) => source),
    ...wants.flatMap((row) => atMains(scene, row)),
    ...mics.flatMap((mic) => scene.mics[mic]?.wanted ?? []),
  ];
  return {
    mics: new Set(mics.flatMap((mic) => scene.mics[mic]?.name ?? [])),
    sounding: new Set(sources.map((source) => nameOf(scene, source))),
    bleeders: bleeders.flatMap(({ source, mic }) => {
      const player = scene.sources[source]?.player ?? null;
      return player === null ? [] : [{ player, mic }];
    }),
  };
}

/** Whom a target of a main mic is about. */
function atMains({ limits, sources }: Scene, { kind, about }: MarginRow): number[] {
  if (kind === 'direct-to-reverberant') return [...sources.keys()];
  const targets = kind === 'balance' ? limits.balance : [];
  return targets
    .filter(({ names }) => names.join() === about.slice(0, 2).join())
    .flatMap(({ of, over }) => [...of, ...over]);
}

const micOf = ({ mics }: Scene, name: string): number[] =>
  mics.flatMap((mic, i) => (mic.name === name ? [i] : []));

function nameOf({ sources, players }: Scene, index: number): string {
  const source = sources[index];
  if (source?.path[0] === 'sources') return source.name;
  return players[source?.player ?? -1]?.name ?? source?.name ?? '';
}

/** Sources that bring most to a mic of all that is bleed in the passage it is judged in. */
function loudestAt(scene: Scene, result: Transfer, index: number): number[] {
  const mic = scene.mics[index];
  if (!mic) return [];
  const atMic = micEnergies(result, mic, mic.capsules);
  const level = (source: number) =>
    pickedUp(atMic, [source], { filtered: true }).reduce((sum, energy) => sum + energy, 0);
  return judgedBleeders(scene, result, mic)
    .map((source) => ({ source, level: level(source) }))
    .sort((a, b) => b.level - a.level)
    .slice(0, LOUDEST)
    .map(({ source }) => source);
}

export type Objective = {
  /** Whether a row counts. */
  readonly counts: (row: MarginRow) => boolean;
  /** Margin up to which a limit is worth bettering: 0, or where none is missed what makes it clear. */
  readonly upTo: number;
};

export function objectiveFor({ rows }: LimitMargins, counts: Objective['counts'] = () => true): Objective {
  const missed = rows.some((row) => counts(row) && row.margin < 0);
  return { counts, upTo: missed ? 0 : CLEAR };
}

/** Sum of what is wanting, dB. */
export const wanting = ({ rows }: Pick<LimitMargins, 'rows'>, objective: Objective): number =>
  rows.reduce((sum, row) => sum + wantingOf(row, objective), 0);

const wantingOf = (row: MarginRow, { counts, upTo }: Objective): number =>
  counts(row) ? Math.max(0, upTo - countedMargin(row)) : 0;
