/** Microphones of a random session: close, at a place, in pairs, for all, lines. */
import { anySpot, newName, type PlanValue, type Stage } from './stage.ts';
import { wordFor } from './words.ts';

export function micsOf(stage: Stage): PlanValue {
  const count = stage.dice.whole(1, 5);
  return Object.fromEntries(
    Array.from({ length: count }, () => [newName(stage, 'mics', 'mic'), micOf(stage)]),
  );
}

function micOf(stage: Stage): PlanValue {
  const { dice, given } = stage;
  const own = dice.pick([...given.players, ...given.sources]);
  const whom = dice.chance(0.1)
    ? dice.pick(['all', 'room'])
    : dice.chance(0.1)
      ? [own, dice.pick(given.players)]
      : own;
  if (dice.chance(0.05)) return { for: own, di: true };
  return {
    for: whom,
    ...placeOf(stage, typeof whom === 'string' && given.players.includes(whom)),
    ...mannerOf(stage),
  };
}

function placeOf(stage: Stage, canBeNear: boolean): PlanValue {
  const { dice, given } = stage;
  const aim = dice.chance(0.4)
    ? { aim: lookOf(stage) }
    : dice.chance(0.2)
      ? { 'null-at': wordFor('null-at', dice, given) }
      : {};
  if (!canBeNear || dice.chance(0.3)) {
    const [x, y] = anySpot(stage);
    return { at: dice.chance(0.7) ? [x, y, dice.pick([0, 1.2, dice.between(0, 3)])] : [x, y], ...aim };
  }
  const distance = dice.pick([0.005, 0.2, dice.between(0.01, 3)]);
  const above = dice.chance(0.2) ? { above: distance * dice.pick([1, dice.share()]) } : {};
  const angle = dice.chance(0.3) ? { angle: dice.pick([0, 90, 180, dice.between(0, 180)]) } : {};
  return { near: { distance, ...above, ...angle }, ...aim };
}

function lookOf({ dice, given }: Stage): unknown {
  if (dice.chance(0.4)) return dice.whole(0, 360);
  if (dice.chance(0.5))
    return { bearing: dice.whole(0, 360), tilt: dice.pick([-90, 90, dice.whole(-90, 90)]) };
  return wordFor('aim', dice, given);
}

function mannerOf({ dice, given }: Stage): PlanValue {
  const stereo = () =>
    dice.pick<unknown>(['ortf', 'nos', 'crossed-8', 'mid-side', 'xy', { xy: 20 }, { spaced: 0.9 }]);
  return {
    ...(dice.chance(0.6) && { pattern: wordFor('pattern', dice, given) }),
    ...(dice.chance(0.15) && { stereo: stereo() }),
    ...(dice.chance(0.2) && { 'high-pass': dice.whole(20, 400) }),
    ...(dice.chance(0.1) && { 'low-pass': { at: dice.whole(1000, 16_000), slope: 24 } }),
    ...(dice.chance(0.1) && { 'null-depth': dice.pick(['textbook', 0, 30]) }),
    ...(dice.chance(0.1) && { mix: dice.whole(-60, 20) }),
    ...(dice.chance(0.1) && { use: false }),
  };
}
