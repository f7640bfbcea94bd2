/** Keys of microphones; types inferred. */
import {
  bearing,
  type Complain,
  choice,
  decibels,
  facing,
  flag,
  forms,
  into,
  keyed,
  listOf,
  may,
  must,
  name,
  nameOf,
  nameOrWord,
  nullDepth,
  oneOrMore,
  or,
  type PatternEntry,
  type Place,
  pattern,
  place,
  quantity,
  type Reader,
  type Rule,
  type StereoEntry,
  stereo,
  text,
  tilt,
} from './schema.ts';

// Microphones and lines.
const whomFor: Reader<ForEntry> = into(oneOrMore(nameOrWord('all', 'room')), (names, complain, node) => {
  const [first] = names;
  if (node.kind === 'scalar' && (first === 'all' || first === 'room')) return { kind: first } as const;
  const general = names.find((each) => each === 'all' || each === 'room');
  if (general === undefined) return { kind: 'parts', names } as const;
  return void complain({
    code: 'WRONG_SHAPE',
    message: `lists \`${general}\` among names`,
    mend: `write \`for: ${general}\` alone`,
  });
});

const corner = quantity('frequency', [5, 30_000]);

const slope = into(
  decibels([6, 48]),
  (value, complain) => {
    if (value % 6 === 0) return value;
    return void complain({
      code: 'BAD_RANGE',
      message: 'must be a multiple of 6 dB an octave',
      mend: 'write 6, 12, 18 or 24',
    });
  },
  { takes: 'quantity', dimension: 'decibel', min: 6, max: 48, step: 6 },
);

const filter: Reader<FilterEntry> = forms({
  scalar: into(corner, (at): FilterEntry => ({ at, slope: 12 })),
  map: keyed('a filter', { at: must(corner, 'where it is 3 dB down'), slope: or(slope, 12, 'dB an octave') }),
});

const ACOUSTIC = [
  'at',
  'near',
  'aim',
  'null-at',
  'aim-loss',
  'pattern',
  'null-depth',
  'proximity',
  'inside',
  'stereo',
  'switchable',
];

const bonds: Rule['bonds'] = [
  { among: ['at', 'near', 'di'], least: 1 },
  { among: ['at', 'near'], most: 1 },
  { among: ['aim', 'null-at'], most: 1 },
];

const check: Rule['check'] = (has, complain, map) => {
  const di = map.entries.get('di')?.node;
  if (di?.kind === 'scalar' && di.value === true) {
    const message = 'has no meaning for a direct line';
    for (const key of ACOUSTIC.filter(has))
      complain({ code: 'WRONG_SHAPE', message, mend: 'take it out, or `di`', path: [key] });
    return;
  }
  const lost = {
    code: 'MISSING',
    message: 'has no place: neither `at` nor `near`',
    mend: 'add `at: [x, y]`',
  } as const;
  if (!has('at') && !has('near')) complain(lost);
  const twice = (key: string, other: string) => {
    if (!has(key) || !has(other)) return;
    complain({
      code: 'WRONG_SHAPE',
      message: `stands beside \`${other}\``,
      mend: 'take one of the two out',
      path: [key],
    });
  };
  twice('near', 'at');
  twice('null-at', 'aim');
};

// Where a mic stands by its source, and where it looks.

const rise = quantity('length', [0, 50]);

const HEIGHTS = ['height', 'above', 'below'];

const oneHeight: Rule = {
  bonds: [{ among: HEIGHTS, most: 1 }],
  check: (has, complain) => {
    const given = HEIGHTS.filter(has);
    const message = `says its height twice: \`${given.join('` and `')}\``;
    if (given.length > 1) complain({ code: 'WRONG_SHAPE', message, mend: 'keep one of them' });
  },
};

const near: Reader<NearEntry> = into(
  keyed(
    'a place near a source',
    {
      distance: must(quantity('length', [0.005, 50]), 'straight, from the acoustic centre', '20 cm'),
      angle: or(quantity('angle', [0, 180]), 0, 'in plan, off the axis of the instrument', 30),
      side: or(choice('left', 'right'), 'right', 'left or right, as the player has it', 'left'),
      height: may(quantity('length', [0, 100]), 'above the floor', 1.2),
      above: may(rise, 'above the acoustic centre', '10 cm'),
      below: may(rise, 'below the acoustic centre', '10 cm'),
    },
    oneHeight,
  ),
  (entry, complain) => {
    const key = entry.above === undefined ? 'below' : 'above';
    if ((entry.above ?? entry.below ?? 0) <= entry.distance) return entry;
    const mend = `make \`${key}\` smaller, or \`distance\` larger`;
    return void complain({
      code: 'BAD_PLACE',
      message: 'is more than the straight distance',
      mend,
      path: [key],
    });
  },
);

