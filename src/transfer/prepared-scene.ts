/** A scene made ready for transfer: all that its pairs share, and what acts on all paths of a pair alike. */
import { type Bands, bands, sameInAllBands } from '../acoustics/bands.ts';
import { corner, distanceToSegment, midpoint } from '../geometry.ts';
import type {
  Capsule,
  MeasuredPath,
  Panel,
  Room,
  Scene,
  Source,
  Surface,
  WallElement,
} from '../scene/scene.ts';
import { OUTSIDE } from '../scene/scene.ts';
import { prepareAperture } from './aperture.ts';
import { type Barriers, newWorkspace, prepareBarriers, type Workspace } from './barrier-diffraction.ts';
import { type Corners, cornersOf } from './corner.ts';
import { fieldPerPower, type RoomAbsorption, roomAbsorption, surfaceAlpha } from './diffuse-field.ts';
import { firstSurfaceAbsorption } from './first-surface.ts';
import { type RoomShape, roomShape } from './image-sources.ts';
import type { PreparedPanel } from './panel.ts';
import type { KeptInterference } from './panel-diffraction.ts';
import { type Emitter, type Medium, mediumOf, pointEmitters, type Share } from './path-energy.ts';
import type { SourceReceiver } from './source-receiver.ts';
import { bareAlpha, type MixedWall, mixedWalls } from './wall-elements.ts';

export type PreparedScene = {
  readonly scene: Scene;
  readonly medium: Medium;
  readonly shapes: readonly RoomShape[];
  /** Barriers and corners of each room; last those of the free field. */
  readonly obstacles: readonly Obstacles[];
  readonly absorptions: readonly RoomAbsorption[];
  /** Rooms without inner corners and without elements in their walls, and what their surfaces reflect; null for others. */
  readonly unobstructed: readonly (UnobstructedRoom | null)[];
  /** What stands open between rooms, made ready. */
  readonly openings: Openings;
  /** Walls with elements, by room and surface. */
  readonly mixed: readonly (readonly (MixedWall | null)[])[];
  /** Field x_i for one unit of power in room j, packed [band][i][j]. */
  readonly fields: Float64Array;
  readonly emitters: readonly SourceEmitters[];
  readonly memory: Memory;
};

/** Working memory of all that computes at one speed of sound, so that the innermost loops allocate nothing. */
export type Memory = {
  readonly soundSpeed: number;
  readonly workspace: Workspace;
  /** The working pair; null until there is one. */
  pair: SourceReceiver | null;
  /** Paths kept for mics that turn, by prepared scene and capsule. */
  readonly pathCaches: WeakMap<PreparedScene, Map<number, PathCache>>;
};

/** A path before the mic's response, kept for other responses. */
export type CachedPath = {
  /** Where its share begins in a pair's packed energies. */
  readonly row: number;
  readonly arrive: readonly [number, number, number];
  /** 1/r_e², by which the proximity effect goes. */
  readonly nearness: number;
  readonly energy: Bands;
  /** A diffuse field arrives from all round. */
  readonly diffuse: boolean;
  /** Paths that interfere, instead of `energy`. */
  readonly interfering: readonly KeptInterference[];
};

/** By source; null where a cover or a reading takes its part by the mic. */
export type PathCache = readonly (readonly CachedPath[] | null)[];
export type UnobstructedRoom = { readonly shape: RoomShape; readonly reflected: Float64Array };

export type Openings = {
  readonly prepared: ReadonlyMap<WallElement, PreparedPanel>;
  /** Of each room its openings, and what room or `OUTSIDE` is beyond. */
  readonly ofRoom: readonly (readonly { readonly aperture: PreparedPanel; readonly beyond: number }[])[];
};

const unobstructedRooms = (
  shapes: readonly RoomShape[],
  absorptions: readonly RoomAbsorption[],
  rooms: readonly Room[],
): (UnobstructedRoom | null)[] =>
  shapes.map((shape, i) => {
    const reflected = absorptions[i]?.reflected;
    const plain = rooms[i]?.surfaces.every(({ elements }) => elements.length === 0);
    return shape.convex && plain && reflected ? { shape, reflected } : null;
  });

/** A source made ready: its points, and for each the share lost at the first surface. */
export type SourceEmitters = {
  readonly points: readonly Emitter[];
  readonly firstSurfaceAlphas: readonly Bands[];
};

/** Prepares a scene. Of a `known` one it takes over the shapes of the rooms that both have and the working memory. */
export function prepareScene(scene: Scene, known?: PreparedScene): PreparedScene {
  const { soundSpeed } = scene.air;
  const shapes = scene.rooms.map(
    (room, i) => (known?.scene.rooms[i] === room && known.shapes[i]) || roomShape(room),
  );
  const absorptions = scene.rooms.map((room: Room) => roomAbsorption(room, scene.air));
  const memory =
    known?.memory.soundSpeed === soundSpeed
      ? known.memory
      : { soundSpeed, workspace: newWorkspace(soundSpeed), pair: null, pathCaches: new WeakMap() };
  const rooms = { shapes, absorptions };
  return {
    scene,
    medium: mediumOf(scene.air),
    obstacles: obstaclesOf(scene, absorptions, memory.workspace),
    unobstructed: unobstructedRooms(shapes, absorptions, scene.rooms),
    openings: openingsOf(scene),
    mixed: scene.rooms.map((room, i) => mixedWalls(room, absorptions[i] as RoomAbsorption)),
    fields: fieldPerPower(absorptions, scene.partitions),
    emitters: scene.sources.map((source) => prepareEmitters(source, rooms)),
    memory,
    ...rooms,
  };
}

