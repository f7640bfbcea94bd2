/** How much a plan may hold. What lies within computes in some seconds when it is shared out over its rooms; what lies beyond is refused. */
import type { Fault } from './schema-frame.ts';
import type { MapNode, Node } from './tree.ts';

/** Entries of the sections of a plan. */
export const MOST_ENTRIES = {
  rooms: 30,
  partitions: 100,
  baffles: 100,
  players: 250,
  sources: 200,
  listeners: 50,
  mics: 400,
  passages: 100,
} as const;

/** Corners of all rooms together, and doors, windows and openings of all partitions. */
export const MOST_CORNERS = 300;
export const MOST_HOLES = 200;

/** What sounds, each piece of a kit counted, and what hears, both of a pair counted and lines too: known once names are looked up. */
export const MOST_SOURCES = 200;
export const MOST_MICS = 400;

export const PARTED = 'take some out, or make two plans of it';

/** Faults of a plan, laid over its studio, that is too large to be read any further. */
export function tooMuchOf(plan: MapNode): Fault[] {
  const sections = Object.entries(MOST_ENTRIES).flatMap(([section, most]) => {
    const count = entriesOf(plan, section).length;
    return over(count, most, section, `holds ${count} entries: at most ${most} are computed`);
  });
  const corners = total(plan, 'rooms', (room) => sizeOf(room, 'outline') || 4);
  const holes = total(plan, 'partitions', (wall) =>
    ['doors', 'windows', 'openings'].reduce((sum, key) => sum + sizeOf(wall, key), 0),
  );
  return [
    ...sections,
    ...over(
      corners,
      MOST_CORNERS,
      'rooms',
      `have ${corners} corners together: at most ${MOST_CORNERS} are computed`,
    ),
    ...over(
      holes,
      MOST_HOLES,
      'partitions',
      `have ${holes} doors, windows and openings together: at most ${MOST_HOLES} are computed`,
    ),
  ];
}

const over = (count: number, most: number, section: string, message: string): Fault[] =>
  count > most ? [{ code: 'BAD_RANGE', path: [section], message, mend: PARTED }] : [];

const entriesOf = (node: Node, key: string): readonly Node[] => {
  const below = node.kind === 'map' ? node.entries.get(key)?.node : undefined;
  return below?.kind === 'map' ? Array.from(below.entries.values(), ({ node: one }) => one) : [];
};

const total = (plan: MapNode, section: string, count: (entry: Node) => number): number =>
  entriesOf(plan, section).reduce((sum, entry) => sum + count(entry), 0);

function sizeOf(entry: Node, key: string): number {
  const below = entry.kind === 'map' ? entry.entries.get(key)?.node : undefined;
  return below?.kind === 'list' ? below.items.length : 0;
}
