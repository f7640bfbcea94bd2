/** Keys of players, sources, listeners; types inferred. */
import {
  type AngleTable,
  angleTable,
  type Bond,
  type ByBand,
  byBand,
  type Complain,
  choice,
  decibels,
  either,
  type Facing,
  facing,
  flag,
  forms,
  into,
  keyed,
  type Level,
  level,
  levelAtEar,
  may,
  must,
  type Named,
  name,
  named,
  namedOrRemoved,
  nameOf,
  nameOr,
  or,
  type Place,
  type Point,
  pairOf,
  place,
  point,
  quantity,
  type Reader,
  type Rule,
  size,
  tilt,
  whole,
} from './schema.ts';

// What sounds without a player at it: loudspeakers, organs, bells, sections.
const section = keyed('a section', {
  players: must(whole([1, 1000]), 'how many play', 24),
  rows: may(whole([1, 100]), 'how many rows they stand in', 3),
  size: must(pairOf(size, '[width, depth]'), 'width square to `facing`, and depth', [6, 2.4]),
  rise: or(quantity('length', [0, 3]), 0, 'of each row above the one before it', '30 cm'),
});

type PlayedBy = NonNullable<SourceEntry['player']>;

// Where people are, and what they wear.

const wearing = choice('closed', 'open', 'one-off', 'in-ear', 'none');

const cue: Reader<CueEntry> = forms({
  scalar: into(wearing, (worn): CueEntry => ({ wearing: worn })),
  map: keyed('a cue', {
    wearing: must(wearing, 'closed, open, one-off, in-ear or none'),
    level: may(levelAtEar, 'at the ear'),
  }),
});

const personKeys = {
  at: must(point, 'where the body stands, [x, y]', [2, 4]),
  facing: may(facing, 'where the person looks: a bearing or a name', 'drums'),
  standing: may(flag, 'true for one who stands'),
  riser: may(quantity('length', [0, 20]), 'height of what the person stands or sits on', '40 cm'),
  cue: may(cue, 'headphones'),
  fixed: or(flag, false, 'true where he cannot be moved'),
};

/** One who plays a source that stands elsewhere, and nothing else. */
const person: Reader<Person> = keyed('a player', personKeys);

const sourcePlayer = forms({
  scalar: into(name, (who): PlayedBy => ({ name: who })),
  map: into(person, (who): PlayedBy => ({ person: who })),
});

// What a sounding thing may say of itself, whether player, loudspeaker or part of a kit.

/** `line-only` sounds nowhere and goes into a line alone. */
const instrumentName = nameOf('instruments', 'line-only');

const factorsOrTable = either(
  'Q',
  'table',
  'write {Q: 2, front-to-back: 10}, or {table: {angle_deg: [0, 90, 180], 1000: [0, -3, -10]}}',
);

const directivity: Reader<DirectivityEntry> = into(
  keyed(
    'a directivity',
    {
      Q: may(byBand(quantity('count', [1, 1000])), 'directivity factor on axis, one number or by band', {
        500: 2,
        2000: 5,
      }),
      'front-to-back': may(byBand(decibels([0, 80])), 'level in front over level behind, dB', 12),
      table: may(angleTable, 'measured: angle_deg, and dB re on axis for each band', {
        angle_deg: [0, 90, 180],
        1000: [0, -6, -20],
      }),
    },
    factorsOrTable,
  ),
  ({ Q, frontToBack, table }): DirectivityEntry | undefined => {
    if (table) return { kind: 'table', table };
    if (Q === undefined) return undefined;
    return frontToBack === undefined ? { kind: 'factors', q: Q } : { kind: 'factors', q: Q, frontToBack };
  },
);

const coverLoss = into(byBand(decibels([0, 80])), (loss): CoverEntry => ({ loss }));

const cover: Reader<CoverEntry> = forms({
  scalar: nameOr('a cover or its loss in dB', coverLoss, nameOf('covers')),
  map: coverLoss,
});

/** What belongs to one instrument alone. */
const instrumentKeys = {
  instrument: may(instrumentName, 'an instrument of the catalogue'),
  spectrum: may(byBand(decibels([-150, 150])), 'relative dB by band', { 125: -6, 500: 0, 2000: -9 }),
  directivity: may(directivity, '{Q, front-to-back} or {table}', {
    Q: { 500: 2, 2000: 5 },
    'front-to-back': 12,
  }),
  radius: may(quantity('length', [0, 10]), 'of the disc it speaks from', '15 cm'),
  power: may(byBand(decibels([-50, 180])), 'sound power in dB re 1 pW by band; goes before `level`', {
    125: 80,
    500: 90,
    2000: 84,
  }),
  tilt: may(tilt, 'of its axis, up is positive', -20),
  part: may(name, 'what it belongs to in the mix; its own name if unsaid', 'bass'),
  cover: may(cover, 'a cover of the catalogue, or its loss in dB by band'),
};

const DYNAMICS = ['pp', 'p', 'mp', 'mf', 'f', 'ff', 'soft', 'medium', 'loud'] as const;

/** What may be said of all that a player plays at once. */
const playingKeys = {
  level: may(level, 'on axis: 88 dB, 88 dBA at 1 m, or {spl, weighting, at}'),
  dynamic: may(choice(...DYNAMICS), 'pp to ff, or soft, medium, loud', 'mf'),
  playing: may(nameOf('playing'), 'how it is played: a variant of the catalogue', 'brushes'),
  later: may(
    choice('leave', 'rebalance', 'tune', 'replace'),
    'what is to be done with the part afterwards',
    'tune',
  ),
};

const placeKeys = {
  at: may(place, 'its acoustic centre, [x, y] or [x, y, z]', [2, 4, 0.9]),
  facing: may(facing, 'a bearing or a name', 'drums'),
  fixed: or(flag, false, 'true where it cannot be moved'),
};