/** By the scene's own elements: a scene that was read afresh has others, if alike. */
export function openingsOf({ partitions, rooms }: Scene): Openings {
  const prepared = new Map<WallElement, PreparedPanel>();
  const ofRoom: { aperture: PreparedPanel; beyond: number }[][] = rooms.map(() => []);
  for (const partition of partitions) {
    const bounds = partition.rooms.map((room) => rooms[room] ?? null);
    for (const element of partition.elements.filter(({ free }) => free)) {
      const faces = bounds.flatMap((room) => (room ? [faceAround(room, element)] : []));
      const mean = bands(
        (band) => faces.reduce((sum, face) => sum + (face[band] as number), 0) / faces.length,
      );
      const aperture = prepareAperture(element, bounds, mean);
      const [one, other] = partition.rooms;
      prepared.set(element, aperture);
      ofRoom[one]?.push({ aperture, beyond: other });
      ofRoom[other]?.push({ aperture, beyond: one });
    }
  }
  return { prepared, ofRoom };
}

/** What the wall round an element absorbs on a room's side. */
function faceAround({ outline, surfaces }: Room, { a, b }: WallElement): Bands {
  const middle = midpoint(a, b);
  const away = outline.map((from, i) => distanceToSegment(middle, from, corner(outline, i + 1)));
  return bareAlpha(surfaces[2 + away.indexOf(Math.min(...away))] as Surface);
}

export function prepareEmitters(
  source: Source,
  rooms: Pick<PreparedScene, 'shapes' | 'absorptions'>,
): SourceEmitters {
  const points = pointEmitters(source);
  return { points, firstSurfaceAlphas: points.map((emitter) => firstSurfaceAlphaOf(emitter, rooms)) };
}

function firstSurfaceAlphaOf(emitter: Emitter, rooms: Pick<PreparedScene, 'shapes' | 'absorptions'>): Bands {
  const shape = rooms.shapes[emitter.room];
  const absorption = rooms.absorptions[emitter.room];
  if (emitter.room === OUTSIDE || !shape || !absorption) return sameInAllBands(0);
  return firstSurfaceAbsorption(emitter, shape, absorption);
}

export type Obstacles = {
  /** Null where no panel stands in the room. */
  readonly barriers: Barriers | null;
  /** Barriers on lines that go into a booth standing in the room, by the booth: without the ring of its own walls. */
  readonly toward: ReadonlyMap<number, Barriers | null>;
  /** Null where the outline has no inner corner. */
  readonly corners: Corners | null;
};

/** Obstacles of each room, and last those of the free field of a plan without rooms. */
export function obstaclesOf(
  scene: Scene,
  absorptions: readonly RoomAbsorption[],
  workspace: Workspace,
): Obstacles[] {
  const rooms = scene.rooms.map((room, i) => ({ room, index: i, absorption: absorptions[i] ?? null }));
  return [...rooms, { room: null, index: OUTSIDE, absorption: null }].map(({ room, index, absorption }) => {
    const panels = scene.panels.filter((panel) => panel.room === index);
    const barriersOf = (some: readonly Panel[]): Barriers | null => {
      const barriers = some.length > 0 ? prepareBarriers(some, room, workspace) : null;
      return barriers && barriers.list.length > 0 ? barriers : null;
    };
    return {
      barriers: barriersOf(panels),
      toward: new Map(
        boothsAmong(panels).map((booth) => [
          booth,
          barriersOf(panels.filter((panel) => panel.booth !== booth)),
        ]),
      ),
      corners: room && absorption ? cornersOrNone(room, absorption) : null,
    };
  });
}

const boothsAmong = (panels: readonly Panel[]): number[] => [
  ...new Set(panels.flatMap(({ booth }) => booth ?? [])),
];

function cornersOrNone(room: Room, absorption: RoomAbsorption): Corners | null {
  const alphas = room.outline.map((_, wall) => surfaceAlpha(absorption, 2 + wall));
  const corners = cornersOf(room.outline, alphas);
  return corners.list.length > 0 ? corners : null;
}

/** Covers over source or mic: energy factors by band on the paths of one pair, each null where it is 1. */
export type Cover = {
  /** Over the source: off everything but the direct path to mics inside. */
  readonly own: Bands | null;
  /** Over the mic with another source: off everything. */
  readonly over: Bands | null;
  /** The mic is inside with the source: its direct path is spared. */
  readonly inside: boolean;
};

/** What covers lie between a source and a capsule, or null where there is none. */
export function coverBetween(scene: Scene, source: number, receiver: Capsule): Cover | null {
  const inside = scene.mics[receiver.mic]?.inside ?? null;
  const own = scene.sources[source]?.cover ?? null;
  const over = inside === null || inside === source ? null : (scene.sources[inside]?.cover ?? null);
  return own || over ? { own, over, inside: inside === source } : null;
}

/** Energy factor of covers on a path of a share, by band; null where they spare it. */
export function coverFactor({ own, over, inside }: Cover, share: Share): Bands | null {
  const off = inside && share === 'direct' ? null : own;
  return off && over ? off.map((factor, band) => factor * (over[band] as number)) : (off ?? over);
}

/** What measured levels say of a pair beyond the plan: null where it was not read, or the level of the source was not. */
export const readPath = (source: Source | undefined, receiver: Capsule): MeasuredPath | null =>
  (source?.read && receiver.read?.get(source.name)) ?? null;
