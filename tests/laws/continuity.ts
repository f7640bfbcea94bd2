/** Random lines across everything that sound bends round, and by how much the level moves from one millimetre to the next. */
import { decibels, sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec2, Vec3 } from '../../src/geometry.ts';
import type { Panel, Partition, Room, Scene, Surface, SurfaceElement } from '../../src/scene/scene.ts';
import { OUTSIDE } from '../../src/scene/scene.ts';
import { prepareScene } from '../../src/transfer/prepared-scene.ts';
import { energyAt, transferOn } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, pointSource, roomAir, roomOf, sceneOf } from '../build-scene.ts';
import { panelFrom } from '../transfer/panels.ts';

/** Largest step in dB of any octave from 250 Hz to 8 kHz, for each millimetre of a line. */
export type Steps = readonly number[];

/** Seeded numbers between two bounds. */
export type Dice = (from: number, to: number) => number;

export function diceOf(seed: number): Dice {
  // the first numbers of near seeds are alike
  let state = (seed * 69621 * 4099) % 2147483647;
  return (from, to) => {
    state = (state * 16807) % 2147483647;
    return from + ((to - from) * state) / 2147483647;
  };
}

const MILLIMETRE = 1e-3;
const BANDS = [2, 3, 4, 5, 6, 7];

const levelsOf = (scene: Scene): number[][] => {
  const result = transferOn(prepareScene(scene));
  return scene.capsules.map((_, i) => BANDS.map((band) => decibels(energyAt(result, 0, i, band))));
};

const stepsIn = (levels: readonly (readonly number[])[]): number[] =>
  levels
    .slice(1)
    .map((now, i) => Math.max(...now.map((level, band) => Math.abs(level - (levels[i]?.[band] ?? level)))));

export type Surroundings = {
  readonly rooms: readonly Room[];
  readonly partitions?: readonly Partition[];
  readonly panels?: readonly Panel[];
  readonly roomAt?: (at: Vec3) => number;
};

/** Where every step shows: in the open, or in a room so dry that its field hides none. */
function somewhere(dice: Dice, panels: readonly Panel[]): Surroundings {
  if (dice(0, 1) > 0.5) return { rooms: [hallOf(dice)], panels };
  return { rooms: [], panels: panels.map((panel) => ({ ...panel, room: OUTSIDE })), roomAt: () => OUTSIDE };
}

const indoors = (_: Vec3): number => 0;
/** Omnis, wide cardioids and cardioids. */
const PATTERNS = [1, 0.7, 0.5];

type Setting = Surroundings & {
  readonly source: Vec3;
  readonly mics: readonly Vec3[];
  readonly a: number;
  readonly aim: Vec3;
};

export const sceneWith = ({
  rooms,
  partitions = [],
  panels = [],
  roomAt = indoors,
  source,
  mics,
  a,
  aim,
}: Setting): Scene =>
  sceneOf({
    air: roomAir,
    rooms,
    partitions,
    panels,
    sources: [pointSource(source, { room: roomAt(source) })],
    capsules: mics.map((at) => capsuleOf(at, aim, { room: roomAt(at), a, floor: 0.003 })),
  });

/** Aimed within 23° of the source: where edges are heard off-axis and the line is not, their waves step (see the page on the model). */
const micOf = (dice: Dice, [source, mic]: readonly [Vec3, Vec3]): { a: number; aim: Vec3 } => {
  const angle = Math.atan2(source[1] - mic[1], source[0] - mic[0]) + dice(-0.4, 0.4);
  return { a: PATTERNS[Math.floor(dice(0, 3))] ?? 1, aim: [Math.cos(angle), Math.sin(angle), 0] };
};

/** Steps of a mic that walks 4 cm across a point in any direction. */
function across(dice: Dice, around: Surroundings, source: Vec3, through: Vec3): Steps {
  const [angle, rise] = [dice(0, 2 * Math.PI), dice(-0.5, 0.5)];
  const way: Vec3 = [Math.cos(angle), Math.sin(angle), rise];
  const mics = Array.from({ length: 41 }, (_, i): Vec3 => {
    const by = (i - 20) * MILLIMETRE;
    return [through[0] + by * way[0], through[1] + by * way[1], through[2] + by * way[2]];
  });
  return stepsIn(levelsOf(sceneWith({ ...around, source, mics, ...micOf(dice, [source, through]) })));
}

