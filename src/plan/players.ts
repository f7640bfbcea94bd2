/** Keys of players, sources and listeners. */
import {
  byBand,
  choice,
  decibels,
  either,
  type Fail,
  failBelow,
  flag,
  type KeyConstraint,
  type KeyRules,
  type Named,
  name,
  nameOf,
  type Out,
  object,
  optional,
  pairOf,
  quantity,
  record,
  recordOrRemoved,
  refine,
  required,
  transform,
  union,
  whole,
  withDefault,
} from './schema.ts';
import { angleTable, facing, level, levelAtEar, nameOr, place, point, size, tilt } from './values.ts';

// People: where they are, and what they wear.

const wearing = choice('closed', 'open', 'one-off', 'in-ear', 'none');

const cueInFull = object('a cue', {
  wearing: required(wearing, 'closed, open, one-off, in-ear or none'),
  level: optional(levelAtEar, 'at the ear'),
});

export type CueEntry = Out<typeof cueInFull>;

const cue = union({ scalar: transform(wearing, (worn): CueEntry => ({ wearing: worn })), map: cueInFull });

const personKeys = {
  at: required(point, 'where the body stands, [x, y]', [2, 4]),
  facing: optional(facing, 'where the person looks: a bearing or a name', 'drums'),
  standing: optional(flag, 'true for one who stands'),
  riser: optional(quantity('length', [0, 20]), 'height of what the person stands or sits on', '40 cm'),
  cue: optional(cue, 'headphones'),
  fixed: withDefault(flag, false, 'true where he cannot be moved'),
};

/** One who plays a source that is elsewhere, and nothing else. */
const person = object('a player', personKeys);

/** `at` is on the floor, or on the riser. */
export type Person = Out<typeof person>;
export const listener = object('a listener', personKeys);

// What a player's instrument, a source or a part of a kit may say of its sound.

/** `line-only` sounds nowhere and goes into a line alone. */
const instrumentName = nameOf('instruments', 'line-only');

const directivity = transform(
  object(
    'a directivity',
    {
      Q: optional(byBand(quantity('count', [1, 1000])), 'directivity factor on axis, one number or by band', {
        500: 2,
        2000: 5,
      }),
      'front-to-back': optional(byBand(decibels([0, 80])), 'level in front over level behind, dB', 12),
      table: optional(angleTable, 'measured: angle_deg, and dB re on axis for each band', {
        angle_deg: [0, 90, 180],
        1000: [0, -6, -20],
      }),
    },
    either(
      'Q',
      'table',
      'write {Q: 2, front-to-back: 10}, or {table: {angle_deg: [0, 90, 180], 1000: [0, -3, -10]}}',
    ),
  ),
  ({ Q: q, table, ...rest }) => {
    if (table) return { kind: 'table', table } as const;
    return q === undefined ? undefined : ({ kind: 'factors', q, ...rest } as const);
  },
);

const coverLoss = transform(byBand(decibels([0, 80])), (loss) => ({ loss }));

/** A cover of the catalogue, or its loss in dB by band. */
const cover = union({
  scalar: nameOr('a cover or its loss in dB', coverLoss, nameOf('covers')),
  map: coverLoss,
});

export type CoverEntry = Out<typeof cover>;

/** What belongs to one instrument alone. */
const instrumentKeys = {
  instrument: optional(instrumentName, 'an instrument of the catalogue'),
  spectrum: optional(byBand(decibels([-150, 150])), 'relative dB by band', { 125: -6, 500: 0, 2000: -9 }),
  directivity: optional(directivity, '{Q, front-to-back} or {table}', {
    Q: { 500: 2, 2000: 5 },
    'front-to-back': 12,
  }),
  radius: optional(quantity('length', [0, 10]), 'of the disc it speaks from', '15 cm'),
  power: optional(byBand(decibels([-50, 180])), 'sound power in dB re 1 pW by band; goes before `level`', {
    125: 80,
    500: 90,
    2000: 84,
  }),
  tilt: optional(tilt, 'of its axis, up is positive', -20),
  part: optional(name, 'what it belongs to in the mix; its own name if unsaid', 'bass'),
  cover: optional(cover, 'a cover of the catalogue, or its loss in dB by band'),
};

