/** Players and what each plays, sources without one, and listeners. */
import type {
  CueEntry,
  ListenerEntry,
  Person,
  PlayedEntry,
  PlayerEntry,
  SourceEntry,
  SourceKeys,
} from './plan-players.ts';
import { type Complain, forms, into, type Reader } from './schema-frame.ts';
import { levelAtEar } from './schema-levels.ts';
import { keyed, may, must, named, namedOrRemoved, or, type Rule } from './schema-maps.ts';
import { facing, pairOf, place, point } from './schema-places.ts';
import { hasSound, instrumentKeys, kitPart, playingKeys, sourceKeys } from './schema-sources.ts';
import { choice, flag, name, quantity, size, whole } from './schema-values.ts';

const wearing = choice('closed', 'open', 'one-off', 'in-ear', 'none');

const cue: Reader<CueEntry> = forms({
  scalar: into(wearing, (worn): CueEntry => ({ wearing: worn })),
  map: keyed('a cue', {
    wearing: must(wearing, 'closed, open, one-off, in-ear or none'),
    level: may(levelAtEar, 'at the ear'),
  }),
});

const personKeys = {
  at: must(point, 'where the body stands, [x, y]'),
  facing: may(facing, 'where the person looks: a bearing or a name'),
  standing: may(flag, 'true for one who stands'),
  riser: may(quantity('length', [0, 20]), 'height of what the person stands or sits on'),
  cue: may(cue, 'headphones'),
  fixed: or(flag, false, 'true where he cannot be moved'),
};

export const listener: Reader<ListenerEntry> = keyed('a listener', personKeys);

const parts = or(
  namedOrRemoved('keys of a source', kitPart),
  new Map(),
  'changes to the parts of a kit; ~ takes one out',
);

type Named = Omit<PlayedEntry, 'name'>;
const inFull: Reader<Named> = keyed('an instrument', { ...sourceKeys, parts });
const inShort = into(name, (instrument): Named => ({ instrument, parts: new Map(), fixed: false }));

const plays = forms({
  scalar: into(name, (instrument) => ({ instrument })),
  map: into(named('an instrument', forms({ scalar: inShort, map: inFull })), (instruments) => ({
    instruments,
  })),
});

const onlyOfOne = [...Object.keys(instrumentKeys), 'parts'];

const oneOrSeveral: Rule = (_has, complain, map) => {
  const written = map.entries.get('plays')?.node;
  const wrong = written?.kind === 'map' ? onlyOfOne : written ? ['instrument'] : [];
  const mend = written?.kind === 'map' ? 'write it under a name in `plays`' : 'write it after `plays:` alone';
  for (const key of wrong.filter((each) => map.entries.has(each))) {
    complain({
      code: 'WRONG_SHAPE',
      message: 'cannot stand beside `plays` as it is written',
      mend,
      path: [key],
    });
  }
};

export const player: Reader<PlayerEntry> = into(
  keyed(
    'a player',
    {
      ...personKeys,
      ...instrumentKeys,
      ...playingKeys,
      hands: or(choice('right', 'left'), 'right', 'left for one who plays left-handed'),
      plays: may(plays, 'an instrument, or {name: keys} for several'),
      parts,
    },
    oneOrSeveral,
  ),
  (written, complain) => {
    const { instrument, spectrum, directivity, radius, power, tilt, part, cover, parts, plays, ...rest } =
      written;
    const { level, dynamic, playing, later, ...person } = rest;
    const forAll = defined({ level, dynamic, playing, later });
    if (plays && 'instruments' in plays)
      return { ...person, plays: several(plays.instruments, forAll, complain) };
    const own = defined({
      instrument: plays?.instrument ?? instrument,
      spectrum,
      directivity,
      radius,
      power,
      tilt,
      part,
      cover,
    });
    if (Object.keys(own).length + Object.keys(forAll).length + parts.size === 0)
      return { ...person, plays: [] };
    const played = { ...own, ...forAll, fixed: person.fixed, name: null, parts };
    return hasSound(played, complain) ? { ...person, plays: [played] } : undefined;
  },
);

type ForAll = Pick<SourceKeys, 'level' | 'dynamic' | 'playing' | 'later'>;

/** What a player says of all he plays holds for each that says nothing else; how loud is one saying, however put. */
function several(instruments: ReadonlyMap<string, Named>, forAll: ForAll, complain: Complain): PlayedEntry[] {
  const { level, dynamic, ...rest } = forAll;
  return [...instruments].map(([instrumentName, own]) => {
    const saysHowLoud = (own.level ?? own.dynamic ?? own.power) !== undefined;
    const played = {
      ...rest,
      ...(saysHowLoud ? {} : defined({ level, dynamic })),
      ...own,
      name: instrumentName,
    };
    hasSound(played, (fault) =>
      complain({ ...fault, path: ['plays', instrumentName, ...(fault.path ?? [])] }),
    );
    return played;
  });
}

type Defined<T> = { [K in keyof T as undefined extends T[K] ? never : K]: T[K] } & {
  [K in keyof T as undefined extends T[K] ? K : never]?: Exclude<T[K], undefined>;
};

/** Keys that were not written are left out altogether. */
function defined<T extends object>(keys: T): Defined<T> {
  return Object.fromEntries(Object.entries(keys).filter(([, value]) => value !== undefined)) as Defined<T>;
}

const person: Reader<Person> = keyed('a player', personKeys);

const section = keyed('a section', {
  players: must(whole([1, 1000]), 'how many play'),
  rows: may(whole([1, 100]), 'how many rows they stand in'),
  size: must(pairOf(size, '[width, depth]'), 'width square to `facing`, and depth'),
  rise: or(quantity('length', [0, 3]), 0, 'of each row above the one before it'),
});

type PlayedBy = NonNullable<SourceEntry['player']>;

export const source: Reader<SourceEntry> = into(
  keyed('a source', {
    ...sourceKeys,
    at: must(place, 'its acoustic centre, [x, y] or [x, y, z]'),
    repeats: may(name, 'the source that it repeats, as a wedge does'),
    player: may(
      forms({
        scalar: into(name, (who): PlayedBy => ({ name: who })),
        map: into(person, (who): PlayedBy => ({ person: who })),
      }),
      'who plays it: the name of a player, or the keys of one who plays only this',
    ),
    section: may(section, '{players, rows, size, rise}'),
  }),
  (written, complain) => {
    const { player: who, ...rest } = written;
    if (!hasSound(rest, complain)) return undefined;
    return who ? { ...rest, player: who } : rest;
  },
);
