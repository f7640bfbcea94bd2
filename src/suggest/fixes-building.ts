/** Doors, absorption, baffles. */
import { midpoint, RADIANS, span, type Vec2 } from '../geometry.ts';
import type { Node } from '../plan/document.ts';
import { nodeAt } from '../plan/edit.ts';
import type { Scene } from '../scene/scene.ts';
import { rounded } from '../statistics.ts';
import type { Computed, FixMaker } from './evaluate.ts';
import { type FixDraft, fixOf, lengthFormatOf, placeWords, set } from './fixes.ts';
import type { Focus } from './objective.ts';

/** Where on the line from a player to a mic a baffle is tried, as a share of it. */
const SHARES = [0.25, 0.5, 0.75];
const TURNS = [-30, 30];
/** Places that a baffle from those on hand, and one of the plan, is tried at. */
const MOST_PLACES = 18;
const FEWER_PLACES = 3;
/** Nearer to its player than this no baffle stands before a mic, m. */
const NEAREST = 1;
type Place = { readonly middle: Vec2; readonly along: Vec2; readonly room: number; readonly between: string };

export const placeBaffleFixes: FixMaker = (base, { bleeders }) => {
  const places = placesBetween(base.scene, bleeders, MOST_PLACES);
  const { coordinate } = lengthFormatOf(base.tree);
  return base.plan.onHand.baffles.flatMap(({ width, height }, spare) =>
    places.map(({ middle, along, room, between }, i) => {
      const made = nodeAt(base.tree, ['on-hand', 'baffles', spare, 'made-of']);
      const path = ['baffles', freeName(`spare-${spare + 1}-${i + 1}`, base.plan.baffles)];
      const ends = endsOf(middle, along, width);
      const [from, to] = ends.map((end) => end.map(coordinate)) as [Node[], Node[]];
      const edit = set(path, { from, to, height: coordinate(height), ...(made && { 'made-of': made }) });
      const say = ({ rooms }: Scene) =>
        `place a spare baffle ${between}: ${endWords(base, rooms, room, ends)}`;
      return fixOf('place-baffle', [`spare baffle ${spare + 1}`], [edit], say, {
        takes: [['baffles', spare]],
      });
    }),
  );
};

export const moveBaffleFixes: FixMaker = (base, { bleeders }) =>
  movableBaffles(base).flatMap((baffle) => {
    const { name, a, b, room } = baffle;
    const places = placesBetween(base.scene, bleeders, FEWER_PLACES).filter((place) => place.room === room);
    return places.map(({ middle, along, between }) => {
      const ends = endsOf(middle, along, span(a, b));
      return moved(base, 'move-baffle', baffle, ends, `move ${name} ${between}`);
    });
  });

export const turnBaffleFixes: FixMaker = (base) =>
  movableBaffles(base).flatMap((baffle) =>
    TURNS.map((turn) => {
      const { name, a, b } = baffle;
      const angle = Math.atan2(b[0] - a[0], b[1] - a[1]) + turn * RADIANS;
      const ends = endsOf(midpoint(a, b), [Math.sin(angle), Math.cos(angle)], span(a, b));
      const words = `turn ${name} ${Math.abs(turn)}° ${turn > 0 ? 'clockwise' : 'anticlockwise'}`;
      return moved(base, 'turn-baffle', baffle, ends, words);
    }),
  );

/** But not what somebody faces, or a mic is aimed at. */
export const removeBaffleFixes: FixMaker = (base) =>
  movableBaffles(base)
    .filter(({ name }) => !isTarget(base.tree, name))
    .map(({ name }) =>
      fixOf('remove-baffle', [name], [{ path: ['baffles', name], value: null }], () => `remove ${name}`),
    );

/** Keys whose value may be the name of a baffle. */
const TARGETS = new Set(['facing', 'aim', 'null-at']);

function isTarget(node: Node, name: string): boolean {
  if (node.kind === 'list') return node.items.some((item) => isTarget(item, name));
  if (node.kind === 'scalar') return false;
  return [...node.entries].some(
    ([key, { node: value }]) =>
      (TARGETS.has(key) && value.kind === 'scalar' && value.text === name) || isTarget(value, name),
  );
}