/** What may be said of all that a player plays at once. */
const playingKeys = {
  level: optional(level, 'on axis: 88 dB, 88 dBA at 1 m, or {spl, weighting, at}'),
  dynamic: optional(
    choice('pp', 'p', 'mp', 'mf', 'f', 'ff', 'soft', 'medium', 'loud'),
    'pp to ff, or soft, medium, loud',
    'mf',
  ),
  playing: optional(nameOf('playing'), 'how it is played: a variant of the catalogue', 'brushes'),
  later: optional(
    choice('leave', 'rebalance', 'tune', 'replace'),
    'what is to be done with the part afterwards',
    'tune',
  ),
};

const sourceKeys = {
  ...instrumentKeys,
  ...playingKeys,
  at: optional(place, 'its acoustic centre, [x, y] or [x, y, z]', [2, 4, 0.9]),
  facing: optional(facing, 'a bearing or a name', 'drums'),
  fixed: withDefault(flag, false, 'true where it cannot be moved'),
};

/** What it says goes before what the kit has. */
const kitPart = object('a part of a kit', sourceKeys);
export type SourceKeys = Out<typeof kitPart>;
export type Dynamic = NonNullable<SourceKeys['dynamic']>;
export type Later = NonNullable<SourceKeys['later']>;

/** What `checkSound` asks of keys of one map. */
const HAS_SOUND: KeyConstraint = { among: ['instrument', 'spectrum', 'power'], least: 1 };
const HAS_LOUDNESS: KeyConstraint = { when: 'spectrum', among: ['level', 'power'], least: 1 };

/** Reports, of `key`, what sounds without an instrument, a spectrum with a level, or a power. */
function checkSound(
  { instrument, spectrum, power, level }: SourceKeys,
  fail: Fail,
  key = 'instrument',
): void {
  if (instrument === undefined && spectrum === undefined && power === undefined) {
    const mend = `add \`${key}\`: an instrument of the catalogue; or give \`spectrum\` and \`level\`, or \`power\``;
    fail('MISSING', 'is missing', mend, [key]);
  } else if (spectrum !== undefined && power === undefined && level === undefined) {
    const message = 'is missing: a spectrum of its own has no loudness';
    fail('MISSING', message, 'add `level: 88 dB at 1 m`, or `power` by band', ['level']);
  }
}

// Sources: loudspeakers, organs, bells, sections.

const section = object('a section', {
  players: required(whole([1, 1000]), 'how many play', 24),
  rows: optional(whole([1, 100]), 'how many rows they stand in', 3),
  size: required(pairOf(size, '[width, depth]'), 'width square to `facing`, and depth', [6, 2.4]),
  rise: withDefault(quantity('length', [0, 3]), 0, 'of each row above the one before it', '30 cm'),
});

export type SectionEntry = Out<typeof section>;

const sourcePlayer = union({
  scalar: transform(name, (who) => ({ name: who })),
  map: transform(person, (who) => ({ person: who })),
});

export const source = refine(
  object(
    'a source',
    {
      ...sourceKeys,
      at: required(place, 'its acoustic centre, [x, y] or [x, y, z]', [5.5, 17.5, 1.5]),
      repeats: optional(name, 'the source that it repeats, as a wedge does', 'voice'),
      player: optional(
        sourcePlayer,
        'who plays it: the name of a player, or the keys of one who plays only this',
        { at: [3, 3], facing: 'drums' },
      ),
      section: optional(section, '{players, rows, size, rise}', {
        players: 24,
        rows: 3,
        size: [6, 2.4],
        rise: '30 cm',
      }),
    },
    { constraints: [HAS_SOUND, HAS_LOUDNESS] },
  ),
  (written, fail) => checkSound(written, fail),
);