const aim: Reader<AimEntry> = forms({
  scalar: facing,
  map: keyed('an aim', {
    bearing: must(bearing, '0 is up the page, clockwise', 90),
    tilt: may(tilt, 'up is positive', -15),
  }),
});

export const mic: Reader<MicEntry> = into(
  keyed(
    'a mic',
    {
      for: must(whomFor, 'a source, player or part, a list of them, `all` or `room`', 'drums.snare'),
      di: or(flag, false, 'true for a direct line'),
      at: may(place, '[x, y] or [x, y, z]', [4, 3, 2.4]),
      near: may(near, 'a place that goes by its source: {distance, angle, side, height, above, below}', {
        distance: '20 cm',
        angle: 30,
      }),
      aim: may(aim, 'a name, a bearing, or {bearing, tilt}', { bearing: 0, tilt: -15 }),
      'null-at': may(name, 'a name that the null is to look at', 'guitar'),
      'aim-loss': may(decibels([0, 60]), 'dB of its own source that turning the null may cost', 2),
      pattern: may(pattern, 'a pattern of the catalogue, {A} or {table}', 'supercardioid'),
      'null-depth': may(nullDepth, 'dB, or textbook', 25),
      proximity: or(flag, true, 'false switches the proximity effect off'),
      inside: or(flag, false, 'true under the cover of its source'),
      switchable: or(listOf(nameOf('patterns')), [], 'patterns it offers', ['omni', 'cardioid', 'figure-8']),
      stereo: may(stereo, 'xy, ortf, nos, crossed-8, mid-side, {xy: 90} or {spaced: 90 cm}', {
        spaced: '90 cm',
      }),
      mix: or(decibels([-120, 60]), 0, 'its place in the mix, dB', -6),
      'high-pass': may(filter, 'Hz, or {at, slope}'),
      'low-pass': may(filter, 'Hz, or {at, slope}'),
      channel: or(oneOrMore(text), [], 'its input; a pair takes two'),
      use: or(flag, true, 'false leaves it out'),
      fixed: or(flag, false, 'true where it cannot be moved'),
    },
    { bonds, check },
  ),
  (entry, complain) => (micFaults(entry, complain) ? undefined : entry),
);

function micFaults({ for: whom, near: close, channel, stereo: pair }: MicEntry, complain: Complain): boolean {
  const nobody = close !== undefined && whom.kind !== 'parts';
  if (nobody)
    complain({
      code: 'WRONG_SHAPE',
      message: `needs a source: the mic is for \`${whom.kind}\``,
      mend: 'write `at: [x, y, z]`',
      path: ['near'],
    });
  const most = pair ? 2 : 1;
  const many = channel.length > most;
  const message = `lists ${channel.length} inputs where at most ${most} is taken`;
  if (many)
    complain({ code: 'WRONG_SHAPE', message, mend: 'write one, or two for a pair', path: ['channel'] });
  return nobody || many;
}

// Microphones and lines, as the plan says it.

export type MicEntry = {
  readonly for: ForEntry;
  readonly di: boolean;
  readonly at?: Place;
  readonly near?: NearEntry;
  readonly aim?: AimEntry;
  readonly nullAt?: string;
  /** How much of its own source, dB, turning the null may cost. */
  readonly aimLoss?: number;
  readonly pattern?: PatternEntry;
  readonly nullDepth?: number | 'textbook';
  readonly proximity: boolean;
  readonly inside: boolean;
  readonly switchable: readonly string[];
  readonly stereo?: StereoEntry;
  readonly mix: number;
  readonly highPass?: FilterEntry;
  readonly lowPass?: FilterEntry;
  /** None, one, or two of a pair. */
  readonly channel: readonly string[];
  readonly use: boolean;
  readonly fixed: boolean;
};

export type ForEntry =
  | { readonly kind: 'all' }
  | { readonly kind: 'room' }
  | { readonly kind: 'parts'; readonly names: readonly string[] };

/** A place that goes by its source. `angle` in plan, off the instrument's axis, to the player's own `side`. */
export type NearEntry = {
  readonly distance: number;
  readonly angle: number;
  readonly side: 'left' | 'right';
  /** At most one of the three is given; `height` is above the floor. */
  readonly height?: number;
  readonly above?: number;
  readonly below?: number;
};

/** Degrees; a bearing without `tilt` looks level. */
type AimEntry = { readonly bearing: number; readonly tilt?: number } | { readonly target: string };

/** Hertz, and dB an octave. */
type FilterEntry = { readonly at: number; readonly slope: number };