const movableBaffles = ({ scene, plan }: Computed): Scene['panels'] =>
  scene.panels.filter(({ name, booth }) => booth === null && plan.baffles.get(name)?.fixed === false);

type Ends = readonly [Vec2, Vec2];

function moved(
  base: Computed,
  kind: 'move-baffle' | 'turn-baffle',
  { name, room }: Scene['panels'][number],
  ends: Ends,
  words: string,
): FixDraft {
  const { coordinate } = lengthFormatOf(base.tree);
  const edits = ends.map((end, i) => set(['baffles', name, i === 0 ? 'from' : 'to'], end.map(coordinate)));
  const say = ({ rooms }: Scene) => `${words}: ${endWords(base, rooms, room, ends)}`;
  return fixOf(kind, [name], edits, say);
}

const endWords = ({ tree }: Computed, rooms: Scene['rooms'], room: number, [from, to]: Ends): string =>
  `from ${placeWords({ tree, scene: { rooms } }, room, from)} to ${placeWords({ tree, scene: { rooms } }, room, to)}`;

/** Square to the line from whoever is loud to a mic for someone else in the same room, worst first. */
function placesBetween(scene: Scene, bleeders: Focus['bleeders'], most: number): Place[] {
  const places = bleeders.flatMap(({ player: index, mic: at }): Place[] => {
    const [player, mic] = [scene.players[index], scene.mics[at]];
    const capsule = scene.capsules[mic?.capsules[0] ?? -1];
    if (!player || !mic || capsule?.room !== player.room) return [];
    const line: Vec2 = [capsule.at[0] - player.at[0], capsule.at[1] - player.at[1]];
    const far = Math.hypot(...line);
    if (far < NEAREST) return [];
    return SHARES.map((share) => ({
      middle: [player.at[0] + line[0] * share, player.at[1] + line[1] * share],
      along: [-line[1] / far, line[0] / far],
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

const shift = (a: Vec2, by: Vec2): Vec2 => [rounded(a[0] + by[0], 2), rounded(a[1] + by[1], 2)];

export const doorFixes: FixMaker = ({ plan }) =>
  [...plan.partitions].flatMap(([name, partition]) =>
    (['doors', 'windows'] as const).flatMap((kind) =>
      partition[kind].flatMap(({ state, made }, i) => {
        if (state === 'closed' || made === undefined) return [];
        const edit = set(['partitions', name, kind, i, 'state'], 'closed');
        return [fixOf('door', [name, String(i)], [edit], () => `close the ${kind.slice(0, -1)} of ${name}`)];
      }),
    ),
  );

export const absorptionFixes: FixMaker = ({ plan, tree }) =>
  plan.onHand.absorption.flatMap(({ area }, spare) =>
    [...plan.rooms].flatMap(([room, { wallNames, patches }]) =>
      ['floor', ...wallNames].map((on) => {
        const finish = nodeAt(tree, ['on-hand', 'absorption', spare, 'finish']);
        const path = ['rooms', room, 'patches', freeName(`hung-${spare + 1}-${on}`, patches)];
        const what = finish?.kind === 'scalar' ? finish.text : 'absorption';
        const [verb, place] = on === 'floor' ? ['lay', 'floor'] : ['hang', `${on} wall`];
        const say = () => `${verb} ${lengthFormatOf(tree).area(area)} of ${what} on the ${place} of ${room}`;
        const edit = set(path, { on, ...(finish && { finish }), area });
        return fixOf('absorption', [room, String(spare)], [edit], say, {
          size: on === 'floor' ? 'the floor' : `the ${on} wall`,
          takes: [['absorption', spare]],
        });
      }),
    ),
  );

function freeName(wanted: string, taken: { has(name: string): boolean }): string {
  let name = wanted;
  for (let i = 2; taken.has(name); i++) name = `${wanted}-${i}`;
  return name;
}
