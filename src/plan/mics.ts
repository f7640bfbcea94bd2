/** Keys of mics and DIs. */
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
      fail('OUT_OF_RANGE', 'must be a multiple of 6 dB per octave', 'write 6, 12, 18 or 24');
  },
  { kind: 'quantity', dimension: 'decibel', min: 6, max: 48, step: 6 },
);

const filter = s.union({
  scalar: s.transform(corner, (at) => ({ at, slope: 12 })),
  map: s.object('a filter', {
    at: s.required(corner, 'Gives the corner frequency, where the filter is 3 dB down.'),
    slope: s.withDefault(slope, 12, 'Gives the slope in dB per octave.'),
  }),
});

const rise = s.quantity('length', [0, 50]);
const HEIGHTS = ['height', 'above', 'below'];

const near = s.refine(
  s.object(
    'a place near a source',
    {
      distance: s.required(
        s.quantity('length', [0.005, 50]),
        'Gives the distance from the acoustic centre of the source to the mic, in a straight line.',
        '20 cm',
      ),
      angle: s.withDefault(
        s.quantity('angle', [0, 180]),
        0,
        'Gives the angle off the axis of the instrument, seen from above.',
        30,
      ),
      side: s.withDefault(
        s.choice('left', 'right'),
        'right',
        "Says which side of the axis the mic is on: the player's left or right.",
        'left',
      ),
      height: s.optional(s.quantity('length', [0, 100]), 'Gives the height of the mic above the floor.', 1.2),
      above: s.optional(rise, 'Gives how far the mic is above the acoustic centre.', '10 cm'),
      below: s.optional(rise, 'Gives how far the mic is below the acoustic centre.', '10 cm'),
    },
    {
      constraints: [{ among: HEIGHTS, most: 1 }],
      check: (has, fail) => {
        const given = HEIGHTS.filter(has);
        if (given.length > 1)
          fail('WRONG_TYPE', `gives the height twice: \`${given.join('` and `')}\``, 'keep one of them');
      },
    },
  ),
  ({ distance, above, below }, fail) => {
    const key = above === undefined ? 'below' : 'above';
    const fix = `make \`${key}\` smaller, or \`distance\` larger`;
    if ((above ?? below ?? 0) > distance) fail('BAD_POSITION', 'is more than `distance`', fix, [key]);
  },
);

export type NearEntry = s.Out<typeof near>;

const aimInFull = s.object('an aim', {
  bearing: s.required(bearing, 'Gives the bearing: 0° is up the page, 90° to the right.', 90),
  tilt: s.optional(tilt, 'Tilts the mic, positive upward. Default: 0° (level).', -15),
});

/** A bearing without `tilt` is level. */
const aim: s.Reader<s.Out<typeof aimInFull> | Exclude<Facing, { bearing: number }>> = s.union({
  scalar: facing,
  map: aimInFull,
});

/** Keys that only a microphone has, not a DI. */
const acousticKeys = {
  at: s.optional(
    place,
    "Places the mic at [x, y] or [x, y, z]; z counts from the room's floor.",
    [4, 3, 2.4],
  ),
  near: s.optional(
    near,
    'Places the mic by its source, so that it moves along: {distance, angle, side, height, above, below}.',
    {
      distance: '20 cm',
      angle: 30,
    },
  ),
  aim: s.optional(
    aim,
    'Aims the mic at a name, along a bearing, or by {bearing, tilt}. Default: its source.',
    { bearing: 0, tilt: -15 },
  ),
  'null-at': s.optional(s.name, 'Names what to point the null at.', 'guitar'),
  'aim-loss': s.optional(
    s.decibels([0, 60]),
    'Limits how much signal the mic may lose by pointing its null. Default: 2 dB.',
    2,
  ),
  pattern: s.optional(
    pattern,
    'Names a pattern of the catalogue, or gives {A} or {table}. Default: cardioid.',
    'supercardioid',
  ),
  'null-depth': s.optional(
    nullDepth,
    'Limits the depth of the nulls; `textbook` leaves them as deep as the formula. Default: 25 dB.',
    25,
  ),
  proximity: s.withDefault(s.flag, true, 'Models the proximity effect; false switches it off.'),
  inside: s.optionalFlag('Puts the mic under the cover of its source.'),
  switchable: s.optionalList(s.nameOf('patterns'), 'Lists the patterns the mic can be switched to.', [
    'omni',
    'cardioid',
    'figure-8',
  ]),
  stereo: s.optional(
    stereo,
    'Makes a stereo pair: xy, ortf, nos, crossed-8, mid-side, {xy: 90} or {spaced: 90 cm}.',
    {
      spaced: '90 cm',
    },
  ),
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
        fail('WRONG_TYPE', 'has no effect on a DI', 'remove it, or remove `di`', [key]);
      return;
    }
    if (!has('at') && !has('near'))
      fail('MISSING_KEY', 'has no position: neither `at` nor `near`', 'add `at: [x, y]`');
    s.notBoth('near', 'at', has, fail);
    s.notBoth('null-at', 'aim', has, fail);
  },
};

export const mic = s.refine(
  s.object(
    'a mic',
    {
      for: s.required(
        targets,
        'Says what the mic is for: a source, player or part, a list of them, `all` or `room`.',
        'drums.snare',
      ),
      di: s.optionalFlag('Makes it a DI, which picks up no bleed.'),
      ...acousticKeys,
      mix: s.withDefault(s.decibels([-120, 60]), 0, 'Sets the fader level in the mix.', -6),
      'high-pass': s.optional(filter, 'Sets a high-pass filter: a frequency, or {at, slope}.'),
      'low-pass': s.optional(filter, 'Sets a low-pass filter: a frequency, or {at, slope}.'),
      channel: s.withDefault(
        s.oneOrMore(s.text),
        [],
        'Gives the input; of a stereo pair both, as [left, right].',
      ),
      use: s.withDefault(s.flag, true, 'Uses the mic; false leaves it out.'),
      fixed: s.optionalFlag('Says that the mic cannot be moved.'),
    },
    micRules,
  ),
  ({ for: whom, near: close, channel, stereo: pair }, fail) => {
    const sourceless = `needs a source, but the mic is for \`${whom.kind}\``;
    if (close !== undefined && whom.kind !== 'parts')
      fail('WRONG_TYPE', sourceless, 'write `at: [x, y, z]`', ['near']);
    const needed = pair ? 2 : 1;
    const message = `lists ${channel.length === 1 ? '1 input' : `${channel.length} inputs`}, but ${pair ? 'a pair needs two' : 'a single mic needs one'}`;
    if (channel.length > 0 && channel.length !== needed)
      fail('WRONG_TYPE', message, pair ? 'write [left, right]' : 'write one', ['channel']);
  },
);

export type MicEntry = s.Out<typeof mic>;
