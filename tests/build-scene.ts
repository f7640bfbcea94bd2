/** Small scenes made by hand for tests and benchmarks: every value in plain sight, every default overridable. */
import { airLossByBand, soundSpeed } from '../src/acoustics/air.ts';
import { type Bands, bands, decibels, sameInAllBands } from '../src/acoustics/bands.ts';
import { efficiencyByBand, OMNIDIRECTIONAL } from '../src/acoustics/directivity.ts';
import type { Vec2, Vec3 } from '../src/geometry.ts';
import { corner, signedArea, span } from '../src/geometry.ts';
import { toleranceOf } from '../src/scene/perturbation.ts';
import type { Air, Capsule, Limits, Mic, Panel, Partition, Room, Scene, Source } from '../src/scene/scene.ts';
import { OUTSIDE } from '../src/scene/scene.ts';
import type { Share } from '../src/transfer/path-energy.ts';
import { energyAt, transfer } from '../src/transfer/transfer.ts';

export const none: Bands = sameInAllBands(0);

/** Still, dry-of-loss air at 20 °C: spreading alone. */
export const losslessAir: Air = { soundSpeed: soundSpeed(20), loss: none };
export const roomAir: Air = { soundSpeed: soundSpeed(20), loss: airLossByBand(20, 50) };

type RoomOptions = Partial<Room> & { readonly alpha?: number | ((surface: number, band: number) => number) };

/** A room of any anticlockwise outline; `alpha` per surface (0 floor, 1 ceiling, then walls) and band. */
export function roomOf(outline: readonly Vec2[], height: number, options: RoomOptions = {}): Room {
  const { alpha = 0.2, ...rest } = options;
  const at = typeof alpha === 'number' ? () => alpha : alpha;
  const plan = signedArea(outline);
  const areas = [plan, plan, ...outline.map((a, i) => span(a, corner(outline, i + 1)) * height)];
  const names = ['floor', 'ceiling', ...outline.map((_, i) => `wall ${i}`)];
  const surfaces = areas.map((area, s) => ({
    name: names[s] ?? '',
    area,
    alpha: bands((b) => at(s, b)),
    open: 0,
    elements: [],
  }));
  return {
    name: 'room',
    path: ['rooms', 'room'],
    outline,
    floor: 0,
    ceiling: height,
    surfaces,
    volume: plan * height,
    contents: none,
    people: none,
    added: none,
    measured: null,
    host: null,
    noise: null,
    control: false,
    booth: false,
    ...rest,
  };
}

export function boxRoom(x: number, y: number, height: number, options: RoomOptions = {}): Room {
  return roomOf(
    [
      [0, 0],
      [x, 0],
      [x, y],
      [0, y],
    ],
    height,
    options,
  );
}

/** A wall of one construction between two rooms (or to the outside), given by area and transmission factor alone. */
export function partitionOf(rooms: readonly [number, number], area: number, tau: Bands): Partition {
  return {
    name: 'wall',
    path: ['partitions', 'wall'],
    rooms,
    stretches: [],
    roof: null,
    area,
    wall: tau,
    elements: [],
    tau,
  };
}

/** A point source of 100 dB sound power in every band at `at`, speaking along `axis`. */
export function pointSource(
  at: Vec3,
  options: Partial<Source> & { axis?: Vec3; room?: number } = {},
): Source {
  const { axis = [0, 1, 0], room = OUTSIDE, ...rest } = options;
  return {
    name: 'source',
    path: ['sources', 'source'],
    instrument: null,
    family: null,
    player: null,
    kit: null,
    part: 0,
    repeats: false,
    measured: true,
    power: sameInAllBands(1e10),
    directivity: OMNIDIRECTIONAL,
    radius: 0,
    points: [{ at, axis, room, share: 1 }],
    cover: null,
    lowestNote: 0,
    closest: 0,
    furthest: 0,
    crest: 0,
    ...rest,
  };
}

type CapsuleOptions = Partial<Capsule> & { readonly a?: number; readonly floor?: number };

/** A capsule of first order; `a` is its A in every band, `floor` its ε². */
export function capsuleOf(at: Vec3, aim: Vec3, options: CapsuleOptions = {}): Capsule {
  const { a = 1, floor = 0, ...rest } = options;
  const pattern = { name: 'custom', a: sameInAllBands(a), table: null };
  const nullFloor = sameInAllBands(floor);
  return {
    name: 'mic',
    mic: 0,
    at,
    aim,
    room: OUTSIDE,
    pattern,
    nullFloor,
    proximity: false,
    ree: efficiencyByBand(pattern.a, null, nullFloor),
    ...rest,
  };
}

export function micOf(
  name: string,
  capsules: readonly number[],
  wanted: readonly number[],
  options: Partial<Mic> = {},
): Mic {
  return {
    name,
    path: ['mics', name],
    purpose: 'parts',
    line: false,
    capsules,
    stereo: null,
    wanted,
    ignored: [],
    limit: 10,
    limitFrom: 'test',
    mix: 0,
    highPass: null,
    lowPass: null,
    filter: null,
    inside: null,
    switchable: [],
    channels: [],
    ...options,
  };
}

export const plainLimits: Limits = {
  threeToOne: null,
  weighting: 'own',
  ghost: new Map(),
  isolation: new Map(),
  seeEachOther: [],
  hear: [],
  balance: [],
  directToReverberant: new Map(),
  sessionLength: null,
  confidence: null,
};

/** A scene of sources and capsules; each capsule is a mic of its own for source 0 unless `mics` says otherwise. */
export function sceneOf(
  parts: Partial<Scene> & { sources: readonly Source[]; capsules: readonly Capsule[] },
): Scene {
  return {
    title: 'test',
    air: losslessAir,
    rooms: [],
    partitions: [],
    panels: [] as readonly Panel[],
    players: [],
    parts: parts.sources.map((s, i) => ({
      name: s.name,
      path: s.path,
      sources: [i],
      later: 'rebalance' as const,
    })),
    mics: parts.capsules.map((c, i) => micOf(c.name, [i], [0])),
    passages: [{ name: null, path: [], sounds: parts.sources.map(() => true) }],
    limits: plainLimits,
    tolerance: toleranceOf({}),
    ...parts,
  };
}

type Which = {
  readonly source?: number;
  readonly capsule?: number;
  readonly band?: number;
  readonly share?: Share;
};

/** Level in dB of one source at one capsule in one band (1 kHz unless said), of one share or of all. */
export function levelIn(scene: Scene, { source = 0, capsule = 0, band = 4, share }: Which = {}): number {
  return decibels(energyAt(transfer(scene), source, capsule, band, share));
}