export type SourceEntry = Out<typeof source>;

// Players, and what each of them plays.

const parts = withDefault(
  recordOrRemoved('keys of a source', kitPart),
  new Map(),
  'changes to the parts of a kit; ~ takes one out',
  { snare: { level: '96 dBA at 1 m' }, 'tom-2': null },
);

const instrumentInFull = object('an instrument', { ...sourceKeys, parts }, { constraints: [HAS_SOUND] });
type InstrumentEntry = Out<typeof instrumentInFull>;

const instrumentInShort = transform(
  instrumentName,
  (instrument): InstrumentEntry => ({ instrument, parts: new Map(), fixed: false }),
);

const plays = union({
  scalar: transform(instrumentName, (instrument) => ({ instrument })),
  map: transform(
    record('an instrument', union({ scalar: instrumentInShort, map: instrumentInFull })),
    (instruments) => ({ instruments }),
  ),
});

const ONLY_OF_ONE = [...Object.keys(instrumentKeys), 'parts'];

const playsRules: KeyRules = {
  constraints: [{ among: ['plays', 'instrument'], most: 1 }, HAS_LOUDNESS],
  check: (_has, fail, map) => {
    const written = map.entries.get('plays')?.node;
    const wrong = written?.kind === 'map' ? ONLY_OF_ONE : written ? ['instrument'] : [];
    const mend =
      written?.kind === 'map' ? 'write it under a name in `plays`' : 'write it after `plays:` alone';
    for (const key of wrong.filter((each) => map.entries.has(each)))
      fail('WRONG_SHAPE', 'cannot stand beside `plays` as it is written', mend, [key]);
  },
};

const writtenPlayer = object(
  'a player',
  {
    ...personKeys,
    ...instrumentKeys,
    ...playingKeys,
    hands: withDefault(choice('right', 'left'), 'right', 'left for one who plays left-handed', 'left'),
    plays: optional(plays, 'an instrument, or {name: keys} for several', {
      voice: { instrument: 'singing-voice', later: 'replace' },
      guitar: 'steel-string-guitar',
    }),
    parts,
  },
  playsRules,
);

/** `name` is its name in `plays`, or null for an only instrument that goes by its player's name. */
export type PlayedEntry = InstrumentEntry & { readonly name: string | null };

/** `plays` holds all that is played, perhaps nothing; what the player says for all of it is already in each. */
export const player = transform(writtenPlayer, (written, fail) => {
  const { instrument, spectrum, directivity, radius, power, tilt, part, cover, parts, plays, ...rest } =
    written;
  const { level, dynamic, playing, later, ...person } = rest;
  const forAll = defined({ level, dynamic, playing, later });
  if (plays && 'instruments' in plays)
    return { ...person, plays: severalPlayed(plays.instruments, forAll, fail) };
  const sound = { spectrum, directivity, radius, power, tilt, part, cover };
  const own = defined({ instrument: plays?.instrument ?? instrument, ...sound, ...forAll });
  const played: PlayedEntry = { ...own, fixed: person.fixed, name: null, parts };
  const playsNothing = Object.keys(own).length + parts.size === 0;
  if (!playsNothing) checkSound(played, fail, 'plays');
  return { ...person, plays: playsNothing ? [] : [played] };
});

export type PlayerEntry = Out<typeof player>;

/** What a player says of everything holds for each that says nothing else; level and dynamic are one statement of loudness. */
function severalPlayed(
  instruments: Named<InstrumentEntry>,
  forAll: Pick<SourceKeys, keyof typeof playingKeys>,
  fail: Fail,
): PlayedEntry[] {
  const { level, dynamic, ...rest } = forAll;
  return [...instruments].map(([name, own]) => {
    const saysHowLoud = (own.level ?? own.dynamic ?? own.power) !== undefined;
    const played = { ...(saysHowLoud ? rest : forAll), ...own, name };
    checkSound(played, failBelow(fail, ['plays', name]));
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
