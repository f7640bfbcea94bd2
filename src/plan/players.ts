/** Keys of players, sources and listeners. */
import * as s from './schema.ts';
import * as v from './values.ts';

const wearing = s.choice('closed', 'open', 'one-off', 'in-ear', 'none');

const cueInFull = s.object('a cue', {
  wearing: s.required(
    wearing,
    'Says what is worn: closed or open headphones, one-off (one ear free), in-ear, or none.',
  ),
  level: s.optional(v.levelAtEar, 'Gives the level of the cue at the ear, such as 85 dBA.'),
});

export type CueEntry = s.Out<typeof cueInFull>;

const cue = s.union({
  scalar: s.transform(wearing, (worn): CueEntry => ({ wearing: worn })),
  map: cueInFull,
});

const personKeys = {
  at: s.required(v.point, 'Places the person at [x, y].', [2, 4]),
  facing: s.optional(
    v.facing,
    'Says where the person faces: a bearing (0° is up the page, 90° to the right) or a name.',
    'drums',
  ),
  standing: s.optional(s.flag, 'Says that the person stands; false is seated. Default: false.'),
  riser: s.optional(
    s.quantity('length', [0, 20]),
    'Gives the height of the riser under the person. Default: 0.',
    '40 cm',
  ),
  cue: s.optional(cue, 'Says what headphones are worn, or gives {wearing, level}. Default: none.'),
  fixed: s.optionalFlag('Says that the person cannot be moved.'),
};

/** One who plays a source that is elsewhere, and nothing else. */
const person = s.object('a player', personKeys);
/** `at` is on the floor, or on the riser. */
export type Person = s.Out<typeof person>;
export const listener = s.object('a listener', personKeys);
/** `line-only` sounds nowhere and goes into a line alone. */
const instrumentName = s.nameOf('instruments', 'line-only');
const factor = s.byBand(s.quantity('count', [1, 1000]));
const lossUpTo80 = s.byBand(s.decibels([0, 80]));

