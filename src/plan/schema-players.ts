/** Players, and what each of them plays. */
import type { PlayedEntry, PlayerEntry, SourceKeys } from './plan-players.ts';
import { type Complain, forms, into, type Reader } from './schema-frame.ts';
import { keyed, may, named, namedOrRemoved, or, type Rule } from './schema-maps.ts';
import { personKeys } from './schema-people.ts';
import {
  HAS_LOUDNESS,
  HAS_SOUND,
  hasSound,
  instrumentKeys,
  instrumentName,
  kitPart,
  playingKeys,
  sourceKeys,
} from './schema-sounds.ts';
import { choice } from './schema-values.ts';

const parts = or(
  namedOrRemoved('keys of a source', kitPart),
  new Map(),
  'changes to the parts of a kit; ~ takes one out',
  { snare: { level: '96 dBA at 1 m' }, 'tom-2': null },
);

type Named = Omit<PlayedEntry, 'name'>;
const inFull: Reader<Named> = keyed('an instrument', { ...sourceKeys, parts }, { bonds: [HAS_SOUND] });
const inShort = into(instrumentName, (instrument): Named => ({ instrument, parts: new Map(), fixed: false }));

const plays = forms({
  scalar: into(instrumentName, (instrument) => ({ instrument })),
  map: into(named('an instrument', forms({ scalar: inShort, map: inFull })), (instruments) => ({
    instruments,
  })),
});

const onlyOfOne = [...Object.keys(instrumentKeys), 'parts'];

const bonds: Rule['bonds'] = [{ among: ['plays', 'instrument'], most: 1 }, HAS_LOUDNESS];

const check: Rule['check'] = (_has, complain, map) => {
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

const inWriting = keyed(
  'a player',
  {
    ...personKeys,
    ...instrumentKeys,
    ...playingKeys,
    hands: or(choice('right', 'left'), 'right', 'left for one who plays left-handed', 'left'),
    plays: may(plays, 'an instrument, or {name: keys} for several', {
      voice: { instrument: 'singing-voice', later: 'replace' },
      guitar: 'steel-string-guitar',
    }),
    parts,
  },
  { bonds, check },
);

type Written = typeof inWriting extends Reader<infer T> ? T : never;

export const player: Reader<PlayerEntry> = into(inWriting, playerOf);

function playerOf(written: Written, complain: Complain): PlayerEntry | undefined {
  const { instrument, spectrum, directivity, radius, power, tilt, part, cover, parts, plays, ...rest } =
    written;
  const { level, dynamic, playing, later, ...person } = rest;
  const forAll = defined({ level, dynamic, playing, later });
  if (plays && 'instruments' in plays) {
    return { ...person, plays: several(plays.instruments, forAll, complain) };
  }
  const sound = { spectrum, directivity, radius, power, tilt, part, cover };
  const own = defined({ instrument: plays?.instrument ?? instrument, ...sound });
  const playsNothing = Object.keys({ ...own, ...forAll }).length + parts.size === 0;
  if (playsNothing) return { ...person, plays: [] };
  const played = { ...own, ...forAll, fixed: person.fixed, name: null, parts };
  return hasSound(played, complain, 'plays') ? { ...person, plays: [played] } : undefined;
}

type ForAll = Pick<SourceKeys, 'level' | 'dynamic' | 'playing' | 'later'>;

/** What a player says of all he plays holds for each that says nothing else; how loud is one saying, however put. */
function several(instruments: ReadonlyMap<string, Named>, forAll: ForAll, complain: Complain): PlayedEntry[] {
  const { level, dynamic, ...rest } = forAll;
  return [...instruments].map(([instrumentName, own]) => {
    const saysHowLoud = (own.level ?? own.dynamic ?? own.power) !== undefined;
    const inherited = saysHowLoud ? rest : { ...rest, ...defined({ level, dynamic }) };
    const played = { ...inherited, ...own, name: instrumentName };
    const path = ['plays', instrumentName];
    hasSound(played, (fault) => complain({ ...fault, path: [...path, ...(fault.path ?? [])] }));
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
