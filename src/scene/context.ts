/** What every step of resolving a plan reads and notes: the context, sources and rooms in the making, names, findings. */
import { type BandScale, type Bands, byBand } from '../acoustics/bands.ts';
import type { Directivity } from '../acoustics/directivity.ts';
import { type Catalogue, type Figure, type Figures, HIGHEST_ABSORPTION } from '../catalogue/catalogue.ts';
import type { Finding, FindingCode, Path } from '../finding.ts';
import { bearingOf, midpoint, span, type Vec2 } from '../geometry.ts';
import type { ForEntry } from '../plan/mics.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Later, Person } from '../plan/players.ts';
import type { ByBand } from '../plan/schema.ts';
import type { Facing } from '../plan/values.ts';
import { type Aliased, closestNames, didYouMean, MOST_OFFERED, unknownName, wordsOf } from '../text.ts';
import type { Air, SourcePoint } from './scene.ts';

/** What every step of resolving reads; `notes` alone grows. */
export type ResolveContext = {
  readonly plan: PlanData;
  readonly catalogue: Catalogue;
  readonly air: Air;
  readonly places: RoomPlaces;
  readonly notes: Notes;
};

/** Where a room lies. */
export type RoomPlace = {
  readonly name: string;
  readonly path: Path;
  readonly outline: readonly Vec2[];
  /** What the plan calls wall i. */
  readonly wallNames: readonly string[];
  /** Area inside the outline, m². */
  readonly area: number;
  /** Heights of floor and ceiling above the ground. */
  readonly floor: number;
  readonly ceiling: number;
  /** The innermost room whose outline holds this one, or null. */
  readonly host: number | null;
};

export type RoomPlaces = {
  readonly rooms: readonly RoomPlace[];
  /** Doors and openings on the plan, and the rooms that each joins. */
  readonly doorways: readonly {
    readonly rooms: readonly [number, number];
    readonly a: Vec2;
    readonly b: Vec2;
  }[];
};

/** A source on its way into the scene, with what placing microphones and people needs besides. */
export type ResolvedSource = {
  readonly name: string;
  readonly path: Path;
  readonly instrument: string | null;
  readonly player: string | null;
  readonly kit: string | null;
  readonly partName: string;
  readonly repeats: boolean;
  readonly later: Later | undefined;
  readonly points: readonly SourcePoint[];
  /** Bearing that stands in for the axis where that is too steep: the player's facing, or the thing's own. */
  readonly facing: number;
  readonly acoustics: SourceAcoustics | null;
  /** Where whoever plays it has ears and eyes; null where nothing is known of that. */
  readonly held: Pick<Figures, 'ears' | 'eyes'> | null;
  readonly cover: Bands | null;
  /** Sounds nowhere; only a line can be for it. */
  readonly lineOnly: boolean;
};

/** How a source sounds: its keys in the plan laid over its instrument in the catalogue. */
export type SourceAcoustics = {
  readonly power: Bands;
  /** True where the plan gives power or level. */
  readonly measured: boolean;
  readonly directivity: Directivity;
  readonly radius: number;
  readonly figures: Figures | null;
};

// Names of sources, kits, players and parts as indices.

/** Whom a microphone is for, and who counts neither as that nor as bleed. */
export type MicTargets = { readonly wanted: readonly number[]; readonly ignored: readonly number[] };

/** Sources a name stands for: one source; a kit, a player's or a part's. Empty where there is none. */
export function sourcesNamed(sources: readonly ResolvedSource[], name: string): number[] {
  const indices = sources.map((_, i) => i);
  const ways: readonly ((source: ResolvedSource) => boolean)[] = [
    (source) => source.name === name,
    (source) => source.kit === name,
    (source) => source.player === name && !source.repeats,
    (source) => source.partName === name && !source.repeats,
  ];
  const way = ways.find((meant) => sources.some(meant));
  return way ? indices.filter((i) => way(sources[i] as ResolvedSource)) : [];
}

/** Sources that a microphone is for, and those that count neither way: their mates in one kit or part. Null with a fault. */
export function micTargets(
  entry: ForEntry,
  sources: readonly ResolvedSource[],
  path: Path,
  notes: Notes,
): MicTargets | null {
  if (entry.kind !== 'parts') {
    return { wanted: sources.flatMap((source, i) => (source.lineOnly ? [] : [i])), ignored: [] };
  }
  const found = entry.names.map((name) => sourcesNamed(sources, name));
  const lost = entry.names.filter((_, i) => found[i]?.length === 0);
  for (const name of lost)
    unknownTarget(micTargetNames(sources), name, 'source, player or part', { path, notes });
  if (lost.length > 0) return null;
  const wanted = [...new Set(found.flat())];
  const repeated = wanted.find((i) => sources[i]?.repeats);
  if (repeated !== undefined) {
    const message = `${sources[repeated]?.name} repeats a part: it is bleed at every microphone`;
    return fault(notes, 'BAD_PLACE', path, message, 'give the microphone to the part itself');
  }
  return { wanted, ignored: matesOf(sources, wanted) };
}

