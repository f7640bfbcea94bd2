/** A plan of the size that the goals of moves and trials are stated for, in words: made up for measuring speed, no session of anyone's. */

const COLUMNS = 4;
const PLAYS = ['trumpet', 'trombone', 'flugelhorn', 'horn', 'euphonium', 'cornet', 'singing-voice', 'tuba'];

/** 16 players in rows, 24 microphones (16 near, 4 pairs' worth above, 4 for everyone), 6 baffles, a hall and two rooms beside it. */
export function largePlan(): string {
  const players = Array.from({ length: 16 }, (_, i) => player(i));
  const near = Array.from(
    { length: 16 },
    (_, i) => `  mic-${i + 1}: {for: player-${i + 1}, near: {distance: 40 cm}, pattern: cardioid}`,
  );
  const spots = Array.from({ length: 4 }, (_, i) => spot(i));
  const all = Array.from(
    { length: 4 },
    (_, i) => `  room-${i + 1}: {for: all, at: [${2.4 + 2.2 * i}, 0.8, 2.2], aim: 0}`,
  );
  const baffles = Array.from({ length: 6 }, (_, i) => baffle(i));
  return `${ROOMS}players:\n${players.join('\n')}\nmics:\n${[...near, ...spots, ...all].join('\n')}\nbaffles:\n${baffles.join('\n')}\n${REST}`;
}

const ROOMS = `spillcheck: 1
title: Sixteen players behind six screens
rooms:
  hall: {size: [12, 9], height: 3.6, floor: parquet, ceiling: acoustic-tile, walls: plaster}
  booth: {origin: [12, 0], size: [3, 4], height: 2.6, floor: carpet-heavy, ceiling: acoustic-tile, walls: plaster}
  store: {origin: [12, 5], size: [3, 4], height: 2.6, floor: parquet, ceiling: plaster, walls: plaster}
partitions:
  booth-wall: {between: [hall, booth], wall: separate-gypsum-insulated, doors: [{at: [12, 2], width: 0.9, height: 2.1, leaf: acoustic-door, state: closed}]}
  store-wall: {between: [hall, store], wall: separate-gypsum-insulated, doors: [{at: [12, 7], width: 0.9, height: 2.1, leaf: acoustic-door, state: closed}]}
`;

const REST = `on-hand:
  baffles: [{width: 1.2, height: 1.5, made-of: glazed-baffle}]
limits:
  signal-to-bleed: 10
`;

/** Square to the page by 2.4 m, front rows to the back. */
function player(i: number): string {
  const x = 1.8 + 2.6 * (i % COLUMNS);
  const y = 1.8 + 2 * Math.floor(i / COLUMNS);
  return `  player-${i + 1}: {at: [${x.toFixed(2)}, ${y.toFixed(2)}], facing: ${(i * 37) % 360}, plays: ${PLAYS[i % PLAYS.length]}}`;
}

const spot = (i: number): string =>
  `  spot-${i + 1}: {for: player-${4 * i + 1}, at: [${(2.4 + 0.3 * i).toFixed(2)}, ${(2.2 + 2 * i).toFixed(2)}, 2], aim: player-${4 * i + 1}, pattern: hypercardioid}`;

function baffle(i: number): string {
  const x = 2.5 + 2.6 * (i % 3);
  const y = i < 3 ? 2.8 : 6.8;
  return `  screen-${i + 1}: {from: [${x.toFixed(2)}, ${y.toFixed(2)}], to: [${(x + 1.1).toFixed(2)}, ${(y + 0.1 * i).toFixed(2)}], height: 1.5, made-of: glazed-baffle}`;
}
