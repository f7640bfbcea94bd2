/** Softer, turn, move, swap, other room. */
import { holds, type Vec2 } from '../geometry.ts';
import type { Node } from '../plan/document.ts';
import { type Edit, nodeAt } from '../plan/edit.ts';
import type { Room, Scene } from '../scene/scene.ts';
import { carryMinutes } from './carrying.ts';
import { type Computed, editsMoving, type FixMaker, movable, ownMicNames, type Thing } from './evaluate.ts';
import { type FixDraft, fixOf, lengthFormatOf, placeWords, set, stepWords } from './fixes.ts';

/** Degrees. Finer steps change too little to ask for. Common practice, no source. */
const TURNS = [-30, 30, -60, 60, -90, 90, 180];
/** Steps on the plan, m, and into how many directions. */
const STEPS = [
  { step: 0.5, ways: 4 },
  { step: 1, ways: 8 },
];

export const turnPlayerFixes: FixMaker = (base, { sounding }) =>
  movable(base, sounding).flatMap((thing) => {
    const { name, section, facing: now } = thing;
    const keeps = ownMicNames(base.scene, thing);
    const atLeast = carryMinutes(base, name);
    return TURNS.map((turn) => {
      const facing = Math.round(now + turn + 720) % 360;
      const side = turn === 180 ? 'around' : `${Math.abs(turn)}° ${turn > 0 ? 'right' : 'left'}`;
      const edit = set([section, name, 'facing'], facing);
      const say = () => `turn ${name} ${side} (facing ${facing}°)`;
      return fixOf('turn-player', [name], [edit], say, { size: side, keeps, atLeast });
    });
  });

export const movePlayerFixes: FixMaker = (base, { sounding }) => {
  const format = lengthFormatOf(base.tree);
  return movable(base, sounding).flatMap((thing) => {
    const atLeast = carryMinutes(base, thing.name);
    return STEPS.flatMap(({ step, ways }) =>
      Array.from({ length: ways }, (_, i) => {
        const way = (i * 2 * Math.PI) / ways;
        const by = [step * Math.sin(way), step * Math.cos(way)] as const;
        const say = () => {
          const to = placeWords(base, thing.room, [thing.at[0] + by[0], thing.at[1] + by[1]]);
          return `move ${thing.name} and mics ${stepWords(by, format)}, to ${to}`;
        };
        return fixOf('move-player', [thing.name], editsMoving(base, thing, by), say, { atLeast });
      }),
    );
  });
};

export const swapPlayersFixes: FixMaker = (base, { sounding }) => {
  const people = movable(base, sounding).filter(({ section }) => section === 'players');
  return people.flatMap((one, i) =>
    people.slice(i + 1).map((other) => {
      const edits = [...inPlaceOf(base, one, other), ...inPlaceOf(base, other, one)];
      const say = () => `swap ${one.name} and ${other.name}`;
      const atLeast = carryMinutes(base, one.name) + carryMinutes(base, other.name);
      return fixOf('swap-players', [one.name, other.name], edits, say, { atLeast });
    }),
  );
};

/** A player who faces a bearing, not a target, takes over that of another's place. */
export function inPlaceOf(base: Computed, one: Thing, other: Thing): Edit[] {
  const path = [one.section, one.name, 'facing'];
  const facing = nodeAt(base.tree, path);
  const keeps = one.section === 'sources' || other.section === 'sources';
  const isTarget =
    facing?.kind === 'scalar' &&
    typeof facing.value === 'string' &&
    Number.isNaN(Number.parseFloat(facing.text));
  return [
    ...editsMoving(base, one, [other.at[0] - one.at[0], other.at[1] - one.at[1]]),
    ...(isTarget || keeps ? [] : [set(path, Math.round(other.facing) % 360)]),
  ];
}

const SCALES = [
  ['pp', 'p', 'mp', 'mf', 'f', 'ff'],
  ['soft', 'medium', 'loud'],
];
/** What counts where the plan says nothing. */
const USUAL = 'mf';
/** dB for each step where a level is given. */
const STEP = 3;

