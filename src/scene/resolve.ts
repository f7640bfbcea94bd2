/** PlanData -> Scene: order of steps, passages, limits, targets. */
import { airLossByBand, soundSpeed } from '../acoustics/air.ts';
import type { Catalogue } from '../catalogue/catalogue.ts';
import { type Finding, hasErrors, type Path } from '../finding.ts';
import { MOST_MICS, MOST_SOURCES, PARTED } from '../plan/document.ts';
import type { AirEntry, PlanData } from '../plan/plan.ts';
import type { Named } from '../plan/schema.ts';
import { resolvePanels, warnOfObstructedPairs } from './baffles.ts';
import {
  type Assumption,
  assume,
  emptyNotes,
  micTargetNames,
  type Notes,
  type ResolvedSource,
  type Setting,
  sourcesNamed,
  unknownName,
  unknownTarget,
} from './context.ts';
import { resolveMics } from './mics.ts';
import { resolvePartitions } from './partitions.ts';
import { peopleOf, type ResolvedPerson, resolvePlayers } from './people.ts';
import { toleranceOf } from './perturbation.ts';
import { type RoomPlaces, roomAt, roomPlaces } from './room-places.ts';
import { resolveRooms } from './rooms.ts';
import type { Air, Limits, Mic, Part, Passage, Player, Scene } from './scene.ts';
import { sourcesOf, voicesOf } from './sources.ts';

export type Resolved = {
  /** Null where the plan has errors. */
  readonly scene: Scene | null;
  readonly findings: readonly Finding[];
  readonly assumptions: readonly Assumption[];
};

export function resolve(plan: PlanData, catalogue: Catalogue): Resolved {
  const notes = emptyNotes();
  const air = resolveAir(plan.air, notes);
  const places = roomPlaces(plan, notes);
  const setting = settingOf(plan, catalogue, places, { notes, air });
  const people = peopleOf(plan, places, notes);
  const voices = voicesOf(people, setting);
  if (voices.length > MOST_SOURCES)
    return tooMany(
      plan.sources.size > plan.players.size ? 'sources' : 'players',
      voices.length,
      MOST_SOURCES,
    );
  const { mics, capsules } = resolveMics(voices, setting);
  const inputs = capsules.length + mics.filter(({ line }) => line).length;
  if (inputs > MOST_MICS) return tooMany('mics', inputs, MOST_MICS);
  const panels = resolvePanels(plan, catalogue.materials, places, notes);
  const partitions = resolvePartitions(plan, catalogue.materials, places, notes);
  const bodies = [...people.values()].map(({ room, body }) => ({ room, standing: body.standing }));
  const heads = [...bodies, ...sectionPlayers(plan, voices)];
  const rooms = resolveRooms(plan, catalogue.materials, places, heads, panels, partitions, notes);
  const players = resolvePlayers(people.values(), voices, catalogue);
  const named = players.map(({ name }) => name);
  const sounding = sourcesOf(voices, named);
  const scene: Scene = {
    title: plan.title ?? '',
    air,
    rooms,
    partitions,
    panels,
    players,
    ...sounding,
    mics,
    capsules,
    passages: resolvePassages(voices, setting),
    limits: resolveLimits({ voices, parts: sounding.parts, players, mics }, setting),
    tolerance: toleranceOf(plan.tolerance),
  };
  warnOfObstructedPairs(scene, notes);
  const broken = hasErrors(notes.findings);
  return { scene: broken ? null : scene, findings: notes.findings, assumptions: distinct(notes.assumptions) };
}

const SOUND = 'sources sound, each piece of a kit counted';

const HEAR = 'microphones and lines are in use, both of a pair counted';

/** Alone: of each of so many there may be something to say. */
function tooMany(section: 'players' | 'sources' | 'mics', count: number, most: number): Resolved {
  const message = `${count} ${section === 'mics' ? HEAR : SOUND}: at most ${most} are computed`;
  const finding: Finding = { code: 'BAD_RANGE', severity: 'error', path: [section], message, mend: PARTED };
  return { scene: null, findings: [finding], assumptions: [] };
}

function resolveAir({ temperature, humidity }: AirEntry, notes: Notes): Air {
  if (temperature === undefined) assume(notes, 'default', ['air', 'temperature'], 'the air has 20 °C');
  if (humidity === undefined)
    assume(notes, 'default', ['air', 'humidity'], 'the air has 50 % relative humidity');
  const celsius = temperature ?? 20;
  return { soundSpeed: soundSpeed(celsius), loss: airLossByBand(celsius, humidity ?? 50) };
}

function settingOf(
  plan: PlanData,
  catalogue: Catalogue,
  places: RoomPlaces,
  rest: { notes: Notes; air: Air },
): Setting {
  return {
    plan,
    catalogue,
    ...rest,
    roomAt: (x, y) => roomAt(places, x, y),
    floorOf: (room) => places.rooms[room]?.floor ?? 0,
    ceilingOf: (room) => places.rooms[room]?.ceiling ?? Number.POSITIVE_INFINITY,
  };
}

/** The players of a section absorb as persons do: seated, since the plan does not say. */
function sectionPlayers(
  plan: PlanData,
  voices: readonly ResolvedSource[],
): Pick<ResolvedPerson['body'] & { room: number }, 'room' | 'standing'>[] {
  return voices.flatMap((voice) => {
    const count = plan.sources.get(voice.name)?.section?.players ?? 0;
    const room = voice.points[0]?.room ?? -1;
    return Array.from({ length: count }, () => ({ room, standing: false }));
  });
}

