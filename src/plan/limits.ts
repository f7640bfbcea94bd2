/** Keys of limits and tolerances, of what is on hand and of what the floor must keep clear. */
import { outline } from './rooms.ts';
import * as s from './schema.ts';
import { construction, finish, height, point, points, size } from './values.ts';

const number = s.quantity('count', [0.1, 100]);

/** True is the usual 3, and false is null: not judged. */
const ratio: s.Reader<number | null> = s.reader({ kind: 'union', forms: [s.flag, number] }, (node, fail) => {
  if (node.kind !== 'scalar') return s.wrongShape(fail, node, 'true, false or a ratio');
  if (typeof node.value === 'boolean') return node.value ? 3 : null;
  return number.read(node, fail);
});

const HOUR = 3600;
const fraction = s.quantity('ratio', [0, 1]);
const margin = s.decibels([-60, 100]);

/** One limit for all, or a limit by name, which `byName` says are names of what. */
const allOr = <T>(byName: (limits: s.Named<number>) => T) =>
  s.union({
    scalar: s.transform(margin, (all) => ({ all })),
    map: s.transform(s.record('a limit in dB', margin, 'elsewhere'), byName),
  });

const atOne = s.record('a limit in dB', s.decibels([-120, 60]), 'elsewhere');
const group = s.oneOrMore(s.name);
const balance = s.object('a balance', {
  of: s.required(group, 'Names the group: players, parts or sources, or a family such as strings.', 'choir'),
  over: s.required(group, 'Names the group it is held against.', ['first-violin', 'cello']),
  least: s.required(
    s.decibels([-60, 60]),
    'Sets the least level of the one over the other, in dB. For a most, swap the groups and the sign.',
    3,
  ),
  at: s.optional(s.name, 'Names the main mic it is judged at. Default: each mic that is `for: all`.', 'main'),
});

const heard = s.record('a list of names', s.listOf(s.name, 1), 'elsewhere');
const allOrMics = allOr((mics) => ({ mics }));
const allOrParts = allOr((parts) => ({ parts }));
const weighting = s.choice('own', 'Z', 'A', 'C');
const share = s.quantity('ratio', [0.01, 0.999]);

const A_GHOST =
  'Sets the loudest ghost of a part, in dB re its signal. A ghost is a part still heard in other mics with its own muted.';
const THREE_TO_ONE =
  'Checks the 3:1 rule: mics for different sources stand three times as far apart as each does from its source. `true` means 3.';
const WEIGHTING =
  'Sets how the octaves of signal and bleed are weighted: `own` by the signal itself, Z not at all, A or C as on a meter.';

/** In dB unless a comment says else; `threeToOne` is left out where the rule is not judged, `sessionLength` is in seconds. */
export const limits = s.transform(
  s.object('the limits', {
    'signal-to-bleed': s.optional(
      allOrMics,
      'Sets the least signal-to-bleed ratio (S/B), for all mics or by mic.',
      { 'voice-mic': 20 },
    ),
    ghost: s.optional(atOne, A_GHOST, { singer: -25 }),
    isolation: s.optional(
      allOrParts,
      "Sets the least S/B at a part's worst mic, for all parts or by part.",
      20,
    ),
    'three-to-one': s.optional(ratio, THREE_TO_ONE),
    'see-each-other': s.optionalList(
      s.listOf(s.name, 2),
      'Lists groups of people who must all see each other.',
      [['tuba', 'cornet']],
    ),
    hear: s.withDefault(heard, new Map(), 'Lists, for each player, whom that player must hear.', {
      cornet: ['drums'],
    }),
    balance: s.optionalList(
      balance,
      'Lists targets of balance at main mics: the level of one group over another, all octaves, in its worst passage.',
      [{ of: 'choir', over: ['first-violin', 'cello'], least: 3 }],
    ),
    'direct-to-reverberant': s.optional(
      allOrMics,
      'Sets the least direct-to-reverberant ratio of all that is played, for all main mics or by mic.',
      -6,
    ),
    'session-length': s.optional(
      s.quantity('time', [60, 24 * HOUR], HOUR),
      'Sets how long a day of playing lasts, for noise exposure.',
      3,
    ),
    weighting: s.withDefault(weighting, 'own', WEIGHTING),
    confidence: s.optional(
      share,
      'Sets the share of random runs, within tolerance, that must meet each limit.',
      '90 %',
    ),
  }),
  ({ threeToOne, ...rest }) => ({ ...rest, ...(threeToOne && { threeToOne }) }),
);

export type LimitsEntry = s.Out<typeof limits>;
const degrees = s.quantity('angle', [0, 180]);
const halfWidthDb = s.decibels([0, 40]);

