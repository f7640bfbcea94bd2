/** From a plan to its scene: the order of the steps, passages. */
import { airLossByBand, soundSpeed } from '../acoustics/air.ts';
import type { Catalogue } from '../catalogue/catalogue.ts';
import { type Finding, hasErrors } from '../finding.ts';
import { MOST_MICS, MOST_SOURCES, SPLIT_PLAN } from '../plan/document.ts';
import type { AirEntry, PlanData } from '../plan/plan.ts';
import { resolvePanels, warnOfObstructedPairs } from './baffles.ts';
import type { Assumption, Context, ResolvedSource } from './context.ts';
import { micTargetNames, Notes, sourcesNamed } from './context.ts';
import { resolveLimits } from './limits.ts';
import { lookUpSpares } from './materials.ts';
import { resolveMics } from './mics.ts';
import { resolvePartitions } from './partitions.ts';
import { peopleOf, resolvePlayers } from './people.ts';
import { toleranceOf } from './perturbation.ts';
import { noteImpossible, noteOdd } from './plausibility.ts';
import { roomPlaces } from './room-places.ts';
import { resolveRooms } from './rooms.ts';
import { type Air, OUTSIDE, type Scene } from './scene.ts';
import { resolvedSources, sourcesAndParts } from './sources.ts';

export type Resolved = {
  /** Null where the plan has errors. */
  readonly scene: Scene | null;
  readonly findings: readonly Finding[];
  readonly assumptions: readonly Assumption[];
};

/** Errors alone, where nobody reads warnings, as of plans that are only tried. */
export type Noted = 'everything' | 'errors';

/** Reads nothing but the plan and the catalogue. Errors are findings, and then there is no scene. */
export function resolve(plan: PlanData, catalogue: Catalogue, noted: Noted = 'everything'): Resolved {
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
  lookUpSpares(context);
  const rooms = resolveRooms(context, { people: [...bodies, ...seated], panels, partitions });
  const players = resolvePlayers(people.values(), resolved, catalogue);
  const { sources, parts } = sourcesAndParts(
    resolved,
    players.map(({ name }) => name),
    catalogue,
  );
  const scene: Scene = {
    title: plan.title ?? '',
    ...{ air, rooms, partitions, panels, players, sources, parts, mics, capsules },
    passages: resolvePassages(resolved, context),
    limits: resolveLimits({ resolved, parts, players, mics }, context),
    tolerance: toleranceOf(plan.tolerance),
  };
  noteImpossible(scene, resolved, context);
  if (noted === 'everything') {
    warnOfObstructedPairs(scene, notes);
    noteOdd(scene, resolved, context);
  }
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