const sourceKeys = { ...instrumentKeys, ...playingKeys, ...placeKeys };

/** What `hasSound` asks of keys that stand in one map. */
const HAS_SOUND: Bond = { among: ['instrument', 'spectrum', 'power'], least: 1 };

const HAS_LOUDNESS: Bond = { when: 'spectrum', among: ['level', 'power'], least: 1 };

export const source: Reader<SourceEntry> = into(
  keyed(
    'a source',
    {
      ...sourceKeys,
      at: must(place, 'its acoustic centre, [x, y] or [x, y, z]', [5.5, 17.5, 1.5]),
      repeats: may(name, 'the source that it repeats, as a wedge does', 'voice'),
      player: may(
        sourcePlayer,
        'who plays it: the name of a player, or the keys of one who plays only this',
        {
          at: [3, 3],
          facing: 'drums',
        },
      ),
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

/** A part of a kit: what is written goes before what the kit has. */
const kitPart: Reader<SourceKeys> = keyed('a part of a kit', sourceKeys);

// Players, and what each of them plays.

const parts = or(
  namedOrRemoved('keys of a source', kitPart),
  new Map(),
  'changes to the parts of a kit; ~ takes one out',
  { snare: { level: '96 dBA at 1 m' }, 'tom-2': null },
);

type NamedPlayer = Omit<PlayedEntry, 'name'>;

const inFull: Reader<NamedPlayer> = keyed('an instrument', { ...sourceKeys, parts }, { bonds: [HAS_SOUND] });

const inShort = into(
  instrumentName,
  (instrument): NamedPlayer => ({ instrument, parts: new Map(), fixed: false }),
);

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
function several(
  instruments: ReadonlyMap<string, NamedPlayer>,
  forAll: ForAll,
  complain: Complain,
): PlayedEntry[] {
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

/** What sounds has a sound; false where it has not, which has then been said of `key`. */
function hasSound(keys: SourceKeys, complain: Complain, key = 'instrument'): boolean {
  const { instrument, spectrum, power } = keys;
  if (instrument === undefined && spectrum === undefined && power === undefined) {
    const mend = `add \`${key}\`: an instrument of the catalogue; or give \`spectrum\` and \`level\`, or \`power\``;
    complain({ code: 'MISSING', message: 'is missing', mend, path: [key] });
    return false;
  }
  if (spectrum === undefined || power !== undefined || keys.level !== undefined) return true;
  const message = 'is missing: a spectrum of its own has no loudness';
  complain({
    code: 'MISSING',
    message,
    mend: 'add `level: 88 dB at 1 m`, or `power` by band',
    path: ['level'],
  });
  return false;
}

export const listener: Reader<ListenerEntry> = keyed('a listener', personKeys);

// People and what sounds, as the plan says it.

export type Later = 'leave' | 'rebalance' | 'tune' | 'replace';

export type Dynamic = 'pp' | 'p' | 'mp' | 'mf' | 'f' | 'ff' | 'soft' | 'medium' | 'loud';

/** What any sounding thing may say of itself. */
export type SourceKeys = {
  readonly instrument?: string;
  /** Relative dB by band. */
  readonly spectrum?: ByBand;
  readonly directivity?: DirectivityEntry;
  readonly radius?: number;
  /** dB re 1 pW in each band; goes before `level`. */
  readonly power?: ByBand;
  /** Its acoustic centre. */
  readonly at?: Place;
  readonly facing?: Facing;
  readonly tilt?: number;
  readonly level?: Level;
  readonly dynamic?: Dynamic;
  readonly playing?: string;
  readonly later?: Later;
  readonly part?: string;
  readonly cover?: CoverEntry;
  readonly fixed: boolean;
};

type DirectivityEntry =
  | { readonly kind: 'factors'; readonly q: ByBand; readonly frontToBack?: ByBand }
  | { readonly kind: 'table'; readonly table: AngleTable };

/** A cover of the catalogue, or its loss in dB by band. */
export type CoverEntry = { readonly name: string } | { readonly loss: ByBand };

/** Where a body is; `at` is on the floor, or on its riser. */
export type Person = {
  readonly at: Point;
  readonly facing?: Facing;
  readonly standing?: boolean;
  readonly riser?: number;
  readonly cue?: CueEntry;
  readonly fixed: boolean;
};

export type CueEntry = {
  readonly wearing: 'closed' | 'open' | 'one-off' | 'in-ear' | 'none';
  /** At the ear; `at` is 0. */
  readonly level?: Level;
};

export type PlayerEntry = Person & {
  readonly hands: 'right' | 'left';
  /** All he plays; what he says for all of it (`later`, `dynamic`, `level`, `playing`) is already in each. May be empty. */
  readonly plays: readonly PlayedEntry[];
};

export type PlayedEntry = SourceKeys & {
  /** Its name in `plays`, or null for an only instrument that goes by its player's name. */
  readonly name: string | null;
  /** What is changed in, added to (null: taken out of) the parts of a kit. */
  readonly parts: Named<SourceKeys | null>;
};

export type SourceEntry = SourceKeys & {
  readonly at: Place;
  /** Name of the source that it repeats, as a wedge does. */
  readonly repeats?: string;
  /** Who plays it: the name of a player, or one who plays only this. */
  readonly player?: { readonly name: string } | { readonly person: Person };
  readonly section?: SectionEntry;
};

export type SectionEntry = {
  readonly players: number;
  readonly rows?: number;
  /** Width square to `facing`, and depth. */
  readonly size: readonly [number, number];
  /** How much higher each row is than the one before it. */
  readonly rise: number;
};

export type ListenerEntry = Person;
