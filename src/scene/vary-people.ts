/** Players somewhat off their place and turned, with all they play; what stands by itself likewise. */
import type { Luck } from './luck.ts';
import type { Player, Scene, Source, SourcePoint } from './scene.ts';
import { type Move, type Spot, shareWithin } from './stays.ts';
import { turnOnPlan } from './turn.ts';
import { add, scale, subtract, type Vec3 } from './vector.ts';
import { middleOf } from './voice.ts';

type Moved = { readonly players: Player[]; readonly sources: Source[] };

export function movePeople(scene: Scene, luck: Luck): Moved {
  const shifts = scene.players.map((player, index) => {
    const carried = scene.sources.filter((source) => carrier(source) === index);
    return shiftOf(scene, player.at, [...spotsOf(player), ...carried.flatMap(({ points }) => points)], luck);
  });
  const players = scene.players.map((player, index) => movedPlayer(player, shifts[index] as Shift));
  const sources = scene.sources.map((source) => {
    const player = carrier(source);
    const own =
      player === null ? shiftOf(scene, middleOf(source.points), source.points, luck) : shifts[player];
    return own ? movedSource(source, own) : source;
  });
  return { players, sources };
}

/** The player with whom a source moves; null for what stands by itself, also where a player far from it plays it. */
const carrier = ({ player, path }: Source): number | null => (path[0] === 'sources' ? null : player);

const spotsOf = ({ at, ears, eyes, room }: Player): Spot[] =>
  [at, ears, eyes].map((one) => ({ at: one, room }));

/** A turn about a pivot, degrees clockwise, and a step on the plan. */
type Shift = { readonly pivot: Vec3; readonly turn: number; readonly step: Vec3 };

function shiftOf(scene: Scene, pivot: Vec3, spots: readonly Spot[], { roll }: Luck): Shift {
  const { facing, place } = scene.tolerance;
  const turn = facing * roll('facing');
  const step: Vec3 = [place * roll('place'), place * roll('place'), 0];
  const move: Move = (at, share) => shifted(at, { pivot, turn: turn * share, step: scale(step, share) });
  const share = shareWithin(scene, spots, move);
  return { pivot, turn: turn * share, step: scale(step, share) };
}

function shifted(at: Vec3, { pivot, turn, step }: Shift): Vec3 {
  const about = turn === 0 ? at : add(pivot, turnOnPlan(subtract(at, pivot), turn));
  return add(about, step);
}

const movedPlayer = (player: Player, shift: Shift): Player => ({
  ...player,
  at: shifted(player.at, shift),
  facing: player.facing + shift.turn,
  ears: shifted(player.ears, shift),
  eyes: shifted(player.eyes, shift),
});

const movedSource = (source: Source, shift: Shift): Source => ({
  ...source,
  points: source.points.map(
    (point): SourcePoint => ({
      ...point,
      at: shifted(point.at, shift),
      axis: turnOnPlan(point.axis, shift.turn),
    }),
  ),
});
