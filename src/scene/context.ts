import { type BandScale, type Bands, byBand } from '../acoustics/bands.ts';
import type { Directivity } from '../acoustics/directivity.ts';
import { type Catalogue, type Figure, type Figures, HIGHEST_ABSORPTION } from '../catalogue/catalogue.ts';
import type { Finding, FindingCode, Path } from '../finding.ts';
import { bearingOf, midpoint, span } from '../geometry.ts';
import type { ForEntry } from '../plan/mics.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Later, Person } from '../plan/players.ts';
import type { ByBand, Facing } from '../plan/schema.ts';
import { type Called, didYouMean, MOST_OFFERED, meant, oneOf, wordsOf } from '../text.ts';
import type { Air, SourcePoint } from './scene.ts';

// What of a figure of the catalogue is not its own: said once, wherever it is used.
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

// Whom a microphone is for: names of sources, kits, players and parts as indices.

export type MicTargets = { readonly wanted: readonly number[]; readonly ignored: readonly number[] };

/** Voices a name stands for: one source; a kit, a player's or a part's. Empty where there is none. */
export function sourcesNamed(voices: readonly ResolvedSource[], name: string): number[] {
  const indices = voices.map((_, i) => i);
  const ways: readonly ((voice: ResolvedSource) => boolean)[] = [
    (voice) => voice.name === name,
    (voice) => voice.kit === name,
    (voice) => voice.player === name && !voice.repeats,
    (voice) => voice.partName === name && !voice.repeats,
  ];
  const way = ways.find((meant) => voices.some(meant));
  return way ? indices.filter((i) => way(voices[i] as ResolvedSource)) : [];
}

/** MicTargets sources, and those that count neither way: their mates in one kit or part. Null with a fault. */
export function micTargets(
  entry: ForEntry,
  voices: readonly ResolvedSource[],
  path: Path,
  notes: Notes,
): MicTargets | null {
  if (entry.kind !== 'parts') {
    return { wanted: voices.flatMap((voice, i) => (voice.lineOnly ? [] : [i])), ignored: [] };
  }
  const found = entry.names.map((name) => sourcesNamed(voices, name));
  const lost = entry.names.filter((_, i) => found[i]?.length === 0);
  for (const name of lost)
    unknownTarget(micTargetNames(voices), name, 'source, player or part', { path, notes });
  if (lost.length > 0) return null;
  const wanted = [...new Set(found.flat())];
  const repeated = wanted.find((i) => voices[i]?.repeats);
  if (repeated !== undefined) {
    const message = `${voices[repeated]?.name} repeats a part: it is bleed at every microphone`;
    fault(notes, 'BAD_PLACE', path, message, 'give the microphone to the part itself');
    return null;
  }
  return { wanted, ignored: matesOf(voices, wanted) };
}

function matesOf(voices: readonly ResolvedSource[], wanted: readonly number[]): number[] {
  const parts = new Set(wanted.map((i) => voices[i]?.partName));
  const kits = new Set(wanted.flatMap((i) => voices[i]?.kit ?? []));
  return voices.flatMap((voice, i) => {
    const mate = !voice.repeats && (parts.has(voice.partName) || (voice.kit !== null && kits.has(voice.kit)));
    return mate && !wanted.includes(i) ? [i] : [];
  });
}

/** Says that there is no such target; not of one that is written with a fault, which has then been said already. */
export function unknownTarget(
  known: Iterable<string>,
  name: string,
  what: string,
  at: { readonly path: Path; readonly notes: Notes },
): void {
  const own = name.split('.')[0] ?? name;
  const faulty = at.notes.findings.some(
    ({ severity, path }) =>
      severity === 'error' && (path[0] === 'players' || path[0] === 'sources') && path.includes(own),
  );
  if (!faulty) unknownName(known, name, what, at);
}

/** All names a microphone or an aim can go by. */
export function micTargetNames(voices: readonly ResolvedSource[]): string[] {
  return [
    ...new Set(
      voices.flatMap(({ name, kit, player, partName }) => [name, kit ?? name, player ?? name, partName]),
    ),
  ];
}

// What every step of resolving sources and microphones needs at hand.

export type Setting = {
  readonly plan: PlanData;
  readonly catalogue: Catalogue;
  readonly notes: Notes;
  readonly air: Air;
  /** Room at a place of the plan, OUTSIDE in a plan without rooms, null outside every room. */
  readonly roomAt: (x: number, y: number) => number | null;
  /** Height of a room's floor above the ground. */
  readonly floorOf: (room: number) => number;
  /** Height of its ceiling; Infinity in the free field. */
  readonly ceilingOf: (room: number) => number;
};

// Facings and their targets: a bearing, or the bearing of what a name stands for.

type Looker = { readonly name: string; readonly at: readonly [number, number]; readonly path: Path };

