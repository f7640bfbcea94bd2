/** Keys of microphones and lines. */
import * as s from './schema.ts';
import { bearing, type Facing, facing, nullDepth, pattern, place, stereo, tilt } from './values.ts';

/** Everyone, the room, or some sources, players or parts. */
export type ForEntry =
  | { readonly kind: 'all' }
  | { readonly kind: 'room' }
  | { readonly kind: 'parts'; readonly names: readonly string[] };

const targets = s.transform(
  s.oneOrMore(s.nameOrWord('all', 'room')),
  (names, fail, node): ForEntry | undefined => {
    const [first] = names;
    if (node.kind === 'scalar' && (first === 'all' || first === 'room')) return { kind: first };
    const general = names.find((each) => each === 'all' || each === 'room');
    if (general === undefined) return { kind: 'parts', names };
    return fail('WRONG_TYPE', `lists \`${general}\` among names`, `write \`for: ${general}\` alone`);
  },
);

const corner = s.quantity('frequency', [5, 30_000]);

const slope = s.refine(
  s.decibels([6, 48]),
  (value, fail) => {
    if (value % 6 !== 0)
      fail('OUT_OF_RANGE', 'must be a multiple of 6 dB an octave', 'write 6, 12, 18 or 24');
  },
  { kind: 'quantity', dimension: 'decibel', min: 6, max: 48, step: 6 },
);

const filter = s.union({
  scalar: s.transform(corner, (at) => ({ at, slope: 12 })),
  map: s.object('a filter', {
    at: s.required(corner, 'where it is 3 dB down'),
    slope: s.withDefault(slope, 12, 'dB an octave'),
  }),
});

const rise = s.quantity('length', [0, 50]);
const HEIGHTS = ['height', 'above', 'below'];

const near = s.refine(
  s.object(
    'a place near a source',
    {
      distance: s.required(s.quantity('length', [0.005, 50]), 'straight, from the acoustic centre', '20 cm'),
      angle: s.withDefault(s.quantity('angle', [0, 180]), 0, 'in plan, off the axis of the instrument', 30),
      side: s.withDefault(s.choice('left', 'right'), 'right', 'left or right, as the player has it', 'left'),
      height: s.optional(s.quantity('length', [0, 100]), 'above the floor', 1.2),
      above: s.optional(rise, 'above the acoustic centre', '10 cm'),
      below: s.optional(rise, 'below the acoustic centre', '10 cm'),
    },
    {
      constraints: [{ among: HEIGHTS, most: 1 }],
      check: (has, fail) => {
        const given = HEIGHTS.filter(has);
        if (given.length > 1)
          fail('WRONG_TYPE', `says its height twice: \`${given.join('` and `')}\``, 'keep one of them');
      },
    },
  ),
  ({ distance, above, below }, fail) => {
    const key = above === undefined ? 'below' : 'above';
    const fix = `make \`${key}\` smaller, or \`distance\` larger`;
    if ((above ?? below ?? 0) > distance)
      fail('BAD_POSITION', 'is more than the straight distance', fix, [key]);
  },
);

export type NearEntry = s.Out<typeof near>;

const aimInFull = s.object('an aim', {
  bearing: s.required(bearing, '0 is up the page, clockwise', 90),
  tilt: s.optional(tilt, 'up is positive', -15),
});

/** A bearing without `tilt` is level. */
const aim: s.Reader<s.Out<typeof aimInFull> | Exclude<Facing, { bearing: number }>> = s.union({
  scalar: facing,
  map: aimInFull,
});

/** Keys that only a microphone has, not a DI. */
const acousticKeys = {
  at: s.optional(place, '[x, y] or [x, y, z]', [4, 3, 2.4]),
  near: s.optional(near, 'a place that goes by its source: {distance, angle, side, height, above, below}', {
    distance: '20 cm',
    angle: 30,
  }),
  aim: s.optional(aim, 'a name, a bearing, or {bearing, tilt}', { bearing: 0, tilt: -15 }),
  'null-at': s.optional(s.name, 'a name that the null is to look at', 'guitar'),
  'aim-loss': s.optional(s.decibels([0, 60]), 'dB of its own source that turning the null may cost', 2),
  pattern: s.optional(pattern, 'a pattern of the catalogue, {A} or {table}', 'supercardioid'),
  'null-depth': s.optional(nullDepth, 'dB, or textbook', 25),
  proximity: s.withDefault(s.flag, true, 'false switches the proximity effect off'),
  inside: s.optionalFlag('true under the cover of its source'),
  switchable: s.optionalList(s.nameOf('patterns'), 'patterns it offers', ['omni', 'cardioid', 'figure-8']),
  stereo: s.optional(stereo, 'xy, ortf, nos, crossed-8, mid-side, {xy: 90} or {spaced: 90 cm}', {
    spaced: '90 cm',
  }),
};

const micRules: s.KeyRules = {
  constraints: [
    { among: ['at', 'near', 'di'], least: 1 },
    { among: ['at', 'near'], most: 1 },
    { among: ['aim', 'null-at'], most: 1 },
  ],
  check: (has, fail, map) => {
    const di = map.entries.get('di')?.node;
    if (di?.kind === 'scalar' && di.value === true) {
      for (const key of Object.keys(acousticKeys).filter(has))
        fail('WRONG_TYPE', 'has no meaning for a direct line', 'take it out, or `di`', [key]);
      return;
    }
    if (!has('at') && !has('near'))
      fail('MISSING_KEY', 'has no place: neither `at` nor `near`', 'add `at: [x, y]`');
    s.notBoth('near', 'at', has, fail);
    s.notBoth('null-at', 'aim', has, fail);
  },
};

export const mic = s.refine(
  s.object(
    'a mic',
    {
      for: s.required(targets, 'a source, player or part, a list of them, `all` or `room`', 'drums.snare'),
      di: s.optionalFlag('true for a direct line'),
      ...acousticKeys,
      mix: s.withDefault(s.decibels([-120, 60]), 0, 'its place in the mix, dB', -6),
      'high-pass': s.optional(filter, 'Hz, or {at, slope}'),
      'low-pass': s.optional(filter, 'Hz, or {at, slope}'),
      channel: s.withDefault(s.oneOrMore(s.text), [], 'its input; a pair takes two'),
      use: s.withDefault(s.flag, true, 'false leaves it out'),
      fixed: s.optionalFlag('true where it cannot be moved'),
    },
    micRules,
  ),
  ({ for: whom, near: close, channel, stereo: pair }, fail) => {
    const sourceless = `needs a source: the mic is for \`${whom.kind}\``;
    if (close !== undefined && whom.kind !== 'parts')
      fail('WRONG_TYPE', sourceless, 'write `at: [x, y, z]`', ['near']);
    const most = pair ? 2 : 1;
    const message = `lists ${channel.length} inputs where at most ${most} is taken`;
    if (channel.length > most) fail('WRONG_TYPE', message, 'write one, or two for a pair', ['channel']);
  },
);

export type MicEntry = s.Out<typeof mic>;
