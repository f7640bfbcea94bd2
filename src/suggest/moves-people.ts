/** Softer, turn, shift, swap, other room. */
import { holds, type Vec2 } from '../geometry.ts';
import type { Node } from '../plan/document.ts';
import { type Edit, nodeAt, nodeOf } from '../plan/edit.ts';
import type { Room, Scene } from '../scene/scene.ts';
import { type Computed, editsMoving, type MoveMaker, movable, type Thing } from './evaluate.ts';
import { type Idea, spotWords, stepWords, tapeOf } from './moves.ts';

/** Degrees. Finer steps change too little to ask for. Our own choice. */
const TURNS = [-30, 30, -60, 60, -90, 90, 180];
/** Steps on the plan, m, and into how many directions. */
const STEPS = [
  { step: 0.5, ways: 4 },
  { step: 1, ways: 8 },
];

export const turnPlayerMoves: MoveMaker = (base, { sounding }) =>
  movable(base, sounding).flatMap((thing) =>
    TURNS.map((turn): Idea => {
      const facing = Math.round(thing.facing + turn + 720) % 360;
      const side = turn === 180 ? 'round' : `${Math.abs(turn)}° to the ${turn > 0 ? 'right' : 'left'}`;
      return {
        kind: 'turn-player',
        about: [thing.name],
        edits: [{ path: [thing.section, thing.name, 'facing'], value: nodeOf(facing) }],
        say: () => `turn ${thing.name} ${side}, to face ${facing}°`,
      };
    }),
  );

export const shiftPlayerMoves: MoveMaker = (base, { sounding }) => {
  const tape = tapeOf(base.tree);
  return movable(base, sounding).flatMap((thing) =>
    STEPS.flatMap(({ step, ways }) =>
      Array.from({ length: ways }, (_, i): Idea => {
        const way = (i * 2 * Math.PI) / ways;
        const by = [step * Math.sin(way), step * Math.cos(way)] as const;
        return {
          kind: 'shift-player',
          about: [thing.name],
          edits: editsMoving(base, thing, by),
          say: () =>
            `shift ${thing.name} with ${thing.section === 'players' ? 'his' : 'its'} mics ${stepWords(by, tape)}, to ${spotWords({ rooms: base.scene.rooms, tape }, thing.room, [thing.at[0] + by[0], thing.at[1] + by[1]])}`,
        };
      }),
    ),
  );
};

export const swapPlayersMoves: MoveMaker = (base, { sounding }) => {
  const people = movable(base, sounding).filter(({ section }) => section === 'players');
  return people.flatMap((one, i) =>
    people.slice(i + 1).map((other) => ({
      kind: 'swap-players',
      about: [one.name, other.name],
      edits: [...inPlaceOf(base, one, other), ...inPlaceOf(base, other, one)],
      say: () => `let ${one.name} and ${other.name} change places`,
    })),
  );
};

/** Whoever looks along a bearing takes over that of the place. */
function inPlaceOf(base: Computed, one: Thing, other: Thing): Edit[] {
  const facing = nodeAt(base.tree, ['players', one.name, 'facing']);
  const turned =
    facing?.kind === 'scalar' &&
    typeof facing.value === 'string' &&
    Number.isNaN(Number.parseFloat(facing.text));
  return [
    ...editsMoving(base, one, [other.at[0] - one.at[0], other.at[1] - one.at[1]]),
    ...(turned
      ? []
      : [{ path: ['players', one.name, 'facing'], value: nodeOf(Math.round(other.facing) % 360) }]),
  ];
}

// Asking for less: a dynamic down, or some dB where the plan gives a level.

const SCALES = [
  ['pp', 'p', 'mp', 'mf', 'f', 'ff'],
  ['soft', 'medium', 'loud'],
];
/** What counts where the plan says nothing. */
const USUAL = 'mf';
/** dB for each step where a level is given. */
const STEP = 3;

export const softerMoves: MoveMaker = ({ tree, plan }, { sounding }) => [
  ...[...plan.players].flatMap(([name, { plays }]) =>
    plays.length === 0 || !sounding.has(name)
      ? []
      : softer(tree, ['players', name], `ask ${name} to take it softer`, name),
  ),
  ...[...plan.sources.keys()]
    .filter((name) => sounding.has(name))
    .flatMap((name) => softer(tree, ['sources', name], `turn ${name} down`, name)),
];

