/** From a plan to its scene: the order of the steps, passages, limits. */
import { airLossByBand, soundSpeed } from '../acoustics/air.ts';
import type { Catalogue } from '../catalogue/catalogue.ts';
import { type Finding, hasErrors, type Path } from '../finding.ts';
import { MOST_MICS, MOST_SOURCES, SPLIT_PLAN } from '../plan/document.ts';
import type { AirEntry, PlanData } from '../plan/plan.ts';
import type { Named } from '../plan/schema.ts';
import { resolvePanels, warnOfObstructedPairs } from './baffles.ts';
import type { Assumption, Context, ResolvedSource } from './context.ts';
import { micTargetNames, Notes, sourcesNamed } from './context.ts';
import { resolveMics } from './mics.ts';
import { resolvePartitions } from './partitions.ts';
import { peopleOf, resolvePlayers } from './people.ts';
import { toleranceOf } from './perturbation.ts';
import { noteImplausible } from './plausibility.ts';
import { roomPlaces } from './room-places.ts';
import { resolveRooms } from './rooms.ts';
import { type Air, type Limits, OUTSIDE, type Scene } from './scene.ts';
import { resolvedSources, sourcesAndParts } from './sources.ts';

export type Resolved = {
  /** Null where the plan has errors. */
  readonly scene: Scene | null;
  readonly findings: readonly Finding[];
  readonly assumptions: readonly Assumption[];
};

/** Reads nothing but the plan and the catalogue. Errors are findings, and then there is no scene. */
export function resolve(plan: PlanData, catalogue: Catalogue): Resolved {
  const notes = new Notes();
  const air = resolveAir(plan.air, notes);
  const context = { plan, catalogue, air, places: roomPlaces(plan, notes), notes };
  const people = peopleOf(context);
  const resolved = resolvedSources(people, context);
  if (resolved.length > MOST_SOURCES) {
    const section = plan.sources.size > plan.players.size ? 'sources' : 'players';
    return tooMany(section, resolved.length, MOST_SOURCES);
  }
  const { mics, capsules } = resolveMics(resolved, context);
  const inputs = capsules.length + mics.filter(({ line }) => line).length;
  if (inputs > MOST_MICS) return tooMany('mics', inputs, MOST_MICS);
  const panels = resolvePanels(context);
  const partitions = resolvePartitions(context);
  const bodies = [...people.values()].map(({ room, body }) => ({ room, standing: body.standing }));
  const seated = sectionPlayers(plan, resolved);
  const rooms = resolveRooms(context, { people: [...bodies, ...seated], panels, partitions });
  const players = resolvePlayers(people.values(), resolved, catalogue);
  const { sources, parts } = sourcesAndParts(
    resolved,
    players.map(({ name }) => name),
  );
  const scene: Scene = {
    title: plan.title ?? '',
    ...{ air, rooms, partitions, panels, players, sources, parts, mics, capsules },
    passages: resolvePassages(resolved, context),
    limits: resolveLimits({ resolved, parts, players, mics }, context),
    tolerance: toleranceOf(plan.tolerance),
  };
  warnOfObstructedPairs(scene, notes);
  noteImplausible(scene, resolved, context);
  const { findings } = notes;
  return { scene: hasErrors(findings) ? null : scene, findings, assumptions: distinct(notes.assumptions) };
}

const SOUNDING = 'sources, each piece of a kit counted';
const IN_USE = 'mics and DIs in use, both of a pair counted';

/** Alone: of each of so many there may be something to say. */
function tooMany(section: 'players' | 'sources' | 'mics', count: number, most: number): Resolved {
  const message = `${count} ${section === 'mics' ? IN_USE : SOUNDING}, limit ${most}`;
  const finding: Finding = {
    code: 'OUT_OF_RANGE',
    severity: 'error',
    path: [section],
    message,
    fix: SPLIT_PLAN,
  };
  return { scene: null, findings: [finding], assumptions: [] };
}

/** °C, and relative humidity in %. */
export const USUAL_AIR = { temperature: 20, humidity: 50 } as const;

function resolveAir(entry: AirEntry, notes: Notes): Air {
  const usual = USUAL_AIR;
  const { temperature = usual.temperature, humidity = usual.humidity } = entry;
  if (entry.temperature === undefined) notes.assume('default', ['air', 'temperature'], `${temperature} °C`);
  if (entry.humidity === undefined)
    notes.assume('default', ['air', 'humidity'], `${humidity} % relative humidity`);
  return { soundSpeed: soundSpeed(temperature), loss: airLossByBand(temperature, humidity) };
}

/** The players of a section absorb as persons do: seated, since the plan does not say. */
function sectionPlayers({ sources }: PlanData, resolved: readonly ResolvedSource[]) {
  return resolved.flatMap(({ name, points }) => {
    const count = sources.get(name)?.section?.players ?? 0;
    return Array.from({ length: count }, () => ({ room: points[0]?.room ?? OUTSIDE, standing: false }));
  });
}

