import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { OUTSIDE, type Panel, type Room, type Scene, type Source, type WallElement } from '../scene/scene.ts';
import { readyOpening } from './aperture.ts';
import { prepareScreens, type ScreenPass, type Screens, screenPassAt } from './barrier-diffraction.ts';
import { type Corners, cornersOf } from './corner.ts';
import { fieldPerPower, type RoomAbsorption, roomAbsorption, surfaceAlpha } from './diffuse-field.ts';
import { firstHitAbsorption } from './first-surface.ts';
import { type RoomShape, roomShape } from './image-sources.ts';
import type { ReadyPanel } from './panel.ts';
import { type Emitter, emittersOf, type Medium, mediumOf, newPath, type SoundPath } from './path-energy.ts';

// All that a scene's pairs share: rooms, their fields, and what each source gives to its room.
export type Stage = {
  readonly scene: Scene;
  readonly medium: Medium;
  readonly shapes: readonly RoomShape[];
  /** Screens and corners of each room; last those of the free field. */
  readonly surroundings: readonly Surroundings[];
  readonly absorptions: readonly RoomAbsorption[];
  /** Rooms without inner corners, and what their surfaces reflect; null for others. */
  readonly plain: readonly (Plain | null)[];
  /** What stands open between rooms, made ready. */
  readonly openings: ReadonlyMap<WallElement, ReadyPanel>;
  /** Field x_i for one unit of power in room j, packed [band][i][j]. */
  readonly fields: Float64Array;
  readonly speakers: readonly Speaker[];
  /** The one way at hand while pairs are computed: the innermost loop allocates nothing. */
  readonly path: SoundPath;
};

export type Plain = { readonly shape: RoomShape; readonly reflected: Float64Array };

const plainRooms = (shapes: readonly RoomShape[], absorptions: readonly RoomAbsorption[]): (Plain | null)[] =>
  shapes.map((shape, i) => {
    const reflected = absorptions[i]?.reflected;
    return shape.convex && reflected ? { shape, reflected } : null;
  });

/** A source made ready: its points, and for each the share lost at the first surface. */
export type Speaker = { readonly emitters: readonly Emitter[]; readonly firstHits: readonly Bands[] };

export function stageOf(scene: Scene): Stage {
  const shapes = scene.rooms.map(roomShape);
  const absorptions = scene.rooms.map((room: Room) => roomAbsorption(room, scene.air));
  const rooms = { shapes, absorptions };
  return {
    scene,
    medium: mediumOf(scene.air),
    shapes,
    surroundings: surroundingsOf(scene, absorptions),
    absorptions,
    plain: plainRooms(shapes, absorptions),
    openings: openingsOf(scene),
    fields: fieldPerPower(absorptions, scene.partitions),
    speakers: scene.sources.map((source) => speakerOf(source, rooms)),
    path: newPath(),
  };
}

/** By the scene's own elements: a scene that was read afresh has others, if alike. */
export function openingsOf({ partitions, rooms }: Scene): Map<WallElement, ReadyPanel> {
  const ready = partitions.flatMap((partition) => {
    const bounds = partition.rooms.map((room) => rooms[room] ?? null);
    return partition.elements
      .filter(({ free }) => free)
      .map((element) => [element, readyOpening(element, bounds)] as const);
  });
  return new Map(ready);
}

export function speakerOf(source: Source, rooms: Pick<Stage, 'shapes' | 'absorptions'>): Speaker {
  const emitters = emittersOf(source);
  return { emitters, firstHits: emitters.map((emitter) => firstHitOf(emitter, rooms)) };
}

function firstHitOf(emitter: Emitter, rooms: Pick<Stage, 'shapes' | 'absorptions'>): Bands {
  const shape = rooms.shapes[emitter.room];
  const absorption = rooms.absorptions[emitter.room];
  if (emitter.room === OUTSIDE || !shape || !absorption) return sameInAllBands(0);
  return firstHitAbsorption(emitter, shape, absorption);
}

// What stands and bends within one room: its screens and its inner corners, with the working memory of computing past them.

export type Surroundings = {
  /** Null where no panel stands in the room. */
  readonly screens: Screens | null;
  /** Screens for lines that go into a booth standing in the room, by the booth: without the ring of its own walls. */
  readonly toward: ReadonlyMap<number, Screens | null>;
  /** Null where the outline has no inner corner. */
  readonly corners: Corners | null;
  readonly pass: ScreenPass;
};

/** Surroundings of each room, and last those of the free field of a plan without rooms. */
export function surroundingsOf(scene: Scene, absorptions: readonly RoomAbsorption[]): Surroundings[] {
  const rooms = scene.rooms.map((room, i) => ({ room, index: i, absorption: absorptions[i] ?? null }));
  const pass = screenPassAt(scene.air.soundSpeed);
  return [...rooms, { room: null, index: OUTSIDE, absorption: null }].map(({ room, index, absorption }) => {
    const panels = scene.panels.filter((panel) => panel.room === index);
    return {
      screens: screensOrNone(panels, room, scene.air.soundSpeed),
      toward: new Map(
        boothsAmong(panels).map((booth) => [
          booth,
          screensOrNone(outsideOf(booth, panels), room, scene.air.soundSpeed),
        ]),
      ),
      corners: room && absorption ? cornersOrNone(room, absorption) : null,
      pass,
    };
  });
}

const boothsAmong = (panels: readonly Panel[]): number[] => [
  ...new Set(panels.flatMap(({ booth }) => booth ?? [])),
];

const outsideOf = (booth: number, panels: readonly Panel[]): Panel[] =>
  panels.filter((panel) => panel.booth !== booth);

function screensOrNone(panels: readonly Panel[], room: Room | null, soundSpeed: number): Screens | null {
  const screens = panels.length > 0 ? prepareScreens(panels, room, soundSpeed) : null;
  return screens && screens.list.length > 0 ? screens : null;
}

function cornersOrNone(room: Room, absorption: RoomAbsorption): Corners | null {
  const alphas = room.outline.map((_, wall) => surfaceAlpha(absorption, 2 + wall));
  const corners = cornersOf(room.outline, alphas);
  return corners.list.length > 0 ? corners : null;
}
