/** What every step of resolving a plan reads and notes: the context, sources and rooms in the making, names, findings. */
import { type BandScale, type Bands, byBand } from '../acoustics/bands.ts';
import {
  type BandValues,
  type Catalogue,
  HIGHEST_ABSORPTION,
  type InstrumentValues,
} from '../catalogue/catalogue.ts';
import type { Finding, FindingCode, Path } from '../finding.ts';
import { bearingOf, midpoint, span, type Vec2 } from '../geometry.ts';
import type { ForEntry } from '../plan/mics.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Later, Person } from '../plan/players.ts';
import type { ByBand } from '../plan/schema.ts';
import type { Facing } from '../plan/values.ts';
import {
  type Aliased,
  allOf,
  closestNames,
  didYouMean,
  MOST_OFFERED,
  unknownName,
  wordsOf,
} from '../text.ts';
import type { Air, Mic, Partition, Room, Source, WallStretch } from './scene.ts';

/** What every step of resolving reads; `notes` alone grows. */
export type Context = {
  readonly plan: PlanData;
  readonly catalogue: Catalogue;
  readonly air: Air;
  readonly places: RoomPlaces;
  readonly notes: Notes;
};

/** Where a room lies; its `host` is the innermost room whose outline holds it. */
export type RoomPlace = Pick<Room, 'name' | 'path' | 'outline' | 'floor' | 'ceiling' | 'host'> & {
  /** What the plan calls wall i. */
  readonly wallNames: readonly string[];
  /** Area inside the outline, m². */
  readonly area: number;
};

export type RoomPlaces = {
  readonly rooms: readonly RoomPlace[];
  /** Doors and openings on the plan, and the rooms that each joins. */
  readonly doorways: readonly Pick<WallStretch & Partition, 'a' | 'b' | 'rooms'>[];
};

/** A source on its way into the scene, with what placing microphones and people needs besides. */
export type ResolvedSource = Pick<
  Source,
  'name' | 'path' | 'instrument' | 'kit' | 'repeats' | 'points' | 'cover'
> & {
  readonly player: string | null;
  readonly partName: string;
  readonly later: Later | undefined;
  /** Bearing that stands in for the axis where that is too steep: the player's facing, or the thing's own. */
  readonly facing: number;
  /** Null for a line alone, which sounds nowhere: only a line can be for it. */
  readonly acoustics: SourceAcoustics | null;
  /** Where whoever plays it has ears and eyes; null where nothing is known of that. */
  readonly held: Pick<InstrumentValues, 'ears' | 'eyes'> | null;
};

/** How a source sounds: its keys in the plan laid over its instrument in the catalogue. */
export type SourceAcoustics = Pick<Source, 'power' | 'measured' | 'aboveMf' | 'directivity' | 'radius'> & {
  readonly figures: InstrumentValues | null;
};

/** Sources a name stands for: one source; a kit, a player's or a part's. Empty where there is none. */
export function sourcesNamed(sources: readonly ResolvedSource[], name: string): number[] {
  const ways: readonly ((source: ResolvedSource) => boolean)[] = [
    (source) => source.name === name,
    (source) => source.kit === name,
    (source) => source.player === name && !source.repeats,
    (source) => source.partName === name && !source.repeats,
  ];
  const way = ways.find((meant) => sources.some(meant));
  return sources.flatMap((source, i) => (way?.(source) ? [i] : []));
}

/** Sources that a microphone is for, and those that count neither way: the other pieces of their kit or part. Null with an error. */
export function micTargets(
  entry: ForEntry,
  sources: readonly ResolvedSource[],
  path: Path,
  notes: Notes,
): Pick<Mic, 'wanted' | 'ignored'> | null {
  if (entry.kind !== 'parts')
    return { wanted: sources.flatMap(({ acoustics }, i) => (acoustics ? [i] : [])), ignored: [] };
  const found = entry.names.map((name) => sourcesNamed(sources, name));
  const lost = entry.names.filter((_, i) => found[i]?.length === 0);
  for (const name of lost) notes.unknownTarget(micTargetNames(sources), name, 'source, player or part', path);
  if (lost.length > 0) return null;
  const wanted = [...new Set(found.flat())];
  const repeated = sources.find(({ repeats }, i) => repeats && wanted.includes(i));
  if (repeated) {
    const message = `${repeated.name} repeats a part, so it is bleed at every mic`;
    return notes.misplaced(path, message, 'write `for` with the part itself');
  }
  return { wanted, ignored: sameKitOf(sources, wanted) };
}

function sameKitOf(sources: readonly ResolvedSource[], wanted: readonly number[]): number[] {
  const parts = new Set(wanted.map((i) => sources[i]?.partName));
  const kits = new Set(wanted.flatMap((i) => sources[i]?.kit ?? []));
  return sources.flatMap(({ repeats, partName, kit }, i) => {
    const mate = !repeats && (parts.has(partName) || (kit !== null && kits.has(kit)));
    return mate && !wanted.includes(i) ? [i] : [];
  });
}

/** All names a microphone or an aim can go by. */
export const micTargetNames = (sources: readonly ResolvedSource[]): string[] => [
  ...new Set(
    sources.flatMap(({ name, kit, player, partName }) => [name, kit ?? name, player ?? name, partName]),
  ),
];

type Looker = { readonly name: string; readonly at: Vec2; readonly path: Path };