/** Half widths: degrees, metres, dB, and fractions of one for `near`, `absorption` and `reverberation`. */
export const tolerance = s.object('the tolerance', {
  aim: s.optional(degrees, "Sets how far a mic's aim may be off, in either direction. Default: 8°.", 8),
  facing: s.optional(
    degrees,
    'Sets how far players may turn from where they face, in either direction. Default: 20°.',
    20,
  ),
  place: s.optional(
    s.quantity('length', [0, 10]),
    'Sets how far mics and players may stand from their places, in any direction. Default: 10 cm.',
    '10 cm',
  ),
  near: s.optional(
    fraction,
    'Sets how far the distance of a close mic may be off, as a share of it. Default: 0.2.',
    0.2,
  ),
  level: s.optional(halfWidthDb, 'Sets how far a measured level may be off, up or down. Default: 3 dB.', 3),
  'guessed-level': s.optional(
    halfWidthDb,
    'Sets how far an assumed level may be off, up or down. Default: 6 dB.',
    6,
  ),
  'null-depth': s.optional(
    s.pairOf(s.decibels([0, 100]), '[from, to]'),
    'Sets the range of depths of a null. Default: 15 to 30 dB; 10 to 20 dB below 200 Hz and above 6 kHz.',
    [15, 30],
  ),
  panel: s.optional(
    halfWidthDb,
    'Sets how far the reduction of baffles may be off, up or down. Default: 3 dB.',
    3,
  ),
  absorption: s.optional(fraction, 'Sets how far absorption may be off, as a share of it. Default: 0.2.'),
  reverberation: s.optional(
    fraction,
    'Sets how far a measured RT60 may be off, as a share of it. Default: 0.1.',
  ),
  seed: s.optional(
    s.whole([0, 2 ** 32 - 1]),
    'Picks the series of random numbers; the same seed gives the same runs. Default: 1.',
    1,
  ),
  draws: s.optional(s.whole([1, 1_000_000]), 'Sets the number of random runs. Default: 500.', 500),
});

export type ToleranceEntry = s.Out<typeof tolerance>;
const count = s.withDefault(s.whole([1, 10_000]), 1, 'Tells how many there are.');

const baffle = s.object('a baffle on hand', {
  'made-of': s.required(
    construction('panels'),
    'Names a panel of the catalogue, or gives {reduction, absorption}.',
  ),
  width: s.required(size, 'Gives the width of one baffle.', 1.5),
  height: s.required(height, 'Gives the height of one baffle.', 1.5),
  count,
});

const absorption = s.object('absorption on hand', {
  finish: s.required(
    finish,
    'Names a finish of the catalogue, or gives absorption by octave.',
    'curtain-heavy',
  ),
  area: s.required(s.quantity('area', [0.01, 10_000]), 'Gives the area of one piece.'),
  count,
});

const mic = s.object('a mic on hand', {
  patterns: s.required(s.listOf(s.nameOf('patterns'), 1), 'Lists the patterns the mic offers.', [
    'omni',
    'cardioid',
  ]),
  count,
});

export const onHand = s.object('what is on hand', {
  baffles: s.optionalList(baffle, 'Lists spare baffles.', [
    { 'made-of': 'upholstered-baffle', width: 1.5, height: 1.5, count: 2 },
  ]),
  absorption: s.optionalList(absorption, 'Lists spare absorption, such as curtains to hang.', [
    { finish: 'curtain-heavy', area: 6, count: 2 },
  ]),
  mics: s.optionalList(mic, 'Lists spare mics.', [{ patterns: ['omni', 'cardioid'], count: 4 }]),
});

const walkway = s.object('a walkway', {
  along: s.required(
    s.listOf(point, 2),
    'Lists points along the middle of the walkway, [[x, y], …].',
    points([0, 0], [3, 0]),
  ),
  width: s.required(size, 'Gives the width of the walkway.', '90 cm'),
});

export const floor = s.object('the floor', {
  'no-stands': s.optionalRecord(
    'a polygon',
    outline,
    'Names areas where no stand may be, each a list of corners.',
    {
      pit: points([0, 0], [1, 0], [0, 1]),
    },
  ),
  walkways: s.optionalRecord('a walkway', walkway, 'Names walkways that must stay clear.', {
    exit: { along: points([0, 0], [3, 0]), width: '90 cm' },
  }),
  'elbow-room': s.optional(
    s.quantity('length', [0, 10]),
    'Sets the free space around each player. Default: 0.6 m.',
    0.6,
  ),
});

export type FloorEntry = s.Out<typeof floor>;