export const softerFixes: FixMaker = ({ tree, plan }, { sounding }) => {
  const playing = [...plan.players].flatMap(([name, { plays }]) => (plays.length > 0 ? [name] : []));
  const softerIn = (section: string, names: readonly string[], words: (name: string) => string) =>
    names
      .filter((name) => sounding.has(name))
      .flatMap((name) => softer(tree, [section, name], words(name), name));
  return [
    ...softerIn('players', playing, (name) => `have ${name} play`),
    ...softerIn('sources', [...plan.sources.keys()], (name) => `turn ${name} down:`),
  ];
};

const softer = (tree: Node, path: readonly string[], words: string, name: string): FixDraft[] =>
  [1, 2].flatMap((steps) => {
    const made = lowered(tree, path, steps);
    const changes = [...new Set(made.map(({ change }) => change))].join(', ');
    const edits = made.map(({ edit }) => edit);
    return made.length === 0 ? [] : [fixOf('softer', [name], edits, () => `${words} ${changes}`)];
  });

type Lowered = { readonly edit: Edit; readonly change: string };

/** Wherever loudness is given for a player and their instruments; as a dynamic for all where it is given nowhere. */
function lowered(tree: Node, path: readonly string[], steps: number): Lowered[] {
  const node = nodeAt(tree, path);
  const places = placesOf(node).map((below) => [...path, ...below]);
  if (places.length > 0) return places.flatMap((place) => lower(tree, place, steps));
  if (node?.kind === 'map' && node.entries.has('power')) return [];
  return dynamicBelow([...path, 'dynamic'], USUAL, steps);
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

function lower(tree: Node, path: readonly string[], steps: number): Lowered[] {
  const node = nodeAt(tree, path);
  if (path.at(-1) === 'dynamic') return node?.kind === 'scalar' ? dynamicBelow(path, node.text, steps) : [];
  const at = node?.kind === 'map' ? [...path, 'spl'] : path;
  const scalar = nodeAt(tree, at);
  const written = scalar?.kind === 'scalar' ? scalar.text.trim() : '';
  const [, number, rest = ''] = /^([\d.]+)(.*)$/s.exec(written) ?? [];
  if (scalar?.kind !== 'scalar' || number === undefined) return [];
  const text = `${Number((Number(number) - STEP * steps).toFixed(1))}${rest}`;
  const edit = set(at, typeof scalar.value === 'number' ? Number(text) : text);
  return [{ edit, change: `${STEP * steps} dB softer (${text.trim()})` }];
}

function dynamicBelow(path: readonly string[], now: string, steps: number): Lowered[] {
  const scale = SCALES.find((one) => one.includes(now));
  const next = scale?.[scale.indexOf(now) - steps];
  return next === undefined ? [] : [{ edit: set(path, next), change: `${next}, not ${now}` }];
}

/** Shares of width and depth of another room or booth at which places are tried. */
const GRID = [0.3, 0.5, 0.7];

export const otherRoomFixes: FixMaker = (base, { sounding }) =>
  movable(base, sounding).flatMap((thing) =>
    base.scene.rooms.flatMap((room, index) => {
      const places = index === thing.room ? [] : placesIn(base.scene, room, index);
      return places.map((to) => {
        const edits = editsMoving(base, thing, [to[0] - thing.at[0], to[1] - thing.at[1]]);
        const say = () => `move ${thing.name} and mics to ${placeWords(base, index, to)}`;
        const atLeast = carryMinutes(base, thing.name);
        return fixOf('other-room', [thing.name, room.name], edits, say, { atLeast });
      });
    }),
  );

/** Not in a booth that stands in the room. */
export function placesIn({ rooms }: Scene, { outline }: Room, index: number): Vec2[] {
  const [left, right] = ends(outline.map(([x]) => x));
  const [bottom, top] = ends(outline.map(([, y]) => y));
  const booths = rooms.filter(({ host }) => host === index);
  return GRID.flatMap((x) => GRID.map((y): Vec2 => [left + (right - left) * x, bottom + (top - bottom) * y]))
    .map(([x, y]): Vec2 => [Math.round(x * 20) / 20, Math.round(y * 20) / 20])
    .filter(([x, y]) => holds(outline, x, y) && !booths.some((booth) => holds(booth.outline, x, y)));
}

const ends = (values: readonly number[]): [number, number] => [Math.min(...values), Math.max(...values)];
