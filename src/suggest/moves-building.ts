/** Doors, absorption, baffles. */
import { midpoint, RADIANS, span, type Vec2 } from '../geometry.ts';
import type { Node } from '../plan/document.ts';
import { nodeAt, nodeOf } from '../plan/edit.ts';
import type { Scene } from '../scene/scene.ts';
import { rounded } from '../statistics.ts';
import type { Computed, MoveMaker } from './evaluate.ts';
import { type Idea, type Spotted, spotWords, stepWords, tapeOf } from './moves.ts';
import type { Focus } from './objective.ts';

// Placing a baffle from those on hand; moving, turning and taking away those that stand.
/** Where on the way from a player to a mic a baffle is tried, as a share of it. */
const SHARES = [0.25, 0.4, 0.6, 0.75];
const TURNS = [-30, 30, 90];
const STEP = 0.5;
/** Places that a baffle from those on hand, and one that stands already, is tried at. */
const MOST_PLACES = 24;
const FEWER_PLACES = 4;
/** Nearer to its player than this no baffle stands before a mic, m. */
const NEAREST = 1;
type Place = { readonly middle: Vec2; readonly along: Vec2; readonly room: number; readonly between: string };

export const placeBaffleMoves: MoveMaker = (base, { spills }) => {
  const places = placesBetween(base.scene, spills, MOST_PLACES);
  return base.plan.onHand.baffles.flatMap(({ width, height }, spare) =>
    places.map((place, i): Idea => {
      const made = nodeAt(base.tree, ['on-hand', 'baffles', spare, 'made-of']);
      const name = freeName(`spare-${spare + 1}-${i + 1}`, base.plan.baffles);
      const [from, to] = endsOf(place.middle, place.along, width);
      const value = nodeOf({
        from: written(base, from),
        to: written(base, to),
        height: tapeOf(base.tree).place(height),
        ...(made ? { 'made-of': made } : {}),
      });
      return {
        kind: 'place-baffle',
        about: [`spare baffle ${spare + 1}`],
        edits: [{ path: ['baffles', name], value }],
        say: ({ rooms }) =>
          `place a baffle from those on hand ${place.between}: ${ends(spotted(base, rooms), place.room, [from, to])}`,
        takes: [['baffles', spare]],
      };
    }),
  );
};

export const moveBaffleMoves: MoveMaker = (base, { spills }) =>
  standing(base).flatMap(({ name, a, b, room }) => {
    const steps = Array.from(
      { length: 4 },
      (_, i): Vec2 => [STEP * Math.sin((i * Math.PI) / 2), STEP * Math.cos((i * Math.PI) / 2)],
    );
    const there = placesBetween(base.scene, spills, FEWER_PLACES).filter((place) => place.room === room);
    const width = span(a, b);
    return [
      ...steps.map((by) => {
        const to = [shift(a, by), shift(b, by)] as const;
        return moved(base, name, to, (on) => `${stepWords(by, on.tape)}: ${ends(on, room, to)}`);
      }),
      ...there.map((place) => {
        const to = endsOf(place.middle, place.along, width);
        return moved(base, name, to, (rooms) => `${place.between}: ${ends(rooms, room, to)}`);
      }),
    ];
  });

export const turnBaffleMoves: MoveMaker = (base) =>
  standing(base).flatMap(({ name, a, b, room }) =>
    TURNS.map((turn): Idea => {
      const middle = midpoint(a, b);
      const angle = Math.atan2(b[0] - a[0], b[1] - a[1]) + turn * RADIANS;
      const to = endsOf(middle, [Math.sin(angle), Math.cos(angle)], span(a, b));
      return {
        ...moved(base, name, to, () => ''),
        kind: 'turn-baffle',
        say: ({ rooms }) =>
          `turn ${name} ${Math.abs(turn)}° ${turn > 0 ? 'clockwise' : 'anticlockwise'}: ${ends(spotted(base, rooms), room, to)}`,
      };
    }),
  );

/** But not what somebody looks at, or a mic is aimed by. */
export const takeBaffleAwayMoves: MoveMaker = (base) =>
  standing(base)
    .filter(({ name }) => !isLookedAt(base.tree, name))
    .map(({ name }) => ({
      kind: 'take-baffle-away',
      about: [name],
      edits: [{ path: ['baffles', name], value: null }],
      say: () => `take ${name} away`,
    }));

/** Keys whose value may be the name of a baffle. */
const LOOKS = new Set(['facing', 'aim', 'null-at']);

