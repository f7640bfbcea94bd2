/** The level of some sources over the floor of a room: omnidirectional probes at ear height, by the same way as every microphone. */
import { BAND_COUNT, decibels, sameInAllBands } from '../../acoustics/bands.ts';
import type { Stage } from '../../acoustics/stage.ts';
import { energyAt, transferOn } from '../../acoustics/transfer.ts';
import { holds } from '../../scene/polygon.ts';
import type { Capsule, Room, Scene } from '../../scene/scene.ts';
import type { Vec2 } from '../../scene/vector.ts';

/** Of the probes above the floor, m. */
export const PROBE_HEIGHT = 1.2;
/** Cells are this wide, m, or as much wider as keeps a room to so many. */
const CELL = 0.2;
const MOST_CELLS = 1600;

export type LevelGrid = {
  readonly room: number;
  readonly columns: number;
  readonly rows: number;
  readonly cell: number;
  /** Middle of the cell in a column and row, m. */
  readonly at: (column: number, row: number) => Vec2;
  /** dB re 20 µPa over all octaves, packed by row; null outside the room and where nothing gets to. */
  readonly levels: readonly (number | null)[];
};

/** A grid over each room. */
export function levelGrids(stage: Stage, sources: readonly number[]): LevelGrid[] {
  const sounding = stage.speakers.filter((_, i) => sources.includes(i));
  const scene = { ...stage.scene, sources: stage.scene.sources.filter((_, i) => sources.includes(i)) };
  return scene.rooms.map((_, room) => gridOf({ ...stage, scene, speakers: sounding }, room));
}

function gridOf(stage: Stage, index: number): LevelGrid {
  const { rooms } = stage.scene;
  const room = rooms[index] as Room;
  const [xs, ys] = [room.outline.map(([x]) => x), room.outline.map(([, y]) => y)];
  const [left, bottom] = [Math.min(...xs), Math.min(...ys)];
  const [width, depth] = [Math.max(...xs) - left, Math.max(...ys) - bottom];
  const cell = Math.max(CELL, Math.sqrt((width * depth) / MOST_CELLS));
  const [columns, rows] = [Math.max(2, Math.round(width / cell)), Math.max(2, Math.round(depth / cell))];
  const at = (column: number, row: number): Vec2 => [
    left + ((column + 0.5) / columns) * width,
    bottom + ((row + 0.5) / rows) * depth,
  ];
  const cells = Array.from({ length: columns * rows }, (_, i) => at(i % columns, Math.floor(i / columns)));
  const inside = cells.map(([x, y]) => holds(room.outline, x, y) && !inBooth(rooms, index, [x, y]));
  const heard = levelsAt(
    stage,
    index,
    cells.filter((_, i) => inside[i]),
  );
  let next = 0;
  const levels = inside.map((is) => (is ? (heard[next++] ?? null) : null));
  return { room: index, columns, rows, cell, at, levels };
}

const inBooth = (rooms: readonly Room[], index: number, [x, y]: Vec2): boolean =>
  rooms.some(({ host, outline }) => host === index && holds(outline, x, y));

function levelsAt(stage: Stage, room: number, places: readonly Vec2[]): (number | null)[] {
  const { floor, ceiling } = stage.scene.rooms[room] as Room;
  const height = Math.min(floor + PROBE_HEIGHT, (floor + ceiling) / 2);
  const capsules = places.map(([x, y]) => probe([x, y, height], room));
  const scene: Scene = { ...stage.scene, capsules };
  const result = transferOn({ ...stage, scene });
  return capsules.map((_, capsule) => {
    let sum = 0;
    for (let source = 0; source < scene.sources.length; source++)
      for (let band = 0; band < BAND_COUNT; band++) sum += energyAt(result, source, capsule, band);
    return sum > 0 ? decibels(sum) : null;
  });
}

const probe = (at: Capsule['at'], room: number): Capsule => ({
  name: 'probe',
  mic: -1,
  at,
  aim: [0, 0, 1],
  room,
  pattern: { name: 'omni', a: sameInAllBands(1), table: null },
  nullFloor: sameInAllBands(0),
  proximity: false,
  ree: sameInAllBands(1),
});
