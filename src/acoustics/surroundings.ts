/** What stands and bends within one room: its screens and its inner corners, with the working memory of computing past them. */
import type { Panel, Room, Scene } from '../scene/scene.ts';
import { OUTSIDE } from '../scene/scene.ts';
import { type RoomAbsorption, surfaceAlpha } from './absorption.ts';
import { type Corners, cornersOf } from './corner.ts';
import { prepareScreens, type Screens } from './past-screens.ts';
import { type ScreenPass, screenPassAt } from './screen-pass.ts';

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