function matesOf(sources: readonly ResolvedSource[], wanted: readonly number[]): number[] {
  const parts = new Set(wanted.map((i) => sources[i]?.partName));
  const kits = new Set(wanted.flatMap((i) => sources[i]?.kit ?? []));
  return sources.flatMap((source, i) => {
    const mate =
      !source.repeats && (parts.has(source.partName) || (source.kit !== null && kits.has(source.kit)));
    return mate && !wanted.includes(i) ? [i] : [];
  });
}

/** Says that there is no such target; not of one that is written with a fault, which has then been said already. */
export function unknownTarget(known: Iterable<string>, name: string, what: string, at: At): void {
  const own = name.split('.')[0] ?? name;
  const faulty = at.notes.findings.some(
    ({ severity, path }) =>
      severity === 'error' && (path[0] === 'players' || path[0] === 'sources') && path.includes(own),
  );
  if (!faulty) unknownInPlan(known, name, what, at);
}

/** All names a microphone or an aim can go by. */
export function micTargetNames(sources: readonly ResolvedSource[]): string[] {
  return [
    ...new Set(
      sources.flatMap(({ name, kit, player, partName }) => [name, kit ?? name, player ?? name, partName]),
    ),
  ];
}

// Facings and their targets: a bearing, or the bearing of what a name stands for.

type Looker = { readonly name: string; readonly at: Vec2; readonly path: Path };

/** Bearing in degrees, or null with a fault where the target is not there or stands on the same spot. */
export function bearingToward(facing: Facing, who: Looker, plan: PlanData, notes: Notes): number | null {
  if ('bearing' in facing) return facing.bearing;
  const target = bodyPlace(plan, facing.target);
  if (!target) {
    const at = { path: who.path, notes };
    return unknownInPlan(targetNames(plan), facing.target, 'player, source, baffle or microphone', at);
  }
  if (span(who.at, target) >= 0.01) return bearingOf([target[0] - who.at[0], target[1] - who.at[1]]);
  const message = `${who.name} stands where ${facing.target} is and cannot face it`;
  return fault(notes, 'BAD_PLACE', who.path, message, 'give a bearing');
}

/** Facing as written; up the page, as an assumption, where none is given. */
export function facingOf(
  facing: Facing | undefined,
  who: Looker,
  { plan, notes }: ResolveContext,
): number | null {
  if (facing) return bearingToward(facing, { ...who, path: [...who.path, 'facing'] }, plan, notes);
  assume(notes, 'guess', who.path, `${who.name} faces up the page, since no facing is given`);
  return null;
}

/** Where on the plan one looks to face a name: the body of a player, or of whoever plays it; else the thing itself. */
export function bodyPlace(plan: PlanData, name: string): Vec2 | null {
  const person = plan.players.get(name) ?? plan.listeners.get(name) ?? playerOf(plan, name);
  if (person) return person.at;
  const source = plan.sources.get(name) ?? [...plan.sources.values()].find((one) => one.part === name);
  if (source) return [source.at.x, source.at.y];
  const baffle = plan.baffles.get(name);
  if (baffle) return midpoint(baffle.from, baffle.to);
  const mic = plan.mics.get(name);
  if (mic?.at) return [mic.at.x, mic.at.y];
  const first = mic?.for.kind === 'parts' ? mic.for.names[0] : undefined;
  return first === undefined || first === name ? null : bodyPlace(plan, first);
}

/** The player among whose instruments, kit pieces or parts the name is. */
function playerOf(plan: PlanData, name: string): Person | undefined {
  const kit = name.split('.')[0];
  return [...plan.players.entries()].find(([player, { plays }]) =>
    plays.some((one) => one.name === name || one.part === name || one.name === kit || player === kit),
  )?.[1];
}

function targetNames(plan: PlanData): string[] {
  const played = [...plan.players.values()].flatMap(({ plays }) => plays.flatMap(({ name }) => name ?? []));
  const maps = [plan.players, plan.sources, plan.listeners, plan.baffles, plan.mics];
  return [...maps.flatMap((map) => [...map.keys()]), ...played];
}