/** A gap is tried from nothing to 20 cm, a millimetre at every 25. */
const TRIED = 9;

/** Steps at a mic that stays while a gap opens. */
function moving(dice: Dice, around: (gap: number) => Surroundings, ends: readonly [Vec3, Vec3]): Steps {
  const [source, mic] = ends;
  const setting = micOf(dice, ends);
  const levelsAt = (gap: number) => levelsOf(sceneWith({ ...around(gap), source, mics: [mic], ...setting }));
  return Array.from({ length: TRIED }, (_, i) =>
    stepsIn([...levelsAt(25 * i * MILLIMETRE), ...levelsAt((25 * i + 1) * MILLIMETRE)]),
  ).flat();
}

const hallOf = (dice: Dice): Room => {
  const values = Array.from({ length: 6 }, () => dice(0.4, 0.95));
  return boxRoom(7, 5, 3, { alpha: (surface) => values[surface] ?? 0.2 });
};

const spot = (dice: Dice): Vec3 => [dice(0.4, 6.6), dice(0.4, 4.6), dice(0.4, 2.4)];

function farFrom(panels: readonly Panel[], at: Vec3, by: number): boolean {
  return panels.every(({ a, b }) => {
    const [x, y] = [b[0] - a[0], b[1] - a[1]];
    const share = Math.min(1, Math.max(0, ((at[0] - a[0]) * x + (at[1] - a[1]) * y) / (x * x + y * y)));
    return Math.hypot(at[0] - a[0] - share * x, at[1] - a[1] - share * y) > by;
  });
}

function baffleOf(dice: Dice): Panel {
  const [x, y, turn, half] = [dice(1.8, 5.2), dice(1.6, 3.4), dice(0, Math.PI), dice(0.4, 0.9)];
  const ends: [Vec2, Vec2] = [
    [x - half * Math.cos(turn), y - half * Math.sin(turn)],
    [x + half * Math.cos(turn), y + half * Math.sin(turn)],
  ];
  return panelFrom(ends, {
    high: dice(1, 2.2),
    loss: dice(15, 35),
    alpha: dice(0, 0.8),
    low: dice(-0.2, 0.1) > 0 ? 0.1 : 0,
  });
}

/** Tries until the draw suits. */
function drawn<T>(draw: () => T, suits: (value: T) => boolean): T {
  for (let i = 0; i < 1000; i++) {
    const value = draw();
    if (suits(value)) return value;
  }
  throw new Error('no draw suits');
}

const baffles = (dice: Dice): Panel[] =>
  drawn(
    () => Array.from({ length: 1 + Math.floor(dice(0, 3)) }, () => baffleOf(dice)),
    (panels) =>
      panels.every((one, i) =>
        panels
          .slice(0, i)
          .every(
            (other) =>
              [one.a, one.b].every((end) => farFrom([other], [...end, 0], 0.25)) &&
              [other.a, other.b].every((end) => farFrom([one], [...end, 0], 0.25)),
          ),
      ),
  );

const sourceNear = (dice: Dice, panels: readonly Panel[]): Vec3 =>
  drawn(
    () => spot(dice),
    (at) => farFrom(panels, at, 0.2),
  );

const apart = (a: Vec3, b: Vec3): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

