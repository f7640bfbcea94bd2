/** Fixes that can be tried: kinds, effort, how places and lengths are said. */

import type { Path } from '../finding.ts';
import { bearingOf, distanceToSegment, type Vec2 } from '../geometry.ts';
import { type LengthUnit, type MapNode, type Node, unitsOfTree } from '../plan/document.ts';
import { type Edit, nodeOf, scalarOf } from '../plan/edit.ts';
import { FOOT, INCH, type Lengths, lengthsIn } from '../plan/units.ts';
import type { Scene } from '../scene/scene.ts';
import { rounded } from '../statistics.ts';

type Places = { readonly tree: MapNode; readonly scene: Pick<Scene, 'rooms'> };

/** "1.20 m from bottom wall and 3.05 m from left wall of hall"; by its coordinates where there is no room. */
export function placeWords({ tree, scene: { rooms } }: Places, room: number, [x, y]: Vec2): string {
  const { apart } = lengthFormatOf(tree);
  const own = rooms[room];
  if (!own) return `(${apart(x)}, ${apart(y)})`;
  const walls = own.outline.map((a, i) => {
    const b = own.outline[(i + 1) % own.outline.length] as Vec2;
    return {
      name: own.surfaces[2 + i]?.name ?? '',
      away: distanceToSegment([x, y], a, b),
      angle: Math.atan2(b[1] - a[1], b[0] - a[0]),
    };
  });
  const [first, ...others] = walls.sort((a, b) => a.away - b.away);
  const second = others.find((wall) => first && Math.abs(Math.sin(wall.angle - first.angle)) > 0.3);
  const distances = [first, second].flatMap((wall) =>
    wall ? [`${apart(wall.away)} from ${wall.name.replace(/^wall (.*)$/s, '$1 wall')}`] : [],
  );
  return `${distances.join(' and ')} of ${own.name}`;
}

/** "50 cm (bearing 90°)". */
export const stepWords = ([x, y]: Vec2, { close, apart }: LengthFormat): string =>
  `${(Math.hypot(x, y) < 1 - 1e-9 ? close : apart)(Math.hypot(x, y))} (bearing ${Math.round(bearingOf([x, y]) + 360) % 360}°)`;

/** "40 → 15 cm": a unit that both have is said once. */
export function change(from: string, to: string): string {
  const [a, b] = [from, to].map((text) => /^([\d.]+) (\S+)$/.exec(text));
  return `${a && b && a[2] === b[2] ? a[1] : from} → ${to}`;
}

/** Lengths in the plan's own units: as they are said, and as they are written there. */
export type LengthFormat = Lengths & {
  /** A coordinate or height as it is written, to 1 cm or a hundredth of a foot. */
  readonly coordinate: (metres: number) => Node;
  /** Distances that one sets a mic up at, m, the gentle ones first. Common practice, no source. */
  readonly distances: readonly number[];
};

export const lengthFormatOf = (tree: MapNode): LengthFormat => FORMATS[unitsOfTree(tree)];

const FORMATS: Readonly<Record<LengthUnit, LengthFormat>> = {
  m: {
    ...lengthsIn('m'),
    coordinate: (metres) => scalarOf(rounded(metres, 2)),
    distances: [1.5, 1, 0.8, 0.6, 0.5, 0.4, 0.3, 0.25, 0.2, 0.15, 0.1, 0.08, 0.05, 0.03],
  },
  ft: {
    ...lengthsIn('ft'),
    coordinate: (metres) => scalarOf(rounded(metres / FOOT, 2), 'ft'),
    distances: [60, 40, 32, 24, 20, 16, 12, 10, 8, 6, 4, 3, 2, 1.5].map((inches) => inches * INCH),
  },
};

/** Minutes that each takes one person, in the order in which kinds are tried. Common practice, no source; settable. */
export const MINUTES = {
  'high-pass': 0.5,
  softer: 1,
  'other-sticks': 1,
  null: 0.5,
  're-aim': 0.5,
  closer: 0.5,
  door: 0.5,
  'turn-player': 1,
  pattern: 2,
  'replace-mic': 2,
  'drop-mic': 0.5,
  'turn-baffle': 2,
  'remove-baffle': 2,
  'move-player': 3,
  'move-baffle': 3,
  main: 5,
  'place-baffle': 5,
  cover: 5,
  headphones: 5,
  absorption: 10,
  'swap-players': 10,
  'seat-beside': 10,
  'other-room': 20,
};

/** These ask something of those who play. */
const OF_PEOPLE: ReadonlySet<FixKind> = new Set([
  'softer',
  'other-sticks',
  'turn-player',
  'move-player',
  'swap-players',
  'seat-beside',
  'other-room',
]);

export const isAskedOfPeople = (kind: FixKind): boolean => OF_PEOPLE.has(kind);

export type FixKind = keyof typeof MINUTES;
export const FIX_KINDS = Object.keys(MINUTES) as readonly FixKind[];

/** Something one can do in the room, as the settings of the plan that it changes. */
export type Fix = {
  /** Its place among all fixes of the plan. */
  readonly id: number;
  readonly kind: FixKind;
  /** What it changes, as the plan names it: two fixes of one kind about the same exclude each other. */
  readonly about: readonly string[];
  readonly edits: readonly Edit[];
  /** In words, with values to act on, from the scenes before and after. */
  readonly say: (before: Scene, after: Scene) => string;
  /** How far it goes, where there is more than one size of it. */
  readonly size?: string;
  /** Minutes that it takes at the least, where something heavy is carried. */
  readonly atLeast?: number;
  /** Spare things that it takes, as [list of `on-hand`, place in it]. */
  readonly takes?: readonly (readonly ['baffles' | 'absorption' | 'mics', number])[];
  /** Mics that must lose no more than 2 dB of their signal. */
  readonly keeps?: readonly string[];
};

/** A fix not yet numbered. */
export type FixDraft = Omit<Fix, 'id'>;

export const fixOf = (
  kind: FixKind,
  about: Fix['about'],
  edits: Fix['edits'],
  say: Fix['say'],
  more: Pick<Fix, 'size' | 'atLeast' | 'takes' | 'keeps'> = {},
): FixDraft => ({ kind, about, edits, say, ...more });

export const set = (path: Path, value: Parameters<typeof nodeOf>[0]): Edit => ({
  path,
  value: nodeOf(value),
});