// Notes: findings and assumptions.

/** A default, a guess, an interpolation or a clamp: what the plan did not say and what was taken instead. */
export type Assumption = {
  readonly path: Path;
  readonly kind: 'default' | 'guess' | 'interpolated' | 'clamped';
  readonly text: string;
};

/** Filled while a plan is resolved; the only thing there that grows. */
export type Notes = { readonly findings: Finding[]; readonly assumptions: Assumption[] };

export const emptyNotes = (): Notes => ({ findings: [], assumptions: [] });

/** Notes an error; null stands for what cannot be made because of it. */
export function fault(notes: Notes, code: FindingCode, path: Path, message: string, mend?: string): null {
  notes.findings.push({ code, severity: 'error', path, message, ...(mend !== undefined && { mend }) });
  return null;
}

export function caution(notes: Notes, path: Path, message: string, mend?: string): void {
  const code = 'CAUTION';
  notes.findings.push({ code, severity: 'warning', path, message, ...(mend !== undefined && { mend }) });
}

export function assume(notes: Notes, kind: Assumption['kind'], path: Path, text: string): void {
  notes.assumptions.push({ path, kind, text });
}

/** Bands of a catalogue figure that were filled in or clamped, as assumptions that hold wherever it is used. */
export function figureNotes(notes: Notes, figure: Figure, what: string, path: Path): void {
  const { interpolated, held } = figure.filled;
  const say = (kind: Assumption['kind'], bands: readonly number[], text: string) => {
    if (bands.length > 0) assumeOnce(notes, kind, path, `${what}: ${text} at ${bands.join(', ')} Hz`);
  };
  say('interpolated', interpolated, 'interpolated');
  say('interpolated', held, 'the nearest printed value holds');
  say('clamped', figure.kept, `kept to ${HIGHEST_ABSORPTION}`);
}

/** An assumption that holds for the whole plan is said where it is first made. */
export function assumeOnce(notes: Notes, kind: Assumption['kind'], path: Path, text: string): void {
  if (!notes.assumptions.some((made) => made.text === text)) assume(notes, kind, path, text);
}

// Names.

/** Where a name stands in the plan. */
export type At = { readonly path: Path; readonly notes: Notes };

/** The catalogue's entry of that name; where there is none, a fault at `path` and null. `what` names the kind: "finish". */
export function lookUp<T extends Aliased>(
  entries: ReadonlyMap<string, T>,
  name: string,
  what: string,
  at: At,
): T | null {
  const entry = entries.get(name);
  return entry ?? notInCatalogue([...entries.values()], name, what, at);
}

/** A name that no entry has: those that come near by name, word, or what else they are called. */
export function notInCatalogue(entries: readonly Aliased[], name: string, what: string, at: At): null {
  const near = closestNames(name, entries);
  const more = near.length > MOST_OFFERED ? moreLike(name, near) : '';
  const mend =
    near.length > 0
      ? didYouMean(near.slice(0, MOST_OFFERED)) + more
      : 'spillcheck catalogue lists what there is';
  return noteUnknown(unknownName(null, { what, name, known: [] }, mend), at);
}

/** Which word finds the others, where they have one in common. */
function moreLike(name: string, near: readonly string[]): string {
  const common = wordsOf(name).find((word) => near.every((one) => one.includes(word)));
  return common === undefined ? '' : ` spillcheck catalogue ${common} lists more`;
}

/** A name that the plan has not given to anything, or that an entry of the catalogue has nothing for. */
export const unknownInPlan = (known: Iterable<string>, name: string, what: string, at: At): null =>
  noteUnknown(unknownName(null, { what, name, known: [...known] }), at);

const noteUnknown = ({ code, message, mend }: ReturnType<typeof unknownName>, { notes, path }: At): null =>
  fault(notes, code, path, message, mend);

// Values by band.

/** Values by band as the plan writes them; bands that were filled in are assumptions. */
export function planBands(value: ByBand, scale: BandScale, path: Path, notes: Notes): Bands {
  const { values, filled } = byBand(
    typeof value === 'number' ? value : Object.fromEntries(value.points),
    scale,
  );
  const say = (bands: readonly number[], text: string) => {
    if (bands.length > 0) assume(notes, 'interpolated', path, `${text} at ${bands.join(', ')} Hz`);
  };
  say(filled.interpolated, 'interpolated');
  say(filled.held, 'the end value holds');
  say(filled.silent, 'silent');
  return values;
}