/** Behind an edge of a baffle: on the line from the source through a point of the edge, or above it. */
function edgeLine(dice: Dice): Steps {
  const panels = baffles(dice);
  const around = somewhere(dice, panels);
  const source = sourceNear(dice, panels);
  const panel = panels[0] as Panel;
  const through = drawn(
    (): Vec3 => {
      const kind = dice(0, 3);
      const share = dice(0, 1);
      const at: Vec3 =
        kind < 2
          ? [...(kind < 1 ? panel.a : panel.b), dice(0.2, panel.high)]
          : [
              panel.a[0] + share * (panel.b[0] - panel.a[0]),
              panel.a[1] + share * (panel.b[1] - panel.a[1]),
              panel.high,
            ];
      const on = dice(1.15, 2.5);
      return [
        source[0] + on * (at[0] - source[0]),
        source[1] + on * (at[1] - source[1]),
        source[2] + on * (at[2] - source[2]),
      ];
    },
    (at) =>
      at[0] > 0.2 &&
      at[0] < 6.8 &&
      at[1] > 0.2 &&
      at[1] < 4.8 &&
      at[2] > 0.2 &&
      at[2] < 2.8 &&
      farFrom(panels, at, 0.15) &&
      apart(at, source) > 0.15,
  );
  return across(dice, around, source, through);
}

/** In the plane of a baffle beside or above it. */
function planeLine(dice: Dice): Steps {
  const panels = baffles(dice);
  const source = sourceNear(dice, panels);
  const panel = panels[0] as Panel;
  const through = drawn(
    (): Vec3 => {
      const share = dice(-2, 3);
      const high = dice(0.3, 2.7);
      return [
        panel.a[0] + share * (panel.b[0] - panel.a[0]),
        panel.a[1] + share * (panel.b[1] - panel.a[1]),
        high,
      ];
    },
    (at) =>
      at[0] > 0.2 &&
      at[0] < 6.8 &&
      at[1] > 0.2 &&
      at[1] < 4.8 &&
      apart(at, source) > 0.15 &&
      (farFrom([panel], at, 0.15) || at[2] > panel.high + 0.15) &&
      farFrom(panels.slice(1), at, 0.15),
  );
  return across(dice, somewhere(dice, panels), source, through);
}

/** The gap between two baffles opens, in a dry room: without one the first millimetre may step by more (see the page on the model). */
function gapLine(dice: Dice): Steps {
  const [turn, bend] = [dice(0, Math.PI), dice(-2, 2)];
  const [one, other] = [dice(0.6, 1.4), dice(0.6, 1.4)];
  const high = dice(1, 2.2);
  const [loss, alpha] = [dice(15, 35), dice(0, 0.8)];
  const at: Vec2 = [3.5 + dice(-0.5, 0.5), 2.5 + dice(-0.4, 0.4)];
  const along = (angle: number, by: number, from: Vec2): Vec2 => [
    from[0] + by * Math.cos(angle),
    from[1] + by * Math.sin(angle),
  ];
  const panelsAt = (gap: number): Panel[] => {
    const start = along(turn + bend, gap, at);
    return [
      panelFrom([along(turn + Math.PI, one, at), at], { high, loss, alpha }),
      panelFrom([start, along(turn + bend, other, start)], { high: high + 0.1, loss, alpha }),
    ];
  };
  const far = [...panelsAt(0), ...panelsAt(0.22)];
  const rooms = [hallOf(dice)];
  const source = sourceNear(dice, far);
  const mic = drawn(
    () => sourceNear(dice, far),
    (one) => apart(one, source) > 0.3,
  );
  return moving(dice, (gap) => ({ rooms, panels: panelsAt(gap) }), [source, mic]);
}

/** One end of a baffle comes away from a wall, or its top from the ceiling. */
function sealLine(dice: Dice): Steps {
  const rooms = [hallOf(dice)];
  const x = dice(1.5, 5.5);
  const lean = dice(-0.8, 0.8);
  const long = dice(1, 2.5);
  const [loss, alpha] = [dice(15, 35), dice(0, 0.8)];
  const atCeiling = dice(0, 1) > 0.5;
  const panelsAt = (gap: number): Panel[] => {
    const from: Vec2 = [x, atCeiling ? dice0 : gap];
    return [panelFrom([from, [x + lean, from[1] + long]], { high: atCeiling ? 3 - gap : 2, loss, alpha })];
  };
  const dice0 = dice(0, 1) > 0.5 ? 0 : 1;
  const far = [...panelsAt(0), ...panelsAt(0.22)];
  const source = sourceNear(dice, far);
  const mic = drawn(
    () => sourceNear(dice, far),
    (one) => apart(one, source) > 0.3,
  );
  return moving(dice, (gap) => ({ rooms, panels: panelsAt(gap) }), [source, mic]);
}