/** Bearing in degrees, or null with a fault where the target is not there or stands on the same spot. */
export function bearingToward(facing: Facing, who: Looker, plan: PlanData, notes: Notes): number | null {
  if ('bearing' in facing) return facing.bearing;
  const target = bodyPlace(plan, facing.target);
  if (!target) {
    unknownName(targetNames(plan), facing.target, 'player, source, baffle or microphone', {
      path: who.path,
      notes,
    });
    return null;
  }
  if (span(who.at, target) >= 0.01) return bearingOf([target[0] - who.at[0], target[1] - who.at[1]]);
  fault(
    notes,
    'BAD_PLACE',
    who.path,
    `${who.name} stands where ${facing.target} is and cannot face it`,
    'give a bearing',
  );
  return null;
}

/** Where on the plan one looks to face a name: the body of a player, or of whoever plays it; else the thing itself. */
export function bodyPlace(plan: PlanData, name: string): readonly [number, number] | null {
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

// One sounding thing on its way to a source of the scene: what placing microphones needs besides.

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
  readonly sounding: SourceAcoustics | null;
  /** Where whoever plays it has ears and eyes; null where nothing is known of that. */
  readonly held: Pick<Figures, 'ears' | 'eyes'> | null;
  readonly cover: Bands | null;
  /** Sounds nowhere; only a line can be for it. */
  readonly lineOnly: boolean;
};

// How a source sounds: its keys in the plan laid over its instrument in the catalogue.

export type SourceAcoustics = {
  readonly power: Bands;
  /** True where the plan gives power or level. */
  readonly measured: boolean;
  readonly directivity: Directivity;
  readonly radius: number;
  readonly figures: Figures | null;
};

// Finding an entry by its name, or saying which one was probably meant.

type At = { readonly path: Path; readonly notes: Notes };

/** The catalogue's entry of that name; where there is none, a fault at `path` and null. `what` names the kind: "finish". */
export function lookUp<T extends Called>(
  entries: ReadonlyMap<string, T>,
  name: string,
  what: string,
  at: At,
): T | null {
  const entry = entries.get(name);
  if (entry !== undefined) return entry;
  notInCatalogue([...entries.values()], name, what, at);
  return null;
}

/** A name that no entry has: those that come near by name, word, or what else they are called. */
export function notInCatalogue(entries: readonly Called[], name: string, what: string, at: At): void {
  const near = meant(name, entries);
  const few = near.slice(0, MOST_OFFERED).map((one) => `"${one}"`);
  const more = near.length > MOST_OFFERED ? moreLike(name, near) : '';
  const mend =
    near.length > 0 ? `did you mean ${oneOf(few)}?${more}` : 'spillcheck catalogue lists what there is';
  fault(at.notes, 'UNKNOWN_NAME', at.path, `there is no ${what} "${name}"`, mend);
}

/** Which word finds the others, where they have one in common. */
function moreLike(name: string, near: readonly string[]): string {
  const common = wordsOf(name).find((word) => near.every((one) => one.includes(word)));
  return common === undefined ? '' : ` spillcheck catalogue ${common} lists more`;
}

/** A name that the plan has not given to anything, or that an entry of the catalogue has nothing for. */
export function unknownName(known: Iterable<string>, name: string, what: string, at: At): void {
  const names = [...known];
  const few = names.length > 0 && names.length <= FEW ? `there are ${names.join(', ')}` : undefined;
  fault(at.notes, 'UNKNOWN_NAME', at.path, `there is no ${what} "${name}"`, didYouMean(name, names) ?? few);
}

/** So many names that none comes near are listed. */
const FEW = 12;

// Values by band as the plan writes them, with a note of every band that was filled in.

export function planBands(value: ByBand, scale: BandScale, path: Path, notes: Notes): Bands {
  const written = typeof value === 'number' ? value : Object.fromEntries(value.points);
  const { values, filled } = byBand(written, scale);
  if (filled.interpolated.length > 0) {
    assume(notes, 'interpolated', path, `interpolated at ${filled.interpolated.join(', ')} Hz`);
  }
  if (filled.held.length > 0)
    assume(notes, 'interpolated', path, `the end value holds at ${filled.held.join(', ')} Hz`);
  if (filled.silent.length > 0)
    assume(notes, 'interpolated', path, `silent at ${filled.silent.join(', ')} Hz`);
  return values;
}

// What resolving a plan has to say: faults and cautions, and every assumption made on the way.

/** A default, a guess, an interpolation or a clamp: what the plan did not say and what was taken instead. */
export type Assumption = {
  readonly path: Path;
  readonly kind: 'default' | 'guess' | 'interpolated' | 'clamped';
  readonly text: string;
};

/** Filled while a plan is resolved; the only thing there that grows. */
export type Notes = { readonly findings: Finding[]; readonly assumptions: Assumption[] };

export const emptyNotes = (): Notes => ({ findings: [], assumptions: [] });

export function fault(notes: Notes, code: FindingCode, path: Path, message: string, mend?: string): void {
  notes.findings.push({ code, severity: 'error', path, message, ...(mend === undefined ? {} : { mend }) });
}

export function caution(notes: Notes, path: Path, message: string, mend?: string): void {
  notes.findings.push({
    code: 'CAUTION',
    severity: 'warning',
    path,
    message,
    ...(mend === undefined ? {} : { mend }),
  });
}

export function assume(notes: Notes, kind: Assumption['kind'], path: Path, text: string): void {
  notes.assumptions.push({ path, kind, text });
}
