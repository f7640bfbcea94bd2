import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { OUTSIDE, type Panel, type Room, type Scene, type Source, type WallElement } from '../scene/scene.ts';
import { prepareAperture } from './aperture.ts';
import { type Barriers, prepareBarriers, type Workspace, workspaceAt } from './barrier-diffraction.ts';
import { type Corners, cornersOf } from './corner.ts';
import { fieldPerPower, type RoomAbsorption, roomAbsorption, surfaceAlpha } from './diffuse-field.ts';
import { firstSurfaceAbsorption } from './first-surface.ts';
import { type RoomShape, roomShape } from './image-sources.ts';
import type { PreparedPanel } from './panel.ts';
import {
  type Emitter,
  type Medium,
  mediumOf,
  newPath,
  pointEmitters,
  type SoundPath,
} from './path-energy.ts';

// All that a scene's pairs share: rooms, their fields, and what each source gives to its room.
export type PreparedScene = {
  readonly scene: Scene;
  readonly medium: Medium;
  readonly shapes: readonly RoomShape[];
  /** Screens and corners of each room; last those of the free field. */
  readonly obstacles: readonly Obstacles[];
  readonly absorptions: readonly RoomAbsorption[];
  /** Rooms without inner corners, and what their surfaces reflect; null for others. */
  readonly unobstructed: readonly (UnobstructedRoom | null)[];
  /** What stands open between rooms, made ready. */
  readonly openings: ReadonlyMap<WallElement, PreparedPanel>;
  /** Field x_i for one unit of power in room j, packed [band][i][j]. */
  readonly fields: Float64Array;
  readonly emitters: readonly SourceEmitters[];
  /** The one way at hand while pairs are computed: the innermost loop allocates nothing. */
  readonly path: SoundPath;
};

export type UnobstructedRoom = { readonly shape: RoomShape; readonly reflected: Float64Array };

const unobstructedRooms = (
  shapes: readonly RoomShape[],
  absorptions: readonly RoomAbsorption[],
): (UnobstructedRoom | null)[] =>
  shapes.map((shape, i) => {
    const reflected = absorptions[i]?.reflected;
    return shape.convex && reflected ? { shape, reflected } : null;
  });

/** A source made ready: its points, and for each the share lost at the first surface. */
export type SourceEmitters = {
  readonly points: readonly Emitter[];
  readonly firstSurfaceAlphas: readonly Bands[];
};

export function prepareScene(scene: Scene): PreparedScene {
  const shapes = scene.rooms.map(roomShape);
  const absorptions = scene.rooms.map((room: Room) => roomAbsorption(room, scene.air));
  const rooms = { shapes, absorptions };
  return {
    scene,
    medium: mediumOf(scene.air),
    shapes,
    obstacles: obstaclesOf(scene, absorptions),
    absorptions,
    unobstructed: unobstructedRooms(shapes, absorptions),
    openings: openingsOf(scene),
    fields: fieldPerPower(absorptions, scene.partitions),
    emitters: scene.sources.map((source) => prepareEmitters(source, rooms)),
    path: newPath(),
  };
}

/** By the scene's own elements: a scene that was read afresh has others, if alike. */
export function openingsOf({ partitions, rooms }: Scene): Map<WallElement, PreparedPanel> {
  const ready = partitions.flatMap((partition) => {
    const bounds = partition.rooms.map((room) => rooms[room] ?? null);
    return partition.elements
      .filter(({ free }) => free)
      .map((element) => [element, prepareAperture(element, bounds)] as const);
  });
  return new Map(ready);
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

// What stands and bends within one room: its screens and its inner corners, with the working memory of computing past them.

export type Obstacles = {
  /** Null where no panel stands in the room. */
  readonly barriers: Barriers | null;
  /** Screens for lines that go into a booth standing in the room, by the booth: without the ring of its own walls. */
  readonly toward: ReadonlyMap<number, Barriers | null>;
  /** Null where the outline has no inner corner. */
  readonly corners: Corners | null;
  readonly workspace: Workspace;
};

/** Surroundings of each room, and last those of the free field of a plan without rooms. */
export function obstaclesOf(scene: Scene, absorptions: readonly RoomAbsorption[]): Obstacles[] {
  const rooms = scene.rooms.map((room, i) => ({ room, index: i, absorption: absorptions[i] ?? null }));
  const workspace = workspaceAt(scene.air.soundSpeed);
  return [...rooms, { room: null, index: OUTSIDE, absorption: null }].map(({ room, index, absorption }) => {
    const panels = scene.panels.filter((panel) => panel.room === index);
    return {
      barriers: barriersOrNone(panels, room, scene.air.soundSpeed),
      toward: new Map(
        boothsAmong(panels).map((booth) => [
          booth,
          barriersOrNone(outsideOf(booth, panels), room, scene.air.soundSpeed),
        ]),
      ),
      corners: room && absorption ? cornersOrNone(room, absorption) : null,
      workspace,
    };
  });
}

const boothsAmong = (panels: readonly Panel[]): number[] => [
  ...new Set(panels.flatMap(({ booth }) => booth ?? [])),
];

const outsideOf = (booth: number, panels: readonly Panel[]): Panel[] =>
  panels.filter((panel) => panel.booth !== booth);

function barriersOrNone(panels: readonly Panel[], room: Room | null, soundSpeed: number): Barriers | null {
  const barriers = panels.length > 0 ? prepareBarriers(panels, room, soundSpeed) : null;
  return barriers && barriers.list.length > 0 ? barriers : null;
}

function cornersOrNone(room: Room, absorption: RoomAbsorption): Corners | null {
  const alphas = room.outline.map((_, wall) => surfaceAlpha(absorption, 2 + wall));
  const corners = cornersOf(room.outline, alphas);
  return corners.list.length > 0 ? corners : null;
}