/** The pieces of a kit say the same thing several times; once is enough. */
function distinct(assumptions: readonly Assumption[]): Assumption[] {
  const seen = new Map(assumptions.map((one) => [`${one.path.join('\n')}\n${one.text}`, one]));
  return [...seen.values()];
}

// Who sounds when.

/** Passages of the plan, or one in which everyone sounds. */
function resolvePassages(voices: readonly ResolvedSource[], { plan, notes }: Setting): Passage[] {
  if (plan.passages.size === 0) return [{ name: null, path: [], sounds: voices.map(() => true) }];
  const passages = [...plan.passages].map(([name, names]): Passage => {
    const path = ['passages', name];
    const sounding = new Set(
      names.flatMap((one, i) => {
        const found = sourcesNamed(voices, one);
        if (found.length === 0)
          unknownName(micTargetNames(voices), one, 'player, source or part', { path: [...path, i], notes });
        return found;
      }),
    );
    return {
      name,
      path,
      sounds: voices.map((voice, i) => sounding.has(i) || repeatsOne(voice, voices, sounding)),
    };
  });
  voices.forEach((voice, i) => {
    if (passages.every(({ sounds }) => !sounds[i])) {
      assume(notes, 'default', voice.path, `${voice.name} stands in no passage and never sounds`);
    }
  });
  return passages;
}

/** A wedge sounds whenever what it repeats does. */
const repeatsOne = (
  voice: ResolvedSource,
  voices: readonly ResolvedSource[],
  sounding: ReadonlySet<number>,
): boolean => voice.repeats && [...sounding].some((i) => voices[i]?.partName === voice.partName);

// What the plan demands, its names as indices. A limit that names nothing is a fault.

type Known = {
  readonly voices: readonly ResolvedSource[];
  readonly parts: readonly Part[];
  readonly players: readonly Player[];
  readonly mics: readonly Mic[];
};

function resolveLimits(known: Known, setting: Setting): Limits {
  const { limits } = setting.plan;
  refuseUnknownMics(known, setting);
  const { editable } = limits;
  const editableParts = editable && 'parts' in editable ? editable.parts : undefined;
  const editableAll =
    editable && 'all' in editable ? known.parts.map((_, i) => [i, editable.all] as const) : [];
  return {
    threeToOne: limits.threeToOne ?? null,
    weighting: limits.weighting,
    ghost: byPart(limits.ghost, ['limits', 'ghost'], known, setting),
    editable: new Map([...editableAll, ...byPart(editableParts, ['limits', 'editable'], known, setting)]),
    seeEachOther: limits.seeEachOther.flatMap((names, i) =>
      pairsOf(names, ['limits', 'see-each-other', i], known, setting),
    ),
    hear: [...limits.hear].flatMap(([who, whom]) => hearing(who, whom, known, setting)),
    sessionLength: limits.sessionLength ?? null,
    confidence: limits.confidence ?? null,
  };
}

function refuseUnknownMics({ mics }: Known, { plan, notes }: Setting): void {
  const { signalToBleed } = plan.limits;
  if (!signalToBleed || !('mics' in signalToBleed)) return;
  for (const name of signalToBleed.mics.keys()) {
    if (plan.mics.has(name) || mics.some((mic) => mic.name === name)) continue;
    unknownName(plan.mics.keys(), name, 'microphone', { path: ['limits', 'signal-to-bleed', name], notes });
  }
}

function byPart(
  limits: Named<number> | undefined,
  path: Path,
  known: Known,
  { notes }: Setting,
): Map<number, number> {
  const found = [...(limits ?? [])].flatMap(([name, limit]) => {
    const part = known.parts.findIndex((one) => one.name === name);
    if (part >= 0) return [[part, limit] as const];
    unknownTarget(
      known.parts.map((one) => one.name),
      name,
      'part',
      { path: [...path, name], notes },
    );
    return [];
  });
  return new Map(found);
}

function playerNamed(name: string, path: Path, { players }: Known, { notes }: Setting): number | null {
  const index = players.findIndex((player) => player.name === name);
  if (index >= 0) return index;
  unknownName(
    players.map((player) => player.name),
    name,
    'player or listener',
    { path, notes },
  );
  return null;
}

/** All pairs among the names: who must see each other. */
function pairsOf(names: readonly string[], path: Path, known: Known, setting: Setting): [number, number][] {
  const found = names.flatMap((name, i) => playerNamed(name, [...path, i], known, setting) ?? []);
  return found.flatMap((one, i) => found.slice(i + 1).map((other): [number, number] => [one, other]));
}

function hearing(who: string, whom: readonly string[], known: Known, setting: Setting): Limits['hear'] {
  const path = ['limits', 'hear', who];
  const player = playerNamed(who, path, known, setting);
  if (player === null) return [];
  return whom.flatMap((name, i) => {
    const sources = sourcesNamed(known.voices, name);
    if (sources.length > 0) return [{ player, whom: name, sources }];
    unknownTarget(micTargetNames(known.voices), name, 'player, source or part', {
      path: [...path, i],
      notes: setting.notes,
    });
    return [];
  });
}