/** A room like an L, whose inner corner is at (3, 2.4). */
function bentRoom(dice: Dice): Room {
  const outline: Vec2[] = [
    [0, 0],
    [7, 0],
    [7, 2.4],
    [3, 2.4],
    [3, 5.5],
    [0, 5.5],
  ];
  const values = Array.from({ length: 8 }, () => dice(0.2, 0.9));
  return roomOf(outline, 3, { alpha: (surface) => values[surface] ?? 0.2 });
}

/** Past the inner corner of an L, across its shadow line or anywhere near it. */
function cornerLine(dice: Dice): Steps {
  const rooms = [bentRoom(dice)];
  const source: Vec3 = [dice(0.4, 2.7), dice(2.6, 5.2), dice(0.4, 2.4)];
  const through = drawn(
    (): Vec3 => {
      const on = dice(1.15, 3);
      return [source[0] + on * (3 - source[0]), source[1] + on * (2.4 - source[1]), dice(0.4, 2.4)];
    },
    ([px, py]) => px < 6.8 && py > 0.2,
  );
  return across(dice, { rooms }, source, through);
}

/** A wall with something in it that swallows what meets it. */
function withHole(surface: Surface, opening: SurfaceElement): Surface {
  const { area } = opening;
  const alpha = surface.alpha.map((one) => (one * (surface.area - area) + area) / surface.area);
  return { ...surface, alpha, open: area, elements: [opening] };
}

/** The wall at x = 4 between two rooms, with an opening in it. */
function twoRooms(
  dice: Dice,
): Surroundings & { readonly from: number; readonly to: number; readonly high: number } {
  const [from, high] = [dice(0.8, 2.4), dice(1.9, 2.2)];
  const to = from + dice(0.7, 1.4);
  const values = Array.from({ length: 12 }, () => dice(0.2, 0.9));
  const at = (y: number): Vec2 => [4, y];
  const room = (x: number, index: number): Room => {
    const bare = roomOf(
      [
        [x, 0],
        [x + 4, 0],
        [x + 4, 4],
        [x, 4],
      ],
      2.8,
      { alpha: (surface) => values[6 * index + surface] ?? 0.2, name: `room ${index}` },
    );
    const opening = {
      a: at(from),
      b: at(to),
      low: 0,
      high,
      alpha: sameInAllBands(1),
      area: (to - from) * high,
    };
    const surfaces = bare.surfaces.map((surface, i) =>
      i === (index === 0 ? 3 : 5) ? withHole(surface, opening) : surface,
    );
    return { ...bare, surfaces };
  };
  const wall = sameInAllBands(1e-5);
  const area = 4 * 2.8;
  const open = (to - from) * high;
  const partition: Partition = {
    name: 'wall',
    path: ['partitions', 'wall'],
    rooms: [0, 1],
    stretches: [{ a: at(0), b: at(4), low: 0, high: 2.8 }],
    roof: null,
    area,
    wall,
    elements: [
      {
        name: 'opening',
        kind: 'opening',
        state: 'open',
        free: true,
        a: at(from),
        b: at(to),
        low: 0,
        high,
        tau: sameInAllBands(1),
      },
    ],
    tau: sameInAllBands((open + (area - open) * 1e-5) / area),
  };
  return {
    rooms: [room(0, 0), room(4, 1)],
    partitions: [partition],
    roomAt: ([x]) => (x < 4 ? 0 : 1),
    from,
    to,
    high,
  };
}

/** Through the doorway itself. */
function doorwayLine(dice: Dice): Steps {
  const around = twoRooms(dice);
  const source: Vec3 = [dice(0.4, 3.6), dice(0.4, 3.6), dice(0.4, 2.4)];
  const through: Vec3 = [4, dice(around.from + 0.1, around.to - 0.1), dice(0.3, around.high - 0.1)];
  return across(dice, around, source, through);
}

