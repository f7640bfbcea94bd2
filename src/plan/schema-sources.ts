/** What sounds without a player at it: loudspeakers, organs, bells, sections. */
import type { SourceEntry } from './plan-players.ts';
import { forms, into, type Reader } from './schema-frame.ts';
import { keyed, may, must, or } from './schema-maps.ts';
import { person } from './schema-people.ts';
import { pairOf, place } from './schema-places.ts';
import { HAS_LOUDNESS, HAS_SOUND, hasSound, sourceKeys } from './schema-sounds.ts';
import { name, quantity, size, whole } from './schema-values.ts';

const section = keyed('a section', {
  players: must(whole([1, 1000]), 'how many play', 24),
  rows: may(whole([1, 100]), 'how many rows they stand in', 3),
  size: must(pairOf(size, '[width, depth]'), 'width square to `facing`, and depth', [6, 2.4]),
  rise: or(quantity('length', [0, 3]), 0, 'of each row above the one before it', '30 cm'),
});

type PlayedBy = NonNullable<SourceEntry['player']>;

const player = forms({
  scalar: into(name, (who): PlayedBy => ({ name: who })),
  map: into(person, (who): PlayedBy => ({ person: who })),
});

export const source: Reader<SourceEntry> = into(
  keyed(
    'a source',
    {
      ...sourceKeys,
      at: must(place, 'its acoustic centre, [x, y] or [x, y, z]', [5.5, 17.5, 1.5]),
      repeats: may(name, 'the source that it repeats, as a wedge does', 'voice'),
      player: may(player, 'who plays it: the name of a player, or the keys of one who plays only this', {
        at: [3, 3],
        facing: 'drums',
      }),
      section: may(section, '{players, rows, size, rise}', {
        players: 24,
        rows: 3,
        size: [6, 2.4],
        rise: '30 cm',
      }),
    },
    { bonds: [HAS_SOUND, HAS_LOUDNESS] },
  ),
  (written, complain) => {
    const { player: who, ...rest } = written;
    if (!hasSound(rest, complain)) return undefined;
    return who ? { ...rest, player: who } : rest;
  },
);
