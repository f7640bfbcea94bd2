/** From a plan that is well formed to a scene: names looked up, defaults taken, everything in numbers. */
import { airLossByBand, soundSpeed } from '../acoustics/air.ts';
import { type Finding, hasErrors } from '../finding.ts';
import { MOST_MICS, MOST_SOURCES, PARTED } from '../plan/most.ts';
import type { AirEntry, PlanData } from '../plan/plan.ts';
import type { Catalogue } from './catalogue.ts';
import { type Assumption, assume, emptyNotes, type Notes } from './notes.ts';
import { noteParted } from './parted.ts';
import { peopleOf, type Someone } from './people.ts';
import { resolveLimits } from './resolve-limits.ts';
import { resolveMics } from './resolve-mics.ts';
import { resolvePanels } from './resolve-panels.ts';
import { resolvePartitions } from './resolve-partitions.ts';
import { resolvePassages } from './resolve-passages.ts';
import { resolvePlayers } from './resolve-players.ts';
import { resolveRooms } from './resolve-rooms.ts';
import { sourcesOf, voicesOf } from './resolve-sources.ts';
import { type RoomPlaces, roomAt, roomPlaces } from './room-places.ts';
import type { Air, Scene } from './scene.ts';
import type { Setting } from './setting.ts';
import { toleranceOf } from './tolerance.ts';
import type { Voice } from './voice.ts';

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
  noteParted(scene, notes);
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
  voices: readonly Voice[],
): Pick<Someone['body'] & { room: number }, 'room' | 'standing'>[] {
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