/** Across the line from the source past a jamb, beyond the wall. */
function jambLine(dice: Dice): Steps {
  const around = twoRooms(dice);
  const { source, through } = drawn(
    () => {
      const start: Vec3 = [dice(0.4, 3.6), dice(0.4, 3.6), dice(0.4, 2)];
      const jamb = dice(0, 1) > 0.5 ? around.from : around.to;
      const on = dice(1.05, 3);
      const end: Vec3 = [
        start[0] + on * (4 - start[0]),
        start[1] + on * (jamb - start[1]),
        start[2] + dice(-0.5, 0.5),
      ];
      return { source: start, through: end };
    },
    ({ through: [x, y, z] }) => x > 4.15 && x < 7.8 && y > 0.2 && y < 3.8 && z > 0.2 && z < 2.6,
  );
  return across(dice, around, source, through);
}

/** In the source's own room: reflections pass the outline of the opening in the wall. */
function ownSideLine(dice: Dice): Steps {
  const around = twoRooms(dice);
  const source: Vec3 = [dice(0.4, 3.6), dice(0.4, 3.6), dice(0.4, 2)];
  const depth = 4 - source[0];
  const through = drawn(
    (): Vec3 => {
      const off = dice(0.2, 3.6);
      const edge = dice(0, 1) > 0.5 ? around.from : around.to;
      // where a reflection off the wall meets the jamb
      return [4 - off, source[1] + ((edge - source[1]) * (depth + off)) / depth, dice(0.4, 2)];
    },
    (at) => at[1] > 0.2 && at[1] < 3.8 && apart(at, source) > 0.2,
  );
  return across(dice, around, source, through);
}

export const KINDS: Readonly<Record<string, (dice: Dice) => Steps>> = {
  'past an edge of a baffle': edgeLine,
  'through the plane of a baffle': planeLine,
  'as a gap between baffles opens': gapLine,
  'as a baffle comes away from wall or ceiling': sealLine,
  'past an inner corner': cornerLine,
  'through a doorway': doorwayLine,
  'past a jamb beyond the wall': jambLine,
  'before the wall with the doorway': ownSideLine,
};

type Ends = readonly [Vec3, Vec3];

/** Surroundings with two places in them, for what needs no line. */
export const settings: Readonly<
  Record<string, (dice: Dice) => { readonly around: Surroundings; readonly ends: Ends }>
> = {
  'baffles apart': (dice) => {
    const panels = baffles(dice);
    return { around: somewhere(dice, panels), ends: [sourceNear(dice, panels), sourceNear(dice, panels)] };
  },
  'baffles that nearly touch, and a wall': (dice) => {
    const at: Vec2 = [3.5 + dice(-0.5, 0.5), 2.5 + dice(-0.4, 0.4)];
    const [gap, lean] = [dice(0, 0.15), dice(-1, 1)];
    const panels = [
      panelFrom([[at[0], dice(0, 0.15)], at], { high: dice(1.5, 2.9), alpha: 0.3 }),
      panelFrom(
        [
          [at[0] + gap, at[1]],
          [at[0] + gap + 1, at[1] + lean],
        ],
        { high: 1.6, alpha: 0.3 },
      ),
    ];
    return {
      around: { rooms: [hallOf(dice)], panels },
      ends: [sourceNear(dice, panels), sourceNear(dice, panels)],
    };
  },
  'an inner corner': (dice) => ({
    around: { rooms: [bentRoom(dice)] },
    ends: [
      [dice(0.4, 2.7), dice(2.6, 5.2), dice(0.4, 2.4)],
      [dice(0.4, 6.6), dice(0.4, 2), dice(0.4, 2.4)],
    ],
  }),
  'a doorway': (dice) => ({
    around: twoRooms(dice),
    ends: [
      [dice(0.4, 3.6), dice(0.4, 3.6), dice(0.4, 2.4)],
      [dice(4.4, 7.6), dice(0.4, 3.6), dice(0.4, 2.4)],
    ],
  }),
};
