/** Where people are, and what they wear. */
import type { CueEntry, ListenerEntry, Person } from './plan-players.ts';
import { forms, into, type Reader } from './schema-frame.ts';
import { levelAtEar } from './schema-levels.ts';
import { keyed, may, must, or } from './schema-maps.ts';
import { facing, point } from './schema-places.ts';
import { choice, flag, quantity } from './schema-values.ts';

const wearing = choice('closed', 'open', 'one-off', 'in-ear', 'none');

const cue: Reader<CueEntry> = forms({
  scalar: into(wearing, (worn): CueEntry => ({ wearing: worn })),
  map: keyed('a cue', {
    wearing: must(wearing, 'closed, open, one-off, in-ear or none'),
    level: may(levelAtEar, 'at the ear'),
  }),
});

export const personKeys = {
  at: must(point, 'where the body stands, [x, y]', [2, 4]),
  facing: may(facing, 'where the person looks: a bearing or a name', 'drums'),
  standing: may(flag, 'true for one who stands'),
  riser: may(quantity('length', [0, 20]), 'height of what the person stands or sits on', '40 cm'),
  cue: may(cue, 'headphones'),
  fixed: or(flag, false, 'true where he cannot be moved'),
};

export const listener: Reader<ListenerEntry> = keyed('a listener', personKeys);

/** One who plays a source that stands elsewhere, and nothing else. */
export const person: Reader<Person> = keyed('a player', personKeys);
