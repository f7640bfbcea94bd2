/** Whole sessions at random, which mostly stand: rooms of any outline, walls and doors, people, mics, screens, demands. */
import type { Dice } from './dice.ts';
import { CELL, outlineIn, type Spot, spotIn } from './outlines.ts';
import { micsOf } from './session-mics.ts';
import { anyOutline, anySpot, newName, type PlanValue, type Stage } from './stage.ts';
import { nobody, wordFor } from './words.ts';

export function session(dice: Dice): PlanValue {
  const outlines = Array.from({ length: dice.whole(0, 3) }, (_, cell) => outlineIn(dice, cell));
  const stage: Stage = { dice, given: nobody(), outlines };
  const sections = {
    spillcheck: 1,
    title: 'A made-up day',
    ...(outlines.length > 0 && { rooms: roomsOf(stage) }),
    ...(outlines.length > 1 && dice.chance(0.8) && { partitions: partitionsOf(stage) }),
    players: playersOf(stage),
    ...(dice.chance(0.5) && { sources: sourcesOf(stage) }),
    ...(dice.chance(0.6) && { baffles: bafflesOf(stage) }),
  };
  return { ...sections, mics: micsOf(stage), ...demandsOf(stage) };
}

const some = <T>(dice: Dice, from: number, to: number, make: () => T): T[] =>
  Array.from({ length: dice.whole(from, to) }, make);

function roomsOf(stage: Stage): PlanValue {
  const { dice, given, outlines } = stage;
  const finish = () => wordFor('finish', dice, given);
  return Object.fromEntries(
    outlines.map((outline) => [
      newName(stage, 'rooms', 'room'),
      {
        outline,
        height: dice.pick([2.4, 3.6, dice.between(1.9, 9)]),
        ...(dice.chance(0.6) && { floor: finish(), ceiling: finish(), walls: finish() }),
        ...(dice.chance(0.4) && { reverberation: { 125: dice.between(0.1, 3), 1000: dice.between(0.1, 3) } }),
        ...(dice.chance(0.2) && { 'floor-level': dice.between(-1, 1) }),
        ...(dice.chance(0.2) && { noise: dice.whole(0, 60) }),
      },
    ]),
  );
}

/** Mostly with doors where the rooms do share a wall. */
function partitionsOf(stage: Stage): PlanValue {
  const { dice, given, outlines } = stage;
  const partitions = given.rooms.slice(1).flatMap((room, i): [string, PlanValue][] => {
    const x = (i + 1) * CELL;
    const shared = Math.min(...outlines.slice(i, i + 2).map((outline) => reachAt(outline, x)));
    if (shared < 1e-9 && dice.chance(0.95)) return [];
    const between = [given.rooms[i], room];
    return [[`wall-${i}`, { between, wall: wordFor('wall', dice, given), ...holesIn(stage, x, shared) }]];
  });
  return Object.fromEntries(partitions);
}

/** How far up the page a room goes along a line across it. */
const reachAt = (outline: readonly Spot[], at: number): number =>
  Math.max(0, ...outline.filter(([x]) => Math.abs(x - at) < 1e-9).map(([, y]) => y));

function holesIn({ dice, given }: Stage, x: number, shared: number): PlanValue {
  const hole = (from: number) => ({
    at: [x, dice.between(from + 0.5, from + shared / 3 - 0.2)],
    width: dice.between(0.1, Math.max(0.1, shared / 8)),
    height: dice.pick([2, dice.between(0.1, 2.3)]),
  });
  const leaf = (key: string, from: number) => ({
    ...hole(from),
    [key]: wordFor(key, dice, given),
    state: dice.pick(['closed', 'ajar', 'open']),
  });
  return {
    ...(dice.chance(0.6) && { doors: [leaf('leaf', 0)] }),
    ...(dice.chance(0.3) && { windows: [{ ...leaf('glass', shared / 3), sill: 0.2 }] }),
    ...(dice.chance(0.3) && { openings: [hole((2 * shared) / 3)] }),
    ...(dice.chance(0.3) && { area: dice.between(2, 30) }),
  };
}

function playersOf(stage: Stage): PlanValue {
  const { dice, given } = stage;
  const one = () => ({
    at: anySpot(stage),
    plays: wordFor('plays', dice, given),
    ...(dice.chance(0.6) && {
      facing: dice.chance(0.9) ? dice.whole(0, 359) : wordFor('facing', dice, given),
    }),
    ...(dice.chance(0.3) && { standing: true }),
    ...(dice.chance(0.4) && { level: wordFor('level', dice, given) }),
    ...(dice.chance(0.3) && { later: dice.pick(['leave', 'rebalance', 'tune', 'replace']) }),
    ...(dice.chance(0.3) && { cue: dice.pick(['closed', 'open', 'one-off', 'in-ear', 'none']) }),
  });
  return Object.fromEntries(some(dice, 1, 5, () => [newName(stage, 'players', 'player'), one()]));
}

function sourcesOf(stage: Stage): PlanValue {
  const { dice, given } = stage;
  const one = () => ({
    at: [...anySpot(stage), dice.between(0, 2)],
    instrument: wordFor('instrument', dice, given),
    ...(dice.chance(0.3) && { section: { players: dice.whole(1, 12), size: [dice.between(0.5, 3), 1.5] } }),
    ...(dice.chance(0.1) && given.players.length > 0 && { repeats: dice.pick(given.players) }),
    ...(dice.chance(0.2) && { cover: wordFor('cover', dice, given) }),
  });
  return Object.fromEntries(some(dice, 1, 2, () => [newName(stage, 'sources', 'source'), one()]));
}

/** Alone, touching, crossing, along walls. */
function bafflesOf(stage: Stage): PlanValue {
  const { dice, given } = stage;
  const outline = anyOutline(stage);
  let last = spotIn(dice, outline);
  const one = () => {
    const from = dice.chance(0.4) ? last : spotIn(dice, outline);
    const [x, y] = spotIn(dice, outline);
    const share = dice.chance(0.3)
      ? 1
      : Math.min(1, dice.between(0.3, 3) / Math.hypot(x - from[0], y - from[1]));
    last = [from[0] + share * (x - from[0]), from[1] + share * (y - from[1])];
    const gap = dice.chance(0.3) ? { gap: dice.between(0, 0.4) } : {};
    return {
      from,
      to: last,
      height: dice.between(0.5, 2.4),
      'made-of': wordFor('made-of', dice, given),
      ...gap,
    };
  };
  return Object.fromEntries(some(dice, 1, 4, () => [newName(stage, 'baffles', 'screen'), one()]));
}

function demandsOf({ dice, given }: Stage): PlanValue {
  const who = [...given.players, ...given.sources];
  const subset = () => who.filter(() => dice.chance(0.6));
  return {
    ...(dice.chance(0.1) && { units: dice.pick(['m', 'ft']) }),
    ...(dice.chance(0.3) && { passages: { verse: [dice.pick(who), ...subset()], chorus: [dice.pick(who)] } }),
    ...(dice.chance(0.5) && {
      limits: {
        'three-to-one': dice.chance(0.7),
        weighting: dice.pick(['own', 'Z', 'A', 'C']),
        ...(dice.chance(0.4) && { 'signal-to-bleed': dice.whole(0, 40) }),
        ...(dice.chance(0.1) && { confidence: dice.between(0.1, 0.95) }),
      },
    }),
    tolerance: { draws: dice.whole(1, 12), seed: dice.whole(0, 1e6) },
    ...(dice.chance(0.3) && { air: { temperature: dice.between(-30, 60), humidity: dice.between(1, 100) } }),
  };
}