function softer(tree: Node, path: readonly string[], words: string, name: string): Idea[] {
  return [1, 2].flatMap((steps): Idea[] => {
    const made = lowered(tree, path, steps);
    if (made.length === 0) return [];
    const told = [...new Set(made.map(({ told: one }) => one))].join(', ');
    return [
      { kind: 'softer', about: [name], edits: made.map(({ edit }) => edit), say: () => `${words}: ${told}` },
    ];
  });
}

type Lowered = { readonly edit: Edit; readonly told: string };

/** Wherever loudness is given for a player and what he plays; as a dynamic for all where it is given nowhere. */
function lowered(tree: Node, path: readonly string[], steps: number): Lowered[] {
  const node = nodeAt(tree, path);
  const places = placesOf(node).map((below) => [...path, ...below]);
  if (places.length > 0) return places.flatMap((place) => lower(tree, place, steps) ?? []);
  if (node?.kind === 'map' && node.entries.has('power')) return [];
  return dynamicBelow([...path, 'dynamic'], USUAL, steps) ?? [];
}

/** Paths of every level and dynamic below, of instruments and of parts of a kit too. */
function placesOf(node: Node | null): string[][] {
  if (node?.kind !== 'map') return [];
  return [...node.entries].flatMap(([key, { node: inner }]) => {
    if (key === 'level' || key === 'dynamic') return [[key]];
    if ((key !== 'plays' && key !== 'parts') || inner.kind !== 'map') return [];
    return [...inner.entries].flatMap(([name, entry]) =>
      placesOf(entry.node).map((below) => [key, name, ...below]),
    );
  });
}

function lower(tree: Node, path: readonly string[], steps: number): Lowered[] | null {
  const node = nodeAt(tree, path);
  if (path.at(-1) === 'dynamic') return node?.kind === 'scalar' ? dynamicBelow(path, node.text, steps) : null;
  const at = node?.kind === 'map' ? [...path, 'spl'] : path;
  const scalar = nodeAt(tree, at);
  if (scalar?.kind !== 'scalar') return null;
  const [, number, rest = ''] = /^([\d.]+)(.*)$/s.exec(scalar.text.trim()) ?? [];
  if (number === undefined) return null;
  const text = `${Number((Number(number) - STEP * steps).toFixed(1))}${rest}`;
  const value = typeof scalar.value === 'number' ? Number(text) : text;
  return [{ edit: { path: at, value: nodeOf(value) }, told: `by ${STEP * steps} dB, to ${text.trim()}` }];
}

function dynamicBelow(path: readonly string[], now: string, steps: number): Lowered[] | null {
  const scale = SCALES.find((one) => one.includes(now));
  const next = scale?.[scale.indexOf(now) - steps];
  return next === undefined
    ? null
    : [{ edit: { path, value: nodeOf(next) }, told: `${next} instead of ${now}` }];
}

// Moving a player with all that is his to another room or booth.

/** Shares of width and depth at which spots are tried. */
const GRID = [0.3, 0.5, 0.7];

export const otherRoomMoves: MoveMaker = (base, { sounding }) =>
  movable(base, sounding).flatMap((thing) =>
    base.scene.rooms.flatMap((room, index) =>
      index === thing.room
        ? []
        : spotsIn(base.scene, room, index).map(
            (spot): Idea => ({
              kind: 'other-room',
              about: [thing.name, room.name],
              edits: editsMoving(base, thing, [spot[0] - thing.at[0], spot[1] - thing.at[1]]),
              say: () =>
                `move ${thing.name} with ${thing.section === 'players' ? 'his' : 'its'} mics to ${spotWords({ rooms: base.scene.rooms, tape: tapeOf(base.tree) }, index, spot)}`,
            }),
          ),
    ),
  );

/** Not in a booth that stands in the room. */
function spotsIn({ rooms }: Scene, { outline }: Room, index: number): Vec2[] {
  const [left, right] = edges(outline.map(([x]) => x));
  const [bottom, top] = edges(outline.map(([, y]) => y));
  const booths = rooms.filter(({ host }) => host === index);
  return GRID.flatMap((x) => GRID.map((y): Vec2 => [left + (right - left) * x, bottom + (top - bottom) * y]))
    .map(([x, y]): Vec2 => [Math.round(x * 20) / 20, Math.round(y * 20) / 20])
    .filter(([x, y]) => holds(outline, x, y) && !booths.some((booth) => holds(booth.outline, x, y)));
}

const edges = (values: readonly number[]): [number, number] => [Math.min(...values), Math.max(...values)];
