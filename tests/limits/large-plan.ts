/** A plan as large as wanted: square rooms in rows of six, walls with doors between them, all else shared out among them. */

export type Size = {
  readonly rooms: number;
  readonly sources: number;
  readonly mics: number;
  readonly baffles: number;
};

const PER_ROW = 6;

export function largePlan({ rooms, sources, mics, baffles }: Size): string {
  const inRow = Math.ceil(Math.sqrt(Math.max(sources, baffles) / rooms));
  const wide = 2 + 2 * inRow;
  const corner = (room: number) => [(room % PER_ROW) * wide, Math.floor(room / PER_ROW) * wide] as const;
  /** A place of its own for the i-th of a kind: on a grid in the room whose turn it is. */
  const place = (i: number, [dx, dy]: readonly [number, number]) => {
    const [x, y] = corner(i % rooms);
    const turn = Math.floor(i / rooms);
    return [x + 1.5 + 2 * (turn % inRow) + dx, y + 1.5 + 2 * Math.floor(turn / inRow) + dy] as const;
  };
  const list = (count: number, line: (i: number) => string) =>
    Array.from({ length: count }, (_, i) => `  ${line(i)}\n`).join('');
  const player = (i: number) => {
    const [x, y] = place(i, [0, 0]);
    return `p${i}: {at: [${x}, ${y}], facing: ${(i * 40) % 360}, plays: cornet}`;
  };
  const mic = (i: number) =>
    `m${i}: {for: p${i % sources}, near: {distance: ${20 + 5 * (i % 7)} cm, angle: ${i % 60}}}`;
  const baffle = (i: number) => {
    const [x, y] = place(i, [0.9, 0.9]);
    return `b${i}: {from: [${x}, ${y}], to: [${x + 1.1}, ${y}], height: 1.5, made-of: upholstered-baffle}`;
  };
  return `# Invented data.
spillcheck: 1
title: As large as plans may be
rooms:
${list(rooms, (i) => `r${i}: {size: [${wide}, ${wide}], origin: [${corner(i).join(', ')}], height: 3.5, floor: wood-on-joists}`)}partitions:
${walls(rooms, wide, corner)}players:
${list(sources, player)}mics:
${list(mics, mic)}${baffles > 0 ? `baffles:\n${list(baffles, baffle)}` : ''}`;
}

function walls(rooms: number, wide: number, corner: (room: number) => readonly [number, number]): string {
  return Array.from({ length: rooms }, (_, i) => {
    const [x, y] = corner(i);
    const right = i + 1 < rooms && (i + 1) % PER_ROW !== 0 ? [wall(i, i + 1, [x + wide, y + wide / 2])] : [];
    const above = i + PER_ROW < rooms ? [wall(i, i + PER_ROW, [x + wide / 2, y + wide])] : [];
    return [...right, ...above].join('');
  }).join('');
}

const wall = (one: number, other: number, at: readonly number[]): string =>
  `  w${one}-${other}: {between: [r${one}, r${other}], wall: stud-gypsum, doors: [{at: [${at.join(', ')}], width: 0.9, height: 2, leaf: hollow-core, state: ajar}]}\n`;