/** Bearing in degrees, or null with an error where the target is absent or stands on the same spot. */
export function bearingToward(facing: Facing, who: Looker, plan: PlanData, notes: Notes): number | null {
  if ('bearing' in facing) return facing.bearing;
  const target = bodyPlace(plan, facing.target);
  if (!target)
    return notes.unknown(targetNames(plan), facing.target, 'player, source, baffle or mic', who.path);
  if (span(who.at, target) >= 0.01) return bearingOf([target[0] - who.at[0], target[1] - who.at[1]]);
  const message = `${who.name} is in the same place as ${facing.target} and cannot face it`;
  return notes.misplaced(who.path, message, 'give a bearing in degrees');
}

/** Facing as written, 0 with a fault; up the page, as an assumption, where none is given. */
export function facingOf(facing: Facing | undefined, who: Looker, { plan, notes }: Context): number {
  if (facing) return bearingToward(facing, { ...who, path: [...who.path, 'facing'] }, plan, notes) ?? 0;
  notes.assume('assumed', who.path, `${who.name} faces up the page`);
  return 0;
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

/** A default, an assumed value, an interpolation or a clamp: what the plan did not say and what was taken instead. */
export type Assumption = {
  readonly path: Path;
  readonly kind: 'default' | 'assumed' | 'interpolated' | 'clamped';
  readonly text: string;
};

/** Findings and assumptions, filled while a plan is resolved. What cannot be made because of a fault is null. */
export class Notes {
  readonly findings: Finding[] = [];
  readonly assumptions: Assumption[] = [];

  fault(code: FindingCode, path: Path, message: string, fix: string): null {
    this.findings.push({ code, severity: 'error', path, message, fix });
    return null;
  }

  /** The fault of what cannot be where the plan has it. */
  misplaced(path: Path, message: string, fix: string): null {
    return this.fault('BAD_POSITION', path, message, fix);
  }

  caution(path: Path, message: string, fix?: string): void {
    const found = { code: 'WARNING', severity: 'warning', path, message } as const;
    this.findings.push({ ...found, ...(fix !== undefined && { fix }) });
  }

  assume(kind: Assumption['kind'], path: Path, text: string): void {
    this.assumptions.push({ path, kind, text });
  }

  /** An assumption that holds for the whole plan is said where it is first made. */
  assumeOnce(kind: Assumption['kind'], path: Path, text: string): void {
    if (!this.assumptions.some((made) => made.text === text)) this.assume(kind, path, text);
  }

  /** Values of the catalogue; bands that were filled in or clamped are assumptions that hold wherever it is used. */
  figure({ values, filled, kept }: BandValues, what: string, path: Path): Bands {
    const say = (kind: Assumption['kind'], bands: readonly number[], text: string) => {
      if (bands.length > 0) this.assumeOnce(kind, path, `${what}: ${text} at ${allOf(bands.map(String))} Hz`);
    };
    say('interpolated', filled.interpolated, 'interpolated');
    say('interpolated', filled.held, 'nearest published value used');
    say('clamped', kept, `limited to ${HIGHEST_ABSORPTION}`);
    return values;
  }

  /** Values by band as the plan writes them; bands that were filled in are assumptions. */
  byBand(value: ByBand, scale: BandScale, path: Path): Bands {
    const written = typeof value === 'number' ? value : Object.fromEntries(value.points);
    const { values, filled } = byBand(written, scale);
    const say = (bands: readonly number[], text: string) => {
      if (bands.length > 0) this.assume('interpolated', path, `${text} at ${allOf(bands.map(String))} Hz`);
    };
    say(filled.interpolated, 'interpolated');
    say(filled.held, 'nearest given value used');
    say(filled.silent, 'silent');
    return values;
  }

  /** The catalogue's entry of that name, or an error. `what` names the kind: "finish". */
  lookUp<T extends Aliased>(entries: ReadonlyMap<string, T>, name: string, what: string, path: Path) {
    return entries.get(name) ?? this.notInCatalogue([...entries.values()], name, what, path);
  }

  /** A name that no entry has: those that come near by name, word, or what else they are called. */
  notInCatalogue(entries: readonly Aliased[], name: string, what: string, path: Path): null {
    const near = closestNames(name, entries);
    const more = near.length > MOST_OFFERED ? moreLike(name, near) : '';
    const offer = didYouMean(near.slice(0, MOST_OFFERED)) + more;
    return this.unknown([], name, what, path, near.length > 0 ? offer : 'see `spillcheck catalogue`');
  }

  /** A name that the plan has not given to anything, or that an entry of the catalogue has nothing for. */
  unknown(known: Iterable<string>, name: string, what: string, path: Path, offer?: string): null {
    const { code, message, fix } = unknownName(null, { what, name, known: [...known] }, offer);
    return this.fault(code, path, message, fix);
  }

  /** Says that there is no such target; not of one that is written with a fault, which has then been said already. */
  unknownTarget(known: Iterable<string>, name: string, what: string, path: Path): void {
    const own = name.split('.')[0] ?? name;
    const isFaulty = ({ severity, path: [section, ...rest] }: Finding) =>
      severity === 'error' && (section === 'players' || section === 'sources') && rest.includes(own);
    if (!this.findings.some(isFaulty)) this.unknown(known, name, what, path);
  }
}

/** Which word finds the others, where they have one in common. */
function moreLike(name: string, near: readonly string[]): string {
  const common = wordsOf(name).find((word) => near.every((one) => one.includes(word)));
  return common === undefined ? '' : ` spillcheck catalogue ${common} lists more`;
}