const directivity = s.transform(
  s.object(
    'a directivity',
    {
      Q: s.optional(factor, 'Gives the directivity factor on axis, one number or by octave.', {
        500: 2,
        2000: 5,
      }),
      'front-to-back': s.optional(
        lossUpTo80,
        'Gives the level in front re behind, one number or by octave.',
        12,
      ),
      table: s.optional(
        v.angleTable,
        'Gives measured directivity: angle_deg, and dB re on axis for each octave; or names a CSV file.',
        v.A_TABLE,
      ),
    },
    s.either(
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

const coverLoss = s.transform(lossUpTo80, (loss) => ({ loss }));

/** A cover of the catalogue, or its loss in dB by band. */
const cover = s.union({
  scalar: v.nameOr('a cover or its loss in dB', coverLoss, s.nameOf('covers')),
  map: coverLoss,
});

export type CoverEntry = s.Out<typeof cover>;
const spectrum = s.byBand(s.decibels([-150, 150]));
const power = s.byBand(s.decibels([-50, 180]));
const A_POWER = { 125: 80, 500: 90, 2000: 84 };
const A_DIRECTIVITY = { Q: { 500: 2, 2000: 5 }, 'front-to-back': 12 };

/** What belongs to one instrument alone. */
const instrumentKeys = {
  instrument: s.optional(instrumentName, 'Names an instrument of the catalogue.'),
  spectrum: s.optional(spectrum, 'Gives the spectrum in relative dB, by octave; it needs a level.', {
    125: -6,
    500: 0,
    2000: -9,
  }),
  directivity: s.optional(
    directivity,
    'Gives the directivity by {Q, front-to-back}, or by {table}. Default: by the instrument.',
    A_DIRECTIVITY,
  ),
  radius: s.optional(
    s.quantity('length', [0, 10]),
    'Gives the radius of the disc that radiates. Default: by the instrument.',
    '15 cm',
  ),
  power: s.optional(
    power,
    'Gives the sound power in dB re 1 pW, in all or by octave, the others silent; it overrides `level`.',
    A_POWER,
  ),
  tilt: s.optional(v.tilt, 'Tilts the axis of radiation, positive upward. Default: by the instrument.', -20),
  part: s.optional(s.name, 'Names the part of the mix it belongs to. Default: its own name.', 'bass'),
  cover: s.optional(
    cover,
    'Names a cover of the catalogue, or gives its loss in dB, one number or by octave.',
  ),
};

const dynamic = s.choice('pp', 'p', 'mp', 'mf', 'f', 'ff', 'soft', 'medium', 'loud');
const later = s.choice('leave', 'rebalance', 'tune', 'replace');

/** What may be said of all that a player plays at once. */
const playingKeys = {
  level: s.optional(
    v.level,
    'Gives the level on axis: 88 dB, 88 dBA at 1 m, or {spl, weighting, at}. Default: by the dynamic.',
  ),
  dynamic: s.optional(
    dynamic,
    'Says how loud it is played: pp to ff, or soft, medium, loud. Default: mf.',
    'mf',
  ),
  playing: s.optional(s.nameOf('playing'), 'Names a playing technique of the catalogue.', 'brushes'),
  later: s.optional(
    later,
    'Says what the edit will do with the part: leave, rebalance, tune or replace.',
    'tune',
  ),
};

const sourceKeys = {
  ...instrumentKeys,
  ...playingKeys,
  at: s.optional(
    v.place,
    'Places the acoustic centre at [x, y] or [x, y, z]. Default: by the player.',
    [2, 4, 0.9],
  ),
  facing: s.optional(
    v.facing,
    'Says where it faces: a bearing (0° is up the page, 90° to the right) or a name.',
    'drums',
  ),
  fixed: s.optionalFlag('Says that it cannot be moved.'),
};

/** What it says overrides what the kit has. */
const kitPart = s.object('a part of a kit', sourceKeys);
export type SourceKeys = s.Out<typeof kitPart>;
export type Dynamic = NonNullable<SourceKeys['dynamic']>;
export type Later = NonNullable<SourceKeys['later']>;
/** What `checkSound` asks of keys of one map. */
const HAS_SOUND: s.KeyConstraint = { among: ['instrument', 'spectrum', 'power'], least: 1 };
const HAS_LOUDNESS: s.KeyConstraint = { when: ['spectrum'], among: ['level', 'power'], least: 1 };

/** Reports, of `key`, what sounds without an instrument, a spectrum with a level, or a power. */
function checkSound(said: SourceKeys, fail: s.Fail, key = 'instrument'): void {
  const { instrument, spectrum, power, level } = said;
  if (instrument === undefined && spectrum === undefined && power === undefined) {
    const fix = `add \`${key}\` with an instrument of the catalogue, or \`spectrum\` and \`level\`, or \`power\``;
    fail('MISSING_KEY', 'is missing', fix, [key]);
  } else if (spectrum !== undefined && power === undefined && level === undefined) {
    const message = 'is missing: a spectrum needs a level';
    fail('MISSING_KEY', message, 'add `level: 88 dB at 1 m`, or `power` by band', ['level']);
  }
}

const section = s.object('a section', {
  players: s.required(s.whole([1, 1000]), 'Tells how many play in the section.', 24),
  rows: s.optional(s.whole([1, 100]), 'Tells how many rows the section has. Default: by its size.', 3),
  size: s.required(
    s.pairOf(v.size, '[width, depth]'),
    'Gives the width of the section, across where it faces, and its depth: [width, depth].',
    [6, 2.4],
  ),
  rise: s.withDefault(
    s.quantity('length', [0, 3]),
    0,
    'Gives how far each row is above the one before it.',
    '30 cm',
  ),
});

const A_SECTION = { players: 24, rows: 3, size: [6, 2.4], rise: '30 cm' };
export type SectionEntry = s.Out<typeof section>;

const sourcePlayer = s.union({
  scalar: s.transform(s.name, (who) => ({ name: who })),
  map: s.transform(person, (who) => ({ person: who })),
});

export const source = s.refine(
  s.object(
    'a source',
    {
      ...sourceKeys,
      at: s.required(v.place, 'Places the acoustic centre at [x, y] or [x, y, z].', [5.5, 17.5, 1.5]),
      repeats: s.optional(
        s.name,
        'Names the source that this one repeats, as a wedge or loudspeaker does.',
        'voice',
      ),
      player: s.optional(
        sourcePlayer,
        'Names the player of the source, or gives the keys of one who plays only this.',
        { at: [3, 3], facing: 'drums' },
      ),
      section: s.optional(
        section,
        'Makes the source a section, such as a choir: {players, rows, size, rise}.',
        A_SECTION,
      ),
    },
    { constraints: [HAS_SOUND, HAS_LOUDNESS] },
  ),
  (written, fail) => checkSound(written, fail),
);

export type SourceEntry = s.Out<typeof source>;

const parts = s.withDefault(
  s.recordOrRemoved('keys of a source', kitPart),
  new Map(),
  'Changes pieces of a kit, by name; ~ removes one.',
  { snare: { level: '96 dBA at 1 m' }, 'tom-2': null },
);

const instrumentInFull = s.object('an instrument', { ...sourceKeys, parts }, { constraints: [HAS_SOUND] });
type InstrumentEntry = s.Out<typeof instrumentInFull>;

const instrumentInShort = s.transform(
  instrumentName,
  (instrument): InstrumentEntry => ({ instrument, parts: new Map(), fixed: false }),
);

const plays = s.union({
  scalar: s.transform(instrumentName, (instrument) => ({ instrument })),
  map: s.transform(
    s.record('an instrument', s.union({ scalar: instrumentInShort, map: instrumentInFull })),
    (instruments) => ({ instruments }),
  ),
});

const ONLY_OF_ONE = [...Object.keys(instrumentKeys), 'parts'];

/** Keys that say how something sounds, of which one says what. */
const HOW: readonly string[] = [
  'directivity',
  'radius',
  'tilt',
  'part',
  'cover',
  ...Object.keys(playingKeys),
];

const playsRules: s.KeyRules = {
  constraints: [
    { among: ['plays', 'instrument'], most: 1 },
    HAS_LOUDNESS,
    { when: HOW, among: ['plays', ...HAS_SOUND.among], least: 1 },
  ],
  check: (has, fail, map) => {
    const written = has('plays') ? map.entries.get('plays')?.node : undefined;
    const wrong = written?.kind === 'map' ? ONLY_OF_ONE : written ? ['instrument'] : [];
    const fix = `write it ${written?.kind === 'map' ? 'under a name in `plays`' : 'after `plays:`'}`;
    for (const key of wrong.filter(has)) fail('WRONG_TYPE', 'cannot be combined with `plays`', fix, [key]);
  },
};

const writtenPlayer = s.object(
  'a player',
  {
    ...personKeys,
    ...instrumentKeys,
    ...playingKeys,
    hands: s.withDefault(
      s.choice('right', 'left'),
      'right',
      'Says which hand the person plays with.',
      'left',
    ),
    plays: s.optional(plays, 'Names the instrument played, or several as {name: keys}.', {
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
export const player = s.transform(writtenPlayer, (written, fail) => {
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

export type PlayerEntry = s.Out<typeof player>;

/** What a player says of everything holds for each that says nothing else; level and dynamic are one statement of loudness. */
function severalPlayed(
  instruments: s.Named<InstrumentEntry>,
  forAll: Pick<SourceKeys, keyof typeof playingKeys>,
  fail: s.Fail,
): PlayedEntry[] {
  const { level, dynamic, ...rest } = forAll;
  return [...instruments].map(([name, own]) => {
    const saysHowLoud = (own.level ?? own.dynamic ?? own.power) !== undefined;
    const played = { ...(saysHowLoud ? rest : forAll), ...own, name };
    checkSound(played, s.failBelow(fail, ['plays', name]));
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
