/** Keys of limits and tolerances, of what is on hand and of what the floor must keep clear. */
import { outline } from './rooms.ts';
import {
  choice,
  decibels,
  flag,
  listOf,
  type Named,
  name,
  nameOf,
  type Out,
  object,
  optional,
  pairOf,
  quantity,
  type Reader,
  reader,
  record,
  required,
  transform,
  union,
  whole,
  withDefault,
  wrongShape,
} from './schema.ts';
import { construction, finish, height, point, size } from './values.ts';

const number = quantity('count', [0.1, 100]);

/** True is the usual 3, and false is null: not judged. */
const ratio: Reader<number | null> = reader({ kind: 'union', forms: [flag, number] }, (node, fail) => {
  if (node.kind !== 'scalar') return wrongShape(fail, node, 'true or a ratio');
  if (typeof node.value === 'boolean') return node.value ? 3 : null;
  return number.read(node, fail);
});

const HOUR = 3600;
const fraction = quantity('ratio', [0, 1]);
const margin = decibels([-60, 100]);

/** One limit for all, or a limit by name, which `byName` says are names of what. */
const allOr = <T>(byName: (limits: Named<number>) => T) =>
  union({
    scalar: transform(margin, (all) => ({ all })),
    map: transform(record('a limit in dB', margin, 'elsewhere'), byName),
  });

/** In dB unless a comment says else; `threeToOne` is left out where the rule is not judged, `sessionLength` is in seconds. */
export const limits = transform(
  object('the limits', {
    'signal-to-bleed': optional(
      allOr((mics) => ({ mics })),
      'dB, for all mics or by mic',
      { 'voice-mic': 20 },
    ),
    ghost: optional(record('a limit in dB', decibels([-120, 60]), 'elsewhere'), 'dB by part', {
      singer: -25,
    }),
    editable: optional(
      allOr((parts) => ({ parts })),
      'dB, for all parts or by part',
      20,
    ),
    'three-to-one': optional(ratio, 'true for 3, or a ratio'),
    'see-each-other': withDefault(listOf(listOf(name, 2)), [], 'who must see whom, [[one, another]]', [
      ['tuba', 'cornet'],
    ]),
    hear: withDefault(
      record('a list of names', listOf(name, 1), 'elsewhere'),
      new Map(),
      'who must hear whom',
      { cornet: ['drums'] },
    ),
    'session-length': optional(quantity('time', [60, 24 * HOUR], HOUR), 'bare numbers are hours', 3),
    weighting: withDefault(choice('own', 'Z', 'A', 'C'), 'own', 'what signal and bleed are weighted with'),
    confidence: optional(
      quantity('ratio', [0.01, 0.999]),
      'share of the draws in which a limit must be met',
      '90 %',
    ),
  }),
  ({ threeToOne, ...rest }) => ({
    ...rest,
    ...(threeToOne !== undefined && threeToOne !== null && { threeToOne }),
  }),
);

export type LimitsEntry = Out<typeof limits>;
const degrees = quantity('angle', [0, 180]);
const halfWidthDb = decibels([0, 40]);

/** Half widths: degrees, metres, dB, and fractions of one for `near`, `absorption` and `reverberation`. */
export const tolerance = object('the tolerance', {
  aim: optional(degrees, 'of mics, either way', 8),
  facing: optional(degrees, 'of players, either way', 20),
  place: optional(quantity('length', [0, 10]), 'of mics and players, either way', '10 cm'),
  near: optional(fraction, 'share of the distance of a close mic', 0.2),
  level: optional(halfWidthDb, 'of a level read, either way', 3),
  'guessed-level': optional(halfWidthDb, 'of a level guessed, either way', 6),
  'null-depth': optional(pairOf(decibels([0, 100]), '[from, to]'), 'dB, from and to', [15, 30]),
  panel: optional(halfWidthDb, 'of the reduction of panels, either way', 3),
  absorption: optional(fraction, 'share of it, either way'),
  reverberation: optional(fraction, 'share of it, either way'),
  seed: optional(whole([0, 2 ** 32 - 1]), 'of the draws', 1),
  draws: optional(whole([1, 1_000_000]), 'how many', 500),
});

export type ToleranceEntry = Out<typeof tolerance>;
const count = withDefault(whole([1, 10_000]), 1, 'how many there are');

export const onHand = object('what is on hand', {
  baffles: withDefault(
    listOf(
      object('a baffle on hand', {
        'made-of': required(construction('panels'), 'a name of the catalogue, or {reduction, absorption}'),
        width: required(size, 'of one', 1.5),
        height: required(height, 'of one', 1.5),
        count,
      }),
    ),
    [],
    'screens there are',
    [{ 'made-of': 'upholstered-screen', width: 1.5, height: 1.5, count: 2 }],
  ),
  absorption: withDefault(
    listOf(
      object('absorption on hand', {
        finish: required(finish, 'what it is', 'curtain-heavy'),
        area: required(quantity('area', [0.01, 10_000]), 'of one, bare numbers are m²'),
        count,
      }),
    ),
    [],
    'things to hang up',
    [{ finish: 'curtain-heavy', area: 6, count: 2 }],
  ),
  mics: withDefault(
    listOf(
      object('a mic on hand', {
        patterns: required(listOf(nameOf('patterns'), 1), 'that it offers', ['omni', 'cardioid']),
        count,
      }),
    ),
    [],
    'mics there are',
    [{ patterns: ['omni', 'cardioid'], count: 4 }],
  ),
});

const corners = (...points: readonly (readonly [number, number])[]) => points;

export const floor = object('the floor', {
  'no-stands': withDefault(record('a polygon', outline), new Map(), 'where nothing may stand', {
    pit: corners([0, 0], [1, 0], [0, 1]),
  }),
  walkways: withDefault(
    record(
      'a walkway',
      object('a walkway', {
        along: required(listOf(point, 2), 'points on its middle', corners([0, 0], [3, 0])),
        width: required(size, 'across', '90 cm'),
      }),
    ),
    new Map(),
    'what must be kept clear',
    { exit: { along: corners([0, 0], [3, 0]), width: '90 cm' } },
  ),
  'elbow-room': optional(quantity('length', [0, 10]), 'that each player needs around him', 0.6),
});

export type FloorEntry = Out<typeof floor>;
