/** All that a scene's pairs share: rooms, their fields, and what each source gives to its room. */
import { OUTSIDE, type Room, type Scene, type Source, type WallElement } from '../scene/scene.ts';
import { type RoomAbsorption, roomAbsorption } from './absorption.ts';
import { fieldPerPower } from './balance.ts';
import { type Bands, sameInAllBands } from './bands.ts';
import { firstHitAbsorption } from './first-hit.ts';
import { type Emitter, emittersOf, type Medium, mediumOf } from './free-way.ts';
import { readyOpening } from './opening.ts';
import type { ReadyPanel } from './panel.ts';
import { newPath, type SoundPath } from './path.ts';
import { type RoomShape, roomShape } from './room-shape.ts';
import { type Surroundings, surroundingsOf } from './surroundings.ts';

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

export const plainRooms = (
  shapes: readonly RoomShape[],
  absorptions: readonly RoomAbsorption[],
): (Plain | null)[] =>
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