function isLookedAt(node: Node, name: string): boolean {
  if (node.kind === 'list') return node.items.some((item) => isLookedAt(item, name));
  if (node.kind === 'scalar') return false;
  return [...node.entries].some(
    ([key, { node: value }]) =>
      (LOOKS.has(key) && value.kind === 'scalar' && value.text === name) || isLookedAt(value, name),
  );
}

const standing = ({ scene, plan }: Computed) =>
  scene.panels.filter(({ name, booth }) => booth === null && plan.baffles.get(name)?.fixed === false);

type Ends = readonly [Vec2, Vec2];

function moved(base: Computed, name: string, [from, to]: Ends, words: (on: Spotted) => string): Idea {
  return {
    kind: 'move-baffle',
    about: [name],
    edits: [
      { path: ['baffles', name, 'from'], value: nodeOf(written(base, from)) },
      { path: ['baffles', name, 'to'], value: nodeOf(written(base, to)) },
    ],
    say: ({ rooms }) => `move ${name} ${words(spotted(base, rooms))}`,
  };
}

const spotted = ({ tree }: Computed, rooms: Scene['rooms']): Spotted => ({ rooms, tape: tapeOf(tree) });

const ends = (on: Spotted, room: number, [from, to]: Ends): string =>
  `from ${spotWords(on, room, from)} to ${spotWords(on, room, to)}`;

/** Square to the way from whoever is loud to a mic for someone else in the same room, worst first. */
function placesBetween(scene: Scene, spills: Focus['spills'], most: number): Place[] {
  const places = spills.flatMap(({ player: index, mic: at }): Place[] => {
    const [player, mic] = [scene.players[index], scene.mics[at]];
    const capsule = scene.capsules[mic?.capsules[0] ?? -1];
    if (!player || !mic || capsule?.room !== player.room) return [];
    const way: Vec2 = [capsule.at[0] - player.at[0], capsule.at[1] - player.at[1]];
    const far = Math.hypot(...way);
    if (far < NEAREST) return [];
    return SHARES.map((share) => ({
      middle: [player.at[0] + way[0] * share, player.at[1] + way[1] * share],
      along: [-way[1] / far, way[0] / far],
      room: player.room,
      between: `between ${player.name} and ${mic.name}`,
    }));
  });
  return places.slice(0, most);
}

const endsOf = (middle: Vec2, [x, y]: Vec2, width: number): Ends => [
  shift(middle, [(-x * width) / 2, (-y * width) / 2]),
  shift(middle, [(x * width) / 2, (y * width) / 2]),
];

const hundredth = (value: number): number => rounded(value, 2);
const shift = (a: Vec2, by: Vec2): Vec2 => [hundredth(a[0] + by[0]), hundredth(a[1] + by[1])];
const written = ({ tree }: Computed, at: Vec2): Node[] => at.map(tapeOf(tree).place);

export const doorMoves: MoveMaker = ({ plan }) =>
  [...plan.partitions].flatMap(([name, partition]) =>
    (['doors', 'windows'] as const).flatMap((kind) =>
      partition[kind].flatMap(({ state, made }, i): Idea[] => {
        if (state === 'closed' || made === undefined) return [];
        const [one] = kind.split(/s$/);
        return [
          {
            kind: 'door',
            about: [name, String(i)],
            edits: [{ path: ['partitions', name, kind, i, 'state'], value: nodeOf('closed') }],
            say: () => `shut the ${one} of ${name}`,
          },
        ];
      }),
    ),
  );

export const absorptionMoves: MoveMaker = ({ plan, tree }) =>
  plan.onHand.absorption.flatMap(({ area }, spare) =>
    [...plan.rooms].flatMap(([room, { wallNames, patches }]) =>
      ['floor', ...wallNames].map((on): Idea => {
        const finish = nodeAt(tree, ['on-hand', 'absorption', spare, 'finish']);
        const value = nodeOf({ on, ...(finish ? { finish: finish as never } : {}), area });
        const name = freeName(`hung-${spare + 1}-${on}`, patches);
        const what = finish?.kind === 'scalar' ? finish.text : 'the absorption';
        const told = tapeOf(tree).area(area);
        const [verb, place] = on === 'floor' ? ['lay', 'floor'] : ['hang', `${on} wall`];
        return {
          kind: 'absorption',
          about: [room, on, String(spare)],
          edits: [{ path: ['rooms', room, 'patches', name], value }],
          say: () => `${verb} ${told} of ${what} on the ${place} of ${room}`,
          takes: [['absorption', spare]],
        };
      }),
    ),
  );

function freeName(wanted: string, taken: { has(name: string): boolean }): string {
  let name = wanted;
  for (let i = 2; taken.has(name); i++) name = `${wanted}-${i}`;
  return name;
}