/** The pieces of a kit say the same thing several times; once is enough. */
function distinct(assumptions: readonly Assumption[]): Assumption[] {
  const seen = new Map(assumptions.map((one) => [`${one.path.join('\n')}\n${one.text}`, one]));
  return [...seen.values()];
}

/** Passages of the plan, or one in which everyone sounds. */
function resolvePassages(sources: readonly ResolvedSource[], { plan, notes }: Context): Scene['passages'] {
  if (plan.passages.size === 0) return [{ name: null, path: [], sounds: sources.map(() => true) }];
  const passages = [...plan.passages].map(([name, names]) => {
    const path = ['passages', name];
    const named = names.flatMap((one, i) => {
      const found = sourcesNamed(sources, one);
      if (found.length === 0)
        notes.unknown(micTargetNames(sources), one, 'player, source or part', [...path, i]);
      return found;
    });
    const sounding = new Set(named);
    // a wedge sounds whenever what it repeats does
    const parts = new Set(named.map((i) => sources[i]?.partName));
    const sounds = sources.map((one, i) => sounding.has(i) || (one.repeats && parts.has(one.partName)));
    return { name, path, sounds };
  });
  sources.forEach(({ name, path }, i) => {
    if (passages.every(({ sounds }) => !sounds[i]))
      notes.caution(path, `${name} is in no passage and never sounds`, 'add it to a passage, or remove it');
  });
  return passages;
}

type Known = Pick<Scene, 'parts' | 'players' | 'mics'> & { readonly resolved: readonly ResolvedSource[] };

function resolveLimits(known: Known, context: Context): Limits {
  // single values go through as they are; what names microphones, parts or people is looked up
  const { signalToBleed: _, ghost, isolation, seeEachOther, hear, ...figures } = context.plan.limits;
  refuseUnknownMics(known, context);
  const isolationParts = isolation && 'parts' in isolation ? isolation.parts : undefined;
  const isolationAll =
    isolation && 'all' in isolation ? known.parts.map((_, i) => [i, isolation.all] as const) : [];
  return {
    ...figures,
    threeToOne: figures.threeToOne ?? null,
    sessionLength: figures.sessionLength ?? null,
    confidence: figures.confidence ?? null,
    ghost: byPart(ghost, ['limits', 'ghost'], known, context),
    isolation: new Map([...isolationAll, ...byPart(isolationParts, ['limits', 'isolation'], known, context)]),
    seeEachOther: seeEachOther.flatMap((names, i) =>
      pairsOf(names, ['limits', 'see-each-other', i], known, context),
    ),
    hear: [...hear].flatMap(([who, whom]) => hearing(who, whom, known, context)),
  };
}

function refuseUnknownMics({ mics }: Known, { plan, notes }: Context): void {
  const { signalToBleed } = plan.limits;
  if (!signalToBleed || !('mics' in signalToBleed)) return;
  for (const name of signalToBleed.mics.keys()) {
    if (plan.mics.has(name) || mics.some((mic) => mic.name === name)) continue;
    notes.unknown(plan.mics.keys(), name, 'mic', ['limits', 'signal-to-bleed', name]);
  }
}

function byPart(
  limits: Named<number> | undefined,
  path: Path,
  { parts }: Known,
  { notes }: Context,
): Map<number, number> {
  const names = parts.map((part) => part.name);
  const found = [...(limits ?? [])].flatMap(([name, limit]) => {
    const part = names.indexOf(name);
    if (part < 0) notes.unknownTarget(names, name, 'part', [...path, name]);
    return part < 0 ? [] : [[part, limit] as const];
  });
  return new Map(found);
}

function playerNamed(name: string, path: Path, { players }: Known, { notes }: Context): number | null {
  const names = players.map((player) => player.name);
  const index = names.indexOf(name);
  return index >= 0 ? index : notes.unknown(names, name, 'player or listener', path);
}

/** All pairs among the names: who must see each other. */
function pairsOf(names: readonly string[], path: Path, known: Known, context: Context): [number, number][] {
  const found = names.flatMap((name, i) => playerNamed(name, [...path, i], known, context) ?? []);
  return found.flatMap((one, i) => found.slice(i + 1).map((other): [number, number] => [one, other]));
}

function hearing(who: string, whom: readonly string[], known: Known, context: Context): Limits['hear'] {
  const path = ['limits', 'hear', who];
  const player = playerNamed(who, path, known, context);
  if (player === null) return [];
  return whom.flatMap((name, i) => {
    const sources = sourcesNamed(known.resolved, name);
    if (sources.length > 0) return [{ player, whom: name, sources }];
    context.notes.unknownTarget(micTargetNames(known.resolved), name, 'player, source or part', [...path, i]);
    return [];
  });
}
